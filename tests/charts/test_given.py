"""What a form line says, laid over what it inherits."""

from __future__ import annotations

import pytest

from charts.reading.given import EVERY_PLACE, LAST_BARLINE, Given
from charts.reading.values import place
from charts.song import Cue, FillUse


def fill(at: str) -> FillUse:
    """A fill that ends at a bar's last barline, or lands at BAR.BEAT."""
    return FillUse(place(at).bar, at, landing=place(at) if "." in at else None)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        (["8", "4"], ["4", "8"]),
        (["4", "4.4", "4.1", "5.1"], ["4.1", "4.4", "4", "5.1"]),
        (["4.2&", "4.2", "4.2a", "4.2e"], ["4.2", "4.2e", "4.2&", "4.2a"]),
        (["4.2+1/2", "4.2+1/3", "4.2e"], ["4.2e", "4.2+1/3", "4.2+1/2"]),
        ([LAST_BARLINE, "8.4", "9.1", "8"], ["8.4", "last", "8", "9.1"]),
        (["8", LAST_BARLINE], ["8", "last"]),
        ([LAST_BARLINE, "7"], ["7", "last"]),
    ],
)
def test_fills_come_in_the_order_in_which_they_end(written: list[str], expected: list[str]) -> None:
    """Whatever was written first; a bar's barline comes after its beats, the section's in its last bar."""
    uses = {at: FillUse(0, at) if at == LAST_BARLINE else fill(at) for at in written}
    assert expected == [use.name for use in Given(fills=dict(uses)).fills_in_order(8)]


def test_the_fill_that_ends_the_section_gets_its_bar() -> None:
    """That of the section where it is played, though several share what one line says."""
    given = Given(fills={LAST_BARLINE: FillUse(0, "x"), 4: fill("4"), 6: None})
    assert [(4, "4"), (8, "x")] == [(use.bar, use.name) for use in given.fills_in_order(8)]
    assert [(4, "x"), (4, "4")] == [(use.bar, use.name) for use in given.fills_in_order(4)]


def test_cues_come_in_time() -> None:
    """By bar, beat, and where in the beat."""
    cues = {at: Cue(place(at), at) for at in ("5", "3.2&", "3.2", "3", "3.2a")}
    assert ["3", "3.2", "3.2&", "3.2a", "5"] == [cue.text for cue in Given(cues=dict(cues)).cues_in_order()]


def test_a_line_is_laid_over_what_it_inherits() -> None:
    """Key by key, and cues and fills place by place; None takes away one of them, every place all."""
    base = Given({"times": 2, "until": "the nod"}, {1: "a", 2: "b"}, {3: "c"})
    own = Given({"times": 3, "until": None}, {2: None, 4: "d"}, {EVERY_PLACE: None, 5: "e"})
    both = own.over(base)
    assert ({"times": 3}, {1: "a", 4: "d"}, {5: "e"}) == (both.values, both.cues, both.fills)
    untouched = Given().over(base)
    assert (base.values, base.cues, base.fills) == (untouched.values, untouched.cues, untouched.fills)
