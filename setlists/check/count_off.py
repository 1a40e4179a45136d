"""count-off: the next tempo is a subdivision of the last one.

Listens for: two songs in a row with tempos within 3 % of 3:2, 2:1 or 4:3, either way round, and
which of their notes is which of yours. A note.

Why it matters: a drummer who still hears the last song counts off at its subdivision or its beat,
and the song starts at the wrong speed. If you know the relation you can use it: hear their
triplets, call them eighths, and count.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: straight eighths}
          - Tin Roof: {length: 3:10, tempo: 138, feel: straight eighths}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: straight eighths}
          - Tin Roof: {length: 3:10, tempo: 110, feel: straight eighths}
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from charts.source import NOTE, Finding
from charts.timing import Meter
from charts.wording import figure
from setlists.check.subject import Subject, leaving, left_at, opening, rule
from setlists.check.thresholds import COUNT_OFF

RATIOS = (
    (3, 2),
    (2, 1),
    (4, 3),
    (2, 3),
    (1, 2),
    (3, 4),
)  # next to last; so many of theirs are so many of yours
_QUARTER = {1: "quarter", 2: "eighth", 3: "triplet", 4: "sixteenth"}
_DOTTED = {1: "dotted quarter", 2: "dotted eighth", 3: "eighth", 4: "dotted sixteenth"}
_HALF = {1: "half", 2: "quarter", 3: "quarter triplet", 4: "eighth"}
_NOTES = {Fraction(1): _QUARTER, Fraction(3, 2): _DOTTED, Fraction(2): _HALF}


def relation(left: Fraction, new: Fraction) -> tuple[int, int] | None:
    """How many parts of the last beat are how many of the new one, for related tempi.

    >>> relation(Fraction(92), Fraction(138)), relation(Fraction(120), Fraction(60))
    ((3, 2), (1, 2))
    >>> relation(Fraction(100), Fraction(110)) is None
    True
    """
    for theirs, yours in RATIOS:
        if abs(new / left * yours / theirs - 1) <= COUNT_OFF:
            return theirs, yours
    return None


def note(meter: Meter | None, parts: int) -> str:
    """What the trade calls a beat of a meter, or a part of it; a quarter is the beat where no meter is known.

    >>> note(Meter.read("12/8"), 3), note(Meter.read("4/4"), 3)
    ('eighth', 'triplet')
    """
    return _NOTES[meter.unit_quarters if meter else Fraction(1)][parts]


@rule("count-off")
def count_off(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        left, new = leaving(before), opening(after)
        if left.tempo is None or new.tempo is None:
            continue
        found = relation(left.tempo, new.tempo)
        if found is None:
            continue
        theirs, yours = note(left.meter, found[0]), note(new.meter, found[1])
        ratio = f"{figure(new.tempo)} after {left_at(before, left.tempo)} is {found[0]}:{found[1]}"
        how = "count from that, not from their beat" if found[0] > 1 else "count every second one of theirs"
        message = f"{ratio}: their {theirs} is your {yours}; {how}"
        hint = f"use it: hear the {theirs}s of {before.title}, call them {yours}s, and count in from there"
        yield subject.finding("count-off", NOTE, after, message, hint)
