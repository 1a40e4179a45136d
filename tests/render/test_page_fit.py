"""The fit: the largest scale, the order in which a page gives things up, reading sizes, warnings."""

from __future__ import annotations

from itertools import pairwise

import pytest
from page_rules import breaches, lost_words
from render.page.notes import Note
from support import form, song

from render.page.lanes import lay_lanes
from render.page.packing import PAPERS, in_columns, largest
from render.page.plan import ORDER, plan_of, plans, with_back
from render.page.report import KINDS, Reading, page_report, sizes_of
from render.page.roadmap import LARGEST, fit
from render.page.rows import Laid
from render.page.sheet import Options, sheet_of
from render.page.strips import across_for, bar_width_for, lines_of, strip_of
from render.page.text import words

LONG = [
    f"Section {n} (8): {{cue: watch the singer here, dynamics: mf, fill: stairs in threes}}"
    for n in range(12)
]


def fitted(*lines, head="", **options):
    chosen = Options(**options)
    return fit(sheet_of(form(*lines, head=head), chosen), chosen, "page")


def report(*lines, head="", **options):
    found = form(*lines, head=head)
    chosen = Options(**options)
    return page_report(fit(sheet_of(found, chosen), chosen, "page"), found, chosen)


def test_a_short_chart_is_large_and_gives_nothing_up():
    """Up to the largest type, no further."""
    page = fitted("Verse (8)")
    assert () == page.plan.used
    assert max(item.size for item in page.page.words if item.kind == "section") == pytest.approx(LARGEST)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("landscape", [False, True])
def test_a_page_is_as_large_as_its_paper(paper, landscape):
    """The long side across where it is asked for."""
    page = fitted("Verse (8)", paper=paper, landscape=landscape).page
    width, height = PAPERS[paper]
    assert ((height, width) if landscape else (width, height)) == (page.width, page.height)


@pytest.mark.parametrize("count", [1, 2, 5, 9, 13, 20, 34, 60])
@pytest.mark.parametrize("landscape", [False, True])
def test_any_number_of_sections_lies_on_one_page(count, landscape):
    """From one to sixty: whole, and no part touches another."""
    lines = [f"Part {n} ({4 + n % 5}): {{cue: word {n}}}" for n in range(count)]
    page = fitted(*lines, landscape=landscape).page
    assert [] == breaches(page)
    assert [] == lost_words(page, form(*lines))


def test_the_order_of_fall_backs_is_fixed():
    """As the design has it; each plan takes one more."""
    assert [
        "equal neighbours folded", "fills two across", "cues on a line of their own", "two columns", "counted phrases",
        "fills in row notation", "fills by name only", "three columns",
    ] == [step.name for step in ORDER]  # fmt: skip
    taken = list(plans(sheet_of(form(*LONG), Options())))
    assert [len(steps) for steps in taken] == list(range(len(taken)))


def test_what_would_change_nothing_is_passed_over():
    """A page with nothing but the form has no fills or cues to give up."""
    taken = list(plans(sheet_of(form("A (8)", "B (8): {dynamics: p}"), Options())))[-1]
    assert ["two columns", "counted phrases"] == [step.name for step in taken]


def test_what_the_last_step_made_needless_is_given_back():
    """The latest first; the last step itself stays."""
    taken = ORDER[1:7]
    plan = with_back(taken, lambda plan: plan.fills == "names")
    assert ("fills by name only",) == plan.used
    assert plan_of(taken) == with_back(taken, lambda plan: False)


def test_a_crowded_page_falls_back_and_still_reads():
    """Twelve sections with cues and fills at a metre."""
    page = fitted(*LONG)
    assert page.plan.used
    assert page.scale >= 1
    assert [] == breaches(page.page)


def test_the_largest_scale_is_found_to_a_hundredth():
    """From below, never above."""
    found = largest(lambda scale: scale <= 1.2345, 1.0, 3.0)
    assert 1.2345 * 0.99 < found <= 1.2345


def test_columns_are_level_and_in_order():
    """No row is out of order; no column is higher than it must be."""
    rows = [Laid(float(height), lambda pen, x, y: None) for height in (3, 1, 1, 1, 2, 2)]
    columns = in_columns(rows, 2, 10.0, 0.0)
    assert columns is not None
    assert [3.0, 1.0, 1.0] == [row.height for row in columns[0]]
    assert in_columns(rows, 2, 4.0, 0.0) is None


def test_sizes_are_told_with_the_distance_at_which_they_read():
    """Title and tempo at 22 minutes of arc or more, the rest of what matters at 16."""
    sizes = report("Verse (8): {cue: watch, dynamics: p}", head="ending: cold on 1\n")["sizes"]
    for kind in ("title", "tempo"):
        assert sizes[kind]["arc_minutes"] >= 22
    for kind in ("section", "bars", "cue", "dynamics", "feel", "meter", "count_in", "ending"):
        assert sizes[kind]["arc_minutes"] >= 16
        assert sizes[kind]["reads_at_m"] >= 1.0
    assert {"points", "capital_mm", "arc_minutes", "reads_at_m"} == set(sizes["title"])


@pytest.mark.parametrize("distance", [0.4, 0.7, 1.0, 1.4])
def test_reading_sizes_follow_the_book_s_distance(distance):
    """Whatever it is, an ordinary chart reads from there, and nothing is warned of."""
    found = report("Intro (4)", "Verse (8)", "Chorus (8)", distance=distance)
    assert [] == found["warnings"]
    assert found["sizes"]["section"]["reads_at_m"] >= distance


def test_too_much_for_a_page_is_told_with_the_distance():
    """Only when the list of fall-backs is at its end."""
    lines = [
        f"Section {n} (8): {{cue: watch the singer and the horns and then the dancers}}" for n in range(60)
    ]
    found = report(*lines)
    assert "smaller than reads" == found["fallbacks"][-1]
    assert found["scale"] < 1
    (warning,) = found["warnings"]
    assert warning.startswith("too much for one page: ")
    assert "not at 1 m" in warning


def test_a_character_no_font_has_is_told_with_its_place():
    """Named, so that the chart can be mended; a box stands on the page."""
    found = song("title: Drum 🥁\ntempo: 100\nfeel: shuffle\nform:\n  - A (8): {cues: {5: 日}}\n")
    chosen = Options()
    warnings = page_report(fit(sheet_of(found, chosen), chosen, "p"), found, chosen)["warnings"]
    assert [
        "no font has U+1F941 drum with drumsticks (in the title); a box stands for it",
        "no font has U+65E5 cjk unified ideograph-65e5 (in the cue at A, bar 5); a box stands for it",
    ] == warnings


def test_every_class_of_text_is_in_the_report():
    """Nothing on a full page is of a class that the report does not know."""
    lines = [
        "A (8) x2 open: {until: nod, tempo: 90, meter: 3/4, feel: shuffle, hits: 1.1, dynamics: p}",
        LONG[0],
    ]
    head = "by: Us\nkey: Bb\npickup: 1 beat\nnotes: mind the gap\ngroove: loose\nending: cold\n"
    page = fitted(*lines, head=head).page
    assert {item.kind for item in page.words} <= set(KINDS)
    assert "key" in sizes_of(page, Reading(1.0))


@pytest.mark.parametrize(
    ("phrases", "lines"),
    [
        ((8,), [[8]]), ((4, 4), [[4, 4]]), ((16,), [[8], [8]]), ((12,), [[8], [4]]), ((9,), [[4], [5]]),
        ((4, 4, 3), [[4, 4], [3]]), ((5, 5), [[5], [5]]), ((7, 12, 2), [[7], [8], [4, 2]]), ((1,), [[1]]),
    ],
)  # fmt: skip
def test_bars_in_lines_of_eight_at_most(phrases, lines):
    """A phrase stays whole where it can."""
    assert lines == [[count for _, count, _ in line] for line in lines_of(phrases)]


def test_boxes_share_one_width_and_phrases_are_parted():
    """Bars of any row compare; the gap is where the phrase ends."""
    width = bar_width_for(20.0, 1)
    strip = strip_of(lines_of((4, 4))[0], width, 8)
    lefts = [strip.lefts[bar] for bar in range(1, 9)]
    steps = [round(b - a, 6) for a, b in pairwise(lefts)]
    assert [round(width, 6)] * 3 == steps[:3] == steps[4:]
    assert steps[3] > width
    assert strip.right == pytest.approx(20.0)


@pytest.mark.parametrize(("least", "across"), [(1.0, 8), (3.0, 4), (6.0, 2), (12.0, 1), (90.0, 1)])
def test_boxes_grow_where_letters_need_it(least, across):
    """Eight a line, else four, two, one."""
    assert across == across_for(2.0, least)


def note(bar, text):
    return Note(bar, 0.0, str(bar), tuple(words(text, "cue")))


def test_cues_hang_at_their_bar_on_the_nearest_free_line():
    """The right one above, so that no tie crosses words."""
    laid = lay_lanes([(0.0, note(1, "a long cue for the first bar")), (4.0, note(3, "crash"))], 20.0, 20.0)
    crash, long_one = laid.hung
    assert (4.0, 0.0) == (crash.tie, long_one.tie)
    assert long_one.top > crash.top


def test_a_cue_at_the_right_edge_moves_left_but_keeps_its_tie():
    """It ends at the edge."""
    (hung,) = lay_lanes([(18.0, note(8, "big push all"))], 20.0, 20.0).hung
    assert hung.tie == 18.0
    assert hung.x + hung.width == pytest.approx(20.0)


def test_cues_too_many_to_hang_are_numbered_in_order():
    """One running text instead of a tangle."""
    crowd = [(2.5 * n, note(n + 1, "a rather long cue for this bar")) for n in range(8)]
    (running,) = lay_lanes(crowd, 20.0, 20.0).hung
    numbers = [piece.text for line in running.lines for _, piece in line if piece.text.endswith(":")]
    assert [f"{n}:" for n in range(2, 9)] == numbers


@pytest.mark.parametrize("distance", [0.7, 1.0, 1.7, 2.4])
@pytest.mark.parametrize("name", ["Instrumental", "Reharmonisation", "Breakdown two", "A"])
def test_no_word_of_a_section_s_name_is_broken(name, distance):
    """The room for names widens for a long word; where that takes too much, names stand above the boxes."""
    page = fitted(f"{name} (8) x2: {{dynamics: ff to pp}}", "B (8)", distance=distance).page
    printed = " ".join(item.text for item in page.words if item.kind == "section")
    assert printed == f"{name} B"


def test_a_long_word_of_a_cue_is_not_broken_for_its_place():
    """It moves left until it is whole."""
    hung = lay_lanes([(14.0, note(6, "ask percussionists"))], 20.0, 20.0).hung
    assert ["ask", "percussionists"] == [
        piece.text for each in hung for line in each.lines for _, piece in line
    ]
