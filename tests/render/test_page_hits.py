"""Hits over a bar: their rhythm, never the same for two sets of places, inside the bar and apart."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from page_rules import meet
from support import feel, form

from charts.song import Place
from charts.timing import Meter
from render.page import signs
from render.page.hit_lines import hit_line
from render.page.hits import hit_bar, hits_of
from render.page.model import Line, Page, Pen, Rect, Sign
from render.page.plan import Sizes
from render.page.strips import bars_of
from render.page.theme import SOFT

METERS = ["4/4", "3/4", "2/4", "12/8", "6/8", "7/8 (2+2+3)", "5/4", "2/2", "5/8 (3+2)"]
FEELS = ["straight eighths", "straight sixteenths", "swing", "shuffle", "sixteenth shuffle", "slow 12/8"]
TEMPO = F(100)
HEAD, REST = "head", "rest"
SILENT = f"{REST} 0"  # a beat's own


def bar_of(text, meter="4/4", name="straight eighths"):
    places = [place(each) for each in text.split()]
    return hit_bar(Meter.read(meter), feel(name), places, TEMPO)


def place(text):
    rest = text[1:]
    return Place(1, int(text[0]), rest if rest in ("&", "e", "a") else F(rest[1:]) if rest else F(0))


def drawn(bar, width=30.0):
    page = Page("p", "p", 200, 100)
    bar.paint(Pen(page, 1.0, 10, 50), width)
    return page.items


def told(bar):
    """What is drawn from left to right: heads with what they carry, rests."""
    items = drawn(bar, bar.least)
    names = {
        **dict.fromkeys(signs.HEADS.values(), HEAD),
        **{sign: f"{REST} {n}" for n, sign in enumerate(signs.RESTS)},
    }
    shown = [(i.x, names.get(i.sign, i.sign)) for i in items if isinstance(i, Sign)]
    return [name for _, name in sorted(shown)]


@st.composite
def bars(draw):
    """A meter, a feel and two sets of places that the feel has."""
    meter, name = Meter.read(draw(st.sampled_from(METERS))), draw(st.sampled_from(FEELS))
    found = feel(name)
    offers = []
    for number, beat in enumerate(meter.beats, start=1):
        grid = found.grid(beat, TEMPO)
        spoken = ["&", *(letter for letter in "ea" if grid.sixteenth(letter, beat.ternary) is not None)]
        fractions = [F(n, d) for d in (2, 3, 4, 5, 6, 8) for n in range(1, d)]
        offers += [Place(1, number, offset) for offset in (F(0), *spoken, *sorted(set(fractions)))]
    some = st.lists(st.sampled_from(offers), min_size=1, max_size=6)
    return meter, found, draw(some), draw(some)


def sounding(meter, found, places):
    return {(p.beat, p.at(meter.beats[p.beat - 1], found, TEMPO)) for p in places}


@given(bars())
@settings(max_examples=600, deadline=None)
def test_two_sets_of_places_never_give_the_same_picture(given_bars):
    """Whatever the meter, the feel and the way the places are written."""
    meter, found, one, other = given_bars
    if sounding(meter, found, one) != sounding(meter, found, other):
        pictures = [drawn(hit_bar(meter, found, places, TEMPO)) for places in (one, other)]
        assert pictures[0] != pictures[1]
        assert _shape(pictures[0]) != _shape(pictures[1])


def _shape(items):
    """What is drawn in which order, not where: a drummer does not measure."""
    names = []
    for item in sorted(items, key=lambda i: (round(i.area[0], 3), round(i.area[1], 3))):
        names.append(item.sign if isinstance(item, Sign) else type(item).__name__)
    return names


@given(bars(), st.floats(4.0, 60.0))
@settings(max_examples=300, deadline=None)
def test_hits_stay_in_their_bar_and_apart(given_bars, width):
    """However narrow the bar: the notes shrink."""
    meter, found, places, _ = given_bars
    bar = hit_bar(meter, found, places, TEMPO)
    items = drawn(bar, width)
    scale = min(1.0, width / bar.least)
    for item in items:
        left, top, right, bottom = item.area
        assert 10 - 0.01 <= left
        assert right <= 10 + width + 0.01
        assert 50 - bar.above * scale - 0.01 <= top
        assert bottom <= 50 + bar.below + 0.01
    apart = [item for item in items if isinstance(item, Sign) and item.sign not in signs.FLAGS]
    for place, one in enumerate(apart):
        assert not any(meet(one.area, other.area) for other in apart[place + 1 :])


@given(bars())
@settings(max_examples=200, deadline=None)
def test_marks_keep_the_order_of_time(given_bars):
    """The later, the further right; each in its bar."""
    meter, found, places, _ = given_bars
    bar = hit_bar(meter, found, places, TEMPO)
    assert [mark.at for mark in bar.marks] == sorted(mark.at for mark in bar.marks)
    xs = bar.places(bar.least)
    assert all(a < b for a, b in pairwise(xs))
    assert 0 < xs[0] < xs[-1] < bar.least


@given(bars())
@settings(max_examples=200, deadline=None)
def test_every_beat_is_complete(given_bars):
    """Values add up; the beats add up to the bar."""
    meter, found, places, _ = given_bars
    bar = hit_bar(meter, found, places, TEMPO)
    assert 1 == sum(beat.length for beat in bar.beats)
    for beat, shape in zip(bar.beats, meter.beats, strict=True):
        assert shape.quarters == sum(event.quarters for event in beat.written.events)


@pytest.mark.parametrize("name", ["straight eighths", "swing", "shuffle"])
@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1", [HEAD, SILENT, SILENT, SILENT]),
        ("1&", [f"{REST} 1", HEAD, signs.FLAGS[0], SILENT, SILENT, SILENT]),
        ("2 4", [SILENT, HEAD, SILENT, HEAD]),
        ("1 1& 3", [HEAD, HEAD, SILENT, HEAD, SILENT]),
    ],
)
def test_upbeats_are_written_even(name, text, shown):
    """A swung upbeat is an eighth, as in a band's parts."""
    assert shown == told(bar_of(text, name=name))


@pytest.mark.parametrize(
    ("text", "meter", "shown"),
    [
        (
            "1& 2a",
            "12/8",
            [f"{REST} 1", HEAD, f"{REST} 0", HEAD, signs.FLAGS[0], SILENT, signs.DOT, SILENT, signs.DOT],
        ),
        ("1 2 3", "7/8 (2+2+3)", [HEAD, HEAD, HEAD, signs.DOT]),
        ("2&", "6/8", [SILENT, signs.DOT, f"{REST} 1", HEAD]),
    ],
)
def test_compound_and_odd_meters(text, meter, shown):
    """Three eighths to a beat: the upbeat lasts two of them."""
    assert shown == told(bar_of(text, meter))


def test_a_place_that_the_count_does_not_name_is_written_as_it_sounds():
    """Thirds are triplets; a straight half in a shuffle has a two over it, so that nobody swings it."""
    figures = [
        [
            sign.sign
            for sign in drawn(bar_of(text, name="shuffle"))
            if isinstance(sign, Sign) and sign.sign in signs.DIGITS
        ]
        for text in ("1+1/3", "1+1/2", "1&")
    ]
    assert [[signs.DIGITS[3]], [signs.DIGITS[2]], []] == figures


def test_rests_and_silent_beats_are_soft():
    """Hits are black; the rest of a beat without a hit is smaller than one beside a hit."""
    items = drawn(bar_of("1&"))
    before, *silent = [item for item in items if item.role == SOFT]
    assert signs.RESTS[1] == before.sign
    assert [signs.RESTS[0]] * 3 == [item.sign for item in silent]
    assert {True} == {item.space < before.space for item in silent}


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1e", [f"{REST} 2", HEAD, signs.FLAGS[1], f"{REST} 1"]),
        ("1&", [f"{REST} 1", HEAD, signs.FLAGS[0]]),
        ("1a", [f"{REST} 1", f"{REST} 2", HEAD, signs.FLAGS[1]]),
        ("1 1a", [HEAD, signs.DOT, HEAD]),
        ("1 1e", [HEAD, HEAD, f"{REST} 1"]),
    ],
)
def test_the_silence_round_a_sixteenth_is_written_in_values_of_the_count(text, shown):
    """An eighth and a sixteenth before the last one, an eighth after the second: no dots but on the beat."""
    assert [*shown, SILENT] == told(bar_of(text, "2/4", "straight sixteenths"))


def test_a_half_rest_lies_on_a_line():
    """It hangs from none, as a whole rest does."""
    (line,) = [item for item in drawn(bar_of("1", "2/2")) if isinstance(item, Line) and item.role == SOFT]
    assert line.y1 == line.y2


def test_two_eighths_share_a_beam():
    """Level, from stem to stem."""
    (beam,) = [item for item in drawn(bar_of("1 1&")) if isinstance(item, Rect)]
    stems = [item for item in drawn(bar_of("1 1&")) if isinstance(item, Line)]
    assert {beam.y} == {min(stem.y1, stem.y2) for stem in stems}


def test_hits_are_where_they_sound_in_a_wide_bar():
    """A beat further on is a beat further right."""
    bar = bar_of("1 2 3 4")
    one, two, three, four = bar.places(60.0)
    assert two - one == pytest.approx(three - two) == pytest.approx(four - three)


def test_a_section_s_hits_by_bar():
    """Each bar's own, in its own meter; nothing where there are none."""
    (section,) = form("A (4): {hits: 2.1 2.3&, odd-bars: {2: 6/8}}".replace("2.3&", "2.2&")).form
    assert hits_of(section, 1) is None
    found = hits_of(section, 2)
    assert found is not None
    assert 2 == len(found.beats)


def test_the_fullest_bar_says_how_much_room_it_needs():
    """Sixteen sixteenths more than four quarters."""
    full = " ".join(f"{n}{part}" for n in range(1, 5) for part in ("", "e", "&", "a"))
    assert bar_of(full, name="straight sixteenths").least > 2 * bar_of("1 2 3 4").least


def bar_lines(hits):
    """The upright soft lines over a section's bars, of which bar 3 begins a phrase."""
    (section,) = form(f"A (2+2): {{hits: {hits}}}").form
    (bars,) = bars_of(section, 8, 50.0, 4.0)
    page = Page("p", "p", 400, 100)
    hit_line(section, bars, Sizes(1.0, 0.0, 1.0)).paint(Pen(page, 1.0, 0, 50))
    return [item.x1 for item in page.items if isinstance(item, Line) and item.role == SOFT]


@pytest.mark.parametrize(
    ("hits", "lines"),
    [("1.1", []), ("1.1 3.1", []), ("1.1 2.1", [50.0]), ("1.2 2.1 3.4", [50.0, 102.0]), ("2.1 3.1", [102.0])],
)
def test_a_bar_line_is_between_two_bars_with_hits(hits, lines):
    """In the middle of the gap between phrases; none beside a bar without hits."""
    assert lines == bar_lines(hits)


@given(bars(), st.floats(0.0, 20.0))
@settings(max_examples=100, deadline=None)
def test_signs_are_further_apart_where_there_is_room(given_bars, more):
    """Up to a third of a space, at the bar lines as well."""
    meter, found, places, _ = given_bars
    bar = hit_bar(meter, found, places, TEMPO)
    least, wide = bar.places(bar.least), bar.places(bar.least + more)
    assert wide[0] - least[0] == pytest.approx(min(0.35, more / (len(wide) + 1)))
