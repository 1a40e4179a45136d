"""What is over a line of bars as notes: hits in their rhythm, fermatas over beats. Lengths in points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from charts.song import Section
from render.page.fonts import extent
from render.page.hits import HitBar, hits_of
from render.page.lanes import GAP, Block, Hanging, Spot
from render.page.marks import written_at
from render.page.model import Laid, Pen
from render.page.plan import Sizes
from render.page.signs import FERMATA
from render.page.strips import Bar
from render.page.theme import SOFT

OVER = 2.0  # room over hits, units
BAR_LINE = 0.8  # width of the line between two bars with hits, units
HEAD = 0.9  # from a beat's place to the middle of what is written there, staff spaces


@dataclass(frozen=True)
class HitLine:
    """The hits over one line of bars."""

    hits: tuple[tuple[Bar, HitBar], ...]
    space: float
    unit: float

    def scale(self, bar: Bar, hits: HitBar) -> float:
        """Staff space over a bar: less where the bar is too narrow."""
        return min(self.space, bar.width / hits.least)

    @property
    def below(self) -> float:
        return max((hits.below * self.space for _, hits in self.hits), default=0.0)

    @property
    def spots(self) -> list[Spot]:
        """The room that they take over the bars."""
        return [
            Spot(
                bar.left + GAP * self.unit,
                bar.right - GAP * self.unit,
                0.0,
                self.below + hits.above * self.scale(bar, hits) + OVER * self.unit,
            )
            for bar, hits in self.hits
        ]

    def paint(self, pen: Pen) -> None:
        """Draw over the bars, with a bar line between two that follow; the pen is at their upper edge."""
        for bar, hits in self.hits:
            hits.paint(pen.at(bar.left, -self.below, self.space), bar.width / self.space)
            pen.mark("hits", hits, bar.left, bar.left, bar.right)
        for (bar, one), (after, other) in pairwise(self.hits):
            if after.number == bar.number + 1:
                x = (bar.right + after.left) / 2
                high = min(one.above * self.scale(bar, one), other.above * self.scale(after, other))
                pen.line(x, 0.0, x, -self.below - high, BAR_LINE * self.unit, SOFT)


def hit_line(section: Section, bars: Sequence[Bar], sizes: Sizes) -> HitLine:
    """The hits of a line of a section's bars."""
    known = {hit.bar for hit in section.hits}
    found = ((bar, hits_of(section, bar.number)) for bar in bars if bar.number in known)
    return HitLine(tuple((bar, hits) for bar, hits in found if hits), sizes.hit, sizes.unit)


def crowding(sections: Sequence[Section], lines: Sequence[Sequence[Bar]], sizes: Sizes) -> float:
    """How far the hits of the fullest bar must shrink: 1 where none does."""
    found = 1.0
    for section, bars in zip(sections, lines, strict=True):
        line = hit_line(section, bars, sizes)
        found = min([found, *(line.scale(bar, hits) / line.space for bar, hits in line.hits)])
    return found


def hold_items(section: Section, line: HitLine, sizes: Sizes, bars: Sequence[Bar]) -> Iterator[Hanging]:
    """Fermatas, each over its beat, with the seconds that the clock counts for them."""
    for bar in bars:
        here = sorted(
            (written_at(section, hold.place), hold.seconds)
            for hold in section.holds
            if hold.place.bar == bar.number
        )
        if here:
            places = [
                (min(bar.width - 0.2, bar.width * at + HEAD * line.space), seconds) for at, seconds in here
            ]
            yield _holds(bar, places, sizes)


def _holds(bar: Bar, places: Sequence[tuple[float, object]], sizes: Sizes) -> Hanging:
    left, top, right, bottom = extent(FERMATA)
    room = min([bar.width, *(b - a for (a, _), (b, _) in pairwise(places))])
    space = min(sizes.hit, 0.9 * room / (right - left))
    half = (right - left) * space / 2
    high = (bottom - top) * space + 1.5 * sizes.unit

    def paint(pen: Pen, x: float, y: float) -> None:
        for at, _ in places:
            middle = min(max(at, half), bar.width - half)
            pen.at(x + middle, y + high - 1.5 * sizes.unit, space).sign(-(left + right) / 2, -bottom, FERMATA)
            pen.mark("fermata", None, x + middle, x, x + bar.width)

    block = Block(bar.width, Laid(high, paint))
    return Hanging("hold", bar, bar.left, bar.width, bar.width, lambda _: block)
