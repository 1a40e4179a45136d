"""New fills out of one: on the grid, playable at the tempo, no two the same, the nearest first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.feel import Feel
from charts.fitting.changes import KINDS, STUCK
from charts.fitting.hands import hands_are_meant, playable, with_hands, without_hands
from charts.fitting.moments import Beats
from charts.fitting.regrid import regrid
from charts.landing import CRASH_VOICES
from charts.limits import DEFAULT_LIMITS, Limits
from charts.pattern import FILL, Pattern, Stroke
from charts.verdict import FITS, judge, worst

RELAID = "re-laid on the grid"
BATCH = 8  # how many ways are changed again at a time


@dataclass(frozen=True)
class Variation:
    """A new fill: what changed in words, and how many strokes and accents are not as they were."""

    pattern: Pattern
    changed: str
    distance: int
    sticks: bool = False  # its hands are part of the idea, as in a diddle


def vary(
    pattern: Pattern,
    feel: Feel,
    beats: Beats,
    limits: Limits = DEFAULT_LIMITS,
    left_handed: bool = False,
    count: int = 6,
) -> tuple[Variation, ...]:
    """Up to ``count`` variations, nearest first; same input, same list.

    A fill that does not fit the feel is re-laid first. Each kind of change has its turn, so that the list
    is not one idea over and over. None where the fill can neither fit nor be played.

    >>> from charts.fitting.moments import own_beats
    >>> from charts.notation import read_rows
    >>> fill = Pattern("", "fill", 2, read_rows("SD Oooo|oooo").strokes)
    >>> for way in vary(fill, Feel("straight sixteenths", (2, 2)), own_beats(fill, Fraction(90)), count=3):
    ...     print(way.changed)
    flams on the accents
    the last stroke goes to the bass drum; the hands are free for the crash
    right hand to the floor tom, left on the snare
    """
    if count < 1 or not pattern.strokes:
        return ()
    work = _Work(pattern, feel, beats, limits, left_handed)
    base = work.base()
    if base is None:
        return ()
    start, words = base
    found = work.choose([work.changes(start, words)], count)
    for few in _batches(found):  # too few single changes: change the changed, the nearest first
        if len(found) < count:
            again = [work.changes(way.pattern, way.changed, way) for way in few]
            found = found + work.choose(again, count - len(found))
    return tuple(
        replace(way, pattern=replace(way.pattern, name=f"{pattern.name}, variation {number}"))
        for number, way in enumerate(sorted(found, key=lambda way: way.distance), start=1)
    )


def _batches(ways: list[Variation]) -> list[list[Variation]]:
    """A list in small parts."""
    return [ways[start : start + BATCH] for start in range(0, len(ways), BATCH)]


Candidates = list[list[Variation]]  # of each kind of change, the nearest first


class _Work:
    """A fill, and the beats and limbs that what comes of it has to suit."""

    def __init__(self, pattern: Pattern, feel: Feel, beats: Beats, limits: Limits, left_handed: bool) -> None:
        self.original, self.feel, self.beats = pattern, feel, beats
        self.limits, self.left_handed = limits, left_handed
        self.seen = {_heard(pattern)}
        self.landing: tuple[Stroke, ...] = ()
        self.meant = hands_are_meant(pattern, feel, beats, limits, left_handed)

    def base(self) -> tuple[Pattern, str] | None:
        """The fill on the grid with hands found, and what was done to it so far."""
        start, words = self.original, ""
        if not self._fits(start):
            versions = regrid(start, self.feel, self.beats, self.limits, self.left_handed).versions
            if not versions:
                return None
            start, words = versions[0].pattern, RELAID
            self.seen.add(_heard(start))
        voices = CRASH_VOICES if start.kind == FILL else ()  # a groove runs into itself
        landing = tuple(Stroke(start.beats, Fraction(0), voice) for voice in voices)
        stuck = self._stuck(start)
        if stuck is not None:
            self.landing = landing if self._plays(stuck, landing) else ()  # asked only of what can
        return (stuck, words) if stuck is not None else None

    def changes(self, start: Pattern, words: str, after: Variation | None = None) -> Candidates:
        """What may come of a fill by one change, farther off than what it comes ``after``; not yet judged."""
        before = Counter(_heard(self.original))
        found: Candidates = []
        for kind in KINDS:
            ways = []
            for changed, strokes in kind(start.by_beat):
                new = start.with_strokes(strokes)
                distance = _distance(before, Counter(_heard(new)))
                if after is None or distance > after.distance:
                    sticks = kind in STUCK or (after is not None and after.sticks)
                    ways.append(Variation(new, f"{words}; {changed}" if words else changed, distance, sticks))
            found.append(sorted(ways, key=lambda way: way.distance))
        return found

    def choose(self, sources: list[Candidates], count: int) -> list[Variation]:
        """The nearest of each kind in turn, until there are enough."""
        lanes = [iter(lane) for candidates in sources for lane in candidates]
        found: list[Variation] = []
        while lanes and len(found) < count:
            for lane in list(lanes):
                way = self._next(lane)
                if way is None:
                    lanes.remove(lane)
                elif len(found) < count:
                    found.append(way)
        return found

    def _next(self, lane: Iterator[Variation]) -> Variation | None:
        for way in lane:
            heard = _heard(way.pattern)
            doubled = len({stroke[:4] for stroke in heard}) < len(heard)  # two strokes on one drum at once
            if heard in self.seen or doubled or not self._fits(way.pattern):
                continue
            stuck = self._stuck(way.pattern, way.sticks)
            if stuck is not None:
                self.seen.add(heard)
                return replace(way, pattern=stuck)
        return None

    def _fits(self, pattern: Pattern) -> bool:
        return worst(judge(pattern, self.feel, self.beats)) == FITS

    def _plays(self, pattern: Pattern, landing: tuple[Stroke, ...]) -> bool:
        return playable(pattern, self.feel, self.beats, self.limits, self.left_handed, landing).playable

    def _stuck(self, pattern: Pattern, as_given: bool = False) -> Pattern | None:
        """The pattern with hands that can play it: those it came with, else found anew; None if none can."""
        attempts = [pattern] if pattern.stuck and (as_given or self.meant) else []
        if not as_given:
            attempts.append(without_hands(pattern))
        for attempt in attempts:
            playing = playable(attempt, self.feel, self.beats, self.limits, self.left_handed, self.landing)
            if playing.playable:
                return with_hands(attempt, playing)
        return None


_Sound = tuple[int, int, int, str, str, bool, str]  # beat, place as a fraction, voice, then how it is struck


def _heard(pattern: Pattern) -> tuple[_Sound, ...]:
    """What sounds, whoever plays it; places as pairs of numbers, which are quick to compare."""
    return tuple(
        [
            (s.beat, s.at.numerator, s.at.denominator, s.voice, s.kind, s.accent, s.hat)
            for s in pattern.strokes
        ]
    )


def _distance(before: Counter[_Sound], after: Counter[_Sound]) -> int:
    """Strokes that are gone and strokes that are new; one that only changed its force counts once."""
    gone, new = before - after, after - before
    same_place = Counter(s[:4] for s in gone.elements()) & Counter(s[:4] for s in new.elements())
    return gone.total() + new.total() - same_place.total()
