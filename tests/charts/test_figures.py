"""What the ear makes of a fill's strokes: beats on the grid, ornaments, and rhythms across the beat."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import QUARTER, feel

from charts.figures import Line, Run, StruckBeat


def line(beats: str, name: str, struck: bool = True, units: tuple[F | int, ...] = ()) -> Line:
    """A line of beats written like "0 1/2, 1/3"; ``struck``: so is the beat after them."""
    grid = feel(name).grid(QUARTER, F(92))
    onsets = [tuple(F(at) for at in beat.split()) for beat in beats.split(",")]
    lengths = [F(each) for each in units] or [F(1)] * len(onsets)
    return Line(
        [StruckBeat(at, grid, length, F(0)) for at, length in zip(onsets, lengths, strict=True)], struck
    )


@pytest.mark.parametrize(
    ("beats", "name", "struck", "on_grid"),
    [
        ("0 1/2", "straight eighths", True, [True]),
        ("0 1/4 1/2 3/4", "straight eighths", True, [True]),
        ("0 1/3 2/3", "straight eighths", True, [False]),
        ("0 2/3", "straight eighths", True, [False]),
        ("0 2/3", "shuffle", True, [True]),
        ("0 1/2", "shuffle", True, [False]),
        ("1/3", "shuffle", False, [True]),
        ("0 1/3 1/2 2/3", "shuffle", True, [True]),
        ("0 1/6 2/3", "shuffle", True, [False]),
        ("0 1/3 1/2", "shuffle", True, [False]),
        ("0 2/3 5/6", "shuffle", True, [True]),
        ("0 2/3 5/6", "shuffle", False, [False]),
        ("0 2/3 5/6, 0", "shuffle", False, [True, True]),
        ("0 2/3 5/6, 1/3", "shuffle", False, [False, True]),
        ("0 1/3 1/2 5/6", "sixteenth shuffle", True, [True]),
        ("0 1/6 1/3", "sixteenth shuffle", True, [True]),
        ("0 1/6 1/2", "sixteenth shuffle", True, [False]),
        ("0 2/3", "sixteenth shuffle", True, [False]),
        ("0 2/3 5/6", "sixteenth shuffle", False, [True]),
    ],
)
def test_which_beats_are_on_the_grid(beats: str, name: str, struck: bool, on_grid: list[bool]) -> None:
    """In a feel that swings what is off its places goes on to the next cell, over the beat's end too."""
    found = line(beats, name, struck)
    assert on_grid == [found.on_grid(number) for number in range(len(on_grid))]


@pytest.mark.parametrize(
    ("beats", "name", "struck", "ornamented"),
    [
        ("0 1/2 2/3 5/6", "straight eighths", True, True),
        ("0 1/2 2/3 5/6", "straight eighths", False, False),  # leads to nothing
        ("0 1/2 2/3 5/6, 0", "straight eighths", False, True),
        ("0 1/2 2/3 5/6, 1/2", "straight eighths", False, False),
        ("0 1/2 2/3 5/6, 0 1/6", "straight eighths", True, False),  # goes on at the same rate
        ("0 2/3 5/6", "straight eighths", True, True),
        ("0 5/6", "straight eighths", True, False),  # one stroke is none
        ("0 1/3 1/2 2/3 5/6", "straight eighths", True, False),  # longer than half a beat
        ("0 3/5 7/10 4/5 9/10", "straight eighths", True, True),
        ("0 1/2 3/5 7/10 4/5 9/10", "straight eighths", True, False),  # five strokes are too many
        ("0 3/5 4/5", "straight eighths", True, False),  # a fifth of a beat is too slow
        ("0 5/7 6/7", "straight eighths", True, True),
        ("0 1/6 1/3 1/2", "straight eighths", True, True),  # into the half beat
        ("0 1/6 1/3 1/2 2/3", "straight eighths", True, False),
        ("0 1/6 1/3", "straight eighths", True, False),  # the half beat itself is not struck
        ("1/6 1/3 1/2", "straight eighths", False, True),
        ("1/5 1/2 2/3 5/6", "straight eighths", True, False),  # what is left is off the grid
        ("0 1/6 1/3 1/2", "shuffle", True, False),  # no half beat where it swings
        ("0 1/3 2/3 3/4 5/6 11/12", "shuffle", True, True),
        ("0 7/9 8/9", "shuffle", True, True),
    ],
)
def test_which_beats_fit_by_an_ornament(beats: str, name: str, struck: bool, ornamented: bool) -> None:
    """Two to four quick strokes, over half a beat at most, into a struck beat or half beat that ends them."""
    assert ornamented == line(beats, name, struck).ornamented(0)


@pytest.mark.parametrize(
    ("beats", "name", "struck", "runs"),
    [
        ("0 1/3 2/3", "straight eighths", True, [Run(0, 1, 3, 1)]),
        ("0 1/3 2/3", "straight eighths", False, []),  # ends on no beat
        ("0 1/3 2/3, 0 1/3 2/3", "straight eighths", True, [Run(0, 2, 3, 1)]),
        ("0 1/3 2/3, 0 1/3 2/3", "straight eighths", False, [Run(0, 1, 3, 1)]),
        ("0 2/3, 1/3", "straight eighths", True, [Run(0, 2, 3, 2)]),
        ("0 1/2, 0 2/3, 1/3", "straight eighths", True, [Run(1, 3, 3, 2)]),
        ("0 1/3 2/3, 0 1/2, 0 1/3 2/3", "straight eighths", True, [Run(0, 1, 3, 1), Run(2, 3, 3, 1)]),
        ("1/3 2/3, 0 1/2", "straight eighths", True, []),  # starts on no beat
        ("0 1/3 2/3 5/6", "straight eighths", True, []),  # spacing is not equal
        ("0 1/5 2/5 3/5 4/5", "straight eighths", True, []),  # fives are no rhythm against it
        ("0 1/2, 0 1/2", "straight eighths", True, []),  # on the grid
        ("0, 1/2, ", "straight eighths", True, []),
        ("0, 1/2, ", "jazz waltz", True, [Run(0, 3, 2, 3)]),
        ("0, 1/2, ", "jazz waltz", False, []),
        ("0, 1/3, 2/3, ", "straight eighths", True, [Run(0, 4, 3, 4)]),
        ("0, , ", "jazz waltz", True, []),  # two strokes are no rhythm
        ("0 1/3 2/3", "sixteenth shuffle", True, [Run(0, 1, 3, 1)]),
        ("0 2/3, 1/3", "sixteenth shuffle", True, [Run(0, 2, 3, 2)]),
        ("0 1/2", "shuffle", True, []),  # an even pair fights it
    ],
)
def test_which_strokes_run_across_the_beat(beats: str, name: str, struck: bool, runs: list[Run]) -> None:
    """Equal spacing from one beat to another, three strokes at least; the longest, one after the other."""
    assert runs == line(beats, name, struck).crossings()


def test_a_run_is_over_beats_of_one_length() -> None:
    """Five quarters of a quarter from beat to beat, but the second beat is a dotted one."""
    assert [] == line("0, 1/6, ", "straight eighths", True, (1, F(3, 2), 1)).crossings()
    assert [Run(0, 1, 3, 1)] == line("0 1/3 2/3, 0", "straight eighths", True, (1, F(3, 2))).crossings()
    assert [Run(0, 2, 3, 2)] == line("0 2/3, 1/3", "straight eighths", True, (F(3, 2), F(3, 2))).crossings()


def test_places_are_counted_from_the_start_of_the_fill() -> None:
    """In tempo units: half of a dotted beat after a plain one is at one and three quarters."""
    found = line("0 1/2, 1/2", "straight eighths", True, (1, F(3, 2)))
    assert F(7, 4) == found.place(1, F(1, 2))
    assert F(5, 2) == found.place(1, F(1))
    assert [0, F(1, 2), F(7, 4), F(5, 2)] == found.struck


def test_a_run_lasts_from_its_first_beat_to_its_last() -> None:
    """From 1 to 3 are two beats."""
    assert 2 == Run(1, 3, 3, 2).beats
