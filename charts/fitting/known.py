"""Can it be played? What was found at one tempo answers for others: slower is easier.

At a steady tempo every gap between two strokes grows and shrinks with the beat, so what two hands and feet
can play they can play slower, and what they cannot they cannot faster.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from charts.feel import Feel
from charts.fitting.hands import playable
from charts.fitting.moments import Beats
from charts.limits import Limits
from charts.pattern import Pattern, Stroke
from charts.timing import ANY_TEMPO, Beat


@dataclass
class _Known:
    """The fastest tempo found playable and the slowest found not to be, in beats per minute."""

    fastest: Fraction | None = None
    too_fast: Fraction | None = None

    def says(self, bpm: Fraction) -> bool | None:
        """True or False where a tempo is answered for; None where nobody has asked near it."""
        if self.fastest is not None and bpm <= self.fastest:
            return True
        return False if self.too_fast is not None and bpm >= self.too_fast else None


@lru_cache(maxsize=16384)
def _known(
    pattern: Pattern, feel: Feel, ratio: Fraction | None, shapes: tuple[Beat, ...], limits: Limits,
    left_handed: bool, landing: tuple[Stroke, ...],
) -> _Known:  # fmt: skip
    """What is known of a fill over beats of these shapes, swung by this ratio where it goes by tempo."""
    return _Known()


def plays(
    pattern: Pattern, feel: Feel, beats: Beats, limits: Limits, left_handed: bool,
    landing: tuple[Stroke, ...] = (),
) -> bool:  # fmt: skip
    """True where two hands and feet can play a pattern over these beats and reach what follows.

    >>> from charts.fitting.moments import own_beats
    >>> from charts.notation import read_rows
    >>> roll = Pattern("", "fill", 2, read_rows("SD oooo|oooo").strokes)
    >>> straight = Feel("straight sixteenths", (2, 2))
    >>> [plays(roll, straight, own_beats(roll, Fraction(bpm)), Limits(), False) for bpm in (100, 300)]
    [True, False]
    """
    shapes, tempos = zip(*beats, strict=True) if beats else ((), (ANY_TEMPO,))
    bpm = tempos[0]
    if tempos.count(bpm) < len(tempos):
        return playable(pattern, feel, beats, limits, left_handed, landing).playable
    ratio = feel.ratio(bpm) if feel.swings_by_tempo else None
    known = _known(pattern, feel, ratio, shapes, limits, left_handed, landing)
    found = known.says(bpm)
    if found is None:
        found = playable(pattern, feel, beats, limits, left_handed, landing).playable
        if found:
            known.fastest = bpm
        else:
            known.too_fast = bpm
    return found
