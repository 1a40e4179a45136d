"""Time against closed forms and worked values; arithmetic unless another source is named."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from support import chart, song

from charts.performance import count_in_seconds
from charts.played import played, song_seconds
from charts.timing import ramp_seconds
from setlists.check.count_off import relation

F = Fraction


@pytest.mark.parametrize(
    ("bars", "meter", "tempo", "seconds"),
    [(32, "4/4", "120", 64), (12, "12/8", "60", 48), (16, "6/8", "100", 19.2)],
)
def test_a_section_lasts_bars_times_beats(bars: int, meter: str, tempo: str, seconds: float) -> None:
    """Bars x beats a bar x 60 / bpm, in felt beats."""
    found = song(chart(f"A ({bars})", head=f"meter: {meter}\n", tempo=tempo))
    assert song_seconds(found) == pytest.approx(seconds)


def test_the_worked_length_of_three_meters() -> None:
    """2 bars of 4/4 at 120, 2 of 12/8 at dotted quarter 80, 1 of 7/8 at quarter 60: 4 + 6 + 3.5 s."""
    found = song(
        chart(
            "A (2): {tempo: 120}", "B (2): {meter: 12/8, tempo: 80}", "C (1): {meter: 7/8 (2+2+3), tempo: 60}"
        )
    )
    assert [4.0, 6.0, 3.5] == pytest.approx([part.length for part in played(found)])
    assert song_seconds(found) == pytest.approx(13.5)


def test_an_even_change_lasts_what_calculus_says() -> None:
    """60 N ln(b2/b1) / (b2 - b1), tempo linear in beats."""
    found = song(chart("A (8): {tempo: 92 to 104}"))
    assert song_seconds(found) == pytest.approx(60 * 32 * math.log(104 / 92) / (104 - 92))


def test_an_even_change_over_all_passes_is_one_change() -> None:
    """All passes together."""
    found = song(chart("A (2) x3: {tempo: 96 to 72}"))
    assert song_seconds(found) == pytest.approx(60 * 24 * math.log(72 / 96) / (72 - 96))


def test_the_closed_form_is_the_limit_of_small_steps() -> None:
    """Numerical integration with a thousand steps a beat, midpoint rule."""
    start, end, beats, steps = 60.0, 180.0, 16, 16_000
    step = beats / steps
    numeric = sum(60 * step / (start + (end - start) * (n + 0.5) * step / beats) for n in range(steps))
    assert ramp_seconds(F(60), F(180), F(beats), F(beats)) == pytest.approx(numeric, rel=1e-8)


@pytest.mark.parametrize(("written", "becomes"), [(F(2, 3), 180), (F(3, 4), 160), (F(3, 2), 80)])
def test_metric_modulation_from_a_quarter_at_120(written: Fraction, becomes: int) -> None:
    """A note of so many quarters taken as the new quarter: quarter-triplet, dotted eighth, dotted quarter."""
    found = relation(F(120), F(becomes))
    assert found is not None
    theirs, yours = found  # so many parts of the old beat last as long as so many of the new
    assert written == F(yours, theirs)


def test_a_count_in_of_one_bar_and_a_pickup() -> None:
    """The count-in is before the song's seconds, the pickup is part of them."""
    found = song(chart("A (4)", head="count-in: 1 bar\npickup: 1 beat\n", tempo="120"))
    assert (2.0, 8.5) == (count_in_seconds(found), song_seconds(found))
