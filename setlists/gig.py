"""A gig as it will be played: every song with its changes made, its length and its time of day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from charts.feel import Feel
from charts.reading.chart import ChartRead
from charts.song import CountIn, Song
from charts.source import Finding
from charts.timing import Meter
from charts.wording import MINUTE, figure, key_in_signs
from setlists.setlist import SetList, SongItem, SongSet


@dataclass(frozen=True)
class GigSong:
    """One song in the running order.

    ``song`` is the chart with this gig's changes made: tempos scaled, feel replaced, sections left out,
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
        """Felt beats per minute tonight."""
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
    def tonight(self) -> dict[str, tuple[str, str]]:
        """What this gig changes of the chart, by its name: as it is tonight, and what the chart has."""
        chart = self.chart
        if chart is None or self.song is None:
            return {}
        pairs = {
            "tempo": (figure(self.song.tempo), figure(chart.tempo)),
            "key": (self.key, chart.key),
            "feel": (self.song.feel.name, chart.feel.name),
            "count-in": (str(self.count_in), str(chart.count_in)),
        }
        return {what: (new, old) for what, (new, old) in pairs.items() if new != old}

    @property
    def tonight_words(self) -> list[str]:
        """The same in words, each with what it replaces; then the sections left out."""
        found = []
        for what, (new, old) in self.tonight.items():
            new, old = (key_in_signs(new), key_in_signs(old)) if what == "key" else (new, old)
            label = "count-in " if what == "count-in" else ""
            found += [f"{label}{new} tonight, else {old}"] if old else []
        return found + [f"without {name}" for name in self.item.changes.skip]

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
    """A break: ``seconds`` is what the set list gives it; it ``lasts`` until the next set starts."""

    seconds: float
    offset: float = 0.0
    starts_at: datetime | None = None
    lasts: float = 0.0

    @property
    def shown(self) -> float:
        """Seconds as they are shown: as written, or from the minute on the clock to the next set's start."""
        if self.starts_at is None or self.lasts - self.seconds < 1:  # less is rounding
            return self.seconds
        return MINUTE * round((self.lasts + self.starts_at.second) / MINUTE)


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
