"""A spot for a fill, and what is wanted there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, lru_cache

from charts.feel import Feel, Grid
from charts.fitting.moments import Beats
from charts.landing import CRASH_VOICES
from charts.pattern import Pattern
from charts.placing import shifted
from charts.timing import ANY_TEMPO, Meter
from charts.verdict import NEXT_BEAT


@dataclass(frozen=True)
class Wanted:
    """What a fill should be like: beats, onsets per beat, and voices (None where any will do)."""

    beats: int
    busyness: float
    voices: frozenset[str] | None = None


@lru_cache(maxsize=4096)
def like(pattern: Pattern) -> Wanted:
    """What a fill is like, so that another can be as near as possible.

    >>> from charts.notation import read_rows
    >>> like(Pattern("", "fill", 2, read_rows("SD oooo|oo..").strokes)).busyness
    3.0
    """
    strokes = sum(len(onsets) for onsets in pattern.onsets)
    busyness = strokes / pattern.beats if pattern.beats else 0.0
    return Wanted(pattern.beats, busyness, frozenset(stroke.voice for stroke in pattern.strokes))


@dataclass(frozen=True)
class Spot:
    """Where a fill is to be played.

    ``beats`` are free and end where the fill lands, or that is ``offset`` into the last of them, as written;
    ``meter`` is that of the last bar, where it is known; ``leads_into`` names what follows; ``landing`` are
    the voices struck there; ``taken`` are names not to be offered, such as the fill used just before;
    ``now`` is the fill that is there; ``next_feel`` is that of what follows, where it is another at the same
    tempo; ``target`` is the hit of the band that the fill lands on, as a chart writes it.
    """

    feel: Feel
    beats: Beats
    wanted: Wanted
    leads_into: str = ""
    soft: bool = False
    landing: tuple[str, ...] = CRASH_VOICES
    taken: frozenset[str] = frozenset()
    offset: Fraction = Fraction(0)
    meter: Meter | None = None
    now: Pattern | None = None
    next_feel: Feel | None = None
    target: str = ""

    @cached_property
    def grids(self) -> tuple[Grid, ...]:
        """The grid of each free beat."""
        return tuple([self.feel.grid(beat, bpm) for beat, bpm in self.beats])

    @property
    def at_any_tempo(self) -> Spot:
        """The same for spots that differ in tempo only."""
        return replace(self, beats=tuple([(beat, ANY_TEMPO) for beat, _ in self.beats]))

    @property
    def in_next_feel(self) -> Spot:
        """The same for a fill that is played in the feel of what follows."""
        assert self.next_feel is not None  # asked by the caller
        return replace(self, feel=self.next_feel, next_feel=None)

    @property
    def lands(self) -> Fraction:
        """Where in the last beat the fill lands: 1 is the next beat."""
        return self.offset or NEXT_BEAT

    def laid(self, pattern: Pattern) -> Pattern:
        """A fill as it lies over the last of the beats."""
        return shifted(pattern, self.offset) if self.offset else pattern

    def under(self, pattern: Pattern) -> Beats:
        """The beats that a fill covers."""
        return self.beats[len(self.beats) - pattern.beats - bool(self.offset) :]
