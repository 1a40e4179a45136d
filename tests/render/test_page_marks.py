"""What stands in a bar's box keeps apart; what is said below it comes in order."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import form

from render.page.fonts import capital_height
from render.page.model import Page, Pen, Rect, Shape, Sign, Words
from render.page.sheet import Options, sheet_of
from render.page.strips import (
    BORDER,
    HEIGHT,
    ODD,
    Stretch,
    least_bar,
    lines_of,
    paint_strip,
    placed_hits,
    strip_of,
)

K = 20.0  # points a unit, in these tests


def row(line, head=""):
    return sheet_of(form(line, head=head), Options()).rows[0]


def said(pieces):
    return " ".join(piece.text for piece in pieces if piece.text)


def notes(line):
    return [(note.place, said(note.pieces)) for note in row(line).notes]


def drawn(line, width=2.0):
    """The boxes of a section of up to eight bars, a bar ``width`` units wide."""
    found = row(line)
    page = Page("p", "p", 2000, 200)
    strip = strip_of(lines_of(found.section.phrases)[0], width, 8)
    paint_strip(Pen(page, K, 0, 0), 0.0, 0.0, strip, Stretch(found.marks, found.section.odd_bars.keys()))
    return page


def letters(page):
    return [item for item in page.items if isinstance(item, Words)]


def shapes(page):
    return [item for item in page.items if isinstance(item, (Shape, Sign))]


@given(st.lists(st.integers(0, 15), min_size=1, max_size=16, unique=True), st.floats(5.0, 40.0))
@settings(max_examples=200, deadline=None)
def test_hits_in_a_bar_wide_enough_never_touch(places, width):
    """Wherever in the bar they are: at its edges too, where they move inwards."""
    hits = [place / 16 for place in sorted(places)]
    found = placed_hits(hits, width)
    for (one, wide), (other, _) in pairwise(found):
        assert other - one > wide
    assert BORDER - 1e-9 <= found[0][0] - found[0][1] / 2
    assert found[-1][0] + found[-1][1] / 2 <= width - BORDER + 1e-9


def test_hits_at_the_edge_keep_their_order_and_distance_in_seven():
    """The first moves in from the bar line; it must not run into the second."""
    page = drawn("A (4): {meter: 7/8 (2+2+3), hits: 1.1 1.1& 1.2 1.2& 1.3 1.3&}", width=2.3)
    areas = sorted(item.area for item in shapes(page))
    assert len(areas) == 6
    assert all(b[0] > a[2] for a, b in pairwise(areas))


def test_boxes_grow_until_close_hits_can_be_told_apart():
    """Half an eighth apart needs a wider box than a beat apart; a single hit needs none."""
    needed = [
        least_bar(row(f"A (4): {{hits: {hits}}}").marks, 0)
        for hits in ("1.1", "1.1 1.2", "1.1 1.1& 1.2", "1.1 1.1e")
    ]
    assert needed == sorted(needed)
    assert needed[0] < needed[1] < needed[3]


@pytest.mark.parametrize("odd", ["", ", odd-bars: {4: 3/4}"])
def test_marks_end_above_the_letter_of_a_fill(odd):
    """Hits, stops and holds, in a bar of the thicker border as well."""
    page = drawn(f"A (4): {{fill: gallop, stops: 4.2-4.3, hits: 4.3&, holds: 4.1{odd}}}", width=3.0)
    (letter,) = letters(page)
    top = letter.y - capital_height() * letter.size
    marks = shapes(page)
    marks += [item for item in page.items if isinstance(item, Rect) and not item.line and item.y < K / 2]
    assert len(marks) >= 3
    assert all(item.area[3] < top for item in marks)


def test_marks_of_an_odd_bar_stand_inside_its_border():
    """It is thicker than that of other bars."""
    (hit,) = shapes(drawn("A (4): {odd-bars: {2: 3/4}, hits: 2.1}"))
    left, top, _, bottom = hit.area
    assert left >= (2.0 + ODD) * K - 1e-6
    assert top >= ODD * K - 1e-6
    assert bottom < HEIGHT * K


def test_no_tick_of_a_beat_stands_in_the_sign_of_a_hold():
    """The other beats keep theirs."""
    plain, held = (drawn(f"A (1): {{{what}: 1.3}}", width=6.0) for what in ("hits", "holds"))
    ticks = [
        sum(not isinstance(i, Rect | Shape | Sign | Words) for i in page.items) for page in (plain, held)
    ]
    assert ticks[0] == ticks[1] + 1


def test_hits_are_told_in_the_order_in_which_they_are_played():
    """However the chart lists them."""
    assert [("3", "hits 1 2& 4")] == notes("A (4): {hits: 3.4 3.2& 3.1}")


def test_what_is_said_of_a_bar_comes_in_its_order():
    """Cue and hits by their first beat, a fill last."""
    assert [("3.2", "ready"), ("3", "hits 3 4"), ("3", "1 last time")] == notes(
        "A (4) x2: {cues: {3.2: ready}, hits: 3.4 3.3, fills: {3: {use: gallop, pass: 2}}}"
    )


def test_hits_hang_at_their_bar_unless_something_comes_before_them():
    """Then at their own place, so that left is earlier."""
    first, second = (
        row(line).notes for line in ("A (4): {hits: 3.3}", "A (4): {cues: {3.2: in}, hits: 3.3}")
    )
    assert [0.0] == [note.at for note in first]
    assert [0.25, 0.5] == [note.at for note in second]


def test_a_running_text_keeps_the_order_of_the_bars():
    """Hits and stops stand together only as far as nothing else is said between them."""
    found = row("A (8): {hits: 2.1 8.1, stops: 2.2-2.4, cues: {5: open up}}")
    assert "hits 2.1 8.1" not in said(found.running_notes)
    assert "hits 2.1 stop 2.2–4 5: open up hits 8.1" == said(found.running_notes)


def test_what_ends_a_section_and_what_is_said_of_a_fill_keep_together():
    """No line ends in an arrow, or between a letter and its pass."""
    found = row("A (4) x2 open: {until: the long nod, fill: gallop}")
    for note in found.notes:
        assert all(piece.tied for piece in note.pieces[1:])
    assert len(found.notes) == 2


def test_a_letter_stands_clear_of_the_point_of_a_fill_that_began_before():
    """The box of its bar is wide enough for both, in the narrowest strip."""
    found = row("A (4): {fills: {1: two bars round the kit}}")
    narrow = least_bar(found.marks, 0)
    page = Page("p", "p", 2000, 200)
    strip = strip_of(lines_of(found.section.phrases)[0], narrow, 8)
    paint_strip(Pen(page, K, 0, 0), 0.0, 0.0, strip, Stretch(found.marks, ()))
    (point,), (letter,) = shapes(page), letters(page)
    assert point.area[2] < letter.x


@pytest.mark.parametrize("at", ["1.1", "4.4"])
def test_a_hold_stands_clear_of_the_dots_of_a_repeat(at):
    """In the bar that opens it and in the one that closes it."""
    found = row(f"A (4) x2: {{holds: {at}}}")
    page = Page("p", "p", 2000, 200)
    strip = strip_of(lines_of(found.section.phrases)[0], 2.5, 8)
    paint_strip(Pen(page, K, 0, 0), 0.0, 0.0, strip, Stretch(found.marks, (), 1, 4))
    dots = [item.area for item in page.items if isinstance(item, Rect) and 0 < item.width < 0.2 * K]
    assert len(dots) == 4
    for left, top, right, bottom in (item.area for item in shapes(page)):
        assert all(d[0] >= right or d[2] <= left or d[1] >= bottom or d[3] <= top for d in dots)
