"""A fill as it is heard where it is played: over which beats it is judged, and what it is called.

A fill that sets up the next section is judged in strokes per minute against that section's own grid and
tempo: eighths at 93 into a 12/8 at 62 are its eighths, eighths at 88 are nothing in straight eighths at 132.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import cycle
from math import lcm

from charts.equations import JUMP, Equation, equation, relation
from charts.feel import Feel
from charts.figures import StruckBeat
from charts.pattern import Pattern, division
from charts.song import Section
from charts.source import ERROR, NOTE, WARNING
from charts.timing import Beat
from charts.verdict import (
    CLASHES,
    CROSSES,
    FITS,
    NEAR,
    BeatVerdict,
    judge,
    judge_beats,
    nominal_onsets,
    worst,
)
from charts.wording import listed

Under = tuple[tuple[Beat, Fraction], ...]  # each beat's shape and its tempo where it starts

TRIPLET_DIVISIONS = (3, 6, 12, 24)
_FIGURES = (
    "none",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


@dataclass(frozen=True)
class Heard:
    """A fill over the beats that it is judged in, and the verdict on each.

    ``across`` is True where they are the next section's beats, counted back from its one; ``equation`` says
    how its notes and those under the fill go together.
    """

    feel: Feel
    under: Under
    beats: tuple[BeatVerdict, ...]
    across: bool = False
    equation: Equation | None = None

    @cached_property
    def verdict(self) -> str:
        """The worst of the beats' verdicts."""
        return worst(self.beats)

    @property
    def fits(self) -> bool:
        return self.verdict == FITS

    def level(self, on_purpose: object = None) -> str:
        """How much it matters: triplets over straight are often meant, as is what is kept on purpose."""
        if on_purpose or self.verdict in (FITS, NEAR, CROSSES):
            return NOTE
        clashing = [beat for beat in self.beats if beat.verdict == CLASHES]
        straight = not self.feel.swings and self.feel.divides[0] != 3
        return WARNING if straight and all(beat.division in TRIPLET_DIVISIONS for beat in clashing) else ERROR

    @property
    def words(self) -> str:
        """What it is, as one player says it to another: in threes across two beats.

        A rhythm across the beat by its runs, else the beats that are off by how they divide.
        """
        runs = list(dict.fromkeys(beat.run for beat in self.beats if beat.run is not None))
        off = [beat for beat in self.beats if beat.verdict == self.verdict]
        if self.verdict == CROSSES and runs and all(beat.run for beat in off):
            told = {(run.parts, run.over): 0 for run in runs}
            for run in runs:
                told[run.parts, run.over] += run.beats
            return listed([_run_words(*ratio, beats) for ratio, beats in told.items()])
        cells = list(dict.fromkeys(beat.division for beat in off))
        return "in " + listed([f"{_number(each)}s".replace("xs", "xes") for each in cells])


def _run_words(parts: int, over: int, beats: int) -> str:
    """One kind of run: “in threes across two beats”, “three over two”."""
    across = f" across {_number(beats)} beats"
    if over == 1:
        return f"in {_number(parts)}s".replace("xs", "xes") + (across if beats > 1 else "")
    return f"{_number(parts)} over {_number(over)}" + (across if beats > over else "")


def _number(count: int) -> str:
    return _FIGURES[count] if count < len(_FIGURES) else str(count)


def hear(pattern: Pattern, feel: Feel, under: Under, lands: Fraction | None, tolerance: Fraction) -> Heard:
    """A fill in the section that it is played in."""
    return Heard(feel, under, judge(pattern, feel, under, tolerance, lands))


def hear_next(
    pattern: Pattern, under: Under, lands: Fraction | None, tolerance: Fraction,
    section: Section, following: Section,
) -> Heard:  # fmt: skip
    """A fill at a section's end in the feel, the tempo and the beats of the section that it leads to."""
    tempo, feel = under[-1][1], following.feel
    ratio = _beats_for_beat(tempo, following.tempo)
    length = sum((shape.units for shape, _ in under), Fraction(0)) * ratio
    shapes = _last_beats(following, length)
    if ratio == 1 and shapes == [shape for shape, _ in under]:
        return hear(pattern, feel, under, lands, tolerance)
    there = tuple((shape, following.tempo) for shape in shapes)
    struck = _relaid(pattern, feel, under, ratio, there)
    beats = judge_beats(struck, lands is not None, tolerance)
    return Heard(feel, there, beats, True, equation(section, tempo, following))


def _beats_for_beat(left: Fraction, new: Fraction) -> Fraction:
    """How many beats of the new tempo one of the last takes, by the relation that players hear.

    Tempos that differ by no more than a tenth go on beat for beat; others are as they are.

    >>> [str(_beats_for_beat(Fraction(93), Fraction(bpm))) for bpm in (62, 96, 140, 128)]
    ['2/3', '1', '3/2', '128/93']
    """
    if abs(new - left) <= left * JUMP:
        return Fraction(1)
    found = relation(left, new)
    return Fraction(*found) if found else new / left


def _last_beats(section: Section, length: Fraction) -> list[Beat]:
    """The beats of a section's meter, back from its one, that hold that many of its tempo's units."""
    found: list[Beat] = []
    for shape in cycle(reversed(section.meter_of(1).beats)):
        if sum((each.units for each in found), Fraction(0)) >= length:
            break
        found.append(shape)
    return found[::-1]


def _relaid(pattern: Pattern, feel: Feel, under: Under, ratio: Fraction, there: Under) -> list[StruckBeat]:
    """The fill's strokes in other beats, as far back from where it ends, with its own cell in them."""
    shapes = [shape for shape, _ in there]
    start = sum((shape.units for shape in shapes), Fraction(0))
    start -= sum((shape.units for shape, _ in under), Fraction(0)) * ratio
    onsets: list[list[Fraction]] = [[] for _ in shapes]
    cells = 1
    for place, (shape, bpm) in enumerate(under):
        nominal = nominal_onsets(pattern, place, feel.grid(shape, bpm))
        cells = lcm(cells, division(nominal))
        for at in nominal:
            beat, inside = _beat_of(start + at * shape.units * ratio, shapes)
            onsets[beat].append(inside)
        start += shape.units * ratio
    cell = under[-1][0].units * ratio / cells
    return [
        StruckBeat(
            tuple(each),
            feel.grid(*beat),
            beat[0].units,
            60000 * beat[0].units / beat[1],
            cell / beat[0].units,
        )
        for each, beat in zip(onsets, there, strict=True)
    ]


def _beat_of(place: Fraction, shapes: Sequence[Beat]) -> tuple[int, Fraction]:
    """The beat that a place is in, and how far into it."""
    for number, shape in enumerate(shapes):
        if place < shape.units:
            return number, place / shape.units
        place -= shape.units
    raise AssertionError("a fill has no stroke after its end")
