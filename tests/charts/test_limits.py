"""A player's own limits, and where they end."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from charts.limits import LimitError, Limits


def test_rates_become_times() -> None:
    """Eight strokes per second are 125 ms; what is not said stays as it was."""
    limits = Limits.from_rates(hand=F(8))
    assert (limits.hand_ms, limits.foot_ms) == (125, 150)


def test_a_double_is_never_slower_than_single_strokes() -> None:
    """A foot of nine strokes per second takes its double with it."""
    limits = Limits.from_rates(foot=F(9), foot_double=F(5))
    assert limits.foot_double_ms == limits.foot_ms == F(1000, 9)


@pytest.mark.parametrize(
    "rates",
    [{"hand": F(12)}, {"hand_double": F(15)}, {"foot": F(10)}, {"foot_double": F(12)}, {"hand": F(1, 4)}],
)
def test_a_rate_past_the_published_is_refused(rates) -> None:
    """The message says what to write instead."""
    with pytest.raises(LimitError, match=r"write \d"):
        Limits.from_rates(**rates)


@pytest.mark.parametrize("rate", [F(0), F(-3)])
def test_no_speed_at_all_is_refused(rate) -> None:
    """Nothing is divided by nought."""
    with pytest.raises(LimitError, match="is not a speed"):
        Limits.from_rates(hand=rate)
