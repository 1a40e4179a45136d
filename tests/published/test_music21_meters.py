"""Meters and their felt beats against music21, an independent library of musicology."""

from __future__ import annotations

from fractions import Fraction

import pytest
from music21 import meter as music21_meter

from charts.timing import Meter


@pytest.mark.parametrize(
    "text", ["2/4", "3/4", "4/4", "5/4", "6/4", "2/2", "3/2", "3/8", "6/8", "9/8", "12/8"]
)
def test_bars_are_as_long_as_music21_says(text: str) -> None:
    """music21's barDuration, in quarters."""
    assert Meter.read(text).quarters == Fraction(music21_meter.TimeSignature(text).barDuration.quarterLength)


@pytest.mark.parametrize("text", ["2/4", "3/4", "4/4", "5/4", "2/2", "3/2", "6/8", "9/8", "12/8"])
def test_felt_beats_are_music21s(text: str) -> None:
    """music21's beatCount and beatDuration: a quarter, a half, or a dotted quarter in compound meters."""
    theirs, ours = music21_meter.TimeSignature(text), Meter.read(text)
    assert theirs.beatCount == len(ours.beats)
    assert {Fraction(theirs.beatDuration.quarterLength)} == {beat.quarters for beat in ours.beats}


@pytest.mark.parametrize("text", ["2/4", "3/4", "4/4", "6/8", "9/8", "12/8"])
def test_beats_divide_in_two_or_three_as_music21_says(text: str) -> None:
    """music21's beatDivisionCount: three where the meter is compound."""
    theirs = music21_meter.TimeSignature(text).beatDivisionCount
    assert {theirs == 3} == {beat.ternary for beat in Meter.read(text).beats}


@pytest.mark.parametrize(
    ("text", "groups"),
    [("5/8 (2+3)", "2/8+3/8"), ("7/8 (2+2+3)", "2/8+2/8+3/8"), ("8/8 (3+3+2)", "3/8+3/8+2/8")],
)
def test_additive_groups_are_music21s_beats(text: str, groups: str) -> None:
    """music21's beat sequence of an additive signature, in quarters."""
    theirs = music21_meter.TimeSignature(groups)
    expected = [Fraction(part.duration.quarterLength) for part in theirs.beatSequence]
    assert expected == [beat.quarters for beat in Meter.read(text).beats]


def test_three_eighths_are_one_felt_beat() -> None:
    """Where we part with music21 on purpose: it counts 3/8 in three by default, a band feels it in one (trade)."""
    assert len(Meter.read("3/8").beats) == 1
