"""The rows of a form: what shares a row, and what changes where one begins."""

from __future__ import annotations

import pytest
from support import chart, form, song

from charts.outline import DEPARTS, FEEL, GROOVE, METER, RETURNS, TEMPO, condensed, outline
from charts.played import played
from render.page.sheet import Options, sheet_of
from render.terminal.ink import Ink
from render.terminal.roadmap import roadmap_lines


def rows(*lines: str) -> list[tuple[str, int]]:
    """Name and times of each row."""
    found = form(*lines)
    return [(row.name, row.times) for row in outline(found, played(found))]


def changes(*lines: str, head: str = "") -> list[dict[str, str]]:
    """What changes at each row."""
    found = form(*lines, head=head)
    return [dict(row.changes) for row in outline(found, played(found))]


@pytest.mark.parametrize(
    ("expected", "lines"),
    [
        ([("Tag", 4)], ["Tag (2) x2", "Tag"]),
        ([("Tag", 3)], ["Tag (2)", "Tag", "Tag"]),
        ([("Tag", 5)], ["Tag (2)", "Tag x4"]),
        ([("Tag", 4)], ["Tag (2) x2: {fill: {use: big turn, pass: each}}", "Tag"]),
        ([("Tag", 2)], ["Tag (2): {fill: big turn}", "Tag"]),
        ([("Tag", 2), ("End", 1)], ["Tag (2)", "Tag", "End (2)"]),
        ([("Tag", 2)], ["Tag (2)", "Tag: {feel: straight eighths, tempo: 100}"]),
    ],
)
def test_equal_neighbors_share_a_row(expected: list[tuple[str, int]], lines: list[str]) -> None:
    """However the chart writes the repeat: the times add up where each is like the others."""
    assert expected == rows(*lines)


def test_a_row_is_where_its_first_section_is() -> None:
    """At bar 9, however many share it; bars are counted through the song."""
    found = form("A (8)", "Tag (2) x2", "Tag", "End (4)")
    assert [1, 9, 17] == [row.part.first_bar for row in outline(found, played(found))]


@pytest.mark.parametrize(
    "lines",
    [
        ["Tag (2) x2: {fill: big turn}", "Tag"],
        ["Tag (2) x2: {fill: {use: big turn, pass: 1}}", "Tag"],
        ["Tag (2) x2 open: {until: the nod}", "Tag"],
        ["Tag (2): {tempo: 100 to 90}", "Tag"],
        ["Tag (2): {tempos: {2: 90}}", "Tag"],
        ["Tag (2)", "Tag: {cue: go}"],
        ["Tag (2)", "Tag: {fill: big turn}"],
        ["Tag (2)", "Tag: {dynamics: p}"],
        ["Tag (2)", "Tag: {tempo: 101}"],
        ["Tag (2)", "Tag: {hits: 1.1}"],
        ["Tag (2)", "Tag: {groove: brushes}"],
        ["Tag (2)", "End (2)"],
    ],
)
def test_neighbors_that_one_time_plays_otherwise_keep_their_rows(lines: list[str]) -> None:
    """A fill on one time alone, an open end, a tempo on the way; any difference between the two."""
    assert 2 == len(rows(*lines))


def test_neighbors_alike_but_for_their_names_share_a_row_where_room_is_short() -> None:
    """Each name once, the times added up; what comes between keeps them apart."""
    found = form("Verse 1 (8)", "Verse 2 (8) x2", "Chorus (4)", "Verse 3 (8)")
    assert [("Verse 1 · Verse 2", 3), ("Chorus", 1), ("Verse 3", 1)] == [
        (row.name, row.times) for row in condensed(found, played(found))
    ]


@pytest.mark.parametrize(
    ("expected", "lines"),
    [
        ([{}, {}], ["A (8)", "B (8)"]),
        ([{}, {FEEL: DEPARTS}, {FEEL: RETURNS}], ["A (8)", "B (8): {feel: shuffle}", "C (8)"]),
        ([{}, {FEEL: DEPARTS}, {}], ["A (8)", "B (8): {feel: shuffle}", "C (8): {feel: shuffle}"]),
        ([{}, {TEMPO: DEPARTS}, {TEMPO: RETURNS}], ["A (8)", "B (8): {tempo: 120}", "C (8)"]),
        ([{}, {METER: DEPARTS}, {METER: RETURNS}], ["A (8)", "B (8): {meter: 3/4}", "C (8)"]),
        ([{METER: DEPARTS, TEMPO: DEPARTS}], ["A (8): {meter: 6/8}"]),
        ([{TEMPO: DEPARTS}, {TEMPO: RETURNS}], ["A (8): {tempo: 100 to 90}", "B (8)"]),
        ([{TEMPO: DEPARTS}, {}], ["A (8): {tempo: 90 to 100}", "B (8)"]),
        ([{}, {TEMPO: RETURNS}], ["A (8): {tempos: {8: 90}}", "B (8)"]),
        ([{}, {}], ["A (8) x2: {tempos: {8: {tempo: 90, pass: 1}}}", "B (8)"]),
        ([{}, {GROOVE: DEPARTS}, {}], ["A (8)", "B (8): {groove: brushes}", "C (8)"]),
        ([{GROOVE: DEPARTS}, {}], ["A (8): {groove: brushes}", "B (8): {groove: brushes}"]),
    ],
)
def test_what_changes_where_a_row_begins(expected: list[dict[str, str]], lines: list[str]) -> None:
    """Against what was in force before: at a section's end its last tempo, before the first the song's own."""
    assert expected == changes(*lines)


def test_the_way_back_to_the_song_s_groove_is_a_change() -> None:
    """It returns, where the section before had one of its own."""
    found = changes("A (8)", "B (8): {groove: brushes}", "C (8)", head="groove: plain rock\n")
    assert [{}, {GROOVE: DEPARTS}, {GROOVE: RETURNS}] == found


def test_a_row_of_several_sections_hands_on_the_tempo_of_the_last() -> None:
    """Nothing is new after it."""
    assert [{TEMPO: DEPARTS}, {}] == changes("A (8): {tempo: 90}", "A", "B (8): {tempo: 90}")


@pytest.mark.parametrize(
    "lines",
    [
        ["Tag (2) x2", "Tag"],
        ["Verse (8) x2: {fill: big turn}", "Verse", "Chorus (8)", "Chorus"],
        ["A (8)", "A: {tempo: 90}", "B (4): {groove: brushes}", "A"],
    ],
)
def test_screen_and_page_have_the_same_rows(lines: list[str]) -> None:
    """Their names and times, in order."""
    found = song(chart(*lines))
    paper = [(row.name, row.times) for row in sheet_of(found, Options()).rows]
    assert paper == rows(*lines)
    screen = [line for line in roadmap_lines(found, 80, Ink(), Options().tolerance) if "|" in line]
    assert [name for name, _ in paper] == [line.split()[1] for line in screen]
    assert [times for _, times in paper] == [
        int(line.split("x")[1].split()[0]) if " x" in line else 1 for line in screen
    ]
