"""Fills as they are drawn at the foot of a page: name above, notes on the staff, count and sticking below.

``fill_picture`` draws one fill: ``above`` and ``below`` are measured from the staff's top line, and the pen
that ``paint`` gets has its corner at the staff's upper left end. ``fill_rows`` packs all fills of a page.

All lengths are staff spaces, so one choice of the space, 1.3 to 1.75 mm, sizes all fills of a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from charts.pattern import GHOST, Stroke
from render.page import signs
from render.page.fill_notes import (
    COUNT_SIZE,
    HAND_SIZE,
    Column,
    FillBeat,
    StaffLine,
    lay_lines,
)
from render.page.fills import PageFill
from render.page.fonts import REGULAR, capital_height, extent, width_of
from render.page.model import DESCENT, Pen
from render.page.signs import HAT_HALF_OPEN, HAT_OPEN
from render.page.theme import INK, SOFT
from render.page.voice import (
    HALF_HEAD,
    beam_level,
    paint_beat,
    paint_figure,
    paint_note,
    paint_rest,
    staff_y,
    stem_top,
    tops,
)  # fmt: skip

LOWEST_BEAM = -1.0
SIGN_GAP, FIGURE_ROOM = 0.4, 1.9  # between the signs over a note; a tuplet's figure with its bracket
COUNT_GAP, HAND_ROW = 0.6, 1.75  # from the staff to the count; from count to sticking
LINE_GAP = 1.4  # between the staves of one fill
CLEF_LEFT = 0.45


@dataclass(frozen=True)
class FillPicture:
    """A fill's staves, measured: how far they reach right, over and under the first staff's top line."""

    lines: tuple[StaffLine, ...]
    heights: tuple[_Heights, ...]

    @property
    def width(self) -> float:
        return max(line.width for line in self.lines)

    @property
    def above(self) -> float:
        return self.heights[0].above

    @property
    def below(self) -> float:
        between = sum(each.above + each.below + LINE_GAP for each in self.heights) - LINE_GAP
        return between - self.above

    def paint(self, pen: Pen) -> None:
        """Draw; the pen's unit is a staff space, its corner the first staff's upper left end."""
        y = -self.above
        for line, heights in zip(self.lines, self.heights, strict=True):
            _paint_line(pen.at(0.0, y + heights.above), line, heights)
            y += heights.above + heights.below + LINE_GAP


def fill_picture(
    fill: PageFill, triplets: str, words: bool = True, width: float = float("inf")
) -> FillPicture | None:
    """A fill's notes; ``words`` adds counts and sticking. None where there is nothing to draw.

    One wider than ``width`` gets a staff for each bar; a bar is never broken and may be wider still.
    """
    if fill.pattern is None or not fill.beats:
        return None
    lines = lay_lines(fill, triplets, words, width)
    return FillPicture(lines, tuple(_heights(line) for line in lines))


@dataclass(frozen=True)
class _Heights:
    """Of one staff: the beams' level, the tuplets' figures, the words' lines, how far ink reaches."""

    level: float
    figures: float
    counts: float
    above: float
    below: float


def _heights(line: StaffLine) -> _Heights:
    level = beam_level([beat.written for beat in line.beats], staff_y, LOWEST_BEAM)
    top, figured = 0.0, 0.0
    for beat in line.beats:
        under = zip(beat.columns, tops(beat.written, staff_y, level), strict=True)
        high = min(_signs_top(column, top) for column, top in under)
        top = min(top, high)
        figured = min(figured, high if beat.written.figure else 0.0)
    figures = figured - SIGN_GAP - FIGURE_ROOM / 2
    if any(beat.written.figure for beat in line.beats):
        top = min(top, figures - FIGURE_ROOM / 2)
    columns = [column for beat in line.beats for column in beat.columns]
    if line.landing:
        columns.append(line.landing[1])
        top = min(top, _landing_stem(line.landing[1]))
    low = max([4.0, *(staff_y(s.voice) + _under(s) for column in columns for s in column.event.strokes)])
    counts = low + COUNT_GAP + capital_height() * COUNT_SIZE
    below = low
    if any(column.word for column in columns):
        below = counts + DESCENT * COUNT_SIZE
    if any(column.hand for column in columns):
        below = counts + HAND_ROW + DESCENT * HAND_SIZE
    return _Heights(level, figures, counts, -top, below)


def _under(stroke: Stroke) -> float:
    """How far a head reaches down, its parentheses too."""
    return extent(signs.PAREN_LEFT)[3] if stroke.kind == GHOST else 0.5


def _landing_stem(column: Column) -> float:
    """Where the landing's stem ends: a chord's joins its heads and goes no further."""
    strokes = column.event.strokes
    if not strokes:
        return 0.0
    high = min(staff_y(stroke.voice) for stroke in strokes)
    return high - HALF_HEAD if len(strokes) > 1 else stem_top(column.event, staff_y)


def _over(column: Column) -> list[str]:
    """The signs over a note, from the nearest on."""
    strokes = column.event.strokes
    found = [signs.ACCENT] if any(stroke.accent for stroke in strokes) else []
    hats = {"open": HAT_OPEN, "half-open": HAT_HALF_OPEN}
    return found + list(dict.fromkeys(hats[stroke.hat] for stroke in strokes if stroke.hat in hats))


def _signs_top(column: Column, top: float) -> float:
    """How high the signs over a column reach."""
    for sign in _over(column):
        top = min(top, 0.0) - SIGN_GAP - (extent(sign)[3] - extent(sign)[1])
    return top


def _paint_line(pen: Pen, line: StaffLine, heights: _Heights) -> None:
    for place in range(5):
        pen.line(0.0, place, line.staff, place, signs.STAFF_LINE, SOFT)
    pen.sign(CLEF_LEFT, 2.0, signs.CLEF)
    for x in line.bars:
        pen.line(x, -signs.STAFF_LINE / 2, x, 4 + signs.STAFF_LINE / 2, signs.BARLINE, INK)
    for beat, xs in zip(line.beats, line.xs, strict=True):
        _paint_beat(pen, beat, xs, heights)
    if line.landing:
        x, column = line.landing
        if column.event.strokes:
            paint_note(pen, x, column.event, staff_y, _landing_stem(column), SOFT)
        _paint_words(pen, column, x, heights.counts)


def _paint_beat(pen: Pen, beat: FillBeat, xs: Sequence[float], heights: _Heights) -> None:
    greys = [SOFT if column.grey else INK for column in beat.columns]
    paint_beat(pen, beat.written, xs, staff_y, heights.level, greys)
    high = tops(beat.written, staff_y, heights.level)
    for column, x, top, role in zip(beat.columns, xs, high, greys, strict=True):
        if not column.event.strokes:
            paint_rest(pen, x, 2.0, column.event, role)
        for sign in _over(column):
            left, upper, right, lower = extent(sign)
            pen.sign(x - (left + right) / 2, min(top, 0.0) - SIGN_GAP - lower, sign, 1.0, role)
            top = min(top, 0.0) - SIGN_GAP - (lower - upper)
        _paint_words(pen, column, x, heights.counts)
    if beat.written.figure:
        paint_figure(pen, beat.written, xs[0] - HALF_HEAD, xs[-1] + HALF_HEAD, heights.figures)


def _paint_words(pen: Pen, column: Column, x: float, baseline: float) -> None:
    """The count, and the hand below it, in the middle under a column."""
    role = SOFT if column.soft else INK
    wide = width_of(column.word, column.style) * COUNT_SIZE
    if column.word:
        pen.words(x - wide / 2, baseline, column.word, COUNT_SIZE, column.style, role, "fill count")
    if column.hand:
        wide = width_of(column.hand) * HAND_SIZE
        pen.words(x - wide / 2, baseline + HAND_ROW, column.hand, HAND_SIZE, REGULAR, SOFT, "sticking")
