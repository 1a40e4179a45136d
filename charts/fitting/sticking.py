"""Which hand plays what: the least work over a whole pattern, by dynamic programming.

The search thinks of a right-handed player: the *lead* hand is the right one and the kit is as in
:mod:`charts.kit`. A left-handed kit is its mirror image, so only the letters change.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isqrt
from typing import NamedTuple

from charts.fitting.leading import FREE, KEPT, TIME_VOICES, Asked
from charts.kit import VOICES

LEAD, OFF, TOGETHER = 0, 1, 2
OVER_SNARE = frozenset({"HH", "C1"})

# What a way of playing costs, to be weighed against each other (ours).
BREACH = 1_000_000_000  # a limb past its limit: more than all the rest of a fill together
# Hand to hand leaves each hand twice the time, so that no reach asks for a repeat.
REPEAT = 400  # the same hand twice running in a run: more than any reach
CROSSED = 45  # the lead hand left of the other for two strokes, or at the end
OFF_FIRST = 3  # the off hand first, times the square of the strokes in halves: not for one crossing in many
OVER_HOLE = 5  # the same hand twice with a hole between
CM_A_POINT = 10  # that many centimeters of reach cost 1


@dataclass(frozen=True, slots=True)
class Blow:
    """What the hands do at one moment: each way of doing it gives the lead hand's and the off hand's voice.

    ``time`` is in the same whole units as the limits; a way's last figure says whose stroke it is. ``asked``
    is what the rhythm asks for.
    """

    time: int
    ways: tuple[tuple[str | None, str | None, int], ...]
    asked: Asked = FREE


class Hand(NamedTuple):
    """Where one hand was last: the blow (-1 where so long ago that no limit matters), voice, double used."""

    blow: int = -1
    voice: str = ""
    doubled: bool = False


@dataclass(frozen=True, slots=True)
class Pace:
    """Least time between strokes of one limb in whole units, single and for the second of a double."""

    single: int
    double: int


def reach(one: str, other: str) -> int:
    """Centimetres between two voices of the kit.

    >>> reach("SD", "SD"), reach("SD", "FT")
    (0, 55)
    """
    a, b = VOICES[one], VOICES[other]
    return isqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2)


def same_drum(one: str, other: str) -> bool:
    """True where a stick need not travel: rim and head, bell and bow.

    >>> same_drum("SD", "XS"), same_drum("SD", "T1")
    (True, False)
    """
    return reach(one, other) <= 5


def allowed(gap: int, in_a_row: bool, doubled: bool, limits: Pace) -> tuple[bool, bool]:
    """Whether a stroke so soon is within the limits, and whether it is the second of a double.

    Only two strokes running on one drum are a double, and a third one is not part of it.

    >>> allowed(100, True, False, Pace(140, 70)), allowed(100, True, True, Pace(140, 70))
    ((True, True), (False, False))
    """
    if gap >= limits.single:
        return True, False
    double = in_a_row and not doubled and gap >= limits.double
    return double, double


def stick(blows: Sequence[Blow], limits: Pace) -> list[int]:
    """For each blow the number of the way that makes the whole the least work."""
    if all(len(blow.ways) == 1 for blow in blows):
        return [0] * len(blows)
    search = _Search(blows, limits)
    for place in range(len(blows)):
        search.step(place)
    return search.best()


_State = tuple[Hand, Hand, int]  # lead, off, whose the last stroke was


class _Search:
    """All that matters of the past is where each hand was last: one cheapest way to each such state."""

    def __init__(self, blows: Sequence[Blow], limits: Pace) -> None:
        self.blows, self.limits = blows, limits
        self.costs: dict[_State, int] = {(Hand(), Hand(), TOGETHER): 0}
        self.trail: list[dict[_State, tuple[_State, int]]] = []

    def step(self, place: int) -> None:
        costs: dict[_State, int] = {}
        trail: dict[_State, tuple[_State, int]] = {}
        for state, cost in self.costs.items():
            for way, (after, work) in enumerate(self._ways(place, state)):
                total = cost + work
                if after not in costs or total < costs[after]:
                    costs[after], trail[after] = total, (state, way)
        self.costs = costs
        self.trail.append(trail)

    def best(self) -> list[int]:
        state = min(self.costs, key=self._at_the_end)  # the first found of equals
        ways: list[int] = []
        for trail in reversed(self.trail):
            state, way = trail[state]
            ways.append(way)
        return ways[::-1]

    def _ways(self, place: int, state: _State) -> Iterator[tuple[_State, int]]:
        lead, off, last = state
        blow = self.blows[place]
        for lead_voice, off_voice, whose in blow.ways:
            lead_after, lead_work = self._move(place, lead, lead_voice)
            off_after, off_work = self._move(place, off, off_voice)
            work = lead_work + off_work + self._habit(place, last, whose)
            if whose == TOGETHER and off_voice in TIME_VOICES:
                work += KEPT
            if _crossed(lead, off) and (
                blow.asked.lands or (whose != last and _crossed(lead_after, off_after))
            ):
                work += CROSSED
            yield (self._forget(place, lead_after), self._forget(place, off_after), whose), work

    def _at_the_end(self, state: _State) -> int:
        lead, off, _ = state
        lands = self.blows[-1].asked.lands
        return self.costs[state] + (CROSSED if _crossed(lead, off) and not lands else 0)

    def _move(self, place: int, hand: Hand, voice: str | None) -> tuple[Hand, int]:
        if voice is None:
            return hand, 0
        work = reach(hand.voice, voice) // CM_A_POINT if hand.voice else 0
        doubled = False
        if hand.blow >= 0:
            gap = self.blows[place].time - self.blows[hand.blow].time
            in_a_row = hand.blow == place - 1 and same_drum(hand.voice, voice)
            fine, doubled = allowed(gap, in_a_row, hand.doubled, self.limits)
            work += 0 if fine else BREACH
        return Hand(place, voice, doubled), work

    def _habit(self, place: int, last: int, whose: int) -> int:
        """Hands alternate in a run, and the rhythm asks for one of them."""
        if whose == TOGETHER:
            return 0
        asked = self.blows[place].asked
        work = asked.off if whose == OFF else asked.lead
        if whose == OFF and not place and not asked.lead:
            work += OFF_FIRST * sum(not blow.asked.lands for blow in self.blows) ** 2 // 2
        if whose == last:
            work += REPEAT if asked.tied else OVER_HOLE
        return work

    def _forget(self, place: int, hand: Hand) -> Hand:
        """Drop what no limit can ask for any more, so that few states are left."""
        if hand.blow < 0 or place + 1 == len(self.blows):
            return hand
        if self.blows[place + 1].time - self.blows[hand.blow].time >= self.limits.single:
            return Hand(-1, hand.voice)
        return hand


def _crossed(lead: Hand, off: Hand) -> bool:
    """True where the lead hand is left of the other; over the snare to hi-hat or crash is how all sit."""
    if not lead.voice or not off.voice or (lead.voice in OVER_SNARE and same_drum(off.voice, "SD")):
        return False
    return VOICES[lead.voice].x < VOICES[off.voice].x - 15
