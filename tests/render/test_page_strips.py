"""Bars in strips: lines of eight, phrases apart, one width on the page, longer and shorter bars."""

from __future__ import annotations

from itertools import pairwise

import pytest
from support import form

from render.page.strips import LEAST, bars_of, lines_of, width_of_bar


def strips(line: str, across: int = 8, width: float = 10.0, gap: float = 2.0):
    return bars_of(form(line).form[0], across, width, gap)


@pytest.mark.parametrize(
    ("phrases", "across", "lines"),
    [
        ((8,), 8, [[8]]), ((4, 4), 8, [[4, 4]]), ((16,), 8, [[8], [8]]), ((12,), 8, [[8], [4]]),
        ((9,), 8, [[4], [5]]), ((4, 4, 3), 8, [[4, 4], [3]]), ((5, 5), 8, [[5], [5]]),
        ((7, 12, 2), 8, [[7], [8], [4, 2]]), ((1,), 8, [[1]]), ((4, 4, 4), 12, [[4, 4, 4]]),
        ((8,), 4, [[4], [4]]), ((5,), 4, [[2], [3]]),
    ],
)  # fmt: skip
def test_bars_in_lines(phrases, across, lines):
    """A phrase stays whole where it can."""
    assert lines == [[count for _, count, _ in line] for line in lines_of(phrases, across)]


def test_bars_share_one_width_and_phrases_are_parted():
    """The gap is where the phrase ends."""
    (bars,) = strips("A (4+4)")
    steps = [b.left - a.left for a, b in pairwise(bars)]
    assert [10.0] * 3 == steps[:3] == steps[4:]
    assert steps[3] == 12.0
    assert [4, 8] == [bar.number for bar in bars if bar.ends]
    assert [1, 5] == [bar.number for bar in bars if bar.starts]


@pytest.mark.parametrize(
    ("bars", "strong"),
    [("4", [4]), ("5", [4]), ("8", [4, 8]), ("4+4", [4, 8]), ("7+5", [4, 11]), ("16", [4, 8, 12, 16])],
)
def test_the_line_after_every_fourth_bar_of_a_phrase_is_strong(bars, strong):
    """Counted from the phrase's own first bar, through the lines."""
    assert strong == [bar.number for line in strips(f"A ({bars})") for bar in line if bar.strong]


@pytest.mark.parametrize(
    ("meter", "odd", "share"),
    [("4/4", "2/4", 0.5), ("7/8 (2+2+3)", "4/4", 8 / 7), ("4/4", "12/8", 1.5), ("12/8", "3/8", LEAST)],
)
def test_a_bar_of_another_length_is_as_wide_as_it_lasts(meter, odd, share):
    """Beside the section's own bars, never too narrow to be seen."""
    bars = strips(f'A (4): {{meter: "{meter}", odd-bars: {{2: "{odd}"}}}}')[0]
    assert bars[1].width == pytest.approx(10.0 * share)
    assert str(bars[1].meter) == odd
    assert bars[2].left == pytest.approx(bars[1].right)


def test_longer_bars_break_the_line_before_it_gets_too_long():
    """Eight bars that last as long as sixteen are two lines."""
    odd = ", ".join(f"{bar}: 8/4" for bar in range(1, 9))
    lines = strips(f"A (8): {{odd-bars: {{{odd}}}}}")
    assert [4, 4] == [len(line) for line in lines]
    assert all(line[0].starts and line[-1].ends for line in lines)


def test_the_widest_line_gives_the_width_of_all_bars():
    """Gaps between phrases are taken off first."""
    sections = form("A (8)", "B (4+4)", "C (4)").form
    assert width_of_bar(sections, 8, 100.0, 4.0) == 12.0
    assert width_of_bar(sections[2:], 8, 100.0, 4.0) == 25.0
