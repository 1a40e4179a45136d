"""The set sheet: every song of the gig on one page on the floor, readable standing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product
from math import sqrt

from render.page.fonts import capital_height
from render.page.model import Laid, Page, Pen
from render.page.packing import in_columns, page_size
from render.page.setlines import FORMS, Form, lay_song, least_height, scaled, shared_by
from render.page.setwords import SongWords, break_pieces, head_pieces, set_pieces
from render.page.sheet import Options
from render.page.text import Piece, Placed, flow, height_of, natural_width, paint_lines
from render.page.theme import INK, SOFT, points_for
from setlists.gig import Gig, GigBreak

DISTANCE = 1.7  # metres from a standing reader's eyes to the floor
MINUTES = 14.0  # of arc for title, tempo and key at scale 1; feel and count-in have 9
MARGIN = 18.0  # points: 6 mm
READS, SMALLEST = 1.0, 0.01  # the scale at which everything reads; the smallest that is tried
EXACT = 0.008  # bisection stops here: a sixth of a point
MOST_SCALE, BETTER = 1.6, 1.02  # what gains less than this is not worth another form
LOOSE = 0.5  # most room between lines where there is some to spare
COLUMN_GAP = 0.7  # between columns of songs
SMALLER = 0.75  # how far what is told of the gig or of a set shrinks to stay on one line
TOLD_ROOM = 0.06  # over what is told of a set
RULE = 0.03  # width of the line over a song


@dataclass(frozen=True)
class _Song(Laid):
    """A song's line: ``joined`` to the one above where that one leads into it, else with a rule over it."""

    joined: bool = False


@dataclass(frozen=True)
class _Sheet:
    """The sheet laid out: head, and lines in columns."""

    head: Laid
    columns: tuple[tuple[Laid, ...], ...]


class _Fitter:
    """Lays a gig out at any scale, in one column or two, in any form; ``foot`` points are kept free below."""

    def __init__(
        self, gig: Gig, lines: Mapping[int, SongWords], mark: str, options: Options, foot: float
    ) -> None:
        self.gig, self.lines, self.mark = gig, lines, mark
        self.size, self.foot = page_size(options), foot
        self.unit = points_for(MINUTES, DISTANCE, capital_height())

    def room(self, scale: float) -> tuple[float, float]:
        """Width and height inside the margins, over the foot, in units."""
        k = self.unit * scale
        return (self.size[0] - 2 * MARGIN) / k, (self.size[1] - 2 * MARGIN - self.foot) / k

    def best(self) -> tuple[float, int, Form]:
        """The largest scale of the first forms that read, one column before two; else of any."""
        found = (SMALLEST, 1, FORMS[-1][-1])
        for forms, columns in product(FORMS, (1, 2)):
            for form in forms:
                fits = partial(self.fits, columns, form)
                floor = found[0] * BETTER
                if floor < MOST_SCALE and fits(floor):
                    found = (largest(fits, floor, MOST_SCALE), columns, form)
            if found[0] >= READS:
                break
        return found

    def fits(self, columns: int, form: Form, scale: float) -> bool:
        return self.lay(columns, form, scale) is not None

    def lay(self, count: int, form: Form, scale: float) -> _Sheet | None:
        """Everything measured, None where it does not fit."""
        width, height = self.room(scale)
        column = (width - COLUMN_GAP * (count - 1)) / count
        shared = shared_by(list(self.lines.values()), form, column)
        if shared.title < min(1.0, READS / scale):
            return None
        head = _head(self.gig, self.mark, width)
        if least_height(form) * len(self.lines) > (height - head.height) * count:
            return None  # before every line is laid out, which takes longest
        lay = partial(lay_song, shared=shared, width=column)
        least = max((lay(line).height for line in self.lines.values()), default=0.0) if form.even else 0.0
        laid: list[Laid] = []
        told: list[Piece] = []  # of a break, on the line of the set after it
        for part in self.gig.parts:
            if isinstance(part, GigBreak):
                told += break_pieces(part)
                continue
            songs: list[Laid] = []
            for song, last in zip(part.songs, (None, *part.songs), strict=False):
                one = lay(self.lines[song.number], least=least)
                songs.append(_Song(one.height, one.paint, last is not None and last.segue))
            laid += [_together([_told([*set_pieces(part), *told], column), *songs[:1]]), *songs[1:]]
            told = []
        laid += [_told(told, column)] if told else []
        columns = in_columns(laid, [each.height for each in laid], count, height - head.height, 0.0)
        return None if columns is None else _Sheet(head, columns)


def largest(fits: Callable[[float], bool], low: float, high: float) -> float:
    """The largest scale that fits, by bisection; ``low`` is known to fit.

    >>> round(largest(lambda scale: scale <= 1.3, 1.0, 2.0), 1)
    1.3
    """
    if fits(high):
        return high
    while high > low * (1 + EXACT):
        middle = sqrt(low * high)
        if fits(middle):
            low = middle
        else:
            high = middle
    return low


def set_sheet(
    gig: Gig, lines: Mapping[int, SongWords], mark: str, options: Options, name: str, foot: float = 0.0
) -> tuple[Page, float]:
    """The sheet and its scale; ``foot`` points at its foot are left free."""
    fitter = _Fitter(gig, lines, mark, options, foot)
    scale, columns, form = fitter.best()
    sheet = fitter.lay(columns, form, scale)
    assert sheet is not None, "a page holds anything at a hundredth of its size"
    page = Page(name, gig.setlist.gig, *fitter.size)
    _paint(Pen(page, fitter.unit * scale, MARGIN, MARGIN), sheet, *fitter.room(scale))
    return page, scale


def _head(gig: Gig, mark: str, width: float) -> Laid:
    lines = _on_one_line(head_pieces(gig, mark), width)

    def paint(pen: Pen, x: float, y: float) -> None:
        under = paint_lines(pen, x, y, lines)
        pen.rect(x, under + 0.04, width, 0.07, INK)

    return Laid(height_of(lines) + 0.14, paint)


def _told(pieces: Sequence[Piece], width: float) -> Laid:
    """What is told of a set, and of the break before it."""
    lines = _on_one_line(pieces, width)
    return Laid(height_of(lines) + TOLD_ROOM, lambda pen, x, y: paint_lines(pen, x, y + TOLD_ROOM, lines))


def _on_one_line(pieces: Sequence[Piece], width: float) -> list[list[Placed]]:
    by = min(1.0, (width - 1e-6) / natural_width(pieces))
    return flow(scaled(pieces, by) if by >= SMALLER else pieces, width)


def _together(laid: Sequence[Laid]) -> Laid:
    """A set's name and its first song, never in two columns."""

    def paint(pen: Pen, x: float, y: float) -> None:
        for each in laid:
            each.paint(pen, x, y)
            y += each.height

    return Laid(sum(each.height for each in laid), paint)


def _paint(pen: Pen, sheet: _Sheet, width: float, height: float) -> None:
    sheet.head.paint(pen, 0.0, 0.0)
    count = len(sheet.columns)
    column = (width - COLUMN_GAP * (count - 1)) / count
    spare = [height - sheet.head.height - sum(line.height for line in lines) for lines in sheet.columns]
    gap = min(LOOSE, *(free / max(1, len(on)) for free, on in zip(spare, sheet.columns, strict=True)))
    for place, lines in enumerate(sheet.columns):
        x, y = place * (column + COLUMN_GAP), sheet.head.height + gap / 2
        for line in lines:
            if isinstance(line, _Song) and not line.joined and line is not lines[0]:
                pen.line(x, y - gap / 2, x + column, y - gap / 2, RULE, SOFT)
            line.paint(pen, x, y)
            y += line.height + gap
