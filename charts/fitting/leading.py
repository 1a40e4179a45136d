"""Which hand a rhythm asks for, whatever the drums: natural sticking.

Hand to hand is the rule within a run: strokes at one spacing, or so close that nothing fits between them.
After a hole in the rhythm the hand comes back that a full grid would have given: the leading hand on the beat
and on every second place after it. A hand that keeps time on a cymbal, or under the other's backbeats, goes
on alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from charts.fitting.moments import Spot
from charts.kit import VOICES
from charts.pattern import division

# What a wish weighs, in the units of charts.fitting.sticking (ours).
KEPT = 1000  # the wrong hand where one hand keeps time: more than the two repeats that it saves
NATURAL, FIRST = 50, 20  # not the hand that the full grid would have given; for the first stroke
CRASH, CRASH_IN_RUN = 54, 50  # a crash with the other hand, out of a hole and in a run
ON_BEAT = 3  # the other hand on the beat, in a run

TIME_VOICES = frozenset({"HH", "RD", "RB", "CB"})  # the leading hand keeps time on these
RIM = "XS"  # the other hand lies on the snare for a cross-stick
FLOOR = "FT"
CRASHES = frozenset({"C1", "C2", "CH", "SP"})
TWO_HANDS_MS = 175  # closer than this, time on a cymbal is shared by both hands (ours)
RIM_MS = 150  # closer than this, two on the rim are shared by both hands (ours)


class Moment(NamedTuple):
    """What the hands do at one place: where it lies, when it sounds, what is struck."""

    spot: Spot
    time_ms: Fraction
    voices: tuple[str, ...]
    flam: bool = False


class Asked(NamedTuple):
    """What it costs to play a stroke with the lead or the off hand.

    ``tied``: hand to hand from the stroke before; ``lands``: it follows the pattern.
    """

    tied: bool
    lead: int
    off: int
    lands: bool = False


FREE, LANDS = Asked(False, 0, 0), Asked(False, 0, 0, lands=True)


def asked(moments: Sequence[Moment], feet: Sequence[Fraction]) -> list[Asked]:
    """What the rhythm asks at each moment.

    ``feet`` are the places of the feet's strokes, counted like those of the hands.
    """
    gaps = [after.spot.place - before.spot.place for before, after in pairwise(moments)]
    cells = division(moment.spot.at for moment in moments)
    kept = _kept(moments, gaps)
    found = []
    for number, moment in enumerate(moments):
        tied = number > 0 and _tied(number - 1, gaps, moments, feet)
        if tied and kept[number - 1] is not None and kept[number] is None:
            tied = gaps[number - 1] <= min(gaps[number : number + 1], default=gaps[number - 1])
        around = min(gaps[max(0, number - 1) : number + 1], default=moment.spot.beat)
        tried = (around, min(gaps, default=around), moment.spot.beat / cells)
        found.append(_asked(moment, tied, number > 0, len(moments) == 1, tried, kept[number]))
    return found


def _asked(
    moment: Moment, tied: bool, follows: bool, alone: bool, tried: Sequence[Fraction], keeps: bool | None
) -> Asked:
    lead = off = 0
    hand = moment.flam or natural(moment.spot, tried)
    if hand is None and alone:
        hand = False  # the middle of a triplet by itself: right, left, right
    tied = tied or (hand is None and follows)
    if tied:
        off = ON_BEAT if not moment.spot.at else 0
    elif hand is not None:
        wrong = NATURAL if follows else FIRST
        lead, off = (0, wrong) if hand else (wrong, 0)
    if CRASHES.issuperset(moment.voices):
        off += CRASH_IN_RUN if tied else CRASH
    if keeps is not None:
        lead, off = (lead, off + KEPT) if keeps else (lead + KEPT, off)
    return Asked(tied, lead, off)


def _tied(gap: int, gaps: Sequence[Fraction], moments: Sequence[Moment], feet: Sequence[Fraction]) -> bool:
    """True where there is no hole between two moments: a foot fills it, or they are as near as their next."""
    if len(moments[gap].voices) > 1:
        return False  # after both hands either is free
    here, beside = gaps[gap], [*gaps[max(0, gap - 1) : gap], *gaps[gap + 1 : gap + 2]]
    if here > moments[gap].spot.beat:
        return False
    start, end = moments[gap].spot.place, moments[gap + 1].spot.place
    near = here in beside or all(here < other for other in beside)
    return near or _filled([start, *(foot for foot in feet if start < foot < end), end], moments[gap].spot)


def _filled(places: Sequence[Fraction], spot: Spot) -> bool:
    """True where feet fill a gap: evenly, or by long and short where the feel swings."""
    steps = {after - before for before, after in pairwise(places)}
    return len(places) > 2 and (len(steps) == 1 or bool(spot.pairs))


def natural(spot: Spot, tried: Sequence[Fraction]) -> bool | None:
    """True where a full grid gives the leading hand, False the other, None either.

    ``tried`` are lengths of a cell, the first counts that the place and the beat are whole in. In threes the
    grid gives the beat to the leading hand and the last stroke to the other, between them hands alternate.

    >>> quarter = Fraction(1, 4)
    >>> [natural(Spot(place, place, (), Fraction(1)), [quarter]) for place in (quarter, 2 * quarter)]
    [False, True]
    """
    if not spot.at:
        return True
    if spot.pairs:
        return spot.pairs.index(spot.at) % 2 == 0
    for cell in tried:
        cells, place = spot.beat / cell, spot.at * spot.beat / cell
        if cells.denominator == place.denominator == 1:
            if cells % 3 == 0:
                return None if place < cells - 1 else False
            return place % 2 == 0
    return None


def _kept(moments: Sequence[Moment], gaps: Sequence[Fraction]) -> list[bool | None]:
    """True where the leading hand keeps time, False where the other lies on the rim, else None."""
    kept: list[bool | None] = [None] * len(moments)
    for voice in {voice for moment in moments for voice in moment.voices}:
        alone = [number for number, moment in enumerate(moments) if moment.voices == (voice,)]
        series = list(_series(voice, moments, gaps))
        if voice in TIME_VOICES or voice == RIM:
            least, quick = (2, RIM_MS) if voice == RIM else (3, TWO_HANDS_MS)
            shared = any(_shared(each, moments, least, quick) for each in series)
            keeping = [] if shared else alone
        else:
            under = [each for each in series if _under(voice, each, moments)]
            keeping = [number for number in alone if any(number in each for each in under)]
        for number in keeping:
            kept[number] = voice != RIM
    return kept


def _shared(series: Sequence[int], moments: Sequence[Moment], least: int, quick: int) -> bool:
    """True for that many strokes or more that are quick and leave both hands free for them."""
    first, second = (moments[number].time_ms for number in series[:2])
    alone = all(len(moments[number].voices) == 1 for number in series)
    return len(series) >= least and alone and second - first < quick


def _under(voice: str, series: Sequence[int], moments: Sequence[Moment]) -> bool:
    """True where one hand goes on with a voice while the other plays with it now and then."""
    together = sum(len(moments[number].voices) > 1 for number in series)
    least = 1 if VOICES[voice].family == "cymbal" else 2 if voice == FLOOR else len(series)
    return least <= together < len(series)


def _series(voice: str, moments: Sequence[Moment], gaps: Sequence[Fraction]) -> Iterator[list[int]]:
    """Longest series of moments that all have a voice: at one spacing, or long and short in a swung feel."""
    series: list[int] = []
    for number, moment in enumerate(moments):
        if voice not in moment.voices:
            if len(series) > 1:
                yield series
            series = []
        elif len(series) > 1 and gaps[number - 1] != gaps[number - 2] and not moment.spot.pairs:
            yield series
            series = [number - 1, number]
        else:
            series.append(number)
    if len(series) > 1:
        yield series
