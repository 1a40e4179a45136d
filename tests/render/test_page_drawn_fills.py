"""Drawn fills: distances, counts, sticking, landing, rows; nothing touches anything else."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from page_rules import meet, words_on_words
from support import BOOK, feel, form, pattern

from charts.pattern import DRAG, FLAM, GHOST, PLAIN, Stroke
from charts.timing import Meter
from render.page import signs
from render.page.fill_notes import lay_lines
from render.page.fill_picture import fill_picture
from render.page.fill_rows import GUTTER, fill_rows
from render.page.fills import Lands, PageFill
from render.page.model import Disc, Line, Page, Pen, Rect, Sign, Words
from render.page.sheet import Options, sheet_of
from render.page.theme import INK, SOFT

CRASH = Lands(("C1", "BD"))
TRIPLETS = "1 trip let"
SHIPPED = BOOK.patterns.fills()
WIDE = 1000.0


def page_fill(
    found, name="straight sixteenths", meter="4/4", lands=CRASH, number="1", title="test", first=None
):
    """A pattern over the last beats of its bar."""
    beats = (found.meter or Meter.read(meter)).beats
    start = -found.beats % len(beats) if first is None else first
    over = tuple(
        (beats[n % len(beats)], n % len(beats) + 1, F(100)) for n in range(start, start + found.beats)
    )
    return PageFill(number, title, found, feel(name), over, lands=lands)


def shipped(fill, number="1"):
    threes = any(at.denominator % 3 == 0 for beat in fill.onsets for at in beat)
    return page_fill(
        fill,
        "shuffle" if threes and not fill.meter else "straight sixteenths",
        number=number,
        title=fill.name,
    )


def of(rows, **more):
    return page_fill(pattern(rows), **more)


def drawn(fill, words=True, width=WIDE):
    """The fill with a point to the staff space, its staff's top line at 30."""
    page = Page("p", "p", 2000, 200)
    picture = fill_picture(fill, TRIPLETS, words, width)
    picture.paint(Pen(page, 1.0, 10, 30))
    return page, picture


def said(page, kind):
    return [item.text for item in page.words if item.kind == kind]


def of_kind(page, kind):
    return [item for item in page.items if isinstance(item, kind)]


def bar_lines(page):
    return [line for line in of_kind(page, Line) if line.width == signs.BARLINE and line.x1 == line.x2]


def touching(page):
    """Signs, beams and words that touch one another; a stem and what is on it, a head and its flag may."""
    items = [item for item in page.items if isinstance(item, Sign | Rect | Words)]
    known = sorted(((item.area, item) for item in items), key=lambda pair: pair[0])
    for place, (area, one) in enumerate(known):
        for other_area, other in known[place + 1 :]:
            if other_area[0] >= area[2]:
                break
            flags = [i for i in (one, other) if isinstance(i, Sign) and i.sign in signs.FLAGS]
            if not flags and meet(area, other_area):
                yield one, other


def gaps(line):
    """How long each event lasts and how far the next one is from it; None at a bar line."""
    for place, (beat, xs) in enumerate(zip(line.beats, line.xs, strict=True)):
        following = (
            line.xs[place + 1][0]
            if place + 1 < len(line.xs) and not line.beats[place + 1].starts_bar
            else None
        )
        for column, x, after in zip(beat.columns, xs, [*xs[1:], following], strict=True):
            if after is not None:
                yield column.event.quarters, after - x


@pytest.mark.parametrize("fill", SHIPPED, ids=lambda fill: fill.name)
def test_shipped_fills_are_clean(fill):
    """Nothing touches anything, all is inside what the picture says of itself, with counts and without."""
    for words in (True, False):
        page, picture = drawn(shipped(fill), words)
        assert [] == list(touching(page))
        for item in page.items:
            left, top, right, bottom = item.area
            assert 10 - 1e-6 <= left
            assert right <= 10 + picture.width + 1e-6
            assert 30 - picture.above - 0.2 <= top
            assert bottom <= 30 + picture.below + 0.2


@pytest.mark.parametrize("fill", SHIPPED, ids=lambda fill: fill.name)
def test_equal_times_are_equally_far_apart(fill):
    """On every shipped fill distances are in proportion to time, so that swing is seen."""
    (line,) = lay_lines(shipped(fill), TRIPLETS, True, WIDE)
    per_quarter = {round(distance / float(length), 6) for length, distance in gaps(line)}
    assert len(per_quarter) <= 1


@st.composite
def patterns(draw):
    """Up to eight beats, each of its own division."""
    beats = draw(st.integers(1, 8))
    strokes = []
    for beat in range(beats):
        cells = draw(st.sampled_from([1, 2, 3, 4, 6, 8, 12]))
        for cell in range(cells):
            kind = draw(st.sampled_from([PLAIN, PLAIN, GHOST, FLAM, DRAG]))
            voices = draw(st.sets(st.sampled_from(["SD", "BD", "T1", "T2", "C1", "HH"]), max_size=3))
            for place, voice in enumerate(sorted(voices) if draw(st.booleans()) else ()):
                ornament = PLAIN if place else kind
                strokes.append(Stroke(beat, F(cell, cells), voice, ornament, draw(st.booleans())))
    return pattern(" | ".join(["SD ."] + ["."] * (beats - 1))).with_strokes(strokes)


@given(
    patterns(), st.sampled_from(["straight sixteenths", "shuffle"]), st.sampled_from(["4/4", "6/8", "3/4"])
)
@settings(max_examples=150, deadline=None)
def test_any_fill_is_clean(found, name, meter):
    """Nothing touches; the same time is the same distance, more time never less."""
    fill = page_fill(found, name, meter)
    page, picture = drawn(fill)
    assert [] == list(touching(page))
    distances: dict[F, set[float]] = {}
    for line in picture.lines:
        for length, distance in gaps(line):
            distances.setdefault(length, set()).add(round(distance, 6))
    assert all(len(found) == 1 for found in distances.values())
    assert all(min(a) <= min(b) for (_, a), (_, b) in pairwise(sorted(distances.items())))


@pytest.mark.parametrize(
    ("rows", "name", "words"),
    [
        ("SD oooo", "straight sixteenths", ["4", "e", "&", "a"]),
        ("SD ooo", "shuffle", ["4", "trip", "let"]),
        ("SD o.ooo.", "shuffle", ["4", "trip", "ta", "let"]),
        ("SD ..|.o", "straight eighths", ["(3)", "(4)", "&"]),
        ("SD o.|o.", "straight eighths", ["3", "4"]),
    ],
)
def test_every_beat_is_numbered(rows, name, words):
    """As the feel counts; a silent beat in brackets; then the one that it leads to."""
    page, _ = drawn(of(rows, name=name))
    assert [*words, "1"] == said(page, "fill count")


def test_silent_numbers_and_the_landing_are_soft():
    """What is played is black."""
    page, _ = drawn(of("SD ..|.o"))
    roles = {item.text: item.role for item in page.words}
    assert {"(3)": SOFT, "(4)": SOFT, "&": INK, "1": SOFT} == roles


def test_counts_are_as_the_book_says():
    """1 & a where it says so."""
    page = Page("p", "p", 400, 100)
    fill_picture(of("SD ooo", name="shuffle"), "1 & a").paint(Pen(page, 1.0, 10, 30))
    assert ["4", "&", "a", "1"] == said(page, "fill count")


def test_sticking_is_below_the_count():
    """A letter a stroke, in the middle under its head; left out with the counts."""
    fill = of("SD oooo\nstick RLRL")
    page, _ = drawn(fill)
    counts, hands = ([w for w in page.words if w.kind == kind] for kind in ("fill count", "sticking"))
    heads = [sign for sign in of_kind(page, Sign) if sign.sign == signs.HEADS["normal", False]]
    assert ["R", "L", "R", "L"] == [word.text for word in hands]
    for count, hand, head in zip(counts, hands, heads, strict=False):
        middle = head.x + 0.59
        assert count.x + count.width / 2 == pytest.approx(middle)
        assert hand.x + hand.width / 2 == pytest.approx(middle)
        assert hand.y > count.y
    assert [] == list(drawn(fill, words=False)[0].words)


def test_a_silent_beat_has_its_rest():
    """Each beat is complete: a quarter's rest, and an eighth's before the upbeat."""
    page, _ = drawn(of("SD ..|.o"))
    rests = [sign.sign for sign in of_kind(page, Sign) if sign.sign in signs.RESTS]
    assert [signs.RESTS[0], signs.RESTS[1]] == rests


def test_the_landing_is_soft_and_after_the_bar_line():
    """Crash and bass drum on one stem."""
    page, _ = drawn(of("SD oooo"))
    (bar_line,) = bar_lines(page)
    soft = [sign for sign in of_kind(page, Sign) if sign.role == SOFT]
    assert [signs.HEADS["normal", False], signs.HEADS["x", False]] == [sign.sign for sign in soft]
    assert all(sign.x > bar_line.x1 for sign in soft)


def test_a_fill_that_is_pushed_is_written_where_it_is_played():
    """Half a beat early: it starts with a rest, lands inside its last beat, no bar line after it."""
    song = form("A (4): {fills: {4.4&: four on the snare}}", "B (4)")
    (fill,) = sheet_of(song, Options()).fills
    page, _ = drawn(fill)
    assert ["(3)", "&", "a", "4", "e", "&"] == said(page, "fill count")
    assert SOFT == [w for w in page.words if w.kind == "fill count"][-1].role
    assert [] == bar_lines(page)


def test_a_fill_that_lands_on_a_later_beat_has_no_bar_line_before_it():
    """It is counted as that beat."""
    (fill,) = sheet_of(form("A (4): {fills: {4.4: four on the snare}}"), Options()).fills
    page, _ = drawn(fill)
    assert ["3", "e", "&", "a", "4"] == said(page, "fill count")
    assert [] == bar_lines(page)


def test_nothing_is_struck_where_the_chart_says_so():
    """The one is counted all the same."""
    song = form("A (4): {fill: four on the snare}", "B (4): {dynamics: p}")
    (fill,) = sheet_of(song, Options()).fills
    page, _ = drawn(fill)
    assert not [sign for sign in of_kind(page, Sign) if sign.role == SOFT]
    assert "1" == said(page, "fill count")[-1]


def test_a_fill_written_straight_is_written_out_where_nothing_swings():
    """In a feel with a swing it stays even; in 12/8 its upbeats are thirds."""
    found = BOOK.patterns.get("eighths as read")
    swung, twelve = page_fill(found, "shuffle"), page_fill(found, "slow 12/8", "12/8")
    assert (True, False) == (swung.written_straight, twelve.written_straight)
    places = [
        {event.at for beat in lay_lines(fill, TRIPLETS, True, WIDE)[0].beats for event in beat.written.events}
        for fill in (swung, twelve)
    ]
    assert [{F(0), F(1, 2)}, {F(0), F(2, 3)}] == places


def test_open_hats_have_a_ring_over_the_accent():
    """Half-open ones a ring with a stroke."""
    page, _ = drawn(of("HH os"))
    assert {signs.HAT_OPEN, signs.HAT_HALF_OPEN} <= {sign.sign for sign in of_kind(page, Sign)}


def test_a_bar_is_never_broken():
    """Two bars go under one another where the page is too narrow; one bar stays whole however narrow it is."""
    two = of("SD " + " | ".join(["oooo"] * 8), first=0)
    one = of("SD " + " | ".join(["oooo"] * 4), first=0)
    assert [1, 2] == [len(fill_picture(two, TRIPLETS, True, width).lines) for width in (WIDE, 50.0)]
    assert 1 == len(fill_picture(one, TRIPLETS, True, 5.0).lines)


def test_a_narrow_page_makes_a_fill_narrower_before_it_breaks():
    """Down to what its signs and words need."""
    fill = of("SD o...|oooooooo|o...|oooo")
    wide = fill_picture(fill, TRIPLETS).width
    tight = fill_picture(fill, TRIPLETS, True, wide - 5)
    assert tight.width <= wide - 5
    assert 1 == len(tight.lines)


def rows_drawn(fills, width=120.0, space=1.0):
    page = Page("p", "p", width * space, 2000)
    laid = fill_rows(fills, TRIPLETS, width)
    laid.paint(Pen(page, space, 0, 0), 0.0, 0.0)
    return page, laid


def test_many_fills_on_one_sheet():
    """In their order, inside the width and height, apart from one another, each with its number and name."""
    fills = [shipped(fill, str(n)) for n, fill in enumerate(SHIPPED[::3], start=1)]
    page, laid = rows_drawn(fills)
    assert [str(n) for n in range(1, len(fills) + 1)] == said(page, "fill label")
    assert " ".join(fill.title for fill in fills) == " ".join(said(page, "fill"))
    assert [] == list(words_on_words(page))
    assert [] == list(touching(page))
    for item in page.items:
        left, top, right, bottom = item.area
        assert -0.01 <= left
        assert right <= 120.01
        assert -0.01 <= top
        assert bottom <= laid.height + 0.3


def test_fills_of_a_row_have_their_staves_on_one_line():
    """However high their notes reach."""
    page, _ = rows_drawn([of("SD o|o"), of("C1 O|O", number="2")])
    tops = {line.y1 for line in of_kind(page, Line) if line.y1 == line.y2 and line.width == signs.STAFF_LINE}
    assert 5 == len(tops)


def test_fills_start_at_columns_of_the_page():
    """Twelfths of it, where there is room."""
    page, _ = rows_drawn([of("SD o|o", number=str(n)) for n in range(1, 4)])
    starts = [disc.x - disc.radius for disc in of_kind(page, Disc)]
    assert [0.0, 0.0, 0.0] == pytest.approx([start % 10 for start in starts], abs=1e-6)


def test_fills_stay_apart_on_a_full_row():
    """At least a gutter between them."""
    fills = [of("SD oooo|oooo", title="a name of some length", number=str(n)) for n in range(1, 9)]
    page, _ = rows_drawn(fills)
    discs = sorted(of_kind(page, Disc), key=lambda disc: (disc.y, disc.x))
    for one, other in pairwise(discs):
        if one.y == other.y:
            assert other.x - one.x >= fill_picture(fills[0], TRIPLETS).width + GUTTER - 1e-6


def test_a_bar_wider_than_the_page_is_drawn_smaller_by_itself():
    """The others keep their size."""
    wide = of("SD " + " | ".join(["o" * 24] * 4), first=0)
    page, _ = rows_drawn([wide, of("SD oooo", number="2")], width=80.0)
    small, whole = sorted({sign.space for sign in of_kind(page, Sign) if sign.sign == signs.CLEF})
    assert small < whole == 1.0
    assert max(item.area[2] for item in page.items) <= 80.01


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("A (4): {feel: shuffle, fill: four on the snare}", "clashes with shuffle"),
        ("A (4): {fill: nothing of the kind}", "no fill of this name in the book"),
    ],
)
def test_what_is_said_of_a_fill_is_under_its_name(line, told):
    """Bold where it wants mending."""
    page, _ = rows_drawn(sheet_of(form(line), Options()).fills)
    assert told in " ".join(said(page, "fill note"))


def test_no_fills_take_no_room():
    """Nothing is drawn."""
    page, laid = rows_drawn([])
    assert (0.0, []) == (laid.height, page.items)
