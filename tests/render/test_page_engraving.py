"""The drum staff: note values, beams, tuplets, rests, ornaments, staff places, spacing, counts."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from page_rules import meet, words_on_ink, words_on_words
from support import BOOK, feel, pattern

from charts.kit import VOICES
from charts.timing import Meter
from render.page import ink
from render.page.engraving import engrave
from render.page.fills import PageFill
from render.page.model import Line, Page, Pen, Rect, Shape
from render.page.notation_table import lay_table
from render.page.rhythm import write_beat
from render.page.staff import Notes, columns_of, spacing_of, staff_y

SCALE = 6.0  # points a staff space, in these tests


def notes(rows, meter="4/4", name="straight sixteenths", triplets="1 trip let"):
    found = pattern(rows)
    beats = Meter.read(meter).beats
    over = tuple((beats[n % len(beats)], n % len(beats) + 1, F(100)) for n in range(found.beats))
    return Notes(found, feel(name), over, triplets)


def drawn(rows, width=90.0, **more):
    page = Page("p", "p", width * SCALE, 400)
    engrave(notes(rows, **more), width).paint(Pen(page, SCALE, 0, 0), width)
    return page


def beat(rows):
    return write_beat(pattern(rows).by_beat[0], Meter.read("4/4").beats[0])


@pytest.mark.parametrize(
    ("rows", "figure"), [("SD oooo", 0), ("SD o.o", 3), ("SD o.ooo.", 6), ("SD ooooo", 5)]
)
def test_the_figure_over_a_beat(rows, figure):
    """Where the division is not plain; six where the strokes are on sixths, as in a score."""
    above, _ = beat(rows)
    assert figure == above.tuplet
    assert [str(figure)] * bool(figure) == [item.text for item in drawn(rows).words if item.kind == "tuplet"]


def test_how_a_half_is_written():
    """One stroke is hollow."""
    above, _ = write_beat(pattern("SD o").by_beat[0], Meter.read("2/2").beats[0])
    assert above.notes[0].hollow


def test_beams_join_flagged_neighbours_of_one_voice():
    """Hands and feet apart; a quarter parts nothing from nothing."""
    hands, feet = beat("SD oooo\nBD o..o")
    assert (((0, 3),), ()) == (hands.beams, feet.beams[1:])


def test_one_bracket_for_both_voices():
    """A foot that completes the hands' triplet needs no second figure."""
    hands, feet = beat("SD oo.\nBD ..o")
    assert (3, 0) == (hands.tuplet, feet.tuplet)


def test_feet_alone_have_their_own_figure():
    """Where the hands rest."""
    hands, feet = beat("SD ...\nBD ooo")
    assert (0, 3) == (hands.tuplet, feet.tuplet)


def test_voices_that_do_not_divide_alike_are_written_apart():
    """Four against three: no twelve anywhere."""
    hands, feet = beat("SD oooo\nBD ooo")
    assert (0, 3) == (hands.tuplet, feet.tuplet)


@pytest.mark.parametrize(
    ("rows", "rests"),
    [
        ("SD ....", [(F(0), "quarter")]),
        ("SD ..oo", [(F(0), "eighth")]),
        ("SD .ooo", [(F(0), "16th")]),
        ("SD oooo", []),
        ("SD o....o", [(F(2, 3), "16th")]),
        ("SD ..oo\nBD o...", [(F(0), "eighth")]),
        ("SD ....\nBD ..o.", [(F(0), "eighth")]),
        ("SD oooo\nBD ..o.", []),
    ],
)
def test_rests_are_drawn_where_nothing_sounds(rows, rests):
    """Those of the hands, those of the feet where the hands have nothing to play."""
    (columns,) = columns_of(notes(rows))
    assert rests == [(column.at, column.rest.type) for column in columns.columns if column.rest]


def test_an_empty_half_has_a_half_rest():
    """A block, on the staff."""
    page = Page("p", "p", 400, 400)
    over = ((Meter.read("2/2").beats[0], 1, F(100)),)
    engrave(Notes(pattern("SD ...."), feel("straight eighths"), over, "1 trip let"), 20.0).paint(
        Pen(page, SCALE, 0, 0), 20.0
    )
    assert 1 == sum(isinstance(item, Rect) for item in page.items)


@pytest.mark.parametrize(
    ("voice", "y"),
    [("SD", 1.5), ("BD", 3.5), ("HH", -0.5), ("RD", 0.0), ("C1", -1.0), ("FT", 2.5), ("HF", 4.5)],
)
def test_staff_places(voice, y):
    """Spaces below the top line, as the kit's table has them."""
    assert y == staff_y(voice)


def test_every_voice_has_a_head_that_is_drawn():
    """Full and hollow."""
    assert {(voice.head, hollow) for voice in VOICES.values() for hollow in (False, True)} <= set(ink.HEADS)


def test_beams_lie_level_and_stems_reach_them():
    """All beams of the hands at one height; every stem ends there."""
    page = drawn("SD oooo|....\nT1 ....|oooo\nBD o...|o...")
    beams = {round(item.y, 3) for item in page.items if isinstance(item, Rect)}
    assert len(beams) == 2  # sixteenths have two
    stems = [item for item in page.items if isinstance(item, Line) and item.x1 == item.x2]
    assert sum(round(min(stem.y1, stem.y2), 3) == min(beams) for stem in stems) == 8


def test_hands_have_stems_up_and_feet_down():
    """From the right and the left of their heads."""
    stems = [i for i in drawn("SD o\nBD o").items if isinstance(i, Line) and i.width == ink.STEM * SCALE]
    up, down = stems
    assert up.y2 < up.y1
    assert down.y2 > down.y1
    assert up.x1 > down.x1


@pytest.mark.parametrize(
    ("rows", "more"),
    [("SD f", 1), ("SD d", 2), ("SD g", 2), ("SD O", 1), ("SD z", 3)],
)
def test_ornaments_add_their_signs(rows, more):
    """A grace note, two, parentheses, an accent, a buzz."""

    def shapes(text):
        return sum(isinstance(item, Shape) for item in drawn(text).items)

    assert shapes(rows) >= shapes("SD o") + more


def test_open_hats_have_a_ring():
    """Half-open ones a ring and a bar."""

    def shapes(text):
        return sum(isinstance(item, Shape) for item in drawn(text).items)

    assert (1, 2) == (shapes("HH o") - shapes("HH x"), shapes("HH s") - shapes("HH x"))


def test_a_cymbal_above_the_staff_stands_on_a_ledger_line():
    """The crash on its first, the china on its second."""

    def ledgers(voice):
        lines = [i for i in drawn(f"{voice} o").items if isinstance(i, Line) and i.y1 == i.y2]
        return len(lines) - 5

    assert (1, 2, 0) == (ledgers("C1"), ledgers("CH"), ledgers("SD"))


def test_equal_times_get_equal_room():
    """A triplet's strokes stand as far apart as one another, whatever their words."""
    columns = [c for b in columns_of(notes("SD ooo|o.o", name="shuffle")) for c in b.columns]
    spacing = spacing_of(columns_of(notes("SD ooo|o.o", name="shuffle")))
    assert len(columns) == 5
    assert spacing.rooms[F(1, 3)] < spacing.rooms[F(2, 3)]


@pytest.mark.parametrize(
    ("rows", "name", "words"),
    [
        ("SD oooo", "straight sixteenths", ["1", "e", "&", "a"]),
        ("SD ooo", "shuffle", ["1", "trip", "let"]),
        ("SD o.ooo.", "shuffle", ["1", "trip", "ta", "let"]),
        ("SD ..|.o", "straight eighths", ["&"]),
    ],
)
def test_the_count_stands_below_each_stroke(rows, name, words):
    """As the feel counts, in the middle of its head."""
    assert words == [item.text for item in drawn(rows, name=name).words if item.kind == "fill count"]


def test_triplets_are_counted_as_the_book_says():
    """1 & a where it says so."""
    page = drawn("SD ooo", name="shuffle", triplets="1 & a")
    assert ["1", "&", "a"] == [item.text for item in page.words if item.kind == "fill count"]


def test_sticking_stands_below_the_count():
    """A letter a stroke, at the same place."""
    page = drawn("SD oooo\nstick RLRL")
    counts, hands = ([w for w in page.words if w.kind == kind] for kind in ("fill count", "sticking"))
    assert ["R", "L", "R", "L"] == [w.text for w in hands]
    for count, hand in zip(counts, hands, strict=True):
        assert count.x + count.width / 2 == pytest.approx(hand.x + hand.width / 2)
        assert hand.y > count.y


@pytest.mark.parametrize("width", [90.0, 42.0, 20.0])
@pytest.mark.parametrize("place", range(0, len(BOOK.patterns.names("fill")), 6))
def test_shipped_fills_are_clean(place, width):
    """Nothing touches the words, brackets and counts of any width; nothing leaves it but a single wide beat."""
    fill = BOOK.patterns.fills()[place]
    quarter = Meter.read("4/4").beats[0]
    over = tuple((quarter, n % 4 + 1, F(100)) for n in range(fill.beats))
    engraved = engrave(Notes(fill, feel("straight sixteenths"), over, "1 trip let"), width)
    page = Page("p", "p", 1000, 2000)
    engraved.paint(Pen(page, SCALE, 100, 100), width)
    assert [] == [*words_on_words(page), *words_on_ink(page)]
    for item in page.items:
        left, top, right, bottom = item.area
        assert left >= 99
        assert right <= 101 + SCALE * max(width, engraved.width)
        assert top >= 99
        assert bottom <= 101 + SCALE * engraved.height


def test_heads_a_step_apart_stand_side_by_side():
    """Snare and middle tom together do not run into one another."""
    heads = [
        i.area
        for i in drawn("SD o\nT2 o").items
        if isinstance(i, Shape) and len(i.outline) == len(ink.HEADS["normal", False][0])
    ]
    assert len(heads) == 2
    assert not meet(heads[0], heads[1])


def test_row_notation_in_columns():
    """A voice a row, equal cells, beats parted, count and sticking below."""
    found = pattern("SD oO.|g.o\nBD ..o|...\nstick RL.|R.L")
    quarter = Meter.read("4/4").beats[0]
    fill = PageFill("1", "test", found, feel("shuffle"), ((quarter, 1, F(100)), (quarter, 2, F(100))))
    page = Page("p", "p", 600, 200)
    laid = lay_table(fill, 20.0, "1 trip let")
    laid.paint(Pen(page, 20.0, 0, 0), 0.0, 0.0)
    rows = [w.text for w in page.words if w.kind == "fill rows"]
    assert ["SD", "BD", "stick", "o", "O", "o", "g", "o"] == rows
    assert ["1", "t", "l", "2", "l"] == [w.text for w in page.words if w.kind == "fill count"]
    assert [] == [*words_on_words(page), *words_on_ink(page)]
    assert max(item.area[3] for item in page.items) <= laid.height * 20 + 1


@pytest.mark.parametrize("rows", ["SD ..o\nBD o..", "SD .o\nBD o.", "SD ...o\nBD o...", "SD .ooo\nBD oo.."])
def test_a_rest_of_the_hands_is_clear_of_the_foot_under_it(rows):
    """It is higher on the staff than where nobody plays."""
    shapes = [item.area for item in drawn(rows).items if isinstance(item, Shape)]
    low = max(bottom for _, _, _, bottom in shapes)
    (foot, *_) = [area for area in shapes if area[3] == low]
    assert [foot] == [area for area in shapes if meet(area, foot)]
