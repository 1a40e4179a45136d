"""A line in MIDI's own terms: ticks, tempo map, time signatures.

Values from MIDI Manufacturers Association RP-001, Standard MIDI Files 1.0: Set Tempo is microseconds per
quarter in 24 bits whatever the beat; a time signature says how many 24ths of a quarter lie between clicks.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from charts.performance import Performance, PlayedBar, PlayedBeat
from charts.source import FeelmapError
from charts.timing import Meter

USUAL_TICKS = 3360  # the least that 2 to 8, 12, 16, 24 and 32 divide
MOST_TICKS = 0x7FFF
SLOWEST_MICROSECONDS = 0xFFFFFF  # per quarter
DRIFT_SECONDS = 0.0004  # rounded tempos may run apart from exact time by so much before one is corrected


def ticks_a_quarter(places: Iterable[Fraction]) -> int:
    """Ticks a quarter: 3,360, or finer where the places need it and the file format allows it.

    >>> ticks_a_quarter([Fraction(1, 3), Fraction(5, 32)]), ticks_a_quarter([Fraction(1, 9)])
    (3360, 10080)
    """
    needed = 1
    for denominator in sorted({place.denominator for place in places}):
        if math.lcm(needed, denominator) <= MOST_TICKS:
            needed = math.lcm(needed, denominator)
    if math.lcm(needed, USUAL_TICKS) <= MOST_TICKS:
        return math.lcm(needed, USUAL_TICKS)
    return needed * max(1, USUAL_TICKS // needed)


@dataclass(frozen=True, slots=True)
class Knot:
    """A place where the tempo may change: quarters, seconds, and the steady tempo from here on.

    ``microseconds`` per quarter is None where time is stretched until the next knot by a ramp or a hold;
    ``more`` quarters are put in after it, where a hold is longer than any tempo can say.
    """

    quarters: Fraction
    seconds: float
    microseconds: Fraction | None
    more: int = 0


def knots(line: Performance, places: Sequence[Fraction]) -> list[Knot]:
    """Every beat, and the ends of every hold; ``places`` are the events in order, none of them stretched."""
    found: list[Knot] = []
    for beat in line.beats:
        found += _beat_knots(beat, places)
    return [*found, Knot(line.quarters, line.seconds, None)]


def _beat_knots(beat: PlayedBeat, places: Sequence[Fraction]) -> Iterator[Knot]:
    steady = 60_000_000 / (beat.tempo * beat.unit_quarters) if beat.tempo == beat.tempo_end else None
    held = beat.holds
    if beat.skip not in held:
        yield Knot(beat.quarters, beat.seconds, steady)
    for at, following in pairwise([*held, Fraction(1)]):
        start = beat.quarters_at(at)
        end = min(_next_place(places, start), beat.quarters_at(following))
        until = beat.skip + (end - beat.quarters) / beat.beat.quarters
        seconds = beat.seconds_at(until) - beat.seconds_at(at)
        more = math.ceil(seconds * 1e6 / SLOWEST_MICROSECONDS - float(end - start))
        yield Knot(start, beat.seconds_at(at), None, max(0, more))
        if until < following:
            yield Knot(end, beat.seconds_at(until), steady)


def _next_place(places: Sequence[Fraction], after: Fraction) -> Fraction:
    found = bisect_right(places, after)
    return places[found] if found < len(places) else after + 1_000_000


class Ticks:
    """Where a place on the line lies in the file."""

    def __init__(self, per_quarter: int, spread: Iterable[Knot]) -> None:
        self.per_quarter = per_quarter
        stretched = [knot for knot in spread if knot.more]
        self._after = [knot.quarters for knot in stretched]
        self._more = [0]
        for knot in stretched:
            self._more.append(self._more[-1] + knot.more)

    def quarters(self, place: Fraction) -> Fraction:
        """Quarters in the file: what a hold put in counts after the place it is on."""
        return place + self._more[bisect_left(self._after, place)]

    def at(self, place: Fraction) -> int:
        """Ticks from the start of the file."""
        return round(self.quarters(place) * self.per_quarter)


def tempo_map(spread: Sequence[Knot], ticks: Ticks) -> Iterator[tuple[int, int]]:
    """Tick and microseconds per quarter of every Set Tempo.

    Inside ramps and holds each is chosen so that the sum is exact at the next knot; in steady stretches the
    rounded tempo is kept until the sum would run ``DRIFT_SECONDS`` apart.
    """
    now, last = spread[0].seconds if spread else 0.0, 0
    for knot, following in pairwise(spread):
        start = ticks.at(knot.quarters)
        length = (ticks.at(following.quarters) - start) / ticks.per_quarter
        if length <= 0:
            continue
        exact = (following.seconds - now) * 1e6 / length
        chosen = round(exact) if knot.microseconds is None else round(knot.microseconds)
        if abs(now + chosen * length / 1e6 - following.seconds) > DRIFT_SECONDS:
            chosen = round(exact)
        if chosen > SLOWEST_MICROSECONDS:
            raise FeelmapError(
                f"{60e6 / chosen:.3g} quarters per minute is slower than MIDI can say",
                "write a WAV file, or a tempo of 20 or more",
            )
        if chosen != last:
            yield start, chosen
        now, last = now + chosen * length / 1e6, chosen


class Signature(NamedTuple):
    """A time signature in the words of mido; clocks are 24ths of a quarter."""

    numerator: int
    denominator: int
    clocks_per_click: int
    notated_32nd_notes_per_beat: int = 8


def clocks_of(meter: Meter) -> int:
    """24ths of a quarter from click to click: the felt beat; in additive meters what all groups share.

    >>> [clocks_of(Meter.read(text)) for text in ("4/4", "6/8", "2/2", "7/8 (2+2+3)")]
    [24, 36, 48, 12]
    """
    if meter.groups:
        return 12 * math.gcd(*meter.groups)
    return int(24 * meter.unit_quarters)


def signature_of(bar: PlayedBar, length: Fraction) -> Signature | None:
    """The signature of a bar of that many quarters; None where none can say it (a pickup of 2/3 beat)."""
    meter = bar.meter
    for lower in (meter.lower, 8, 16, 32):
        upper = length * lower / 4
        if lower >= meter.lower and upper.denominator == 1 and upper <= 255:
            return Signature(int(upper), lower, clocks_of(meter))
    return None


def signatures(line: Performance, ticks: Ticks) -> Iterator[tuple[int, Signature]]:
    """Tick and signature wherever it changes, and where a bar follows one that no signature can say."""
    last: Signature | None = None
    for bar in line.bars:
        end = bar.quarters + bar.length
        signature = signature_of(bar, ticks.quarters(end) - ticks.quarters(bar.quarters))
        if signature is not None and signature != last:
            yield ticks.at(bar.quarters), signature
        last = signature
