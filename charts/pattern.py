"""Strokes and patterns: fills and grooves as exact places in beats."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from math import lcm

from charts.kit import ORDER, is_hand
from charts.source import Span
from charts.timing import Meter

FILL, GROOVE = "fill", "groove"
ENDING = "ending"  # what the last bar of a song leads into
PLAIN, GHOST, FLAM, DRAG, BUZZ = "stroke", "ghost", "flam", "drag", "buzz"
CLOSED, HALF_OPEN, OPEN = "closed", "half-open", "open"
RIGHT, LEFT, BOTH = "R", "L", "B"


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke: ``beat`` from 0, ``at`` a fraction of that beat, ``hand`` R, L, B or empty."""

    beat: int
    at: Fraction
    voice: str
    kind: str = PLAIN
    accent: bool = False
    hat: str = CLOSED  # how open the hi-hat is; closed for every other voice
    hand: str = ""

    @property
    def place(self) -> Fraction:
        """Beats from the start of the pattern."""
        return self.beat + self.at

    @property
    def by_hand(self) -> bool:
        return is_hand(self.voice)


def in_order(strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """Strokes in time, then in the kit's order."""
    return tuple(sorted(strokes, key=lambda s: (s.beat, s.at, ORDER[s.voice])))


@dataclass(frozen=True)
class Pattern:
    """A fill (ends at a barline) or a groove (loops). ``strokes`` are in order.

    Two patterns are equal when they sound the same and are stuck the same; names, places in files and
    plain words do not count.
    """

    name: str = field(compare=False)
    kind: str
    beats: int
    strokes: tuple[Stroke, ...]
    suits: str = field(default="", compare=False)
    feels: tuple[str, ...] = field(default=(), compare=False)  # feels or families it is made for
    place: str = field(default="", compare=False)  # the only kind of place it is for
    meter: Meter | None = None
    tempo: tuple[Fraction, Fraction] | None = field(default=None, compare=False)
    swung: bool = False  # written straight, played swung
    origin: str = field(default="", compare=False)  # vocabulary, book or chart
    span: Span | None = field(default=None, compare=False, repr=False)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Patterns are keys of remembered verdicts: hashed once."""
        return hash((self.kind, self.beats, self.strokes, self.swung))

    @property
    def by_beat(self) -> tuple[tuple[Stroke, ...], ...]:
        """The strokes of each beat."""
        found: list[list[Stroke]] = [[] for _ in range(self.beats)]
        for stroke in self.strokes:
            found[stroke.beat].append(stroke)
        return tuple(map(tuple, found))

    @cached_property
    def onsets(self) -> tuple[tuple[Fraction, ...], ...]:
        """The distinct places struck in each beat, as written."""
        return tuple(tuple(sorted({s.at for s in beat})) for beat in self.by_beat)

    @property
    def voices(self) -> tuple[str, ...]:
        """The voices heard, in the kit's order."""
        return tuple(sorted({s.voice for s in self.strokes}, key=ORDER.__getitem__))

    @property
    def stuck(self) -> bool:
        """True where the pattern says which hand plays."""
        return any(s.hand for s in self.strokes)

    def with_strokes(self, strokes: Iterable[Stroke]) -> Pattern:
        """The same pattern with other strokes."""
        return replace(self, strokes=in_order(strokes))


def division(onsets: Iterable[Fraction]) -> int:
    """The coarsest equal division of a beat that holds all the onsets.

    >>> division([Fraction(0), Fraction(1, 3), Fraction(1, 2)])
    6
    """
    return lcm(*(at.denominator for at in onsets))
