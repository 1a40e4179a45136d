"""A gig as it will be played: every song with its changes made, its length and its time of day.

:func:`plan` makes it out of a set list and the book that holds the charts.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from pathlib import Path

from charts.book import Book
from charts.feel import Feel
from charts.played import count_in_seconds, song_seconds
from charts.reading.chart import ChartRead
from charts.song import CountIn, Song
from charts.source import Finding
from charts.timing import Meter
from setlists.setlist import Break, SetList, SongItem, SongSet
from setlists.tonight import tonight


@dataclass(frozen=True)
class GigSong:
    """One song in the running order.

    ``song`` is the chart with this gig's changes made: tempi scaled, feel replaced, sections left out,
    key and count-in of the night; None where a song has no chart. ``seconds`` is its length with count-in,
    ``gap`` what passes after it, ``offset`` its start from the gig's start, all in seconds; ``starts_at``
    is None where the set list gives no start, and lies in year 1 where it gives no date.
    """

    number: int  # through the whole gig, from 1
    item: SongItem
    title: str
    song: Song | None
    seconds: float
    gap: float = 0.0
    offset: float = 0.0
    starts_at: datetime | None = None
    chart: Song | None = None  # as the book has it
    read: ChartRead | None = None  # None where no chart was found
    hazards: tuple[Finding, ...] = ()

    @property
    def tempo(self) -> Fraction | None:
        """Felt beats a minute tonight."""
        return self.song.tempo if self.song else self.item.changes.tempo

    @property
    def feel(self) -> Feel | None:
        """The song's feel tonight."""
        return self.song.feel if self.song else self.item.changes.feel

    @property
    def meter(self) -> Meter | None:
        """The song's meter; None where it has no chart."""
        return self.song.meter if self.song else None

    @property
    def count_in(self) -> CountIn | None:
        """How it is counted in tonight."""
        return self.song.count_in if self.song else self.item.changes.count_in

    @property
    def key(self) -> str:
        """Tonight's key, empty where nobody said."""
        return self.song.key if self.song else self.item.changes.key

    @property
    def note(self) -> str:
        """What the set list says about it."""
        return self.item.changes.notes

    @property
    def segue(self) -> bool:
        """True where the next song follows without a gap."""
        return self.item.changes.segue

    @property
    def ends(self) -> float:
        """Seconds from the gig's start to its last note."""
        return self.offset + self.seconds


@dataclass(frozen=True)
class GigSet:
    """A set in the running order; ``seconds`` from its first count-in to its last note.

    ``over_slot`` is by how many seconds it runs over its slot, ``past_curfew`` past the curfew, ``over_by``
    the more of the two: 0 where it fits, None where there is no such limit.
    """

    name: str
    part: SongSet
    songs: tuple[GigSong, ...]
    offset: float = 0.0
    seconds: float = 0.0
    starts_at: datetime | None = None
    over_slot: float | None = None
    past_curfew: float | None = None
    due: float | None = (
        None  # offset of its own start, where it has one; it starts later when the set before runs on
    )

    @property
    def over_by(self) -> float | None:
        """Seconds past the limit that it breaks by more."""
        return max((over for over in (self.over_slot, self.past_curfew) if over is not None), default=None)

    @property
    def ends(self) -> float:
        """Seconds from the gig's start to the set's last note."""
        return self.offset + self.seconds


@dataclass(frozen=True)
class GigBreak:
    """A break in the running order, in seconds; it ``lasts`` longer where the next set starts later."""

    seconds: float
    offset: float = 0.0
    starts_at: datetime | None = None
    lasts: float = 0.0


@dataclass(frozen=True)
class Gig:
    """The whole evening in order."""

    setlist: SetList
    parts: tuple[GigSet | GigBreak, ...]
    starts_at: datetime | None = None
    curfew: datetime | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def sets(self) -> tuple[GigSet, ...]:
        """The sets without the breaks."""
        return tuple(part for part in self.parts if isinstance(part, GigSet))

    @property
    def songs(self) -> tuple[GigSong, ...]:
        """Every song in order."""
        return tuple(song for part in self.sets for song in part.songs)

    @property
    def seconds(self) -> float:
        """From the gig's start to the last note."""
        return max((part.ends for part in self.sets), default=0.0)

    @property
    def has_date(self) -> bool:
        """False where the year of every time is only a stand-in."""
        return self.setlist.date is not None


def plan(setlist: SetList, book: Book) -> Gig:
    """The gig of a set list: songs with their changes made, the clock run, hazards told.

    Every chart is read once. A song whose chart is missing or cannot be read has no ``song`` and no
    length; the finding that says so is among ``findings``, an error of rule ``unknown``.
    """
    from setlists.check.run import with_hazards  # the rules look at gigs, so they import this module
    from setlists.clock import timed

    reads: dict[Path, ChartRead] = {}
    number = 0
    parts: list[GigSet | GigBreak] = []
    for part in setlist.parts:
        if isinstance(part, Break):
            parts.append(GigBreak(float(part.seconds)))
            continue
        songs = tuple(
            _song(item, number + place, book, reads) for place, item in enumerate(part.items, start=1)
        )
        number += len(songs)
        parts.append(GigSet(part.name, part, songs))
    return with_hazards(timed(Gig(setlist, tuple(parts))), book)


def _song(item: SongItem, number: int, book: Book, reads: dict[Path, ChartRead]) -> GigSong:
    read = chart = song = None
    if item.path is not None:
        if item.path not in reads:
            reads[item.path] = book.read_chart(item.path)
        read = reads[item.path]
        chart = read.song
    if chart is not None:
        song = tonight(chart, item.changes)
    seconds = item.changes.length
    length = (
        float(seconds)
        if seconds is not None
        else count_in_seconds(song) + song_seconds(song)
        if song
        else 0.0
    )
    return GigSong(number, item, song.title if song else item.name, song, length, chart=chart, read=read)
