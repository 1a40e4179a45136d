"""What the set sheet says: of the gig, of a set, of a break, of each song, with what is new tonight."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import ceil

from charts.song import CountIn
from charts.source import NOTE
from charts.timing import COMMON
from charts.wording import MINUTE, day_words, figure, length, short_key, time_words
from render.page.fonts import BOLD, REGULAR
from render.page.sheet import NOTES, spoken_count
from render.page.signs import TEXT_DOT
from render.page.text import Piece, sign, tied, unbroken, words
from render.page.theme import INK, ON_SIGN, SIGN, SOFT
from setlists.gig import Gig, GigBreak, GigSet, GigSong

GIG, HEADING, TOLD = 0.7, 0.6, 0.48  # sizes: name of the gig, of a set; what is told beside them
WORDS, LEAST_WORDS = 9 / 14, 8 / 14  # feel, meter and count-in, usual and least
ASIDE, NOTE_SIZE = 0.46, 0.85  # what is read before the song; the note of a tempo
APART, GAP = 0.5, 0.2  # between what is told; between a note and its figure
GROUND_PAD = 0.13  # of what is new tonight, beside it
LONGEST_COUNT = 13  # characters; a longer count-in is given in bars


@dataclass(frozen=True)
class SongWords:
    """What one song's line says; ``entered`` where it comes uncounted out of the song before."""

    song: GigSong
    entered: bool = False
    target: str = ""
    changed: bool = False  # since the printing that this one is compared with

    @property
    def at(self) -> str:
        return time_of(self.song.starts_at)

    @cached_property
    def tempo(self) -> list[Piece]:
        """The note that is counted, and the figure."""
        song = self.song
        if song.tempo is None:
            return []
        note = NOTES[song.meter.unit_quarters if song.meter else Fraction(1)].replace(TEXT_DOT, ".")
        figures = self._fact("tempo", figure(song.tempo), "tempo")
        figures[0] = figures[0]._replace(space=GAP)
        return [unbroken(note, "tempo note", BOLD, NOTE_SIZE), *figures]

    @cached_property
    def key(self) -> list[Piece]:
        return self._fact("key", short_key(self.song.key), "key") if self.song.key else []

    @cached_property
    def feel(self) -> list[Piece]:
        return self._fact("feel", self.song.feel.name, "feel", WORDS) if self.song.feel else []

    @cached_property
    def spoken(self) -> list[Piece]:
        """The meter where it is not 4/4, and how the song is counted in: as it is spoken."""
        return self._counted(spoken=True)

    @cached_property
    def in_bars(self) -> list[Piece]:
        """The same, counted in bars."""
        return self._counted(spoken=False)

    def _counted(self, spoken: bool) -> list[Piece]:
        song, found = self.song, []
        if song.meter is not None and song.meter != COMMON:
            found.append(unbroken(f"{song.meter.upper}/{song.meter.lower}", "meter", BOLD, WORDS, SIGN))
        if self.entered or song.count_in == CountIn():
            found.append(unbroken("no count", "count-in", BOLD, WORDS, SIGN))
        elif song.count_in is not None:
            aloud = spoken_count(song.song) if song.song else str(song.count_in)
            told = aloud if spoken and len(aloud) <= LONGEST_COUNT else str(song.count_in)
            found += self._fact("count-in", told, "count-in", WORDS, REGULAR)
        return [piece._replace(space=APART * WORDS) for piece in found]

    def _fact(self, what: str, text: str, kind: str, size: float = 1.0, style: str = BOLD) -> list[Piece]:
        """In one piece; on a ground of its own where the set list changes it."""
        if what not in self.song.tonight:
            return [unbroken(text, kind, style, size)]
        piece = unbroken(text, kind, BOLD, size, ON_SIGN)
        return [piece._replace(width=piece.width + 2 * GROUND_PAD * size, lead=GROUND_PAD * size)]

    @cached_property
    def extras(self) -> tuple[list[Piece], ...]:
        """What only this song has, each in words that keep together: changes, notes, hazards."""
        return tuple(self._extras())

    def _extras(self) -> Iterator[list[Piece]]:
        song = self.song
        if song.segue:
            yield _extra("segue ↓", BOLD, SIGN)
        if self.changed:
            yield _extra("changed", BOLD, SIGN)
        yield from (_extra(told, BOLD) for told in song.tonight_words)
        if song.note:
            yield _extra(song.note)
        if song.song is None and song.seconds:
            yield _extra(f"lasts {length(song.seconds)}", role=SOFT)
        for hazard in song.hazards:
            if hazard.short:
                loud = hazard.level != NOTE
                yield _extra(hazard.short, BOLD if loud else REGULAR, SIGN if loud else SOFT)


def _extra(text: str, style: str = REGULAR, role: str = INK) -> list[Piece]:
    return tied(words(text, "notes", style, ASIDE, role, APART))


def songs_of(gig: Gig, targets: Mapping[int, str], changed: frozenset[int]) -> dict[int, SongWords]:
    """Each song's words by its number; ``targets`` gives the page that it leads to."""
    entered = entered_from(gig)
    return {
        song.number: SongWords(
            song, song.number in entered, targets.get(song.number, ""), song.number in changed
        )
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


def head_pieces(gig: Gig, mark: str) -> list[Piece]:
    """The gig, its day, when it must be over, and the mark of this printing."""
    told = [day_words(gig.setlist.date) if gig.setlist.date else ""]
    told.append(f"curfew {time_of(gig.curfew)}" if gig.curfew else "")
    return [*words(gig.setlist.gig, "set", BOLD, size=GIG), *_aside([*told, mark])]


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
    found = words(f"break {length(part.shown)}", "aside", BOLD, TOLD, space=2 * APART)
    return tied(found + list(_aside([starts])))


def _aside(told: list[str]) -> Iterator[Piece]:
    """Each in one piece, with room between: no figure may be read with its neighbor."""
    for text in told:
        if text:
            yield unbroken(text, "aside", size=TOLD, role=SOFT, space=APART)
