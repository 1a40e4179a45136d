"""The verdict against what a drummer hears: a table of fills and feels, each row with its source.

The rows are in ``fills_by_ear.txt``, judged before the program was asked; where a row names design 2 or 11 its
value is worked out there.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from support import DOTTED, QUARTER, feel, pattern

from charts.feel import Feel
from charts.pattern import FILL, Pattern, Stroke
from charts.verdict import CLASHES, CROSSES, FITS, NEAR, NEXT_BEAT, judge, worst

ORNAMENT = "ornament"
TABLE = Path(__file__).with_name("fills_by_ear.txt").read_text(encoding="utf-8")
ROWS = [line.split(" :: ") for line in TABLE.splitlines() if line and not line.startswith("#")]


def written(strokes: str) -> Pattern:
    """A fill of one drum: cells between bars, or places in the beat."""
    if not any(sign.isdigit() for sign in strokes):
        return pattern(f"SD {strokes.replace(' ', '')}")
    beats = strokes.split(",")
    found = [Stroke(n, Fraction(at), "SD") for n, beat in enumerate(beats) for at in beat.split()]
    return Pattern("by ear", FILL, len(beats), tuple(found))


def named_feel(name: str) -> Feel:
    """A shipped feel, in 6/8 or not, or a swing at its own ratio."""
    plain, _, ratio = name.partition(" at ")
    return Feel(plain, (3,), Fraction(ratio)) if ratio else feel(plain.removesuffix(" in 6/8"))


def heard(strokes: str, feel_and_tempo: str) -> str:
    """The program's verdict on a row's fill."""
    name, _, bpm = feel_and_tempo.rpartition(", ")
    compound = any(word in name for word in ("12/8", "6/8"))
    plain = strokes.removesuffix(" then nothing")
    fill = written(plain.removesuffix(" as swung"))
    fill = replace(fill, swung=plain.endswith(" as swung"))
    under = [(DOTTED if compound else QUARTER, Fraction(bpm))] * fill.beats
    beats = judge(fill, named_feel(name), under, lands=NEXT_BEAT if plain == strokes else None)
    found = worst(beats)
    return ORNAMENT if found == FITS and any(beat.ornament for beat in beats) else found


@pytest.mark.parametrize("row", ROWS, ids=[" in ".join(row[:2]) for row in ROWS])
def test_a_fill_is_judged_as_it_is_heard(row: list[str]) -> None:
    """Strokes, feel and tempo, verdict, why, source: all five in each row."""
    strokes, feel_and_tempo, expected, why, source = row
    assert expected == heard(strokes, feel_and_tempo), why
    assert why
    assert source


def test_the_table_is_large_and_has_every_verdict() -> None:
    """At least 150 different pairs, and several of each verdict."""
    assert len({tuple(row[:2]) for row in ROWS}) == len(ROWS) >= 150
    counts = Counter(row[2] for row in ROWS)
    assert {FITS, ORNAMENT, CROSSES, NEAR, CLASHES} == set(counts)
    assert min(counts.values()) >= 8
