"""Meters and their felt beats against music21's own (music21 10.5, TimeSignature)."""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any

import pytest

from charts.timing import Meter


def music21(text: str) -> Any:
    from music21.meter import TimeSignature

    return TimeSignature(text)


SIMPLE = ["1/4", "2/4", "3/4", "4/4", "2/2", "3/2", "4/2"]
COMPOUND = ["6/8", "9/8", "12/8"]


@pytest.mark.parametrize("text", SIMPLE + COMPOUND)
def test_felt_beats_are_music21s(text: str) -> None:
    """The same number of beats, each as long."""
    theirs = music21(text)
    beats = Meter.read(text).beats
    assert theirs.beatCount == len(beats)
    assert {F(theirs.beatDuration.quarterLength)} == {beat.quarters for beat in beats}


@pytest.mark.parametrize("text", SIMPLE[1:] + COMPOUND)  # music21 does not divide the beat of 1/4
def test_beats_divide_in_two_or_three_as_music21s_do(text: str) -> None:
    """Simple beats in two, compound beats in three."""
    assert music21(text).beatDivisionCount == (3 if Meter.read(text).beats[0].ternary else 2)


@pytest.mark.parametrize("text", [*SIMPLE, *COMPOUND, "3/8", "15/8", "5/4", "7/4"])
def test_bars_are_as_long_as_music21s(text: str) -> None:
    """In quarters."""
    assert F(music21(text).barDuration.quarterLength) == Meter.read(text).quarters


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("7/8 (2+2+3)", "2/8+2/8+3/8"),
        ("7/8 (3+2+2)", "3/8+2/8+2/8"),
        ("5/8 (2+3)", "2/8+3/8"),
        ("8/8 (3+3+2)", "3/8+3/8+2/8"),
        ("11/8 (4+4+3)", "4/8+4/8+3/8"),
    ],
)
def test_groups_of_an_additive_meter_are_its_beats(ours: str, theirs: str) -> None:
    """A beat a group, each of its own length."""
    beats = [F(part.duration.quarterLength) for part in music21(theirs).beatSequence]
    assert beats == [beat.quarters for beat in Meter.read(ours).beats]


@pytest.mark.parametrize("text", ["6/8", "12/8", "2/2", "4/4"])
def test_the_tempo_counts_the_beat_that_music21_counts(text: str) -> None:
    """Dotted quarter 80 is 120 quarters per minute, half 80 is 160: music21's MetronomeMark."""
    from music21.duration import Duration
    from music21.tempo import MetronomeMark

    unit = Meter.read(text).unit_quarters
    mark = MetronomeMark(number=80, referent=Duration(float(unit)))
    assert mark.getQuarterBPM() == 80 * unit
