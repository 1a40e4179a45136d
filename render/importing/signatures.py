"""Time and key signatures as meters and keys of a chart."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from charts.source import FeelmapError
from charts.timing import MOST_BEATS, Meter, MeterError
from render.importing.score import Score
from render.musicxml.keys import key_name

FINEST = 8  # the smallest note that a chart's meter counts in
# steps round the circle of fifths from the key signature's major to where the mode begins
MODES = {
    "major": 0, "ionian": 0, "dorian": 2, "phrygian": 4, "lydian": -1, "mixolydian": 1, "aeolian": 3,
    "locrian": 5,
}  # fmt: skip
MOST_SHARPS = 7


def key_text(sharps: Fraction, mode: str) -> str:
    """A key as musicians write it; flats are negative sharps. Empty for what has no name.

    >>> key_text(Fraction(3), "minor"), key_text(Fraction(0), "dorian"), key_text(Fraction(-2), "")
    ('F# minor', 'D dorian', 'Bb')
    """
    if abs(sharps) > MOST_SHARPS or sharps != int(sharps):
        return ""
    if mode in MODES and mode != "major":
        return f"{key_name(int(sharps) + MODES[mode], 'major')} {mode}"
    return key_name(int(sharps), mode)


def meter_of(upper: Sequence[int], lower: int, score: Score, number: str) -> Meter:
    """A time signature as a meter; groups that it does not give are guessed, and listed.

    ``upper`` has one figure, or the groups of an additive signature.

    :raises FeelmapError: a meter that charts cannot count.
    """
    while lower > FINEST and lower % 2 == 0 and all(part % 2 == 0 for part in upper):
        upper, lower = [part // 2 for part in upper], lower // 2
    if lower == 1:
        upper, lower = [part * 2 for part in upper], 2
    total = sum(upper)
    groups = f" ({'+'.join(map(str, upper))})" if len(upper) > 1 and lower == FINEST else ""
    reason = ""
    for text in (f"{total}/{lower}{groups}", f"{total}/{lower}"):
        try:
            return Meter.read(text)
        except MeterError as error:
            reason = str(error)
    usual = _usual(total) if lower == FINEST and 1 < total <= MOST_BEATS else ""
    try:
        meter = Meter.read(f"{total}/{lower} ({usual})")
    except MeterError:
        raise FeelmapError(f"bar {number}: {reason}", "write that bar another way in the score") from None
    score.guess(f"{total}/{lower} is felt in {usual}")
    return meter


def meter_of_length(quarters: Fraction, like: Meter) -> Meter | None:
    """A meter for a bar of that many quarters, of the same kind of beat where that is possible.

    >>> str(meter_of_length(Fraction(3, 2), Meter.read("6/8"))), meter_of_length(Fraction(10**9), Meter(4, 4))
    ('3/8', None)
    """
    for lower in dict.fromkeys((like.lower, 4, FINEST)):
        upper = quarters * lower / 4
        if upper.denominator == 1 and 1 <= upper <= MOST_BEATS:
            for text in (f"{upper}/{lower}", f"{upper}/{lower} ({_usual(int(upper))})"):
                try:
                    return Meter.read(text)
                except MeterError:
                    continue
    return None


def _usual(upper: int) -> str:
    """Twos, with a three at the end where one is left over.

    >>> _usual(7)
    '2+2+3'
    """
    return "+".join(["2"] * (upper // 2 - upper % 2) + ["3"] * (upper % 2))
