"""Equations of notes: where two tempos are simply related, which note of the one is which of the other."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from charts.feel import Feel
from charts.song import Section
from charts.timing import Beat, Meter

# that many parts of the old beat last as long as that many of the new one, the plainest first
RATIOS = ((1, 1), (2, 1), (1, 2), (3, 2), (2, 3), (4, 3), (3, 4), (3, 1), (1, 3))
JUMP = Fraction(1, 10)  # of a tempo: a change by more than this is a jump
ROUNDED = Fraction(1, 2)  # beats per minute: a chart's tempo is the related one to a whole number

# The trade's name for a part of a beat, by the beat's length in quarters.
_PARTS = {
    Fraction(1): {1: "quarter", 2: "eighth", 3: "triplet eighth", 4: "sixteenth"},
    Fraction(3, 2): {1: "dotted quarter", 2: "dotted eighth", 3: "eighth", 4: "dotted sixteenth"},
    Fraction(2): {1: "half", 2: "quarter", 3: "triplet quarter", 4: "eighth"},
}


class Equation(NamedTuple):
    """A note of the old tempo that lasts as long as a note of the new one."""

    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.old} = {self.new}"


def relation(left: Fraction, new: Fraction, within: Fraction | None = None) -> tuple[int, int] | None:
    """How many parts of the last beat are how many of the new one, for related tempos.

    ``within`` is how far off the new one may be, as a share of it; where it is not given, as far as a whole
    number may be.

    >>> relation(Fraction(92), Fraction(138)), relation(Fraction(120), Fraction(60))
    ((3, 2), (1, 2))
    >>> relation(Fraction(100), Fraction(110)) is None
    True
    """
    for theirs, yours in RATIOS:
        related = left * theirs / yours
        if abs(new - related) <= (ROUNDED if within is None else within * related):
            return theirs, yours
    return None


def note(meter: Meter | None, parts: int) -> str:
    """What the trade calls a beat of a meter, or a part of it; a quarter is the beat where no meter is known.

    >>> note(Meter.read("12/8"), 3), note(Meter.read("4/4"), 3)
    ('eighth', 'triplet eighth')
    """
    return _PARTS[meter.unit_quarters if meter else Fraction(1)][parts]


def equation(before: Section, arrived: Fraction, section: Section) -> Equation | None:
    """The equation from a section, which has ``arrived`` at a tempo, to the next; None for the same beat."""
    found = relation(arrived, section.tempo)
    old, new = before.meter.unit_quarters, section.meter.unit_quarters
    if found is None or (found == (1, 1) and old == new):
        return None
    return Equation(note(before.meter, found[0]), note(section.meter, found[1]))


def sounds(feel: Feel, meter: Meter | None, tempo: Fraction, parts: int) -> bool:
    """True where a groove in that feel itself sounds a beat in that many equal parts.

    >>> shuffle = Feel("shuffle", (3,), Fraction(2))
    >>> [sounds(shuffle, None, Fraction(92), parts) for parts in (1, 2, 3, 4)]
    [True, False, True, False]
    """
    beat: Beat = (meter or Meter(4, 4)).beats[0]
    grid = feel.grid(beat, tempo)
    played = grid.swung_sounding if grid.in_pairs else grid.home_points
    return all(Fraction(part, parts) in played for part in range(parts))
