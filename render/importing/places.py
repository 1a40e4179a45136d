"""Places in a bar: quarters as beats, and as a chart spells them."""

from __future__ import annotations

from fractions import Fraction

from charts.feel import Feel
from charts.song import Place
from charts.timing import Meter

FINEST_CELL = 48  # a place is spelled on no finer grid


def beat_at(meter: Meter, at: Fraction) -> tuple[int, Fraction]:
    """Beat, from 0, and fraction of it, that many quarters from the barline; a beat too many after the bar.

    >>> beat_at(Meter.read("6/8"), Fraction(2)), beat_at(Meter(4, 4), Fraction(9))
    ((1, Fraction(1, 3)), (4, Fraction(0, 1)))
    """
    for number, beat in enumerate(meter.beats):
        if at < beat.quarters:
            return number, at / beat.quarters
        at -= beat.quarters
    return len(meter.beats), Fraction(0)


def place_text(bar: int, at: Fraction, meter: Meter, feel: Feel, always: bool = True) -> str:
    """A place as a chart writes it: ``3.2&`` where the feel has its upbeat there.

    The start of a bar is ``3.1``, or ``3`` alone where that will do (not ``always``).
    """
    number, inside = beat_at(meter, at)
    if number == len(meter.beats):
        number, inside = number - 1, Fraction(FINEST_CELL - 1, FINEST_CELL)
    beat, plain = meter.beats[number], f"{bar}.{number + 1}"
    if not inside or inside.denominator > FINEST_CELL:
        return plain if always or number else str(bar)
    letters = "&a" if beat.ternary else "&" if feel.divides[0] == 3 else "&ea"
    for letter in letters:
        if Place(bar, number + 1, letter).nominal(beat, feel) == inside:
            return plain + letter
    return f"{plain}+{inside}"
