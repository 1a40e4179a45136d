"""Swing signs: what they make of written places, and how a beat is written so that it is read as it sounds.

A sign (ratio and note) makes of even pairs of that note a long and a short one. Triplets under a sign are
taken as the same pairs written out: their third note is the short one, at 2:1 where it is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from charts.feel import Feel, Grid
from charts.pattern import division
from charts.strokes import BeatStrokes, Struck
from charts.timing import Beat
from charts.verdict import swing_place

Swing = tuple[Fraction, str]  # long-short ratio, and the note it is written with

PAIR_NOTES = {Fraction(1): "eighth", Fraction(1, 2): "16th"}  # length of a swung pair -> its notes
PAIRS = {note: length for length, note in PAIR_NOTES.items()}
FINEST_RATIO = 100
NEAR = Fraction(1, 500)  # of a beat: 5 ms at the slowest tempo but one that is felt


def swing_of(feel: Feel, beat: Beat, tempo: Fraction) -> Swing | None:
    """The long-short ratio and the note it is written with; None where nothing swings.

    A feel whose pair is neither eighths nor sixteenths in this beat has no such sign.
    """
    grid = feel.grid(beat, tempo)
    if grid.ratio is None or grid.ratio == 1:
        return None
    note = PAIR_NOTES.get(beat.quarters / grid.pairs)
    return (grid.ratio.limit_denominator(FINEST_RATIO), note) if note else None


def as_read(places: Sequence[Fraction], beat: Beat, swing: Swing | None) -> list[Fraction]:
    """Where one voice's written places in a beat sound under a sign.

    >>> from charts.timing import Meter
    >>> quarter = Meter.read("4/4").beats[0]
    >>> even = as_read([Fraction(0), Fraction(1, 2)], quarter, (Fraction(3, 2), "eighth"))
    >>> third = as_read([Fraction(0), Fraction(2, 3)], quarter, (Fraction(3, 2), "eighth"))
    >>> [str(at) for at in even + third]
    ['0', '3/5', '0', '3/5']
    """
    if swing is None:
        return list(places)
    ratio, note = swing
    pair = PAIRS[note] / beat.quarters
    insides = [at % pair / pair for at in places]
    cells = division(insides)
    if cells & (cells - 1) == 0:
        insides = [swing_place(inside) for inside in insides]
    bent = Grid((3,), 3, ratio).bend
    return [at // pair * pair + bent(inside) * pair for at, inside in zip(places, insides, strict=True)]


def written(strokes: BeatStrokes, feel: Feel, beat: Beat, tempo: Fraction) -> tuple[bool, Swing | None]:
    """Whether a beat's swung pairs are written even, and the sign under which it is read as it sounds.

    Under the feel's own sign they are, in a feel without it the pairs are written out. What no way says
    exactly (a groove made for another feel) is written in the way that comes nearest.
    """
    sign, struck = swing_of(feel, beat, tempo), strokes.struck()
    ways = ((True, sign), (False, sign), (False, None))
    misread = [_misread(struck, even, beat, swing) for even, swing in ways]
    exact = (way for way, far in zip(ways, misread, strict=True) if far < NEAR)
    return next(exact, ways[misread.index(min(misread))])


def reads(struck: Iterable[Struck], even: bool, beat: Beat, swing: Swing | None) -> bool:
    """True where everything struck in a beat is read where it sounds."""
    return _misread(struck, even, beat, swing) < NEAR


def _misread(struck: Iterable[Struck], even: bool, beat: Beat, swing: Swing | None) -> Fraction:
    """How far from where it sounds anything in a beat is read, at most; hands and feet are read apart."""
    voices: dict[bool, list[Struck]] = {True: [], False: []}
    for each in struck:
        voices[each.stroke.by_hand].append(each)
    far = (
        abs(place - each.at)
        for voice in voices.values()
        for place, each in zip(
            as_read([each.stroke.at if even else each.nominal for each in voice], beat, swing),
            voice,
            strict=True,
        )
    )
    return max(far, default=Fraction(0))
