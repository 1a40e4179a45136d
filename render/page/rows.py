"""One row of the form, laid out: as boxes beside its name, as boxes below it, or as counted phrases."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from render.page.form import Row
from render.page.lanes import NO_LANES, Lanes, lay_lanes
from render.page.model import Pen
from render.page.notes import Note
from render.page.plan import Plan
from render.page.strips import (
    HEIGHT,
    MOST_ACROSS,
    Stretch,
    Strip,
    across_for,
    bar_width_for,
    lines_of,
    most_gaps,
    paint_strip,
    strip_of,
)  # fmt: skip
from render.page.text import LEADING, flow, height_of, natural_width, paint_lines

NAME_SHARE, MOST_NAME_SHARE = 0.3, 0.42  # of the width for names beside boxes; for a single word of one
NAME_GAP, TIMES_GAP, SIDE_GAP = 0.6, 0.36, 0.06
STRIP_GAP = 0.24  # between two lines of boxes
SIGN_GAP = 0.16
INDENT = 0.9  # of what runs on below a counted row's name
TEXT_SHIFT = (HEIGHT - LEADING) / 2  # brings a line of text to the middle of a box


@dataclass(frozen=True)
class Laid:
    """Something measured: its height, and how to draw it from its upper left corner."""

    height: float
    paint: Callable[[Pen, float, float], object]


@dataclass(frozen=True)
class Geometry:
    """What all rows of a page share: a column's width, the room for names, bars and times, the boxes."""

    width: float
    name_width: float
    bars_width: float
    side_width: float  # names, bars and times together; 0 where names stand above the boxes
    bar_width: float
    counted: bool
    own_line: bool


def geometry_for(rows: Sequence[Row], width: float, plan: Plan) -> Geometry:
    """Measure names and boxes so that every row of the page fits one grid.

    Names stand beside the boxes where their longest word does not take too much of the width.
    """
    name = bars = side = 0.0
    longest = max(row.longest for row in rows)
    if plan.columns == 1 and longest <= MOST_NAME_SHARE * width:
        names, bars, times = (max(row.widths[place] for row in rows) for place in range(3))
        name = min(names, max(NAME_SHARE * width, longest)) + NAME_GAP
        side = name + bars + (times + TIMES_GAP if times else 0.0) + NAME_GAP
    gaps = max(most_gaps(row.section.phrases) for row in rows)
    bar_width = bar_width_for(width - side, gaps)
    return Geometry(width, name, bars, side, bar_width, plan.counted, plan.own_line)


def least_height(row: Row, geometry: Geometry) -> float:
    """A row is no lower than this: a look that spares laying out what cannot fit."""
    above = LEADING + SIGN_GAP if row.heavy else 0.0
    if geometry.counted:
        return above + LEADING * max(1, int(row.counted_width / geometry.width))
    lines = len(lines_of(row.section.phrases))
    boxes = lines * HEIGHT + (lines - 1) * STRIP_GAP
    if geometry.own_line:
        room = geometry.width - geometry.side_width
        boxes += LEADING * -(-row.running_width // room) if row.running_width else 0.0
    else:
        boxes += LEADING * row.noted_lines
    if not geometry.side_width:
        return above + LEADING + boxes
    return above + max(boxes, LEADING * (2 if row.side_pieces or (row.signs and not row.heavy) else 1))


def lay_row(row: Row, geometry: Geometry) -> Laid:
    """One row, measured."""
    if geometry.counted:
        return _with_signs(row, geometry, _counted(row, geometry))
    boxes = _boxes(row, geometry)
    if geometry.side_width:
        return _with_signs(row, geometry, _beside(row, geometry, boxes))
    return _with_signs(row, geometry, _below(row, geometry, boxes))


def _with_signs(row: Row, geometry: Geometry, body: Laid) -> Laid:
    """A change of feel stands above the row, from the page's edge, with all that changes with it."""
    if not row.signs or not _signs_above(row, geometry):
        return body
    lines = flow(row.signs, geometry.width)
    high = height_of(lines) + SIGN_GAP

    def paint(pen: Pen, x: float, y: float) -> None:
        paint_lines(pen, x, y, lines)
        body.paint(pen, x, y + high)

    return Laid(high + body.height, paint)


def _signs_above(row: Row, geometry: Geometry) -> bool:
    """A change of feel does; so do lesser changes that find no room below the name."""
    beside = geometry.side_width and not geometry.counted
    return row.heavy or bool(beside and natural_width(row.signs) > geometry.side_width - NAME_GAP)


def _counted(row: Row, geometry: Geometry) -> Laid:
    lines = flow(row.counted_pieces, geometry.width - INDENT)

    def paint(pen: Pen, x: float, y: float) -> None:
        y = paint_lines(pen, x, y, lines[:1])
        paint_lines(pen, x + INDENT, y, lines[1:])

    return Laid(height_of(lines), paint)


def _beside(row: Row, geometry: Geometry, boxes: Laid) -> Laid:
    """Name, bars and times as in a table, the boxes at their right; lesser things below the name."""
    names = flow(row.name_pieces, geometry.name_width - NAME_GAP)
    bars, times = row.bars_pieces, row.times_pieces
    beside = () if _signs_above(row, geometry) else row.signs
    side = flow([*beside, *row.side_pieces], geometry.side_width - NAME_GAP)
    high = TEXT_SHIFT + height_of(names)

    def paint(pen: Pen, x: float, y: float) -> None:
        top = y + TEXT_SHIFT
        paint_lines(pen, x, top, names)
        right = x + geometry.name_width + geometry.bars_width
        paint_lines(pen, right - natural_width(bars), top, flow(bars, geometry.width))
        paint_lines(pen, right + TIMES_GAP, top, flow(times, geometry.width))
        paint_lines(pen, x, y + high + SIDE_GAP, side)
        boxes.paint(pen, x + geometry.side_width, y)

    return Laid(max(boxes.height, high + (SIDE_GAP + height_of(side) if side else 0.0)), paint)


def _below(row: Row, geometry: Geometry, boxes: Laid) -> Laid:
    lines = flow(row.title_pieces, geometry.width)
    high = height_of(lines) + 0.08

    def paint(pen: Pen, x: float, y: float) -> None:
        paint_lines(pen, x, y, lines)
        boxes.paint(pen, x, y + high)

    return Laid(high + boxes.height, paint)


def _boxes(row: Row, geometry: Geometry) -> Laid:
    """The row's boxes, line by line, with the words below each."""
    across = across_for(geometry.bar_width, row.least_bar)
    if (
        across == MOST_ACROSS
        and row.section.bars <= MOST_ACROSS // 2
        and any(m.timed for m in row.marks.values())
    ):
        across //= 2  # a short section with places to be read exactly gets larger boxes for nothing
    room = geometry.width - geometry.side_width
    strips = [strip_of(line, geometry.bar_width, across) for line in lines_of(row.section.phrases, across)]
    notes = () if geometry.own_line else row.hung_notes
    lines = [(strip, _lanes_of(strip, notes, room, strip is strips[-1])) for strip in strips]
    running = flow(row.running_notes, room) if geometry.own_line else []
    height = sum(HEIGHT + lanes.height for _, lanes in lines) + STRIP_GAP * (len(lines) - 1)
    height += height_of(running) + (0.06 if running else 0.0)

    shown = Stretch(
        row.marks, row.section.odd_bars.keys(), *((1, row.section.bars) if row.repeated else (0, 0))
    )

    def paint(pen: Pen, x: float, y: float) -> None:
        for strip, lanes in lines:
            paint_strip(pen, x, y, strip, shown)
            lanes.paint(pen, x, y + HEIGHT)
            y += HEIGHT + lanes.height + STRIP_GAP
        paint_lines(pen, x, y - STRIP_GAP + 0.06, running)

    return Laid(height, paint)


def _lanes_of(strip: Strip, notes: Sequence[Note], room: float, last: bool) -> Lanes:
    if not notes:
        return NO_LANES
    here = [
        (strip.x_of(note.bar, note.at), note) for note in notes if note.bar in strip.lefts and not note.exit
    ]
    here += [(strip.right, note) for note in notes if note.exit and last]
    return lay_lanes(here, room, strip.right)
