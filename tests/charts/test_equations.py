"""Equations of notes between two tempos, and what a groove sounds."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import feel, form

from charts.equations import equation, note, relation, sounds
from charts.outline import outline
from charts.played import played
from charts.timing import Meter


@pytest.mark.parametrize(
    ("left", "new", "found"),
    [
        (120, 120, (1, 1)), (120, 240, (2, 1)), (120, 60, (1, 2)), (88, 132, (3, 2)), (93, 62, (2, 3)),
        (120, 160, (4, 3)), (120, 90, (3, 4)), (60, 180, (3, 1)), (180, 60, (1, 3)),
        (100, 67, (2, 3)), (100, 66, None), (93, 139, (3, 2)), (93, 140, (3, 2)), (93, 138, None),
        (100, 110, None), (100, 125, None), (100, 132, None), (100, 134, None),
    ],
)  # fmt: skip
def test_related_tempos_are_so_to_a_whole_number(left: int, new: int, found: tuple[int, int] | None) -> None:
    """Half a beat per minute off either way is rounding; more is another tempo. Arithmetic."""
    assert found == relation(F(left), F(new))


def test_the_edge_of_a_share_is_inside() -> None:
    """Within 3 % of 150, above and below."""
    assert [(3, 2), None, (3, 2), None] == [
        relation(F(100), F(tempo), F(3, 100)) for tempo in ("154.5", "154.6", "145.5", "145.4")
    ]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("B (8): {meter: 12/8, tempo: 67}", "eighth = eighth"),
        ("B (8): {meter: 12/8}", "quarter = dotted quarter"),
        ("B (8): {meter: 2/2, tempo: 50}", "quarter = quarter"),
        ("B (8): {meter: 7/8 (2+2+3), tempo: 200}", "eighth = quarter"),
        ("B (8): {tempo: 150}", "triplet eighth = eighth"),
        ("B (8): {tempo: 133}", "sixteenth = triplet eighth"),
        ("B (8): {tempo: 75}", "triplet eighth = sixteenth"),
        ("B (8): {tempo: 110}", "None"),
        ("B (8): {feel: shuffle}", "None"),
        ("B (8)", "None"),
    ],
)
def test_a_row_has_the_equation_of_its_tempo_and_the_one_before(line: str, found: str) -> None:
    """After quarters at 100; the trade's names for notes."""
    rows = outline(tune := form("A (8)", line), played(tune))
    assert found == str(rows[-1].equation)


def test_the_tempo_before_is_the_one_that_is_reached() -> None:
    """After an even change; and never before the first row."""
    tune = form("A (8): {tempo: 80 to 100}", "B (8): {tempo: 150}")
    first, second = outline(tune, played(tune))
    assert (None, "triplet eighth = eighth") == (first.equation, str(second.equation))
    section = tune.form[1]
    assert equation(tune.form[0], F(80), section) is None


def test_notes_are_named_by_the_beat() -> None:
    """A quarter, a dotted quarter, a half; a quarter where no meter is known."""
    named = [[note(meter and Meter.read(meter), parts) for parts in (1, 2, 3, 4)] for meter in
             ("4/4", "6/8", "2/2", "")]  # fmt: skip
    assert [
        ["quarter", "eighth", "triplet eighth", "sixteenth"],
        ["dotted quarter", "dotted eighth", "eighth", "dotted sixteenth"],
        ["half", "quarter", "triplet quarter", "eighth"],
        ["quarter", "eighth", "triplet eighth", "sixteenth"],
    ] == named  # type: ignore[comparison-overlap]


@pytest.mark.parametrize(
    ("name", "tempo", "parts"),
    [
        ("straight eighths", 100, [1, 2]), ("straight sixteenths", 100, [1, 2, 4]), ("shuffle", 100, [1, 3]),
        ("sixteenth shuffle", 100, [1, 2]), ("swing", 100, [1, 3]), ("swing", 180, [1]),
        ("swing", 360, [1, 2]), ("slow 12/8", 60, [1, 2, 3, 6]),
    ],
)  # fmt: skip
def test_a_groove_sounds_its_own_subdivision(name: str, tempo: int, parts: list[int]) -> None:
    """A third of a fast swing is not a triplet; a sixteenth shuffle has even eighths and no triplets."""
    assert parts == [n for n in (1, 2, 3, 4, 6) if sounds(feel(name), None, F(tempo), n)]


def test_a_straight_feel_sounds_three_eighths_in_six_eight() -> None:
    """The meter's beat counts."""
    assert [1, 3] == [
        n for n in (1, 2, 3, 4) if sounds(feel("straight eighths"), Meter.read("6/8"), F(60), n)
    ]
