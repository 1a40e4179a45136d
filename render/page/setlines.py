"""One song's line on the set sheet, laid out: what all lines share, and the line itself.

A line has the number at the left, then the title, then tempo and key. Feel, meter and count-in are under the
title, or over one another at the right edge; what only this song has comes where there is room, else below.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from render.page.fonts import BOLD, width_of
from render.page.model import Laid, Pen
from render.page.setwords import ASIDE, LEAST_WORDS, WORDS, SongWords
from render.page.text import Piece, Placed, flow, line_width, natural_width, paint_line, words
from render.page.theme import ON_SIGN, SIGN, SOFT

RISE, LINE = 0.75, 0.97  # from a line's top to its baseline, and its height, in units of its size
PAD = 0.04  # over and under all of a song
GAP, EXTRA_GAP = 0.3, 0.6  # between columns; before what is extra
NUMBER, AT = 0.5, 0.34  # sizes of a song's number and of its start
NUMBER_LIFT, AT_DROP = 0.2, 0.38  # of the number over the title's line, of the start under the number
SMALLEST = 0.8  # how far what is extra may shrink to stay on its line
WIDEST = 0.3  # most of a line for feel and count-in at the right; longer ones shrink
MOST_LINES = 12  # of one title
LONG_TITLE = 11.0  # ems; a longer one shrinks alone
GROUND_TOP, GROUND = 0.77, 0.88  # of the ground under what is new tonight: over the baseline, in all


@dataclass(frozen=True)
class Form:
    """Where a song's words and figures are, and how large feel and count-in are beside them."""

    beside: bool = False  # feel over count-in at the right edge, not under the title
    low: bool = False  # tempo and key on the second line, not on the title's
    even: bool = True  # every song is as high as the highest
    small: float = 1.0

    @property
    def words(self) -> float:
        """Size of feel, meter and count-in."""
        return WORDS * self.small


# forms that are as good as one another, the best first
FORMS = tuple(
    tuple(Form(beside, low, even, small) for beside, low in ((False, False), (True, False), (False, True)))
    for small in (1.0, LEAST_WORDS / WORDS)
    for even in (True, False)
)


@dataclass(frozen=True)
class Shared:
    """Widths of what all lines of the sheet share, and where they have it."""

    form: Form
    number: float
    tempo: float
    key: float
    side: float  # feel and count-in at the right edge
    title: float = 1.0  # size of all titles but those that are longer than the others

    @property
    def facts(self) -> float:
        """Width of tempo and key with the room before them."""
        return self.tempo + self.key

    @property
    def taken(self) -> float:
        """What is on a title's line beside it."""
        return self.number + self.side + (0.0 if self.form.low else self.facts)


def shared_by(lines: Sequence[SongWords], form: Form, width: float) -> Shared:
    """Measure what all lines share."""
    numbers = (width_of(str(line.song.number), BOLD) * NUMBER for line in lines)
    starts = (width_of(line.at) * AT for line in lines)
    sides = (max(map(natural_width, (line.feel, line.spoken))) * form.small for line in lines)
    found = Shared(
        form,
        _widest((*numbers, *starts)),
        _widest(natural_width(line.tempo) for line in lines),
        _widest(natural_width(line.key) for line in lines),
        min(_widest(sides), WIDEST * width) if form.beside else 0.0,
    )
    longest = max((width_of(line.song.title, BOLD) for line in lines), default=0.0)
    room = (width - found.taken - 1e-6) / min(max(longest, 1.0), LONG_TITLE)
    return replace(found, title=min(1.0, room))


def _widest(widths: Iterable[float]) -> float:
    """The widest with the room beside it; nothing where there is none."""
    found = max(widths, default=0.0)
    return found + GAP if found else 0.0


def title_lines(title: str, room: float, most: float) -> tuple[list[list[Placed]], float]:
    """A title on one line, smaller where it must be; one of more than twice the room on several."""
    natural = natural_width(words(title, "title", BOLD)) or 1.0
    if room >= natural / 2:
        size = min(most, (room - 1e-6) / natural)
        return flow(words(title, "title", BOLD, size=size), room), size
    for count in range(2, MOST_LINES):
        lines = flow(words(title, "title", BOLD, size=1 / count), room)
        if len(lines) <= count:
            break
    return lines, 1 / count


def least_height(form: Form) -> float:
    """No song is lower than this."""
    lower = LINE if form.low else LINE * form.words
    return 2 * PAD + (2 * lower if form.beside else LINE + lower)


def lay_song(line: SongWords, shared: Shared, width: float, least: float = 0.0) -> Laid:
    """A song's line, at least so high."""
    form, left, right, room = shared.form, shared.number, width - shared.side, width - shared.taken
    lower = right - left - (shared.facts if form.low else 0.0)
    title, size = title_lines(line.song.title, room, shared.title)
    second = [] if form.beside else _in_a_row(line, lower, form.small)
    extras = list(line.extras)
    for placed, free in ((second, 0.0 if form.beside else lower), (title[0], room)):
        extras = _after(placed, extras, free) if placed is second or len(title) == 1 else extras
    base, upper = PAD + RISE, max(LINE, len(title) * LINE * size)
    first = base if len(title) == 1 else PAD + RISE * size
    under = PAD + upper + (0.0 if form.beside else LINE if form.low else LINE * form.words)
    own = flow([piece for extra in extras for piece in extra], right - left)
    stack = 2 * LINE * form.words if form.beside else 0.0
    high = max(under + len(own) * LINE * ASIDE + PAD, stack + 2 * PAD, least)

    def paint(pen: Pen, x: float, y: float) -> None:
        low = y + PAD + upper + (RISE if form.low else RISE * form.words)
        _paint_number(pen, x + left - GAP, y + base - NUMBER_LIFT, line)
        for place, one in enumerate(title):
            paint_line(pen, x + left, y + first + place * LINE * size, one)
        _paint_line(pen, x + left, low, second)
        for place, one in enumerate(own):
            paint_line(pen, x + left, y + under + (place * LINE + RISE) * ASIDE, one)
        _paint_facts(pen, x + right, low if form.low else y + base, line, shared)
        if form.beside:
            top = y + (high - stack) / 2
            for place, pieces in enumerate((line.feel, line.spoken)):
                told = _fitted(pieces, shared.side - GAP, form.small)
                _paint_line(pen, x + right + GAP, top + (place * LINE + RISE) * form.words, told)
        if line.target:
            pen.link(x, y, width, high, line.target)

    return Laid(high, paint)


def _in_a_row(line: SongWords, room: float, most: float) -> list[Placed]:
    """Feel, meter and count-in on one line, smaller where they must be."""
    pieces = [*line.feel, *line.spoken]
    if natural_width(pieces) * most > room:
        pieces = [*line.feel, *line.in_bars]
    return _fitted(pieces, room, most)


def _fitted(pieces: Sequence[Piece], room: float, most: float) -> list[Placed]:
    """Pieces on one line in a size, all smaller where they are wider than the room."""
    by = min(most, (room - 1e-6) / (natural_width(pieces) or 1.0))
    return next(iter(flow(scaled(pieces, by), room)), [])


def scaled(pieces: Sequence[Piece], by: float) -> list[Piece]:
    """Pieces in another size."""
    return [
        piece._replace(
            width=piece.width * by, size=piece.size * by, space=piece.space * by, lead=piece.lead * by
        )
        for piece in pieces
    ]


def _after(placed: list[Placed], extras: list[list[Piece]], room: float) -> list[list[Piece]]:
    """Put extras after what is on a line, all a little smaller where that helps; returns what did not fit."""
    start = line_width(placed) + EXTRA_GAP if placed else 0.0
    for count in range(len(extras), 0, -1):
        pieces = [piece for extra in extras[:count] for piece in extra]
        by = min(1.0, (room - start - 1e-6) / natural_width(pieces))
        if by >= SMALLEST:
            placed += [(start + at, piece) for at, piece in flow(scaled(pieces, by), room)[0]]
            return extras[count:]
    return extras


def _paint_number(pen: Pen, right: float, base: float, line: SongWords) -> None:
    """The song's number over its start."""
    text = str(line.song.number)
    pen.words(right - width_of(text, BOLD) * NUMBER, base, text, NUMBER, BOLD, SOFT, "aside")
    if line.at:
        pen.words(right - width_of(line.at) * AT, base + AT_DROP, line.at, AT, role=SOFT, kind="aside")


def _paint_facts(pen: Pen, right: float, base: float, line: SongWords, shared: Shared) -> None:
    """Tempo and key, each to the right edge of its column."""
    for pieces, edge in ((line.tempo, right - shared.key), (line.key, right)):
        for one in flow(pieces, 2 * shared.facts):
            _paint_line(pen, edge - natural_width(pieces), base, one)


def _paint_line(pen: Pen, x: float, base: float, line: Sequence[Placed]) -> None:
    """A line with the grounds of what is new tonight."""
    for at, piece in line:
        if piece.role == ON_SIGN:
            pen.rect(x + at, base - GROUND_TOP * piece.size, piece.width, GROUND * piece.size, SIGN)
    paint_line(pen, x, base, line)
