"""What the set sheet says: of the gig, of a set, of a break, of each song, with what is new tonight."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import ceil

from charts.song import CountIn
from charts.timing import Meter
from charts.wording import MINUTE, day_words, figure, length, short_key, time_words
from render.page.fonts import BOLD, REGULAR
from render.page.picture import WIDTH, Picture, picture_of
from render.page.sheet import NOTES
from render.page.text import Piece, sign, tied, unbroken, words
from render.page.theme import SOFT
from setlists.gig import Gig, GigBreak, GigSet, GigSong

GIG, HEADING, TOLD = 0.68, 0.62, 0.5  # sizes: name of the gig, of a set; what is told beside them
APART, LABEL_GAP = 0.5, 0.24  # between what is told; behind a small word


@dataclass(frozen=True)
class Fact:
    """One thing told of a song; ``new`` where the set list changes it tonight."""

    text: str
    new: bool = False
    note: str = ""  # before it: what a tempo counts where that is no quarter


@dataclass(frozen=True)
class SongWords:
    """What one song's line says; ``entered`` where it comes uncounted out of the song before."""

    song: GigSong
    entered: bool = False
    target: str = ""

    @cached_property
    def tempo(self) -> Fact:
        """With the note that it counts where that is no quarter."""
        song = self.song
        if song.tempo is None:
            return Fact("")
        unit = song.meter.unit_quarters if song.meter else Fraction(1)
        note = f"{NOTES[unit]} =" if unit != 1 else ""
        return Fact(figure(song.tempo), song.chart is not None and song.tempo != song.chart.tempo, note)

    @property
    def key(self) -> Fact:
        song = self.song
        text = short_key(song.key)
        return Fact(text, song.chart is not None and song.key != song.chart.key)

    @property
    def count(self) -> Fact:
        """How it is counted in; a song that comes straight out of another is not."""
        song = self.song
        if self.entered:
            return Fact("segue")
        text = "" if song.count_in is None else "none" if song.count_in == CountIn() else str(song.count_in)
        return Fact(text, song.chart is not None and song.count_in != song.chart.count_in)

    @property
    def starts(self) -> Fact:
        return Fact(time_of(self.song.starts_at))

    @cached_property
    def picture(self) -> Picture | None:
        """The feel's picture, all of one width."""
        song = self.song
        if song.feel is None or song.tempo is None:
            return None
        meter = song.song.form[0].meter_of(1) if song.song else Meter(4, 4)
        return replace(picture_of(song.feel, meter.beats[0], song.tempo), width=WIDTH)

    @property
    def new_feel(self) -> bool:
        return self.song.chart is not None and self.song.feel != self.song.chart.feel

    def extras(self, size: float) -> list[list[Piece]]:
        """What only this song has: sections left out, notes, the length of what has no chart."""
        song = self.song
        found = [sign(words(f"without {name}", "notes", size=size)) for name in song.item.changes.skip]
        if song.note:
            found.append(words(song.note, "notes", size=size))
        if song.song is None and song.seconds:
            found.append(words(f"lasts {length(song.seconds)}", "notes", size=size, role=SOFT))
        return found


def songs_of(gig: Gig, targets: Mapping[int, str]) -> dict[int, SongWords]:
    """Each song's words by its number; ``targets`` gives the page that it leads to."""
    entered = entered_from(gig)
    return {
        song.number: SongWords(song, song.number in entered, targets.get(song.number, ""))
        for song in gig.songs
    }


def entered_from(gig: Gig) -> dict[int, str]:
    """By number, the songs that are not counted in, each with the title of the one that leads into it.

    A song that the set list gives a count-in of its own is counted in.
    """
    return {
        song.number: before.title
        for part in gig.sets
        for before, song in pairwise(part.songs)
        if before.segue and song.item.changes.count_in is None
    }


def time_of(when: datetime | None) -> str:
    """A time of day.

    >>> time_of(datetime(2026, 12, 4, 20, 30)), time_of(None)
    ('20:30', '')
    """
    return time_words(when) if when else ""


def minutes_of(seconds: float) -> str:
    """A length to whole minutes, rounded up: a slot is kept or it is not.

    >>> minutes_of(2002), minutes_of(3601)
    ('34 min', '1 h 1 min')
    """
    return length(MINUTE * ceil(round(seconds) / MINUTE))


def head_pieces(gig: Gig) -> list[Piece]:
    """The gig, its day, and when it must be over; its sets say when they start."""
    told = [day_words(gig.setlist.date) if gig.setlist.date else ""]
    told.append(f"curfew {time_of(gig.curfew)}" if gig.curfew else "")
    return words(gig.setlist.gig, "set", BOLD, size=GIG) + list(_aside(told))


def set_pieces(part: GigSet) -> list[Piece]:
    """A set's name, when it starts, how long it lasts of how long it may, and whether that fits."""
    slot = part.part.length
    lasts = f"lasts {minutes_of(part.seconds)}"
    told = [f"at {time_of(part.starts_at)}" if part.starts_at else "", lasts]
    found = words(part.name or "Set", "set", BOLD, size=HEADING)
    if slot is not None:
        told[1] += f" of {length(slot)}"
        if (part.over_by or 0.0) < 1:
            told.append(_spare(float(slot) - part.seconds))
    found += _aside(told)
    late = part.offset - part.due if part.due is not None else 0.0
    for seconds, what in ((part.over_slot, "too long"), (part.past_curfew, "past the end"), (late, "late")):
        if seconds and seconds >= 1:
            found += sign(words(f"{minutes_of(seconds)} {what}", "aside", size=TOLD), space=APART)
    return found


def _spare(seconds: float) -> str:
    """That a set fits, and what is left of its slot."""
    left = round(seconds) // MINUTE
    return f"fits, {left} min to spare" if left else "just fits"


def break_pieces(part: GigBreak) -> list[Piece]:
    """How long a break lasts, and when it starts."""
    starts = f"at {time_of(part.starts_at)}" if part.starts_at else ""
    found = words(f"break {length(part.shown)}", "aside", size=TOLD)
    return found + list(_aside([starts]))


def _aside(told: list[str]) -> Iterator[Piece]:
    """Each in one piece, parted by room: no figure may be read with its neighbour."""
    for text in told:
        if text:
            yield unbroken(text, "aside", size=TOLD, role=SOFT, space=APART)


def labelled_fact(label: str, fact: Fact, kind: str, size: float) -> list[Piece]:
    """A small word and what it says; new where the set list changes it, as on a sign."""
    if not fact.text:
        return []
    value = unbroken(fact.text, kind, BOLD, size=size, space=LABEL_GAP * size)
    made = sign([value], space=value.space) if fact.new else [value]
    return tied([unbroken(label, kind, REGULAR, size, SOFT), *made]) if label else made
