"""Meters, felt beats and the exact length of even tempo changes."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from charts.timing import Meter, MeterError, countable, ramp_seconds, tempo_after


@pytest.mark.parametrize(
    ("text", "units", "quarters", "ternary"),
    [
        ("4/4", 4, 4, [False] * 4),
        ("2/2", 2, 4, [False] * 2),
        ("6/8", 2, 3, [True] * 2),
        ("3/8", 1, Fraction(3, 2), [True]),
        ("12/8", 4, 6, [True] * 4),
        ("7/8 (2+2+3)", Fraction(7, 2), Fraction(7, 2), [False, False, True]),
        ("9/8 (2+2+2+3)", Fraction(9, 2), Fraction(9, 2), [False, False, False, True]),
        ("8/8 (4+4)", 4, 4, [False] * 2),
        ("9/8 (3+3+3)", 3, Fraction(9, 2), [True] * 3),
    ],
)
def test_a_meter_has_its_felt_beats(
    text: str, units: Fraction, quarters: Fraction, ternary: list[bool]
) -> None:
    """A half, a quarter, a dotted quarter, or each group is one beat."""
    meter = Meter.read(text)
    assert (units, quarters, ternary) == (meter.units, meter.quarters, [beat.ternary for beat in meter.beats])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("7/8", "write 7/8 (2+2+3)"),
        ("5/8", "write 5/8 (2+3)"),
        ("7/8 (2+2+2)", "add up to 6"),
        ("4/4 (2+2)", "leave the groups off"),
        ("4/16", "use halves, quarters or eighths"),
        ("0/4", "write 1 to 32"),
        ("8/8 (5+3)", "2, 3 or 4 eighths"),
        ("1/8", "write 2/8 (2), 3/8 or 1/4"),
        ("1/8 (2)", "write 2/8 (2), 3/8 or 1/4"),
        ("four", "is not a meter"),
    ],
)
def test_a_wrong_meter_says_what_to_write(text: str, says: str) -> None:
    """Each kind of wrong meter has its own words."""
    with pytest.raises(MeterError, match=says.replace("(", r"\(").replace(")", r"\)").replace("+", r"\+")):
        Meter.read(text)


tempos = st.fractions(min_value=20, max_value=400, max_denominator=10)


@given(tempos, tempos, st.integers(1, 64))
def test_a_ramp_lasts_what_the_closed_form_says(start: Fraction, end: Fraction, beats: int) -> None:
    """60 N ln(b2/b1) / (b2 - b1) seconds, and plain division where the tempo stays."""
    b1, b2 = float(start), float(end)
    expected = 60 * beats / b1 if start == end else 60 * beats * math.log(b2 / b1) / (b2 - b1)
    assert ramp_seconds(start, end, Fraction(beats), Fraction(beats)) == pytest.approx(expected, rel=1e-6)


@given(tempos, tempos, st.integers(2, 64), st.integers(1, 63))
def test_a_ramp_is_the_sum_of_its_parts(start: Fraction, end: Fraction, beats: int, cut: int) -> None:
    """Cutting a ramp anywhere and going on from the tempo there changes nothing."""
    cut = min(cut, beats - 1)
    length, first = Fraction(beats), Fraction(cut)
    there = tempo_after(start, end, length, first)
    parts = ramp_seconds(start, there, first, first) + ramp_seconds(
        there, end, length - first, length - first
    )
    assert parts == pytest.approx(ramp_seconds(start, end, length, length), rel=1e-9)


@pytest.mark.parametrize(
    ("bpm", "fits"),
    [(Fraction(20), True), (Fraction(199, 10), False), (Fraction(400), True), (Fraction(4001, 10), False)],
)
def test_tempi_from_20_to_400_are_felt(bpm: Fraction, fits: bool) -> None:
    """Both ends are inside."""
    assert fits == countable(bpm)


@pytest.mark.parametrize(
    ("text", "compound", "unit"),
    [("3/8", True, Fraction(3, 2)), ("6/8", True, Fraction(3, 2)), ("7/8 (3+2+2)", False, 1), ("1/2", False, 2),
     ("2/2", False, 2), ("3/4", False, 1)],
)  # fmt: skip
def test_what_a_tempo_counts(text: str, compound: bool, unit: Fraction) -> None:
    """Dotted quarters in compound meters, quarters under groups, else the meter's own beat."""
    meter = Meter.read(text)
    assert (compound, unit) == (meter.compound, meter.unit_quarters)


def test_a_change_over_no_time_stays_where_it_starts() -> None:
    """Neither tempo nor seconds divide by its length."""
    nothing = Fraction(0)
    assert 92 == tempo_after(Fraction(92), Fraction(104), nothing, nothing)
    assert 0.0 == ramp_seconds(Fraction(92), Fraction(104), nothing, nothing)
