"""One row of the form, laid out: the name at the left, at its right the bars with all that is at them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from charts import outline
from charts.song import Section
from render.page.box_ink import paint_inside
from render.page.boxes import Inside
from render.page.fills import UsedFill
from render.page.flags import words_block
from render.page.hit_lines import HitLine
from render.page.lanes import Lanes
from render.page.model import Pen
from render.page.names import NameBlock
from render.page.plan import Sizes
from render.page.text import Piece

LINE_GAP, OVER = 3.0, 2.0  # between lines of one row; between bars and what hangs from them


@dataclass(frozen=True)
class FormRow:
    """A row of the outline with its fills; ``ending`` is said at the last bar line of the song."""

    row: outline.Row
    fills: tuple[UsedFill, ...]
    ending: str | None = None

    @property
    def section(self) -> Section:
        return self.row.section

    @property
    def repeated(self) -> bool:
        return self.row.times > 1 or self.section.open


@dataclass(frozen=True)
class Geometry:
    """What all rows of a page share: names, strips and bars of one width each."""

    sizes: Sizes
    name_width: float
    strip_width: float
    across: int
    bar_width: float


@dataclass(frozen=True)
class LaidLine:
    """One line of bars with what hangs over and under it; ``after`` lies after its last bar."""

    inside: Inside
    hits: HitLine
    above: Lanes
    below: Lanes
    after: tuple[float, Sequence[Piece]] | None

    @property
    def over(self) -> float:
        return self.above.height + OVER * self.inside.unit if self.above.height else 0.0

    @property
    def under(self) -> float:
        return self.below.height + OVER * self.inside.unit if self.below.height else 0.0

    def paint(self, pen: Pen, box: float) -> None:
        """Draw; the pen is at the upper left corner of the first bar."""
        gap = OVER * self.inside.unit
        paint_inside(pen, self.inside, box)
        self.hits.paint(pen.at(0.0, -gap))
        self.above.paint(pen.at(0.0, -gap), -1)
        self.below.paint(pen.at(0.0, box + gap), 1)
        if self.after:
            block = words_block(self.after[1], float("inf"))
            block.laid.paint(pen, self.after[0], (box - block.height) / 2)


@dataclass(frozen=True)
class LaidRow:
    """A row, measured; boxes may be higher than they must be."""

    lines: tuple[LaidLine, ...]
    name: NameBlock
    geometry: Geometry

    @property
    def _gap(self) -> float:
        return LINE_GAP * self.geometry.sizes.unit

    def height(self, box: float) -> float:
        strips = sum(line.over + box + line.under + self._gap for line in self.lines) - self._gap
        return max(strips, self._name_top(box) + self.name.height)

    def _name_top(self, box: float) -> float:
        """The name is beside the middle of the first box."""
        return max(0.0, self.lines[0].over + (box - self.name.first) / 2)

    def paint(self, pen: Pen, x: float, y: float, box: float) -> None:
        self.name.paint(pen, x, y + self._name_top(box))
        for line in self.lines:
            line.paint(pen.at(x + self.geometry.name_width, y + line.over), box)
            y += line.over + box + line.under + self._gap
