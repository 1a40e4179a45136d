"""How far a beat's strokes are from the grid: the cheapest match in order."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import QUARTER, feel

from charts.feel import Feel
from charts.nearest import measure


@pytest.mark.parametrize(
    ("strokes", "name", "taken", "level", "points"),
    [
        ("0 1/3 2/3", "straight eighths", True, 4, "0 1/4 3/4"),
        ("1/3", "straight eighths", True, 2, "1/2"),
        ("1/4", "straight eighths", True, 2, "0"),  # of equals the earlier
        ("0 3/8 3/4", "straight eighths", True, 4, "0 1/2 3/4"),  # the home grid before the finer
        ("9/10", "straight eighths", True, 2, "1/2"),
        ("9/10", "straight eighths", False, 2, "1"),
        ("3/4", "straight eighths", False, 2, "1/2"),
        ("0 1/4 7/8", "straight eighths", False, 4, "0 1/4 1"),  # the next beat before the finer grid
        ("1/10 2/10", "straight eighths", True, 2, "0 1/2"),  # no point twice
        ("0 1/4 1/2 3/4", "shuffle", True, 6, "0 1/3 1/2 2/3"),
        ("0 1/2", "shuffle", True, 3, "0 2/3"),  # the swung place before the other
        ("1/6", "shuffle", True, 3, "0"),
        ("0 1/3 2/3", "sixteenth shuffle", True, 6, "0 1/3 1/2"),
        ("1/6", "sixteenth shuffle", True, 6, "0"),
        ("0 1/6 1/3 1/2", "sixteenth shuffle", True, 6, "0 1/3 1/2 5/6"),  # as many as there are swung places
        ("0 1/6 1/3 1/2 2/3", "sixteenth shuffle", True, 6, "0 1/6 1/3 1/2 2/3"),
    ],
)
def test_the_points_of_a_beats_strokes(strokes: str, name: str, taken: bool, level: int, points: str) -> None:
    """The least distance in all; the next beat is a point where nothing else takes it."""
    found = measure([F(at) for at in strokes.split()], feel(name).grid(QUARTER, F(92)), taken)
    assert (level, points) == (found.level, " ".join(map(str, found.points)))


def test_points_are_where_the_grid_sounds() -> None:
    """At 3 to 2 the upbeat is at 3/5, the middle cell at 3/10."""
    grid = Feel("light swing", (3,), F(3, 2)).grid(QUARTER, F(240))
    assert (0, F(3, 10), F(3, 5)) == measure([F(0), F(1, 3), F(2, 3)], grid, True).points
