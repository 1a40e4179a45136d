"""What a road map says before it is placed: rows, changes, folding, marks at their place, fills numbered."""

from __future__ import annotations

import pytest
from support import form, song

from render.page.marks import Span, fill_marks, stop_spans
from render.page.row_layout import section_flags
from render.page.sheet import Options, sheet_of, spoken_count


def sheet(*lines, **options):
    return sheet_of(form(*lines, **options), Options())


def row(*lines, **options):
    return sheet(*lines, **options).rows[-1]


def fills(*lines):
    """The fills of the last section as they are marked."""
    found = sheet(*lines)
    return fill_marks(found.parts[-1], found.uses[-1])


def test_a_row_for_each_section_as_played():
    """In order, with bars and times."""
    rows = sheet("Intro (4)", "Verse (8) x2", "Verse", "Chorus (4+4)").rows
    assert [("Intro", 4, 1), ("Verse", 8, 4), ("Chorus", 8, 1)] == [
        (r.name, r.section.bars, r.times) for r in rows
    ]


def test_neighbours_alike_but_for_their_names_fold_only_when_asked():
    """Verse 1 and Verse 2 are two rows until room is short."""
    found = sheet("Verse 1 (8)", "Verse 2 (8)", "Chorus (8): {cue: shout}")
    assert ["Verse 1", "Verse 2", "Chorus"] == [r.name for r in found.rows]
    assert [("Verse 1 · Verse 2", 2), ("Chorus", 1)] == [(r.name, r.times) for r in found.folded]


@pytest.mark.parametrize(
    "second",
    ["Verse: {cue: other}", "Verse: {tempo: 90}", "Verse: {dynamics: p}", "Verse x2 open: {until: the nod}"],
)
def test_neighbours_that_differ_stay_apart(second):
    """Cue, tempo, dynamics, an open end: each is a row of its own."""
    assert len(sheet("Verse (8)", second).rows) == 2


def test_a_fill_on_the_last_pass_keeps_sections_apart():
    """Two times two passes with a fill on each second one are not four passes."""
    assert len(sheet("Verse (8) x2: {fill: stairs in threes}", "Verse").rows) == 2


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("B (8): {tempo: 120}", ["♩ = 120"]),
        ("B (8): {tempo: 100 to 72}", ["♩ = 100 → 72"]),
        ("B (8): {feel: shuffle, meter: 3/4}", ["shuffle", "3/4"]),
        ("B (8): {meter: 6/8}", ["♩\U0001d16d = 100 (♩ = ♩\U0001d16d)", "6/8"]),
        ("B (8): {meter: 6/8, tempo: 67}", ["♩\U0001d16d = 67 (♪ = ♪)", "6/8"]),
        ("B (8): {tempo: 150}", ["♩ = 150 (triplet ♪ = ♪)"]),
        ("B (8)", []),
    ],
)
def test_changes_are_flags(line, shown):
    """Feel, tempo, meter; a new unit of the same figure too. What departs is filled."""
    found = section_flags(row("A (8)", line))
    assert shown == [flag.text for flag in found]
    assert all(flag.departs for flag in found)


def test_the_way_back_is_a_flag_in_outline():
    """After a section in another tempo the song's own returns in plain sight."""
    (back,) = section_flags(row("A (8)", "B (8): {tempo: 120}", "A"))
    assert ("♩ = 100", False) == (back.text, back.departs)


@pytest.mark.parametrize(
    ("stops", "spans"),
    [
        ("3.2-4.2", [(3, 0.25, 1.0), (4, 0.0, 0.5)]),
        ("2.3", [(2, 0.5, 0.75)]),
        ("2.3&", [(2, 0.625, 0.75)]),
        ("2.1-2.2 2.3", [(2, 0.0, 0.75)]),
    ],
)
def test_a_stop_lasts_to_the_end_of_its_last_beat(stops: str, spans: list[Span]):
    """Bar by bar; one that names no end is as long as its beat, and neighbors are one."""
    assert spans == stop_spans(row(f"A (8): {{stops: {stops}}}").section)


@pytest.mark.parametrize(
    ("use", "spans", "back"),
    [
        ("{4: gallop}", ((4, 0.5, 1.0),), False),
        ("{8: two bars round the kit}", ((7, 0.0, 1.0), (8, 0.0, 1.0)), False),
        ("{1: two bars round the kit}", ((1, 0.0, 1.0),), True),
        ("{4.3: gallop}", ((4, 0.0, 0.5),), False),
    ],
)
def test_a_fill_covers_its_beats(use, spans, back):
    """Two beats before the bar line, or before where it lands; its number is where it starts."""
    (mark,) = fills("Z (8)", f"A (8): {{fills: {use}}}")
    assert (spans, back) == (mark.spans, mark.back)


@pytest.mark.parametrize(
    ("line", "when"),
    [
        ("A (8) x2: {fill: gallop}", ""),
        ("A (8) x2: {fill: {use: gallop, pass: last}}", "last time"),
        ("A (8) x3: {fills: {8: {use: gallop, pass: 2}}}", "2."),
        ("A (8) x3: {fills: {8: {use: gallop, pass: 3}}}", "last time"),
        ("A (8): {fill: gallop}", ""),
    ],
)
def test_which_time_through_a_fill_is_played(line, when):
    """As over a bracket."""
    if "pass" not in line and "x2" in line:
        when = "last time"  # a fill without a place of its own leads on
    assert [when] == [mark.when for mark in fills(line)]


def test_each_fill_is_numbered_once():
    """In order of appearance, the same number wherever it returns."""
    found = sheet("A (8): {fill: gallop}", "B (8): {fills: {4: gallop, 8: four on the snare}}")
    assert ["1", "2"] == [fill.number for fill in found.fills]
    assert ["1", "2"] == [mark.number for mark in fill_marks(found.parts[1], found.uses[1])]


@pytest.mark.parametrize(
    ("use", "words"),
    [
        ("sixteenths round the kit", "clashes with shuffle"),
        ("{use: sixteenths round the kit, on-purpose: we like it}", "in fours on purpose: we like it"),
        ("stairs in threes", ""),
        ("nowhere to be found", "no fill of this name in the book"),
    ],
)
def test_a_clash_is_told_accepted_or_not(use, words):
    """And so is a name that the book does not have."""
    found = song(f"title: T\ntempo: 92\nfeel: shuffle\nform:\n  - A (8): {{fill: {use}}}\n")
    assert words == sheet_of(found, Options()).fills[0].said


def test_a_fill_that_sets_up_the_next_feel_says_so():
    """It is judged against the feel to come."""
    found = sheet("A (8): {fill: {use: stairs in threes, sets-up: next}}", "B (8): {feel: shuffle}")
    assert "sets up shuffle" == found.fills[0].said


@pytest.mark.parametrize(
    ("head", "spoken"),
    [
        ("", "1 2 3 4"), ("count-in: 2 bars\n", "1 – 2 – | 1 2 3 4"), ("count-in: 3 beats\n", "1 2 3"),
        ("count-in: none\n", "none"), ("meter: 6/8\n", "1 2"), ("meter: 7/8 (2+2+3)\n", "1-2 1-2 1-2-3"),
        ("meter: 3/4\ncount-in: 2 bars\n", "1 2 3 | 1 2 3"), ("count-in: 8 bars\n", "8 bars"),
    ],
)  # fmt: skip
def test_the_count_in_as_it_is_called_out(head, spoken):
    """Beat by beat, bars parted; long ones in bars."""
    assert spoken == spoken_count(form("A (8)", head=head))
