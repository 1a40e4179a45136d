"""One song's line on the set sheet, laid out: what all lines share, and the line itself.

A sheet with room gives a song two lines, the second for key, count-in, start and notes; a fuller one sets key
and count-in at the right, the fullest one over the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from render.page.fonts import BOLD, REGULAR, capital_height, width_of
from render.page.model import Laid, Pen
from render.page.picture import HEIGHT, WIDTH
from render.page.setwords import LABEL_GAP, Fact, SongWords, labelled_fact
from render.page.text import (
    BASELINE,
    LEADING,
    Piece,
    Placed,
    flow,
    height_of,
    line_width,
    natural_width,
    paint_line,
    paint_lines,
    tied,
    words,
)  # fmt: skip
from render.page.theme import INK, ON_SIGN, SIGN, SOFT

PITCH, TIGHTEST = 1.06, 0.96  # least height of a line in units of its text, and on the fullest sheet
GAP, TAB, EXTRA_GAP = 0.26, 0.55, 0.55  # between items of a line, of the second line, before notes
PICTURE, NUMBER = 0.58, 0.55  # sizes of the feel's picture and of the song's number
NOTE, NOTE_GAP = 0.7, 0.12  # size of the note that a tempo counts; from it to the figure
PAD, GROUND_TOP, GROUND = 0.13, 0.76, 0.86  # a sign's ground: beside, over the baseline, in all
STACK_PITCH, STACK_LIFT = 1.06, 1.0  # height of one of two stacked, and the upper's distance from the lower
ARROW = 0.16  # half an arrow's head
LABELS = {"key": "key", "count": "count", "starts": "at"}
KINDS = {"key": "key", "count": "count-in", "starts": "aside"}


@dataclass(frozen=True)
class Style:
    """How a line is laid: two lines or one, key over count-in or beside it, and their size."""

    size: float
    two: bool = False
    stacked: bool = False
    pitch: float = PITCH
    picture: float = PICTURE  # size of the feel's picture


# the first on which everything else reads
STYLES = (
    Style(1.0, two=True), Style(0.84, two=True), Style(0.84), Style(0.7, two=True), Style(0.72),
    Style(0.62), Style(0.62, stacked=True), Style(0.56, stacked=True), Style(0.5, stacked=True),
    Style(0.46, stacked=True), Style(0.46, stacked=True, pitch=TIGHTEST, picture=0.44),
)  # fmt: skip


@dataclass(frozen=True)
class Ruled(Laid):
    """A song's line: parted from the one above by a rule from ``left``."""

    left: float = 0.0


@dataclass(frozen=True)
class Column:
    """Room of one kind of fact on all lines; ``pad`` where some of them stand on a sign's ground."""

    width: float = 0.0
    pad: float = 0.0

    @property
    def taken(self) -> float:
        return self.width + GAP if self.width else 0.0


@dataclass(frozen=True)
class Shared:
    """What all lines of the sheet share."""

    style: Style
    number: float
    tempo: Column
    picture: Column
    key: Column
    count: Column
    starts: Column

    def taken(self, line: SongWords) -> float:
        """All but the title, on a song's first line; a wide tempo costs its own title only."""
        tempo = tempo_width(line.tempo) + self.tempo.pad + GAP if line.tempo.text else 0.0
        asides = 0.0
        if self.style.stacked:
            asides = max(self.key.taken, self.count.taken)
        elif not self.style.two:
            asides = self.key.taken + self.count.taken
        return self.number + tempo + self.picture.taken + asides

    @property
    def least(self) -> float:
        """No song is lower than this."""
        return self.pitch + (LEADING * self.style.size if self.style.two else 0.0)

    @property
    def pitch(self) -> float:
        """Least height of a song's first line."""
        stacked = self.style.stacked and (self.key.width or self.count.width)
        return max(self.style.pitch, 2 * STACK_PITCH * self.style.size if stacked else 0.0)


def shared_by(lines: Sequence[SongWords], style: Style, scale: float) -> Shared:
    """Measure what all lines share; where the sheet is larger than reads, asides need not be."""
    style = replace(style, size=min(style.size, max(0.46, 1 / scale)))
    numbers = max((width_of(str(line.song.number), BOLD) for line in lines), default=0.0)
    pictures = [line.new_feel for line in lines if line.picture]
    pad = PAD if any(pictures) else 0.0
    return Shared(
        style,
        numbers * NUMBER + GAP,
        Column(pad=PAD if any(line.tempo.new for line in lines) else 0.0),
        Column(WIDTH * style.picture + 2 * pad, pad) if pictures else Column(),
        _column((line.key for line in lines), style.size),
        _column((line.count for line in lines), style.size),
        _column((line.starts for line in lines), style.size),
    )


def _column(facts: Iterable[Fact], size: float) -> Column:
    facts = [fact for fact in facts if fact.text]
    pad = PAD * size if any(fact.new for fact in facts) else 0.0
    wide = max((width_of(fact.text, BOLD) for fact in facts), default=0.0) * size
    return Column(wide + 2 * pad, pad) if facts else Column()


def title_lines(line: SongWords, room: float, scale: float) -> tuple[list[list[Placed]], float]:
    """A title on one line where it can be, no smaller than reads; its lines and their size."""
    title = line.song.title
    natural = natural_width(words(title, "title", BOLD)) or 1.0
    size = max(min(1.0, 1.0 / scale), min(1.0, (room - 1e-6) / natural))
    return flow(words(title, "title", BOLD, size=size), room), size


def lay_song(line: SongWords, shared: Shared, width: float, scale: float) -> Ruled:
    """A song's line or lines."""
    lines, size = title_lines(line, width - shared.taken(line), scale)
    extras = _grouped(line.extras(min(1.0, max(0.56, shared.style.size))))
    second: list[Piece] = []
    if shared.style.two:
        second = _second(line, shared)
    elif extras and len(lines) == 1:
        lines, extras = _beside(lines, extras, width - shared.taken(line))
    pitch = shared.style.pitch
    titled = pitch * (1 + size * (len(lines) - 1))
    below = _below(second, extras, shared, width - shared.number)
    high = max(shared.pitch, titled)

    def paint(pen: Pen, x: float, y: float) -> None:
        base = y + (high - titled) / 2 + BASELINE - (PITCH - pitch) / 2
        _paint_number(pen, x, base, line, shared)
        for place, one in enumerate(lines):
            paint_line(pen, x + shared.number, base + place * pitch * size, one)
        _paint_right(pen, x + width, base, y + shared.pitch / 2, line, shared)
        paint_lines(pen, x + shared.number, y + high, below)
        if line.target:
            pen.link(x, y, width, high, line.target)

    return Ruled(high + height_of(below), paint, shared.number)


def _grouped(extras: Sequence[Sequence[Piece]]) -> list[Piece]:
    """Each extra keeps together where it can, with room before it."""
    found: list[Piece] = []
    for pieces in extras:
        found += tied([pieces[0]._replace(space=EXTRA_GAP), *pieces[1:]])
    return found


def _beside(
    lines: list[list[Placed]], extras: list[Piece], room: float
) -> tuple[list[list[Placed]], list[Piece]]:
    """Notes behind a title where all of them fit there."""
    if line_width(lines[0]) + EXTRA_GAP + natural_width(extras) > room:
        return lines, extras
    return flow([piece for _, piece in lines[0]] + extras, room), []


def _second(line: SongWords, shared: Shared) -> list[Piece]:
    """Key, count-in and start, each at its tab: an empty piece keeps a place that this song leaves free."""
    size = shared.style.size
    found: list[Piece] = []
    free = 0.0
    for name in ("key", "count", "starts"):
        column: Column = getattr(shared, name)
        if not column.width:
            continue
        fact: Fact = getattr(line, name)
        label = "" if name == "count" and line.entered else LABELS[name]
        pieces = labelled_fact(label, fact, KINDS[name], size)
        room = width_of(LABELS[name]) * size + LABEL_GAP * size + column.width + 2 * column.pad
        taken = natural_width(pieces)
        if found:
            first = pieces[0] if pieces else Piece(0.0)
            pieces = [first._replace(space=TAB * size + free), *pieces[1:]]
        free = room - taken
        found += pieces
    return found


def _below(second: list[Piece], extras: list[Piece], shared: Shared, room: float) -> list[list[Placed]]:
    """The lines under the title; notes stand behind the facts where they fit whole."""
    if second and extras and natural_width(second) + EXTRA_GAP + natural_width(extras) > room:
        return [*flow(second, room), *flow(extras, room)]
    return flow([*second, *extras], room)


def _paint_number(pen: Pen, x: float, base: float, line: SongWords, shared: Shared) -> None:
    """The song's number; over an arrow down where the next song follows without a gap."""
    text, right = str(line.song.number), x + shared.number - GAP
    lift, size = (0.4, 0.85 * NUMBER) if line.song.segue else (0.0, NUMBER)
    pen.words(right - width_of(text, BOLD) * size, base - lift, text, size, BOLD, SOFT, "aside")
    if line.song.segue:
        middle = right - width_of("0", BOLD) * size / 2
        pen.rect(middle - 0.045, base - 0.34, 0.09, 0.2)
        pen.shape(((middle - ARROW, base - 0.16), (middle + ARROW, base - 0.16), (middle, base + 0.04)))


def _paint_right(pen: Pen, right: float, base: float, middle: float, line: SongWords, shared: Shared) -> None:
    """From the right edge inwards: count-in, key, the feel's picture, the tempo."""
    size = shared.style.size
    if shared.style.stacked:
        wide = max(shared.key.width, shared.count.width)
        lower = middle + (STACK_LIFT + capital_height()) * size / 2
        _paint_fact(pen, right - wide + shared.key.pad, lower - STACK_LIFT * size, line.key, size, "key")
        _paint_fact(pen, right - wide + shared.count.pad, lower, line.count, size, "count-in", REGULAR)
        right -= wide + GAP if wide else 0.0
    elif not shared.style.two:
        for name, style in (("count", REGULAR), ("key", BOLD)):
            column: Column = getattr(shared, name)
            _paint_fact(
                pen, right - column.width + column.pad, base, getattr(line, name), size, KINDS[name], style
            )
            right -= column.taken
    if line.picture:
        left = right - shared.picture.width + shared.picture.pad
        if line.new_feel:
            pen.rect(left - PAD, base - GROUND_TOP, WIDTH * shared.style.picture + 2 * PAD, GROUND, SIGN)
        lift = (capital_height() - HEIGHT * shared.style.picture) / 2
        line.picture.paint(pen, left, base - lift, ON_SIGN if line.new_feel else INK, shared.style.picture)
    _paint_tempo(pen, right - shared.picture.taken - shared.tempo.pad, base, line.tempo)


def tempo_width(tempo: Fact) -> float:
    """Width of a tempo with the note that it counts, smaller."""
    note = width_of(tempo.note, BOLD) * NOTE + NOTE_GAP if tempo.note else 0.0
    return width_of(tempo.text, BOLD) + note + (PAD if tempo.new else 0.0)


def _paint_tempo(pen: Pen, right: float, base: float, tempo: Fact) -> None:
    """A tempo to its right edge, the note that it counts before it."""
    left = right - width_of(tempo.text, BOLD)
    _paint_fact(pen, left, base, tempo, 1.0, "tempo")
    if tempo.note:
        left -= width_of(tempo.note, BOLD) * NOTE + NOTE_GAP + (PAD if tempo.new else 0.0)
        pen.words(left, base, tempo.note, NOTE, BOLD, INK, "aside")


def _paint_fact(
    pen: Pen, x: float, base: float, fact: Fact, size: float, kind: str, style: str = BOLD
) -> None:
    """A fact from its left edge; one that is new tonight on a sign's ground, in bold."""
    if not fact.text:
        return
    if fact.new:
        wide = width_of(fact.text, BOLD) * size
        pen.rect(x - PAD * size, base - GROUND_TOP * size, wide + 2 * PAD * size, GROUND * size, SIGN)
    pen.words(x, base, fact.text, size, BOLD if fact.new else style, ON_SIGN if fact.new else INK, kind)
