"""The running order: what a band leader pins to the wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TextIO

from rich.console import JustifyMethod
from rich.table import Table
from rich.text import Text

from charts.song import CountIn
from charts.source import ERROR, WARNING, Finding
from charts.timing import Meter
from charts.wording import clock, day_words, length, many, time_words, unobeyed
from render.terminal.console import drawn, print_styled
from render.terminal.ink import (
    BOLD,
    CYAN,
    DIM,
    GREEN,
    RED,
    YELLOW,
    Ink,
    cells,
    columns,
    cut,
    folded_words,
    height,
    ink_for,
    padded,
)
from render.terminal.printable import tempo_words
from render.terminal.ribbon import ribbon
from setlists.check.thresholds import OVER
from setlists.gig import Gig, GigBreak, GigSet, GigSong

GUTTER = 2  # columns between two columns
NARROWEST_TITLE = 14  # columns; a longer title is folded rather than every song given two lines
OVERRUN = "overrun"  # told at the head of its set
IN_SHORT = ("at", "number", "title", "key", "length")  # columns where a song takes two lines
RIGHT = ("at", "number", "length")  # columns that are to the right
_PLAIN_METER = Meter(4, 4)  # for the tempo of a song without a chart
_MARKS = {ERROR: ("!!", RED), WARNING: ("!", YELLOW)}


@dataclass(frozen=True, slots=True)
class SongRow:
    """One song's cells as they are printed."""

    at: str
    number: str
    title: str
    tempo: str
    feel: str
    count_in: str
    key: str
    length: str


HEADINGS = {
    "at": "",
    "number": "",
    "title": "",
    "tempo": "tempo",
    "feel": "feel",
    "count_in": "count-in",
    "key": "key",
    "length": "time",
}


def show_gig(gig: Gig, stream: TextIO) -> None:
    """Print the running order."""
    print_styled(lines_for(gig, stream), stream)


def lines_for(gig: Gig, stream: TextIO) -> list[str]:
    """The running order as wide as the stream's terminal.

    Where it is longer than the screen, the sets and their times stand at its end once more.
    """
    width, ink, room = columns(stream), ink_for(stream), height(stream)
    lines = list(gig_lines(gig, width, ink))
    if room is not None and len(lines) >= room:  # the prompt takes a line
        lines += ["", *_sets_again(gig, width, ink)]
    return lines


def gig_lines(gig: Gig, width: int, ink: Ink) -> Iterator[str]:
    """The whole evening, every line at most ``width`` columns."""
    yield from _head(gig, width, ink)
    cells_of = {song.number: _row(song, ink) for song in gig.songs}
    view = _View(tuple(cells_of.values()), width, ink)
    following = {first.number: second.title for first, second in zip(gig.songs, gig.songs[1:], strict=False)}
    if view.whole:
        yield ""
    yield from view.headings()
    for place, part in enumerate(gig.parts):
        if place or not view.whole:
            yield ""
        if isinstance(part, GigBreak):
            yield _break(part, view)
            continue
        yield from _set_head(part, width, ink)
        for finding in (each for song in part.songs for each in song.hazards if each.rule == OVERRUN):
            yield from view.below(finding.message, *_mark(finding))
        yield from filter(None, [ribbon(part, gig, width, ink)])
        for song in part.songs:
            yield from view.song(cells_of[song.number])
            yield from _below(song, following.get(song.number, ""), view)
    yield ""
    yield from _foot(gig, width, ink)


def _sets_again(gig: Gig, width: int, ink: Ink) -> Iterator[str]:
    yield from _head(gig, width, ink)
    for part in gig.parts:
        if isinstance(part, GigSet):
            yield from _set_head(part, width, ink)


def _head(gig: Gig, width: int, ink: Ink) -> Iterator[str]:
    for line in folded_words(gig.setlist.gig, width):
        yield ink(line, BOLD)
    when = [day_words(gig.setlist.date)] if gig.setlist.date else []
    if gig.starts_at is not None:
        when.append(f"{time_words(gig.starts_at)} to {_at(gig.starts_at, gig.seconds)}")
    if gig.curfew is not None:
        when.append(f"curfew {time_words(gig.curfew)}")
    yield from folded_words(", ".join(when), width)


def _at(start: datetime | None, seconds: float) -> str:
    """A time of day; without a start the minutes and seconds that have passed."""
    from setlists.clock import when

    moment = when(start, seconds)
    return clock(seconds) if moment is None else time_words(moment)


def _row(song: GigSong, ink: Ink) -> SongRow:
    tempo = "" if song.tempo is None else tempo_words(song.meter or _PLAIN_METER, song.tempo, ink.signs)
    count_in = "" if song.count_in is None else "none" if song.count_in == CountIn() else str(song.count_in)
    at = clock(song.offset) if song.starts_at is None else time_words(song.starts_at)
    feel = song.feel.name if song.feel else ""
    return SongRow(at, str(song.number), song.title, tempo, feel, count_in, song.key, clock(song.seconds))


class _View:
    """Columns as wide as what is in them: one line for each song where that fits, else two."""

    def __init__(self, rows: Sequence[SongRow], width: int, ink: Ink) -> None:
        self.width, self.ink = width, ink
        names = SongRow.__slots__
        own = {name: max((cells(getattr(row, name)) for row in rows), default=0) for name in names}
        self._widths = {name: max(room, cells(HEADINGS[name])) for name, room in own.items() if room}
        self.whole = self._room() >= min(own["title"], NARROWEST_TITLE)
        if self.whole:
            self._widths["title"] = min(own["title"], self._room())
        else:
            self._widths = {name: own[name] for name in IN_SHORT if own[name]}
            self._widths["title"] = self._room()
        self.indent = sum(own[name] + GUTTER for name in ("at", "number"))
        self._tempo = own["tempo"]

    def _room(self) -> int:
        """What the other columns leave to the title."""
        return self.width - sum(room + GUTTER for name, room in self._widths.items() if name != "title")

    def row(self, row: SongRow, style: str = "", title: str = "") -> Iterator[str]:
        """A row in its columns, a long title folded."""
        table = Table.grid(padding=(0, GUTTER, 0, 0))
        for name, room in self._widths.items():
            justify: JustifyMethod = "right" if name in RIGHT else "left"
            table.add_column(width=room, justify=justify, style=title if name == "title" else style)
        table.add_row(*(Text(unobeyed(getattr(row, name))) for name in self._widths))
        yield from drawn(table, self.width, self.ink)

    def headings(self) -> Iterator[str]:
        """What is in the columns; nothing where a song takes two lines, which say it themselves."""
        if self.whole:
            yield from self.row(SongRow(**HEADINGS), DIM)

    def song(self, row: SongRow) -> Iterator[str]:
        """A song's own line or lines."""
        yield from self.row(row, title=BOLD)
        if not self.whole:
            yield from self.below(self._facts(row))

    def _facts(self, row: SongRow) -> str:
        """Tempo, feel and count-in on a line of their own, the tempo in its column."""
        counted = "no count-in" if row.count_in == "none" else row.count_in and f"count-in {row.count_in}"
        facts = ", ".join(fact for fact in (row.feel, counted) if fact)
        return f"{padded(row.tempo, self._tempo)}  {facts}" if facts and self._tempo else row.tempo or facts

    def below(self, text: str, mark: str = "", style: str = "") -> Iterator[str]:
        """Words under a title, folded, with a mark in front of them."""
        lead = f"{mark} " if mark else ""
        room = self.width - self.indent - cells(lead)
        lines = [text] if 0 < cells(text) <= room else folded_words(text, room)
        for place, line in enumerate(lines):
            front = " " * cells(lead) if place else lead.replace(mark, self.ink(mark, BOLD, style))
            yield " " * self.indent + front + line


def _below(song: GigSong, following: str, view: _View) -> Iterator[str]:
    """What comes under a song: its note, its hazards, what follows it in a special way."""
    yield from view.below(song.note)
    yield from view.below("; ".join(song.tonight_words))
    for finding in song.hazards:
        if finding.rule != OVERRUN:
            yield from view.below(finding.message, *_mark(finding))
    if song.segue and following:
        yield from view.below(f"segue into {following}", view.ink.sign("→", "->"), GREEN)
    elif song.item.changes.between is not None and song.gap:
        yield from view.below(f"then {length(song.gap)} before the next")


def _mark(finding: Finding) -> tuple[str, str]:
    return _MARKS.get(finding.level, ("-", CYAN))


def _set_head(part: GigSet, width: int, ink: Ink) -> Iterator[str]:
    """A set's name and times, a line drawn between them, and its slot."""
    times = f"{time_words(part.starts_at)} to {_at(part.starts_at, part.seconds)}, " if part.starts_at else ""
    slot = "" if part.part.length is None else f" of {length(part.part.length)}"
    said = f"{times}{clock(part.seconds)}{slot}"
    limits = ((part.over_slot, "over the slot"), (part.past_curfew, "past the curfew"))
    over = "".join(f", {length(by)} {limit}" for by, limit in limits if by and by >= OVER)
    room = width - cells(said + over) - 2
    if room < 12:
        yield ink(cut(part.name, width, ink), BOLD)
        yield from folded_words(said + over, width, "  ")
        return
    name = cut(part.name, room - 3, ink)
    rule = ink.sign("─", "-") * (room - cells(name) - 1)
    yield f"{ink(name, BOLD)} {ink(rule, DIM)}  {said}{ink(over, YELLOW, BOLD)}"


def _break(part: GigBreak, view: _View) -> str:
    at = time_words(part.starts_at) if part.starts_at else clock(part.offset)
    return at + " " * (view.indent - cells(at)) + f"break, {length(part.shown)}"


def _foot(gig: Gig, width: int, ink: Ink) -> Iterator[str]:
    """How many songs, how much music, and what was told."""
    music = sum(song.seconds for song in gig.songs)
    levels = [finding.level for finding in gig.findings]
    told = [many(levels.count(level), level) for level in (ERROR, WARNING, "note") if level in levels]
    line = f"{many(len(gig.songs), 'song')}, {clock(music)} of music" + (
        f"; {', '.join(told)}" if told else ""
    )
    yield from (ink(each, DIM) for each in folded_words(line, width))
