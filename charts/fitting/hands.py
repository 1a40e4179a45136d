"""Can two hands and two feet play it? Sticking where none is given, and every limb against its limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise
from math import lcm
from typing import Any

from charts.feel import Feel
from charts.fitting.leading import FREE, LANDS, Asked, Moment, asked
from charts.fitting.moments import Beats, Spot, beat_ms, beat_starts, stroke_spots, stroke_times
from charts.fitting.sticking import LEAD, OFF, TOGETHER, Blow, Pace, allowed, same_drum, stick
from charts.limits import DEFAULT_LIMITS, Limits
from charts.pattern import BOTH, DRAG, FLAM, GROOVE, LEFT, RIGHT, Pattern, Stroke

TWO_PLACES, TOO_FAST = "two-places", "too-fast"
RIGHT_FOOT, LEFT_FOOT = "RF", "LF"
LIMBS = {RIGHT: "right hand", LEFT: "left hand", RIGHT_FOOT: "right foot", LEFT_FOOT: "left foot"}


@dataclass(frozen=True, slots=True)
class Breach:
    """A limb asked for what it cannot do: ``kind`` is ``two-places`` or ``too-fast``.

    ``gap_ms`` lies between the two strokes, ``limit_ms`` is the least that this limb needs there.
    """

    limb: str
    first: Stroke
    second: Stroke
    gap_ms: Fraction
    limit_ms: Fraction
    kind: str

    def row(self) -> dict[str, Any]:
        """The breach as JSON: beats from 1, ms to 0.1."""
        return {
            "limb": self.limb,
            "kind": self.kind,
            "first": _stroke_row(self.first),
            "second": _stroke_row(self.second),
            "gap_ms": round(float(self.gap_ms), 1),
            "limit_ms": round(float(self.limit_ms), 1),
        }


def _stroke_row(stroke: Stroke) -> dict[str, Any]:
    return {"beat": stroke.beat + 1, "at": str(stroke.at), "voice": stroke.voice}


@dataclass(frozen=True)
class Playing:
    """How a pattern is played: a limb for each of its strokes (R, L, B, RF, LF), and what cannot be done."""

    assignment: tuple[str, ...]
    breaches: tuple[Breach, ...]

    @property
    def playable(self) -> bool:
        return not self.breaches


def playable(
    pattern: Pattern,
    feel: Feel,
    beats: Beats,
    limits: Limits = DEFAULT_LIMITS,
    left_handed: bool = False,
    landing: Sequence[Stroke] = (),
) -> Playing:
    """Find the hands for every stroke that has none, and judge every limb.

    ``landing`` are strokes that follow the fill, their places counted on from its first beat as they sound;
    breaches may end on them, the assignment leaves them out. A groove runs into its own first strokes.

    >>> from charts.fitting.moments import own_beats
    >>> from charts.notation import read_rows
    >>> roll = Pattern("", "fill", 2, read_rows("SD oooo|oooo").strokes)
    >>> straight = Feel("straight sixteenths", (2, 2))
    >>> "".join(playable(roll, straight, own_beats(roll, Fraction(100))).assignment)
    'RLRLRLRL'
    >>> playable(roll, straight, own_beats(roll, Fraction(300))).playable
    False
    """
    if pattern.kind == GROOVE and not landing:
        landing = _loop(pattern)
    times = (*stroke_times(pattern, feel, beats), *landing_times(landing, beats))
    spots = stroke_spots(pattern, feel, beats)
    stage = _Stage((*pattern.strokes, *landing), times, spots, limits, left_handed)
    breaches = sorted(stage.breaches(), key=lambda b: (b.second.place, b.first.place, b.limb))
    return Playing(tuple(stage.limbs[n] for n in range(len(pattern.strokes))), tuple(breaches))


def with_hands(pattern: Pattern, playing: Playing) -> Pattern:
    """The pattern with the hands that were found written down; given ones stay."""
    drums = Counter(stroke.place for stroke in pattern.strokes if stroke.by_hand)
    stuck = []
    for stroke, limb in zip(pattern.strokes, playing.assignment, strict=True):
        if stroke.by_hand and not stroke.hand:
            stroke = replace(stroke, hand=BOTH if drums[stroke.place] > 1 else limb)
        stuck.append(stroke)
    return pattern.with_strokes(stuck)


def without_hands(pattern: Pattern) -> Pattern:
    """The pattern with no hand written down."""
    return pattern.with_strokes(replace(stroke, hand="") for stroke in pattern.strokes)


def hands_are_meant(
    pattern: Pattern, feel: Feel, beats: Beats, limits: Limits = DEFAULT_LIMITS, left_handed: bool = False
) -> bool:
    """True where doubles are written on one drum that the rhythm alone would not ask for."""
    hands = [stroke for stroke in pattern.strokes if stroke.hand]
    if not any(one.hand == other.hand and one.voice == other.voice for one, other in pairwise(hands)):
        return False
    bare = without_hands(pattern)
    return with_hands(bare, playable(bare, feel, beats, limits, left_handed)) != pattern


def landing_times(landing: Iterable[Stroke], beats: Beats) -> tuple[Fraction, ...]:
    """When landing strokes sound, in ms from the first beat; the last beat's length goes on after it."""
    starts = beat_starts(beats)
    lengths = [beat_ms(*beat) for beat in beats]
    times = []
    for stroke in landing:
        over = max(0, stroke.beat - len(beats))
        length = lengths[min(stroke.beat, len(beats) - 1)]
        times.append(starts[min(stroke.beat, len(beats))] + (over + stroke.at) * length)
    return tuple(times)


def _loop(pattern: Pattern) -> tuple[Stroke, ...]:
    first = min((stroke.place for stroke in pattern.strokes), default=None)
    opening = [stroke for stroke in pattern.strokes if stroke.place == first]
    return tuple(replace(stroke, beat=stroke.beat + pattern.beats) for stroke in opening)


@dataclass(frozen=True, slots=True)
class _Struck:
    """One stroke of one limb; ``moment`` counts what the hands do, so that two running on can be told."""

    time: int
    moment: int
    stroke: Stroke


class _Stage:
    """Strokes with their times in whole units, and the limbs that play them."""

    def __init__(
        self, strokes: Sequence[Stroke], times: Sequence[Fraction], spots: Sequence[Spot],
        limits: Limits, left_handed: bool,
    ) -> None:  # fmt: skip
        allowed_ms = (limits.hand_ms, limits.hand_double_ms, limits.foot_ms, limits.foot_double_ms)
        self.unit = lcm(*(ms.denominator for ms in (*times, *allowed_ms)))  # of these to a ms
        hand, hand_double, foot, foot_double = (int(ms * self.unit) for ms in allowed_ms)
        self.paces = {RIGHT: Pace(hand, hand_double), RIGHT_FOOT: Pace(foot, foot_double)}
        self.paces |= {LEFT: self.paces[RIGHT], LEFT_FOOT: self.paces[RIGHT_FOOT]}
        self.strokes, self.spots = strokes, spots
        self.times = [int(ms * self.unit) for ms in times]
        self.letters = (LEFT, RIGHT) if left_handed else (RIGHT, LEFT)
        self.pedals = (LEFT_FOOT, RIGHT_FOOT) if left_handed else (RIGHT_FOOT, LEFT_FOOT)
        self.limbs: dict[int, str] = {}
        self.runs: dict[str, list[_Struck]] = {limb: [] for limb in LIMBS}
        self._place_hands()
        self._place_feet()

    def _moments(self, hands: bool) -> list[tuple[int, list[int]]]:
        """What the hands, or the feet, do together: the time and the strokes' numbers."""
        wanted = [n for n, stroke in enumerate(self.strokes) if stroke.by_hand is hands]
        wanted.sort(key=self.times.__getitem__)
        return [(time, list(group)) for time, group in groupby(wanted, key=self.times.__getitem__)]

    def _place_hands(self) -> None:
        self.together = self._moments(hands=True)
        ways_of = [self._ways([self.strokes[n] for n in group]) for _, group in self.together]
        found = iter(self._wishes() if any(len(ways) > 1 for ways in ways_of) else ())
        blows = [
            Blow(time, ways, next(found, FREE) if group[0] < len(self.spots) else LANDS)
            for (time, group), ways in zip(self.together, ways_of, strict=True)
        ]
        ways = stick(blows, self.paces[RIGHT])
        for moment, ((time, group), blow, way) in enumerate(zip(self.together, blows, ways, strict=True)):
            lead, off, whose = blow.ways[way]
            for hand, voice in zip(self.letters, (lead, off), strict=True):
                if voice is not None:
                    stroke = next(self.strokes[n] for n in group if self.strokes[n].voice == voice)
                    self.runs[hand].append(_Struck(time, moment, stroke))
            if len(group) == 1:
                self.limbs[group[0]] = BOTH if whose == TOGETHER else self.letters[whose]
            else:
                self.limbs |= {n: self.letters[self.strokes[n].voice != lead] for n in group}

    def _wishes(self) -> list[Asked]:
        """What the rhythm asks of the hands at each of the pattern's own moments."""
        moments = []
        for time, group in self.together:
            if group[0] < len(self.spots):  # after them come landing strokes
                voices = tuple(self.strokes[n].voice for n in group)
                flam = self.strokes[group[0]].kind == FLAM
                moments.append(Moment(self.spots[group[0]], Fraction(time, self.unit), voices, flam))
        own = zip(self.spots, self.strokes, strict=False)
        return asked(moments, [spot.place for spot, stroke in own if not stroke.by_hand])

    def _ways(self, strokes: list[Stroke]) -> tuple[tuple[str | None, str | None, int], ...]:
        """Each way that two hands can play what falls together, as :class:`Blow` takes it."""
        one = strokes[0]
        if len(strokes) > 1:
            pairs = [(one, strokes[1]), (strokes[1], one)]
            given = [pair for pair in pairs if self._as_given(*pair)]
            return tuple((lead.voice, off.voice, TOGETHER) for lead, off in given or pairs)
        if one.hand == BOTH:
            return ((one.voice, one.voice, TOGETHER),)
        grace = one.voice if one.kind in (FLAM, DRAG) else None
        free = ((one.voice, grace, LEAD), (grace, one.voice, OFF))
        return (free[self.letters.index(one.hand)],) if one.hand else free

    def _as_given(self, lead: Stroke, off: Stroke) -> bool:
        pairs = zip((lead, off), self.letters, strict=True)
        return all(stroke.hand in ("", BOTH, letter) for stroke, letter in pairs)

    def _place_feet(self) -> None:
        for time, group in self._moments(hands=False):
            for number in group:
                foot = self.pedals[self.strokes[number].voice != "BD"]
                self.limbs[number] = foot
                self.runs[foot].append(_Struck(time, len(self.runs[foot]), self.strokes[number]))

    def breaches(self) -> Iterator[Breach]:
        """Everything that a limb cannot do."""
        for _, group in self.together:
            yield from self._crowd(group)
        for limb in self.runs:
            yield from self._too_much(limb)

    def _crowd(self, group: list[int]) -> Iterator[Breach]:
        """Three drums at once, or a flam and another drum: one hand would be in two places."""
        hands = {self.strokes[n]: self.limbs[n] for n in group}
        strokes = list(hands)
        pairs = [(next(one for one in strokes if hands[one] == hands[extra]), extra) for extra in strokes[2:]]
        for flam, other in (strokes[:2], strokes[1::-1]) if len(strokes) > 1 else ():
            if flam.kind in (FLAM, DRAG):
                pairs.append((flam, other))
        if len(strokes) == 2 and strokes[0].hand == strokes[1].hand in LIMBS:
            pairs.append((strokes[0], strokes[1]))
        for one, other in pairs:
            yield Breach(LIMBS[hands[other]], one, other, Fraction(0), Fraction(0), TWO_PLACES)

    def _too_much(self, limb: str) -> Iterator[Breach]:
        """One limb's strokes against its limits."""
        pace, doubled = self.paces[limb], False
        for last, now in pairwise(self.runs[limb]):
            gap = now.time - last.time
            if not gap:
                yield Breach(LIMBS[limb], last.stroke, now.stroke, Fraction(0), Fraction(0), TWO_PLACES)
                continue
            in_a_row = now.moment == last.moment + 1 and same_drum(last.stroke.voice, now.stroke.voice)
            may_double = in_a_row and not doubled
            fine, doubled = allowed(gap, in_a_row, doubled, pace)
            if not fine:
                limit = pace.double if may_double else pace.single
                gap_ms, limit_ms = Fraction(gap, self.unit), Fraction(limit, self.unit)
                yield Breach(LIMBS[limb], last.stroke, now.stroke, gap_ms, limit_ms, TOO_FAST)
