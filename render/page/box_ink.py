"""A line of bars drawn: frames, bar lines, repeat signs, bands and numbers of fills, silences, words."""

from __future__ import annotations

from render.page.boxes import BORDER, END, REPEAT, STOP, TIME_GAP, Inside, disc_width
from render.page.fonts import BOLD, capital_height, width_of
from render.page.marks import FillMark
from render.page.model import Pen
from render.page.plan import Sizes
from render.page.strips import Bar
from render.page.text import flow, paint_line
from render.page.theme import ACCENT, INK, PAPER, SIGN

DIVIDER, STRONG, ODD = 0.7, 1.5, 2.2  # widths of lines, in points at one metre
DOT, DOT_GAP, DOTS_AT = 2.3, 1.2, (0.36, 0.64)  # dots of a repeat: across, from its bar, heights in the box
TICK = 0.13  # of a box: what is left of a bar line that words cross
INFINITE = float("inf")


def paint_inside(pen: Pen, inside: Inside, box: float) -> None:
    """Draw a line of bars of a height; the pen is at its upper left corner."""
    sizes, unit = inside.sizes, inside.unit
    _paint_frames(pen, inside, box)
    for start, end, back in inside.bands:
        _paint_band(pen, sizes, box - BORDER * unit, start, end, back)
    border = BORDER * unit
    for left, right in inside.stops:
        pen.rect(left, border, right - left, box - 2 * border - sizes.band, INK)
    middle = (box - sizes.band) / 2
    for at, size in inside.stop_words:
        pen.words(at, middle + size * capital_height() / 2, STOP, size, BOLD, PAPER, "stop")
    for left, right, pieces in inside.words:
        banded = any(start < right and left < end for start, end, _ in inside.bands)
        high = max(piece.size for piece in pieces) * capital_height()
        paint_line(pen, left, ((middle if banded else box / 2) + high / 2), flow(pieces, INFINITE)[0])
    for disc in inside.discs:
        paint_number(pen.at(disc.left, middle - sizes.disc / 2), disc.mark, sizes, disc.timed)
        pen.mark("fill", (disc.mark.number, disc.mark.when), disc.left, disc.bar.left, disc.bar.right)


def paint_number(pen: Pen, mark: FillMark, sizes: Sizes, timed: bool) -> None:
    """A fill's number in its disc, which time through beside it; the pen is at the upper left corner."""
    radius, size = sizes.disc / 2, sizes.essential
    wide = disc_width(mark, sizes, False)
    pen.disc(radius, radius, radius, ACCENT, wide - sizes.disc)
    base = radius + size * capital_height() / 2
    number = width_of(mark.number, BOLD) * size
    pen.words((wide - number) / 2, base, mark.number, size, BOLD, PAPER, "fill number")
    if timed:
        pen.words(wide + TIME_GAP * sizes.disc, base, mark.when, sizes.least, BOLD, ACCENT, "time")


def _paint_band(pen: Pen, sizes: Sizes, bottom: float, start: float, end: float, back: bool) -> None:
    """How long a fill lasts; with a point where it began before the section."""
    high, unit = sizes.band, sizes.unit
    top = bottom - high
    pen.rect(start, top, end - start, high, ACCENT)
    if back:
        point = (start - 0.9 * high, top + high / 2)
        pen.shape(((start, top - unit), point, (start, top + high + unit)), ACCENT)


def _paint_frames(pen: Pen, inside: Inside, box: float) -> None:
    unit, left = inside.unit, 0.0
    for place, bar in enumerate(inside.bars):
        left = bar.left if bar.starts else left
        if bar.ends:
            pen.rect(left, 0.0, bar.right - left, box, INK, BORDER * unit)
        elif not bar.meter and not inside.bars[place + 1].meter:
            _paint_divider(pen, inside, bar, box)
    for bar in inside.bars:
        if bar.meter:
            pen.rect(bar.left, 0.0, bar.width, box, SIGN, ODD * unit)
    if inside.opens:
        _paint_repeat(pen, unit, 0.0, box, 1)
    if inside.closes:
        _paint_repeat(pen, unit, inside.right, box, -1)
    if inside.ends:
        pen.rect(inside.right - END * unit, 0.0, END * unit, box, INK)


def _paint_divider(pen: Pen, inside: Inside, bar: Bar, box: float) -> None:
    """The bar line after a bar; where words or a disc cross it, only its ends; none in a silence."""
    at = bar.right
    crossed = any(left - 1 < at < right + 1 for left, right, _ in inside.words)
    crossed = crossed or any(disc.left < at < disc.right for disc in inside.discs)
    if any(left < at < right for left, right in inside.stops):
        return
    width = (STRONG if bar.strong else DIVIDER) * inside.unit
    for start, end in ((0.0, TICK), (1 - TICK, 1.0)) if crossed else ((0.0, 1.0),):
        pen.line(at, start * box, at, end * box, width, INK)


def _paint_repeat(pen: Pen, unit: float, x: float, box: float, way: int) -> None:
    """A repeat sign at the edge of a line, its dots inside: ``way`` 1 opens, -1 closes."""
    pen.rect(min(x, x + way * REPEAT * unit), 0.0, REPEAT * unit, box, INK)
    for at in DOTS_AT:
        pen.disc(x + way * (REPEAT + DOT_GAP + DOT / 2) * unit, at * box, DOT * unit / 2, INK)
