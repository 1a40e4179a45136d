"""The fit: one look, the order in which a page gives things up, reading sizes, warnings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from page_rules import breaches, lost_words
from support import form, song

from charts.book import Book
from charts.song import Place
from render.page.packing import PAPERS, in_columns
from render.page.plan import APART, COLUMNS, FOLDED, GROOVE, STEPS, TIGHT, Plan, Sizes, plans
from render.page.report import KINDS, Reading, page_report, sizes_of
from render.page.roadmap import fit
from render.page.sheet import Options, sheet_of
from setlists import demo

BOOK = Book(Path(demo.__file__).parent)
DEMO = [BOOK.song_at(path) for path in BOOK.chart_paths()]
LONG = [
    f"Section {n} (8): {{cue: watch the singer, dynamics: mf, fill: stairs in threes}}" for n in range(12)
]


def fitted(*lines, head="", **options):
    chosen = Options(**options)
    return fit(sheet_of(form(*lines, head=head), chosen), chosen, "page")


def report(*lines, head="", **options):
    found = form(*lines, head=head)
    chosen = Options(**options)
    return page_report(fit(sheet_of(found, chosen), chosen, "page"), found, chosen)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("tune", DEMO, ids=lambda tune: tune.title)
def test_every_map_of_the_demo_has_its_bars_and_all_its_fills_on_one_page(tune, paper):
    """At one meter, portrait, in one column, at reading size."""
    options = Options(paper)
    sheet = sheet_of(tune, options)
    found = fit(sheet, options, "p")
    assert (1, 1.0) == (found.plan.columns, found.plan.smaller)
    assert (found.page,) == found.pages
    assert [] == breaches(found.page)
    drawn = [words.text for words in found.page.words if words.kind == "fill"]
    assert all(
        any(fill.title in text for text in drawn) or fill.title in " ".join(drawn) for fill in sheet.fills
    )
    assert [] == page_report(found, tune, options)["warnings"]


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
    """Each plan takes one more, sizes before all else; then the fills go to a second page."""
    names = list(dict.fromkeys(name for name, _, _ in STEPS))
    assert [
        "groove left out", "smaller staff", "smaller cues and boxes", "counts and sticking left out",
        "equal sections in one row", "two columns",
    ] == names  # fmt: skip
    taken = [plan.used for plan in plans(set())]
    on_one = [used for used in taken if APART not in used]
    assert all(set(a) <= set(b) for a, b in pairwise(on_one))
    assert taken.index(on_one[-1]) < next(n for n, used in enumerate(taken) if APART in used)
    assert "smaller than reads" == taken[-1][-1]


def test_what_would_change_nothing_is_passed_over():
    """A page with nothing but the form has no fills to give up."""
    assert {TIGHT, FOLDED, "smaller than reads"} == {
        name for plan in plans({GROOVE, "smaller staff", "counts and sticking left out", APART, COLUMNS}) for name in plan.used
    }  # fmt: skip


def test_sizes_keep_within_their_bounds():
    """Names and fill numbers 14 to 16 minutes of arc, cues 10 or more, whatever the page gives up."""
    for tight in (0.0, 0.35, 1.0):
        sizes = Sizes(1.0, tight, 1.0)
        needed = {"title": sizes.prime, "section": sizes.name, "cue": sizes.cue, "open": sizes.essential}
        for kind, size in needed.items():
            page = fitted("A (8)").page
            page.items[:] = [item for item in page.words if item.kind == "title"][:1]
            page.items[0].size, page.items[0].kind = size, kind
            assert sizes_of([page], Reading(1.0))[kind]["reads_at_m"] >= 1.0


def test_spare_height_is_spread():
    """A short chart has higher boxes, and no larger words than a fuller one."""
    few, more = (fitted(*[f"Part {n} (8)" for n in range(count)]).page for count in (3, 14))
    boxes = [
        max(item.height for item in page.items if getattr(item, "line", 0) and item.height > 9)
        for page in (few, more)
    ]
    assert boxes[0] > boxes[1]
    sizes = [{item.size for item in page.words if item.kind == "section"} for page in (few, more)]
    assert sizes[0] == sizes[1]


def test_twelve_bars_are_one_line_where_the_form_is_in_twelves():
    """And two lines of eight and four where only one section is."""
    blues = fitted(*[f"Chorus {n} (4+4+4): {{cue: {n}}}" for n in range(6)]).page
    other = fitted("Intro (4)", "A (8)", "B (8)", "Solo (12)").page
    rows = [
        len({round(i.y) for i in page.items if getattr(i, "line", 0) and i.height > 15})
        for page in (blues, other)
    ]
    assert [6, 5] == rows


def test_close_hits_get_wider_bars_where_there_is_room():
    """Sixteen in a bar: four bars a line, so that they are told apart."""
    places = " ".join(f"1.{beat}{part}" for beat in (1, 2, 3, 4) for part in ("", "e", "&", "a"))
    page = fitted(f"A (8): {{hits: {places}, feel: straight sixteenths}}").page
    (mark,) = (mark for mark in page.marks if mark.kind == "hits")
    assert mark.right - mark.left > 90


def test_many_sections_go_in_two_columns():
    """From twenty on, before anything gets smaller than reads."""
    page = fitted(*[f"Part {n} (4): {{cue: word {n}}}" for n in range(34)])
    assert page.plan.columns == 2
    assert page.plan.smaller == 1.0


def test_fills_without_room_go_to_a_page_of_their_own():
    """All of them, as large as they fit there; the map keeps their numbers."""
    names = [fill.name for fill in BOOK.patterns.fills() if fill.beats == 4 and fill.meter is None][:40]
    lines = [f"Part {n} (8): {{fills: {{8: {name}}}}}" for n, name in enumerate(names)]
    found = fitted(*lines)
    assert APART in found.plan.used
    assert [] == [breach for page in found.pages for breach in breaches(page)]
    first, second = found.pages
    numbers = {str(n + 1) for n in range(len(names))}
    assert numbers == {words.text for words in first.words if words.kind == "fill number"}
    assert numbers == {words.text for words in second.words if words.kind == "fill label"}


def test_columns_are_level_and_in_order():
    """None is out of order; no column is higher than it must be."""
    heights = [3.0, 1.0, 1.0, 1.0, 2.0, 2.0]
    assert ((3.0, 1.0, 1.0), (1.0, 2.0, 2.0)) == in_columns(heights, heights, 2, 10.0, 0.0)
    assert in_columns(heights, heights, 2, 4.0, 0.0) is None


def test_sizes_are_told_with_the_distance_at_which_they_read():
    """Title and tempo at 22 minutes of arc or more, what is read from the stand at 14, cues at 10."""
    found = report("Verse (8) x2 open: {until: nod, cue: watch, dynamics: p}", head="ending: cold on 1\n")
    sizes = found["sizes"]
    for kinds, least in (
        (("title", "tempo"), 22), (("section", "until", "open", "dynamics", "feel", "meter", "count_in", "ending"), 14),
        (("cue",), 10),
    ):  # fmt: skip
        for kind in kinds:
            assert sizes[kind]["arc_minutes"] >= least - 0.05
            assert sizes[kind]["reads_at_m"] >= 1.0
    assert {"points", "capital_mm", "arc_minutes", "reads_at_m"} == set(sizes["title"])
    assert (1.0, 0.65) == (found["distance_m"], found["near_m"])


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
    """Named, so that the chart can be mended; a box is on the page."""
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
    assert "key" in sizes_of([page], Reading(1.0))


@pytest.mark.parametrize("distance", [0.7, 1.0, 1.7])
@pytest.mark.parametrize("name", ["Instrumental", "Breakdown two", "A"])
def test_no_word_of_a_section_s_name_is_broken(name, distance):
    """A long word is smaller rather than broken."""
    page = fitted(f"{name} (8) x2: {{dynamics: ff to pp}}", "B (8)", distance=distance).page
    printed = " ".join(item.text for item in page.words if item.kind == "section")
    assert printed == f"{name} B"


def test_a_plan_counts_each_fall_back_once():
    """However often it was taken further."""
    plan = Plan().and_(TIGHT, "tight", 0.5).and_(TIGHT, "tight", 1.0)
    assert ((TIGHT,), 1.0) == (plan.used, plan.tight)


def test_the_groove_is_drawn_first_where_there_is_room():
    """Before the fills, without a number; a full page gives it up first."""
    roomy = fitted("Verse (8): {fill: gallop}", head="groove: plain rock\n")
    assert ["plain", "rock"] == " ".join(w.text for w in roomy.page.words if w.kind == "fill").split()[:2]
    assert ["1"] == [w.text for w in roomy.page.words if w.kind == "fill label"]
    full = fitted(*LONG, *(f"Part {n} (16): {{fill: gallop}}" for n in range(6)), head="groove: plain rock\n")
    assert GROOVE == full.plan.used[0]
    assert "plain" not in " ".join(w.text for w in full.page.words if w.kind == "fill")


def test_the_staves_of_one_fill_never_touch():
    """One that lands late in the next bar has two, the second with higher notes."""
    tune = form("Intro (1): {fills: {1: snare build}}")
    use = replace(tune.form[0].fills[0], landing=Place(1, 2, Fraction(3, 4)))
    tune = replace(tune, form=(replace(tune.form[0], fills=(use,)),))
    options = Options(distance=2.0)
    assert [] == breaches(fit(sheet_of(tune, options), options, "p").page)
