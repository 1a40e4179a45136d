"""The fills of a page packed in rows: number and name above each, staves of a row on one line.

``fill_rows`` gives a ``Laid`` in staff spaces: ``laid.paint(pen.at(x, y, space), 0.0, 0.0)`` draws it with
that staff space, in the pen's own units, and ``laid.height * space`` is its height. ``number_disc`` is the
sign of a fill, here and in the bars.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from render.page.fill_picture import FillPicture, fill_picture
from render.page.fills import PageFill
from render.page.fonts import BOLD, REGULAR, capital_height, width_of
from render.page.model import Laid, Pen
from render.page.text import Piece, Placed, flow, height_of, natural_width, paint_lines, words
from render.page.theme import ACCENT, INK, PAPER, SOFT

NAME, SAID = 2.45, 1.9  # sizes of a name and of what is said under it, in staff spaces to the em
DISC, DISC_GAP = 2.9, 0.8  # a number's disc across, from it to the name
NAME_GAP = 0.8  # from the words to the highest sign
GUTTER, ROW_GAP = 3.0, 1.5  # between fills of a row, between rows
COLUMNS = 12  # of the page, at which fills start where there is room
LEAST_LABEL = 30.0  # room for the words over a fill, however narrow its notes
DIGITS_WIDE, DIGITS_HIGH = 0.74, 0.86  # most of a disc that its number takes across, and its size to the em


def number_disc(pen: Pen, x: float, y: float, number: str, across: float, role: str = ACCENT) -> None:
    """A fill's number in a filled disc, whose middle is at x and y."""
    pen.disc(x, y, across / 2, role)
    size = min(DIGITS_HIGH * across, DIGITS_WIDE * across / width_of(number, BOLD))
    wide = width_of(number, BOLD) * size
    pen.words(x - wide / 2, y + capital_height() * size / 2, number, size, BOLD, PAPER, "fill label")


@dataclass(frozen=True)
class _Block:
    """One fill: its number, the lines over its notes, the notes; nothing but words where it has none."""

    number: str
    lines: list[list[Placed]]
    picture: FillPicture | None
    width: float
    indent: float  # from its left edge to its name

    @property
    def label(self) -> float:
        return max(DISC, height_of(self.lines)) + NAME_GAP

    @property
    def above(self) -> float:
        return self.picture.above if self.picture else 0.0

    @property
    def below(self) -> float:
        return self.picture.below if self.picture else 0.0


def fill_rows(fills: Sequence[PageFill], triplets: str, width: float, counts: bool = True) -> Laid:
    """All fills of a page, in their order, as many to a row as fit; nothing where there are none.

    A row's fills keep one line for their names and one for their staves. A bar wider than ``width`` is
    drawn smaller by itself.
    """
    rows: list[list[_Block]] = []
    left = 0.0
    for block in (_block(fill, triplets, width, counts) for fill in fills):
        if not rows or left < block.width:
            rows.append([])
            left = width
        rows[-1].append(block)
        left -= block.width + GUTTER
    heights = [_height(row) for row in rows]

    def paint(pen: Pen, x: float, y: float) -> None:
        for row, height in zip(rows, heights, strict=True):
            _paint_row(pen.at(x, y), row, width)
            y += height + ROW_GAP

    return Laid(max(0.0, sum(heights) + ROW_GAP * (len(rows) - 1)), paint)


def _block(fill: PageFill, triplets: str, width: float, counts: bool) -> _Block:
    picture = fill_picture(fill, triplets, counts, width)
    indent = DISC + DISC_GAP if fill.number else 0.0
    name = words(fill.title, "fill", BOLD, NAME)
    room = min(width, max(LEAST_LABEL, picture.width if picture else 0.0)) - indent
    named = max(room, min(width - indent, natural_width(name)))
    lines = flow(name, named) + flow(_said(fill), named)
    widest = max(line[-1][0] + line[-1][1].width for line in lines)
    wide = max(indent + widest, picture.width if picture else 0.0)
    return _Block(fill.number, lines, picture, min(width, wide), indent)


def _said(fill: PageFill) -> list[Piece]:
    """What is said of it: written straight and swung, or at odds with the feel."""
    swung = "written straight, played swung" if fill.written_straight else ""
    style, role = (BOLD, INK) if fill.at_odds else (REGULAR, SOFT)
    return words(fill.said, "fill note", style, SAID, role) + words(
        swung, "fill note", size=SAID, role=SOFT, space=SAID / 2
    )


def _height(row: Sequence[_Block]) -> float:
    return max(b.label for b in row) + max(b.above for b in row) + max(b.below * _scale(b) for b in row)


def _scale(block: _Block) -> float:
    """Smaller than one where a single bar is wider than the page."""
    return min(1.0, block.width / block.picture.width) if block.picture else 1.0


def _paint_row(pen: Pen, row: Sequence[_Block], width: float) -> None:
    staff = max(block.label for block in row) + max(block.above for block in row)
    for x, block in zip(_starts(row, width), row, strict=True):
        if block.number:
            number_disc(pen, x + DISC / 2, DISC / 2, block.number, DISC)
        paint_lines(pen, x + block.indent, 0.15, block.lines)
        if block.picture:
            block.picture.paint(pen.at(x, staff, _scale(block)))


def _starts(row: Sequence[_Block], width: float) -> list[float]:
    """Where each fill of a row starts: at columns of the page, one after the other where that is too wide."""
    column = width / COLUMNS
    for step in (column, column / 2, 0.0):
        xs, x = [], 0.0
        for block in row:
            xs.append(x)
            x += block.width + GUTTER
            x = ceil(x / step - 1e-6) * step if step else x
        if xs[-1] + row[-1].width <= width + 1e-6:
            break
    return xs
