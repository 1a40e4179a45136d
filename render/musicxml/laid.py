"""A written bar with its note values found: what both voices play, and the divisions that it needs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from charts.notevalues import Event, beat_events
from charts.song import Song
from render.musicxml.bars import BeatPart
from render.musicxml.directions import said
from render.musicxml.folding import WrittenBar

MOST_DIVISIONS = 16_383  # the most that a Standard MIDI File takes, as the MusicXML schema says


@dataclass(frozen=True)
class LaidBeat:
    """One beat: the hands' and the feet's notes; both empty where the time is left to the player."""

    part: BeatPart
    hands: tuple[Event, ...]
    feet: tuple[Event, ...]
    free: bool


@dataclass(frozen=True)
class LaidBar:
    """A bar as it is written, and the words over it with their place in quarters."""

    written: WrittenBar
    beats: tuple[LaidBeat, ...]
    said: tuple[tuple[Fraction, str], ...]

    @property
    def feet(self) -> bool:
        """True where a foot plays in this bar."""
        return any(event.strokes for beat in self.beats for event in beat.feet)

    @property
    def divisions(self) -> int:
        """The least divisions of a quarter in which every length and place is whole."""
        lengths = [event.quarters for beat in self.beats for event in beat.hands + beat.feet]
        places = [beat.part.start for beat in self.beats] + [at for at, _ in self.said]
        return lcm(*(value.denominator for value in (*lengths, *places, self.written.bar.meter.quarters)))


def lay(written: WrittenBar, song: Song) -> LaidBar:
    """Find the note values of a bar."""
    beats = []
    for part in written.bar.beats:
        struck = part.struck(written.landing)
        hands = beat_events(part.beat, tuple(stroke for stroke in struck if stroke.by_hand))
        feet = beat_events(part.beat, tuple(stroke for stroke in struck if not stroke.by_hand))
        beats.append(LaidBeat(part, hands, feet, part.free and not struck))
    return LaidBar(written, tuple(beats), tuple(said(written, song)))


def common_divisions(bars: Iterable[LaidBar]) -> int | None:
    """Divisions for the whole part; None where they would be too many and every bar gets its own."""
    found = 1
    for bar in bars:
        found = lcm(found, bar.divisions)
        if found > MOST_DIVISIONS:
            return None
    return found
