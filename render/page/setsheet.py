"""The set sheet: every song of the gig on one page on the floor, readable standing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property, partial

from charts.timing import Meter
from render.page.fonts import BOLD, REGULAR, capital_height, width_of
from render.page.model import Page, Pen
from render.page.packing import READS, SMALLEST, in_columns, largest, page_size
from render.page.picture import WIDTH, Picture, picture_of
from render.page.rows import Laid
from render.page.sheet import Options, key_in_signs, spoken_count
from render.page.text import BASELINE, LEADING, Placed, flow, height_of, natural_width, paint_lines, words
from render.page.theme import ESSENTIAL_MINUTES, INK, SOFT, points_for
from render.terminal.words import clock, number
from setlists.gig import Gig, GigBreak, GigSet, GigSong
from setlists.times import length

DISTANCE = 1.7  # metres from a standing reader's eyes to the floor
MARGIN = 22.0  # points
MOST_SCALE = 1.2
PITCH = 1.06  # least height of a song's line, in units of its text
ASIDES = (1.0, 0.84, 0.68, 0.46)  # sizes of key over count-in: the first at which all the rest reads
ASIDE_PITCH, ASIDE_LIFT = 1.03, 0.97  # height of one of the two, and the upper's distance from the lower
LOOSE = 0.22  # most room between lines where there is some to spare
HEADING, TOLD = 0.62, 0.46  # names of sets; times beside them
COLUMN_GAP, GAP = 0.7, 0.24  # between columns of songs, between items of a line
PICTURE, NUMBER = 0.58, 0.55  # sizes of the feel's picture and of the song's number
RULE, ARROW = 0.03, 0.16  # width of the line under a song; half an arrow's head
LONGEST_COUNT = 7  # letters; a longer count is given in bars


@dataclass(frozen=True)
class _Line:
    """What one song's line says."""

    song: GigSong
    target: str

    @cached_property
    def tempo(self) -> str:
        return number(self.song.tempo) if self.song.tempo is not None else ""

    @cached_property
    def picture(self) -> Picture | None:
        """The feel's picture, all of one width."""
        song = self.song
        if song.feel is None or song.tempo is None:
            return None
        meter = song.song.form[0].meter_of(1) if song.song else Meter(4, 4)
        return replace(picture_of(song.feel, meter.beats[0], song.tempo), width=WIDTH)

    @cached_property
    def asides(self) -> tuple[tuple[str, str, str], tuple[str, str, str]]:
        """Key over count-in: text, style, class."""
        song = self.song
        counted = spoken_count(song.song) if song.song else str(song.count_in or "")
        if song.song and len(counted) > LONGEST_COUNT:
            counted = str(song.song.count_in)
        key = key_in_signs(song.key).replace(" minor", "m").replace(" major", "")
        return (key, BOLD, "key"), (counted, REGULAR, "count-in")


@dataclass(frozen=True)
class _Widths:
    """What all lines of the sheet share, in units: room for number, tempo, picture, key and count-in."""

    number: float
    tempo: float
    picture: float
    aside: float
    aside_size: float

    @property
    def taken(self) -> float:
        return self.number + sum(width + GAP for width in (self.tempo, self.picture, self.aside) if width)

    @property
    def pitch(self) -> float:
        return max(PITCH, 2 * ASIDE_PITCH * self.aside_size if self.aside else 0.0)


@dataclass(frozen=True)
class _Sheet:
    """The sheet laid out: head, and lines in columns."""

    head: Laid
    columns: tuple[tuple[Laid, ...], ...]


class _Fitter:
    """Lays a gig out at any scale, in one column or two, with key and count-in at any size."""

    def __init__(self, gig: Gig, targets: Mapping[int, str], options: Options) -> None:
        self.gig = gig
        self.lines = {song.number: _Line(song, targets.get(song.number, "")) for song in gig.songs}
        self.size = page_size(options)
        self.unit = points_for(ESSENTIAL_MINUTES, DISTANCE, capital_height())

    def room(self, scale: float) -> tuple[float, float]:
        """Width and height inside the margins, in units."""
        k = self.unit * scale
        return (self.size[0] - 2 * MARGIN) / k, (self.size[1] - 2 * MARGIN) / k

    def best(self) -> tuple[float, int, float]:
        """Scale, columns, size of key and count-in: as large as all the rest can still be read."""
        for aside in ASIDES:
            for columns in (1, 2):
                fits = partial(self.fits, columns, aside)
                if fits(READS):
                    return largest(fits, READS, MOST_SCALE), columns, aside
        found = (SMALLEST, 1, ASIDES[-1])
        for columns in (1, 2):
            fits = partial(self.fits, columns, ASIDES[-1])
            if fits(found[0]):
                found = (largest(fits, found[0], READS), columns, ASIDES[-1])
        return found

    def fits(self, columns: int, aside: float, scale: float) -> bool:
        return self.lay(columns, aside, scale) is not None

    def lay(self, count: int, aside: float, scale: float) -> _Sheet | None:
        """Everything measured, None where it does not fit."""
        width, height = self.room(scale)
        column = (width - COLUMN_GAP * (count - 1)) / count
        shared = self.widths(aside, scale)
        if column - shared.taken < 1:
            return None
        head = _head(self.gig, width)
        laid: list[Laid] = []
        for part in self.gig.parts:
            if isinstance(part, GigBreak):
                laid.append(_between(f"break {length(part.seconds)}", column))
                continue
            lines = [self.lines[song.number] for song in part.songs]
            if scale >= READS and not all(self.whole(line, shared, column, scale) for line in lines):
                return None
            songs = [_song_line(line, shared, column, scale) for line in lines]
            laid += [_together([_heading(part, column), *songs[:1]]), *songs[1:]]
        columns = in_columns(laid, count, height - head.height, gap=0.0)
        return None if columns is None else _Sheet(head, columns)

    def whole(self, line: _Line, shared: _Widths, column: float, scale: float) -> bool:
        """True where no word of a title is broken, nor any title only because all is larger."""
        lines, _ = _title(line, column - shared.taken, scale)
        title = line.song.title.split()
        if len(lines) > 1 and scale > READS:
            room = column * scale - self.widths(shared.aside_size, READS).taken
            if natural_width(words(" ".join(title), "title", BOLD)) <= room:
                return False
        return len(lines) <= 2 and sum(map(len, lines)) == len(title)

    def widths(self, aside: float, scale: float) -> _Widths:
        """Shared widths; key and count-in need to be no larger than reads."""
        aside = min(aside, max(ASIDES[-1], 1.0 / scale))
        lines = self.lines.values()
        numbers = max((width_of(str(line.song.number), BOLD) for line in lines), default=0.0)
        asides = [width_of(text, style) for line in lines for text, style, _ in line.asides]
        return _Widths(
            numbers * NUMBER + GAP,
            max((width_of(line.tempo, BOLD) for line in lines), default=0.0),
            WIDTH * PICTURE if any(line.picture for line in lines) else 0.0,
            max(asides, default=0.0) * aside,
            aside,
        )


def set_sheet(gig: Gig, targets: Mapping[int, str], options: Options, name: str) -> tuple[Page, float]:
    """The sheet and its scale; ``targets`` gives songs, by number, the page that they lead to."""
    fitter = _Fitter(gig, targets, options)
    scale, columns, aside = fitter.best()
    sheet = fitter.lay(columns, aside, scale)
    assert sheet is not None
    page = Page(name, gig.setlist.gig, *fitter.size)
    _paint(Pen(page, fitter.unit * scale, MARGIN, MARGIN), sheet, *fitter.room(scale))
    return page, scale


def _head(gig: Gig, width: float) -> Laid:
    told = [gig.setlist.date.isoformat() if gig.setlist.date else "", _time(gig.starts_at)]
    pieces = words(gig.setlist.gig, "set", BOLD, size=0.72)
    pieces += words(" · ".join(text for text in told if text), "aside", size=TOLD, role=SOFT, space=0.5)
    lines = flow(pieces, width)

    def paint(pen: Pen, x: float, y: float) -> None:
        under = paint_lines(pen, x, y, lines)
        pen.rect(x, under + 0.06, width, 0.07, INK)

    return Laid(height_of(lines) + 0.2, paint)


def _time(when: datetime | None) -> str:
    return when.strftime("%H:%M") if when else ""


def _heading(part: GigSet, width: float) -> Laid:
    told = " · ".join(text for text in (_time(part.starts_at), clock(part.seconds)) if text)
    pieces = words(part.name or "Set", "set", BOLD, size=HEADING)
    pieces += words(told, "aside", size=TOLD, role=SOFT, space=0.45)
    lines = flow(pieces, width)
    return Laid(height_of(lines) + 0.06, lambda pen, x, y: paint_lines(pen, x, y + 0.06, lines))


def _between(text: str, width: float) -> Laid:
    lines = flow(words(text, "aside", size=TOLD, role=SOFT), width)
    return Laid(height_of(lines) + 0.1, lambda pen, x, y: paint_lines(pen, x, y + 0.07, lines))


def _together(laid: Sequence[Laid]) -> Laid:
    """A set's name and its first song, never parted."""

    def paint(pen: Pen, x: float, y: float) -> None:
        for each in laid:
            each.paint(pen, x, y)
            y += each.height

    return Laid(sum(each.height for each in laid), paint)


def _title(line: _Line, room: float, scale: float) -> tuple[list[list[Placed]], float]:
    """A title on one line where it can be, no smaller than reads; its lines and their size."""
    title = line.song.title
    natural = natural_width(words(title, "title", BOLD)) or 1.0
    size = max(min(1.0, 1.0 / scale), min(1.0, (room - 1e-6) / natural))
    return flow(words(title, "title", BOLD, size=size), room), size


def _song_line(line: _Line, shared: _Widths, width: float, scale: float) -> Laid:
    """Number, title as large as its line allows, tempo, feel, key over count-in."""
    room = width - shared.taken
    lines, size = _title(line, room, scale)
    titled = height_of(lines) - (LEADING - PITCH) * size
    high = max(shared.pitch, titled)

    def paint(pen: Pen, x: float, y: float) -> None:
        top = y + (high - max(PITCH, titled)) / 2
        base = top + BASELINE
        _paint_number(pen, x, base, line, shared)
        paint_lines(pen, x + shared.number, base - BASELINE * size, lines)
        middle = y + (high if titled <= shared.pitch else shared.pitch) / 2
        _paint_right(pen, x + width, base, middle, line, shared)
        pen.line(x + shared.number, y + high - RULE, x + width, y + high - RULE, RULE, SOFT)
        if line.target:
            pen.link(x, y, width, high, line.target)

    return Laid(high, paint)


def _paint_number(pen: Pen, x: float, base: float, line: _Line, shared: _Widths) -> None:
    """The song's number; over an arrow down where the next song follows without a gap."""
    text, right = str(line.song.number), x + shared.number - GAP
    lift, size = (0.4, 0.85 * NUMBER) if line.song.segue else (0.0, NUMBER)
    pen.words(right - width_of(text, BOLD) * size, base - lift, text, size, BOLD, SOFT, "aside")
    if line.song.segue:
        middle = right - width_of("0", BOLD) * size / 2
        pen.rect(middle - 0.045, base - 0.34, 0.09, 0.2)
        pen.shape(((middle - ARROW, base - 0.16), (middle + ARROW, base - 0.16), (middle, base + 0.04)))


def _paint_right(pen: Pen, right: float, base: float, middle: float, line: _Line, shared: _Widths) -> None:
    """From the right edge inwards: key over count-in, the feel's picture, the tempo."""
    left = right - shared.aside
    lift = ASIDE_LIFT * shared.aside_size
    lower = middle + (lift + capital_height() * shared.aside_size) / 2
    for (text, style, kind), up in zip(line.asides, (lift, 0.0), strict=True):
        if text:
            pen.words(left, lower - up, text, shared.aside_size, style, INK, kind)
    right = left - GAP if shared.aside else right
    if line.picture:
        line.picture.paint(pen, right - shared.picture, base - 0.13, INK, PICTURE)
    right -= shared.picture + GAP if shared.picture else 0.0
    if line.tempo:
        pen.words(right - width_of(line.tempo, BOLD), base, line.tempo, 1.0, BOLD, INK, "tempo")


def _paint(pen: Pen, sheet: _Sheet, width: float, height: float) -> None:
    sheet.head.paint(pen, 0.0, 0.0)
    count = len(sheet.columns)
    column = (width - COLUMN_GAP * (count - 1)) / count
    for place, lines in enumerate(sheet.columns):
        spare = height - sheet.head.height - sum(line.height for line in lines)
        gap = min(LOOSE, spare / max(1, len(lines)))
        y = sheet.head.height + gap / 2
        for line in lines:
            line.paint(pen, place * (column + COLUMN_GAP), y)
            y += line.height + gap
