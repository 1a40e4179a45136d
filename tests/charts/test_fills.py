"""The fills of a song: numbers, titles, and the feel that each is played in."""

from __future__ import annotations

import pytest
from support import chart, findings, form, of_rule

from charts.fills import Fills, ends_section, fill_feel, played_fills
from charts.fitting.spot import chart_spot
from charts.played import played
from charts.verdict import TOLERANCE_MS

TRIPLETS = "stairs in threes"  # fits a shuffle, clashes with straight eighths
SETS_UP = f"fill: {{use: {TRIPLETS}, sets-up: next}}"
EACH = f"fill: {{use: {TRIPLETS}, sets-up: next, pass: each}}"
SHUFFLE = "Chorus (8): {feel: shuffle}"
IN_PLACE = 'fill: {{rows: "{}"}}'


def feels(*lines: str) -> list[list[str]]:
    """The feel of every fill, for each section on each pass that plays it."""
    song = form(*lines)
    return [
        [fill_feel(song.form, index, use, pass_).name for pass_ in use.passes(section.times)]
        for index, section in enumerate(song.form)
        for use in section.fills
    ]


@pytest.mark.parametrize(
    ("expected", "lines"),
    [
        (["straight eighths"], [f"Verse (8): {{fill: {TRIPLETS}}}", SHUFFLE]),
        (["shuffle"], [f"Verse (8): {{{SETS_UP}}}", SHUFFLE]),
        (["shuffle"], [f"Verse (8) x3: {{{SETS_UP}}}", SHUFFLE]),
        (["straight eighths", "straight eighths", "shuffle"], [f"Verse (8) x3: {{{EACH}}}", SHUFFLE]),
        (["straight eighths"], [f"Verse (8) x2: {{fill: {{use: {TRIPLETS}, sets-up: next, pass: 1}}}}", SHUFFLE]),
        (["shuffle"], [f"Verse (8): {{feel: shuffle, {SETS_UP}}}"]),
        (["shuffle"], ["Verse (8)", f"Bridge (8): {{feel: shuffle, {SETS_UP}}}"]),
    ],
    ids=["its own section", "the next section", "the last time", "each time", "not the last time", "the last section", "the last of two"],
)  # fmt: skip
def test_the_feel_that_a_fill_is_played_in(expected: list[str], lines: list[str]) -> None:
    """Its section's; that of the next section where it sets that up, on the last time alone."""
    assert [expected] == feels(*lines)


def test_a_section_that_comes_twice_sets_itself_up_first() -> None:
    """Written out or as x2: the first Verse leads into the second."""
    assert [["straight eighths"], ["shuffle"]] == feels(f"Verse (8): {{{SETS_UP}}}", "Verse", SHUFFLE)


def test_fills_are_numbered_by_first_appearance() -> None:
    """From 1 through the form, the same number and title wherever one returns, in any spelling."""
    song = form(
        f"Verse (8): {{fills: {{4: big turn, 8: {TRIPLETS}}}}}",
        "Chorus (8): {fill: Big Turn}",
        "Coda (8): {fill: sixteenths round the kit}",
    )
    fills = Fills(song)
    assert [(1, "big turn"), (2, TRIPLETS), (3, "sixteenths round the kit")] == [
        (fill.number, fill.title) for fill in fills
    ]
    assert [1, 2, 1, 3] == [fills[use].number for section in song.form for use in section.fills]


def test_fills_written_in_place_are_told_apart_by_their_strokes() -> None:
    """Two in one section are two, the same strokes in another section are the same fill."""
    one, two = 'rows: "SD oooo"', 'rows: "T1 oooo"'
    song = form(f"Verse (8): {{fills: {{4: {{{one}}}, 8: {{{two}}}}}}}", f"Chorus (8): {{fill: {{{one}}}}}")
    fills = Fills(song)
    assert ["fill 1 Verse fill", "fill 2 Verse fill"] == [fill.numbered for fill in fills]
    assert 1 == fills[song.form[1].fills[0]].number


def test_fills_that_do_not_exist_are_told_apart_by_name() -> None:
    """Each has its number all the same."""
    song = form("Verse (8): {fills: {4: no such turn, 6: nor this one, 8: No such turn}}")
    assert [1, 2, 1] == [Fills(song)[use].number for use in song.form[0].fills]


def test_a_fill_that_is_in_the_next_feel_each_time_clashes_before_the_last() -> None:
    """The hint is to play it the last time alone, not to say what is said already."""
    (finding,) = of_rule(findings(chart(f"Verse (8) x2: {{{EACH}}}", SHUFFLE)), "grid")
    assert 1 == finding.where.pass_
    lines = dict(finding.lines)
    assert (
        "Chorus, the next section, which it leads into the last time only: say pass: last" == lines["it fits"]
    )
    assert not of_rule(findings(chart(f"Verse (8) x2: {{{SETS_UP}}}", SHUFFLE)), "grid")


def test_a_fill_that_fits_what_follows_is_offered_to_set_it_up() -> None:
    """Where it does not say so yet."""
    (finding,) = of_rule(findings(chart(f"Verse (8) x2: {{fill: {TRIPLETS}}}", SHUFFLE)), "grid")
    expected = "Chorus, the next section: say sets-up: next if it leads there"
    assert expected == dict(finding.lines)["it fits"]


def test_hands_are_judged_in_the_feel_that_the_fill_is_played_in() -> None:
    """The last triplet leaves one hand 67 ms at 300, too few for a double; swung evenly, as at 300, 100."""
    fill = 'fill: {rows: "SD ..o|o..", stick: "..R|R..", sets-up: next}'
    (finding,) = of_rule(findings(chart(f"Verse (8): {{{fill}}}", "Chorus (8)", tempo="300")), "hands")
    assert "straight eighths" == finding.detail["feel"]
    swung = chart(f"Verse (8): {{{fill}}}", "Chorus (8): {feel: swing}", tempo="300")
    assert not of_rule(findings(swung), "hands")


def test_suggestions_are_for_the_feel_that_the_fill_is_played_in() -> None:
    """That of the next section on the last time, which is where a fill is looked for."""
    song = form(f"Verse (8) x2: {{{EACH}}}", SHUFFLE)
    assert "shuffle" == chart_spot(song, 0).spot.feel.name
    assert "straight eighths" == chart_spot(song, 0, 4).spot.feel.name


def test_a_fill_is_played_on_its_own_passes() -> None:
    """Each time with its beats and its feel; one whose pattern does not exist, never."""
    song = form(f"Verse (8) x3: {{{EACH}}}", "Chorus (8) x2: {feel: shuffle, fill: no such turn}")
    parts = played(song)
    (use,) = song.form[0].fills
    found = played_fills(parts, 0, use)
    expected = [(1, "straight eighths"), (2, "straight eighths"), (3, "shuffle")]
    assert expected == [(fill.placed.pass_, fill.feel.name) for fill in found]
    assert all(fill.use is use for fill in found)
    assert [] == played_fills(parts, 1, song.form[1].fills[0])


@pytest.mark.parametrize(("bar", "ends"), [("8", True), ("7", False), ("8.4", False)])
def test_a_fill_up_to_the_last_barline_ends_its_section(bar: str, ends: bool) -> None:
    """Not one that lands inside a bar, nor one before."""
    section = form(f"Verse (8): {{fills: {{{bar}: {TRIPLETS}}}}}").form[0]
    assert ends == ends_section(section, section.fills[0])


@pytest.mark.parametrize(
    ("fills", "across", "feel"),
    [(SETS_UP, True, "shuffle"), (f"fill: {TRIPLETS}", False, "straight eighths")],
)
def test_a_fill_that_sets_up_the_next_section_is_heard_in_its_beats(
    fills: str, across: bool, feel: str
) -> None:
    """From the second section into the third."""
    song = form("Intro (4)", f"Verse (8): {{{fills}}}", "Chorus (8): {feel: shuffle, tempo: 150}")
    (fill,) = played_fills(played(song), 1, song.form[1].fills[0])
    heard = fill.heard(TOLERANCE_MS)
    assert (across, feel) == (heard.across, heard.feel.name)


def test_a_landing_inside_a_longer_beat_is_judged_at_its_own_upbeat() -> None:
    """The second of three eighths: with it the last beat is on the grid, with the half of a beat it is not."""
    line = "A (2): {meter: 7/8 (2+2+3), fills: {2.3&: {rows: 'SD o..|..o', land: C1}}}"
    song = form(line)
    (fill,) = played_fills(played(song), 0, song.form[0].fills[0])
    assert "fits" == fill.heard(TOLERANCE_MS).beats[-1].verdict
