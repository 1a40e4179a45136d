"""Bars in strips: lines of eight, phrases apart, the strong bar line after every fourth bar of a phrase."""

from __future__ import annotations

import pytest

from render.page.model import Line, Page, Pen
from render.page.strips import DIVIDER, STRONG, Stretch, lines_of, paint_strip, strip_of


def bar_lines(phrases: tuple[int, ...], across: int = 8) -> dict[int, bool]:
    """The bars with a line at their left, inside a phrase: True where it is strong."""
    found: dict[int, bool] = {}
    for line in lines_of(phrases, across):
        page = Page("p", "p", 400, 400)
        strip = strip_of(line, 1.0, across)
        paint_strip(Pen(page, 1.0, 0, 0), 0.0, 0.0, strip, Stretch({}, ()))
        bars = {round(left, 3): bar for bar, left in strip.lefts.items()}
        for item in page.items:
            if isinstance(item, Line):
                assert item.width in (pytest.approx(STRONG), pytest.approx(DIVIDER))
                found[bars[round(item.x1, 3)]] = item.width == pytest.approx(STRONG)
    return found


def strong(phrases: tuple[int, ...], across: int = 8) -> list[int]:
    return sorted(bar for bar, is_strong in bar_lines(phrases, across).items() if is_strong)


@pytest.mark.parametrize(
    ("phrases", "expected"),
    [
        ((4,), []),
        ((5,), [5]),
        ((8,), [5]),
        ((4, 4), []),
        ((3, 5), [8]),
        ((7, 5), [5, 12]),
        ((12,), [5]),
        ((16,), [5, 13]),
        ((2, 2, 2), []),
    ],
)
def test_a_line_is_strong_after_every_fourth_bar_of_a_phrase(
    phrases: tuple[int, ...], expected: list[int]
) -> None:
    """Counted from the phrase's own first bar; where a line of boxes breaks there is none."""
    assert expected == strong(phrases)


@pytest.mark.parametrize(
    ("phrases", "across", "expected"), [((9,), 8, [9]), ((6,), 4, []), ((7,), 4, []), ((8,), 2, [])]
)
def test_a_phrase_that_goes_on_in_the_next_line_goes_on_counting(
    phrases: tuple[int, ...], across: int, expected: list[int]
) -> None:
    """Lines break where strong ones would be; in the line after, they are counted from the phrase's first bar."""
    assert expected == strong(phrases, across)


def test_a_broken_phrase_is_counted_through() -> None:
    """Eighteen bars in lines of eight, four and six."""
    assert [5, 17] == strong((18,))
    assert [5, 13, 21] == strong((24,))
    assert [2, 3, 4, 5] == sorted(bar_lines((5,)))
