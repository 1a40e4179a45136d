"""The set sheet: every song of the gig on one page on the floor, readable standing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import sqrt

from render.page.fonts import BOLD, capital_height
from render.page.model import Laid, Page, Pen
from render.page.packing import in_columns, page_size
from render.page.setlines import STYLES, Ruled, Shared, Style, lay_song, shared_by, title_lines
from render.page.setwords import SongWords, break_pieces, head_pieces, set_pieces, songs_of
from render.page.sheet import Options
from render.page.text import Piece, flow, height_of, natural_width, paint_lines, words
from render.page.theme import ESSENTIAL_MINUTES, INK, SOFT, points_for
from setlists.gig import Gig, GigBreak

DISTANCE = 1.7  # metres from a standing reader's eyes to the floor
MARGIN = 18.0  # points: 6 mm
MOST_SCALE = 1.45
READS, SMALLEST = 1.0, 0.01  # the scale at which everything reads; the smallest that is tried
EXACT = 0.008  # bisection stops here: a sixth of a point
LOOSE = 0.55  # most room between lines where there is some to spare
COLUMN_GAP = 0.7  # between columns of songs
RULE, RULE_DOWN = 0.03, 0.06  # width of the line over a song, and how far it lies inside the song's room


@dataclass(frozen=True)
class _Sheet:
    """The sheet laid out: head, and lines in columns."""

    head: Laid
    columns: tuple[tuple[Laid, ...], ...]


class _Fitter:
    """Lays a gig out at any scale, in one column or two, in any style."""

    def __init__(self, gig: Gig, targets: Mapping[int, str], options: Options) -> None:
        self.gig = gig
        self.lines = songs_of(gig, targets)
        self.size = page_size(options)
        self.unit = points_for(ESSENTIAL_MINUTES, DISTANCE, capital_height())

    def room(self, scale: float) -> tuple[float, float]:
        """Width and height inside the margins, in units."""
        k = self.unit * scale
        return (self.size[0] - 2 * MARGIN) / k, (self.size[1] - 2 * MARGIN) / k

    def best(self) -> tuple[float, int, Style]:
        """Scale, columns and style: key and count-in as large as all the rest can still be read."""
        for style in STYLES:
            for columns in (1, 2):
                fits = partial(self.fits, columns, style)
                if fits(READS):
                    return largest(fits, READS, MOST_SCALE), columns, style
        found = (SMALLEST, 1, STYLES[-1])
        for columns in (1, 2):
            fits = partial(self.fits, columns, STYLES[-1])
            if fits(found[0]):
                found = (largest(fits, found[0], READS), columns, STYLES[-1])
        return found

    def fits(self, columns: int, style: Style, scale: float) -> bool:
        return self.lay(columns, style, scale) is not None

    def lay(self, count: int, style: Style, scale: float) -> _Sheet | None:
        """Everything measured, None where it does not fit."""
        width, height = self.room(scale)
        column = (width - COLUMN_GAP * (count - 1)) / count
        shared = shared_by(tuple(self.lines.values()), style, scale)
        if any(column - shared.taken(line) < 1 for line in self.lines.values()):
            return None
        head = _head(self.gig, width)
        if shared.least * len(self.lines) > (height - head.height) * count:
            return None
        laid: list[Laid] = []
        for part in self.gig.parts:
            if isinstance(part, GigBreak):
                laid.append(_told(break_pieces(part), column, 0.03))
                continue
            lines = [self.lines[song.number] for song in part.songs]
            if scale >= READS and not self.whole(lines, shared, column, scale):
                return None
            songs = [lay_song(line, shared, column, scale) for line in lines]
            laid += [_together([_told(set_pieces(part), column, 0.06), *songs[:1]]), *songs[1:]]
        columns = in_columns(laid, [line.height for line in laid], count, height - head.height, gap=0.0)
        return None if columns is None else _Sheet(head, columns)

    def whole(self, songs: Sequence[SongWords], shared: Shared, column: float, scale: float) -> bool:
        """True where no word of a title is broken, nor any title only because all is larger."""
        at_least = shared_by(tuple(self.lines.values()), shared.style, READS)
        for line in songs:
            lines, _ = title_lines(line, column - shared.taken(line), scale)
            title = words(line.song.title, "title", BOLD)
            larger = scale > READS and natural_width(title) <= column * scale - at_least.taken(line)
            if len(lines) > 2 or sum(map(len, lines)) != len(title) or (len(lines) > 1 and larger):
                return False
        return True


def set_sheet(gig: Gig, targets: Mapping[int, str], options: Options, name: str) -> tuple[Page, float]:
    """The sheet and its scale; ``targets`` gives songs, by number, the page that they lead to."""
    fitter = _Fitter(gig, targets, options)
    scale, columns, style = fitter.best()
    sheet = fitter.lay(columns, style, scale)
    assert sheet is not None
    page = Page(name, gig.setlist.gig, *fitter.size)
    _paint(Pen(page, fitter.unit * scale, MARGIN, MARGIN), sheet, *fitter.room(scale))
    return page, scale


def largest(fits: Callable[[float], bool], low: float, high: float) -> float:
    """The largest scale that fits, by bisection; ``low`` is known to fit.

    >>> round(largest(lambda scale: scale <= 1.3, 1.0, 2.0), 1)
    1.3
    """
    if fits(high):
        return high
    while high > low * (1 + EXACT):
        middle = sqrt(low * high)
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _head(gig: Gig, width: float) -> Laid:
    lines = flow(head_pieces(gig), width)

    def paint(pen: Pen, x: float, y: float) -> None:
        under = paint_lines(pen, x, y, lines)
        pen.rect(x, under + 0.06, width, 0.07, INK)

    return Laid(height_of(lines) + 0.16, paint)


def _told(pieces: Sequence[Piece], width: float, above: float) -> Laid:
    """A line or more of what is told of a set or a break."""
    lines = flow(pieces, width)
    return Laid(height_of(lines) + above, lambda pen, x, y: paint_lines(pen, x, y + above, lines))


def _together(laid: Sequence[Laid]) -> Laid:
    """A set's name and its first song, never parted."""

    def paint(pen: Pen, x: float, y: float) -> None:
        for each in laid:
            each.paint(pen, x, y)
            y += each.height

    return Laid(sum(each.height for each in laid), paint)


def _paint(pen: Pen, sheet: _Sheet, width: float, height: float) -> None:
    sheet.head.paint(pen, 0.0, 0.0)
    count = len(sheet.columns)
    column = (width - COLUMN_GAP * (count - 1)) / count
    for place, lines in enumerate(sheet.columns):
        spare = height - sheet.head.height - sum(line.height for line in lines)
        gap = min(LOOSE, spare / max(1, len(lines)))
        x, y = place * (column + COLUMN_GAP), sheet.head.height + gap / 2
        for line in lines:
            if isinstance(line, Ruled) and line is not lines[0]:
                over = y - gap / 2 + RULE_DOWN
                pen.line(x + line.left, over, x + column, over, RULE, SOFT)
            line.paint(pen, x, y)
            y += line.height + gap
