"""How beats are counted aloud, and two counts drawn on one ruler."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from charts.counting import count_grid, count_lines, count_onsets, offsets_in_words
from charts.feel import BY_TEMPO, Feel
from charts.ruler import Ruler, ruler_for
from charts.timing import Meter
from charts.verdict import judge_beat

QUARTER, DOTTED = Meter.read("4/4").beats[0], Meter.read("6/8").beats[0]
EIGHTHS = Feel("straight eighths", (2,), count="1 &")
SIXTEENTHS = Feel("straight sixteenths", (2, 2), count="1 e & a")
SHUFFLE = Feel("shuffle", (3,), F(2), count="1 trip let")
SWUNG_16 = Feel("sixteenth shuffle", (2, 3), F(2), count="1 e & a")
BALLAD = Feel("slow 12/8", (3,), home_cells=6, count="1 & a")


def words(marks):
    return " ".join(word for _, word in marks)


def lines(onsets, feel, bpm=92, beat=QUARTER, **more):
    tempo = F(bpm)
    judged = judge_beat(tuple(onsets), feel.grid(beat, tempo), 60000 * beat.units / tempo, F(20))
    return count_lines(judged, feel, beat, tempo, **more)


@pytest.mark.parametrize(
    ("feel", "beat", "expected"),
    [
        (EIGHTHS, QUARTER, "1 &"),
        (SIXTEENTHS, QUARTER, "1 e & a"),
        (SHUFFLE, QUARTER, "1 trip let"),
        (SWUNG_16, QUARTER, "1 - e & - a"),
        (BALLAD, DOTTED, "1 - & - a -"),
        (EIGHTHS, DOTTED, "1 & a"),
        (SHUFFLE, DOTTED, "1 & a"),
        (SIXTEENTHS, DOTTED, "1 - & - a -"),
        (Feel("mine", (2, 3), count=""), QUARTER, "1 trip let & trip let"),
        (Feel("mine", (5,), count="1 &"), QUARTER, "1 ta ta ta ta"),
    ],
)
def test_the_groove_is_counted_as_its_feel_says(feel, beat, expected):
    """Each feel's home grid has its trade count; compound beats count eighths 1 & a."""
    assert words(count_grid(feel, beat, F(92))) == expected


def test_a_book_says_how_triplets_are_counted():
    """The book's style replaces 1 trip let, in the groove's count and the fill's."""
    assert words(count_grid(SHUFFLE, QUARTER, F(92), 3, "1 & a")) == "3 & a"
    assert words(count_onsets([F(0), F(1, 3), F(2, 3)], EIGHTHS, QUARTER, F(92), 2, "1 la li")) == "2 la li"


@pytest.mark.parametrize(
    ("cells", "feel", "expected"),
    [
        ([F(n, 4) for n in range(4)], SHUFFLE, "1 e & a"),
        ([F(n, 6) for n in range(6)], SHUFFLE, "1 ta trip ta let ta"),
        ([F(n, 6) for n in range(6)], SIXTEENTHS, "1 trip let & trip let"),
        ([F(n, 8) for n in range(8)], SIXTEENTHS, "1 ta e ta & ta a ta"),
        ([F(0), F(1, 6), F(1, 3), F(2, 3)], SHUFFLE, "1 ta trip let"),
        ([F(0), F(1, 3), F(1, 2), F(5, 6)], SWUNG_16, "1 e & a"),
        ([F(0), F(1, 3), F(2, 3)], SWUNG_16, "1 trip let"),
        ([], SHUFFLE, ""),
    ],
)
def test_a_fill_is_counted_on_its_own_division(cells, feel, expected):
    """A fill counts as the groove where it can, else by its own cells."""
    assert words(count_onsets(cells, feel, QUARTER, F(92))) == expected


def test_sextuplets_keep_the_and_for_the_half_in_any_style():
    """With triplets counted 1 & a, half a beat in triplets still says trip let, as & is taken."""
    six = [F(n, 6) for n in range(6)]
    assert words(count_onsets(six, SIXTEENTHS, QUARTER, F(92), 1, "1 & a")) == "1 trip let & trip let"


def test_two_counts_stand_under_one_another():
    """Sixteenths over a half-time shuffle: twelve cells, the middle ones off by a twelfth of the beat."""
    found = lines([F(n, 4) for n in range(4)], SHUFFLE, 96, triplets="1 & a")
    assert found.groove == "1 . . . & . . . a . . ."
    assert found.fill_and_offsets == "1 . . e . . & . . a . .     e 52 ms early, a 52 ms late"


def test_words_never_touch_on_the_ruler():
    """Longer words take the dots beside them; a sextuplet gets more room or loses its dots."""
    assert lines([F(0), F(1, 2)], SHUFFLE).groove == "1 . . . trip  . let . ."
    six = lines([F(n, 6) for n in range(6)], SIXTEENTHS)
    assert six.fill == "1 . . . trip  . let . . & . . . trip  . let . ."


def test_swung_places_are_drawn_where_they_sound():
    """At 3:2 the upbeat of a swing beat is at three fifths, before the even triplet's place."""
    swing = Feel("swing", (3,), F(3, 2), count="1 trip let")
    found = lines([F(0), F(2, 3)], swing, 240)
    assert found.groove.index("let") == found.fill.index("let")
    straight = lines([F(0), F(1, 2)], swing, 240)
    assert straight.groove.index("let") > straight.fill.index("&")
    assert straight.offsets == "& 25 ms early"


def test_a_near_stroke_is_drawn_beside_its_place():
    """Places that differ by less than a cell still stand apart, on the side where they sound."""
    swing = Feel("swing", (3,), BY_TEMPO, count="1 trip let")
    found = lines([F(0), F(1, 2)], swing, 260)
    assert found.fill.index("&") < found.groove.index("let")


def test_strokes_without_a_word_of_their_own_are_numbered():
    """Five in a beat have no clear words, so offsets name the stroke."""
    assert lines([F(n, 5) for n in range(5)], SIXTEENTHS).offsets.startswith("stroke 2 33 ms early")
    assert offsets_in_words(["1", "&"], [0.0, 0.4]) == "& under 1 ms late"


place = st.builds(lambda n, d: F(n % d, d), st.integers(0, 47), st.integers(1, 48))
places = st.sets(place, min_size=1, max_size=24)


@given(places, places)
def test_a_ruler_keeps_the_order_in_time(one, two):
    """Whatever the places, earlier is left of later and equal places are together."""
    ruler = ruler_for([[[(at, "x") for at in one], [(at, "x") for at in two]]])
    cells = ruler.cells_of(one | two)
    assert all(cells[a] < cells[b] for a in cells for b in cells if a < b)
    assert min(cells.values()) >= 0
    assert max(cells.values()) < ruler.cells


def test_a_tight_ruler_has_a_column_a_cell():
    """One column a cell cuts the words to letters, and never a beat's number."""
    marks = [(F(0), "12"), (F(1, 3), "trip"), (F(1, 2), "ta"), (F(2, 3), "let")]
    assert Ruler(12, 1, True).lines(marks) == ["12..t.x.l..."]
