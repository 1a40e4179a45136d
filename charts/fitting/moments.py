"""When each stroke of a pattern sounds, in ms, and the beats that a pattern is laid over."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from charts.feel import Feel
from charts.pattern import Pattern
from charts.timing import Beat, Meter
from charts.verdict import nominal_onsets, sounding_places

Beats = Sequence[tuple[Beat, Fraction]]  # each beat's shape, and its tempo in bpm where it starts

PLAIN_BEAT = Meter.read("4/4").beats[0]


def own_beats(pattern: Pattern, bpm: Fraction) -> tuple[tuple[Beat, Fraction], ...]:
    """The beats a pattern fills when it is alone: those of its own meter, back from a barline.

    A pattern without a meter is counted in quarters.

    >>> len(own_beats(Pattern("", "fill", 3, ()), Fraction(100)))
    3
    """
    bar = pattern.meter.beats if pattern.meter else (PLAIN_BEAT,)
    first = -pattern.beats % len(bar) if pattern.kind == "fill" else 0
    return tuple((bar[(first + place) % len(bar)], bpm) for place in range(pattern.beats))


def beat_ms(beat: Beat, bpm: Fraction) -> Fraction:
    """Length of a beat in ms.

    >>> beat_ms(PLAIN_BEAT, Fraction(120))
    Fraction(500, 1)
    """
    return 60000 * beat.units / bpm


def beat_starts(beats: Beats) -> list[Fraction]:
    """Where each beat starts, in ms from the first, and where the last one ends."""
    starts = [Fraction(0)]
    for beat, bpm in beats:
        starts.append(starts[-1] + beat_ms(beat, bpm))
    return starts


def stroke_times(pattern: Pattern, feel: Feel, beats: Beats) -> tuple[Fraction, ...]:
    """When each stroke sounds, in ms from the pattern's first beat, in the order of its strokes.

    >>> from charts.notation import read_rows
    >>> from charts.pattern import Pattern
    >>> pair = Pattern("", "fill", 1, read_rows("SD oo").strokes)
    >>> shuffle = Feel("shuffle", (3,), Fraction(2))
    >>> [float(ms) for ms in stroke_times(pair, shuffle, own_beats(pair, Fraction(120)))]
    [0.0, 250.0]
    """
    times: list[Fraction] = []
    start = Fraction(0)
    for (beat, bpm), onsets, strokes in zip(beats, pattern.onsets, pattern.by_beat, strict=True):
        length = beat_ms(beat, bpm)
        heard = sounding_places(onsets, pattern.swung, feel.grid(beat, bpm))
        times.extend(start + heard[stroke.at][1] * length for stroke in strokes)
        start += length
    return tuple(times)


class Spot(NamedTuple):
    """Where a stroke lies on the even grid.

    ``place`` counts from the first beat in the tempo's units, ``at`` is the place in its beat; ``pairs`` are
    the places of the feel's swung pairs, in order, where the beat has no others; ``beat`` is its length in
    units.
    """

    place: Fraction
    at: Fraction
    pairs: tuple[Fraction, ...]
    beat: Fraction


def stroke_spots(pattern: Pattern, feel: Feel, beats: Beats) -> list[Spot]:
    """The spot of each stroke of a pattern, in the order of its strokes."""
    spots: list[Spot] = []
    start = Fraction(0)
    for number, ((beat, bpm), strokes) in enumerate(zip(beats, pattern.by_beat, strict=True)):
        grid = feel.grid(beat, bpm)
        onsets = nominal_onsets(pattern, number, grid)
        pairs = tuple(sorted(grid.swung_nominal)) if grid.swung_nominal.issuperset(onsets) else ()
        where = dict(zip(pattern.onsets[number], onsets, strict=True))
        for stroke in strokes:
            at = where[stroke.at]
            spots.append(Spot(start + at * beat.units, at, pairs, beat.units))
        start += beat.units
    return spots
