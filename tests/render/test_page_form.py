"""What a road map says before it is placed: rows, changes, folding, marks at their place, fills numbered."""

from __future__ import annotations

import pytest
from support import form, song

from render.page.sheet import Options, sheet_of, spoken_count


def sheet(*lines, **options):
    return sheet_of(form(*lines, **options), Options())


def row(*lines, **options):
    return sheet(*lines, **options).rows[-1]


def said(pieces):
    return " ".join(piece.text for piece in pieces if piece.text)


def notes(row):
    return [(note.place, said(note.pieces)) for note in row.notes]


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
    ("line", "signs"),
    [
        ("B (8): {tempo: 120}", "♩ = 120"),
        ("B (8): {tempo: 100 to 72}", "♩ = 100 to 72"),
        ("B (8): {feel: shuffle}", "shuffle"),
        ("B (8): {meter: 3/4}", "3/4"),
        ("B (8): {meter: 6/8}", "♩\U0001d16d = 100 6/8"),
        ("B (8)", ""),
    ],
)
def test_changes_are_signs(line, signs):
    """Tempo, feel, meter; a new unit of the same figure too."""
    assert signs == said(row("A (8)", line).signs)


def test_the_way_back_is_a_sign_too():
    """After a section in another tempo the song's own returns in plain sight."""
    assert "♩ = 100" == said(row("A (8)", "B (8): {tempo: 120}", "A").signs)


def test_only_a_change_of_feel_stands_across_the_page():
    """Tempo and meter stand at the row."""
    assert row("A (8)", "B (8): {feel: shuffle}").heavy
    assert not row("A (8)", "B (8): {tempo: 90, meter: 3/4}").heavy


@pytest.mark.parametrize(
    ("bars", "text", "stands_out"),
    [("8", "8", False), ("7", "7", True), ("4+4", "8", False), ("7+5", "7+5", True), ("12", "12", False)],
)
def test_odd_lengths_stand_out(bars, text, stands_out):
    """What does not count in fours is on a ground of its own."""
    pieces = row(f"A ({bars})").bars_pieces
    assert (text, stands_out) == (said(pieces), pieces[0].sign)


def test_an_odd_bar_is_told_at_its_bar():
    """As a sign with its meter."""
    found = row("A (8): {odd-bars: {8: 2/4}}")
    assert ("8", "2/4") in notes(found)
    assert found.notes[-1].pieces[0].sign


def test_an_open_vamp_says_so_and_how_it_ends():
    """The word at the name, what ends it at the exit."""
    found = row("Vamp (4) x8 open: {until: singer is ready}")
    assert "open" == said(found.side_pieces)
    assert [("", "→ until singer is ready")] == notes(found)
    assert found.notes[-1].exit


@pytest.mark.parametrize(
    ("feel", "at"),
    [("straight eighths", 0.375), ("shuffle", 1 / 4 + 2 / 3 / 4), ("sixteenth shuffle", 0.375)],
)
def test_a_hit_on_the_upbeat_stands_where_it_sounds(feel, at):
    """2& is halfway in straight feels, on the last triplet in a shuffle."""
    found = row(f"A (4): {{feel: {feel}, hits: 3.2&}}")
    assert [pytest.approx(at)] == found.marks[3].hits
    assert ("3", "hits 2&") in notes(found)


def test_a_fast_swing_is_drawn_as_even_as_it_sounds():
    """By tempo: at 240 bpm the ratio is 404 to 275, the upbeat at 0.595 of the beat."""
    text = "title: T\ntempo: 240\nfeel: swing\nform:\n  - A (4): {hits: 1.1&}\n"
    assert [pytest.approx(404 / 679 / 4)] == sheet_of(song(text), Options()).rows[0].marks[1].hits


def test_a_stop_over_bars_covers_them_to_its_end():
    """From its beat to the end of the last beat named."""
    marks = row("A (8): {stops: 3.2-4.2}").marks
    assert ([(0.25, 1.0)], [(0.0, 0.5)]) == (marks[3].stops, marks[4].stops)


def test_hits_and_stops_are_counted_in_words():
    """In their bar, and all together in a running text."""
    found = row("A (8): {hits: 3.1 3.2& 4.1, stops: 7.3-7.4}")
    assert [("3", "hits 1 2&"), ("4", "hits 1"), ("7", "stop 3–4")] == notes(found)
    assert "hits 3.1 3.2& 4.1 stop 7.3–4" == said(found.running_notes)


def test_a_fill_is_banded_over_its_beats_and_numbered():
    """Two beats before the barline are half a bar of four."""
    found = row("A (8): {fills: {4: gallop, 8: four on the snare}}")
    assert (["1"], ["2"]) == (found.marks[4].letters, found.marks[8].letters)
    assert [(0.5, 1.0, False)] == found.marks[4].bands
    assert all(note.boxed for note in found.notes)


def test_a_fill_of_two_bars_is_banded_over_both():
    """The number stands where it ends."""
    found = row("A (8): {fills: {8: two bars round the kit}}")
    assert [(0.0, 1.0, False)] == found.marks[7].bands == found.marks[8].bands
    assert [] == found.marks[7].letters


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("A (8) x2: {fill: gallop}", "1 last time"),
        ("A (8) x3: {fills: {8: {use: gallop, pass: 1}}}", "1 1st time"),
        ("A (8) x2 open: {until: nod, fill: gallop}", "1 last time"),
        ("A (8): {fill: gallop}", "1"),
    ],
)
def test_on_which_pass_a_fill_is_played(line, words):
    """Said below its bar where there is more than one."""
    assert ("8", words) in notes(row(line))


def test_each_fill_is_numbered_once():
    """In order of appearance, the same number wherever it returns."""
    found = sheet("A (8): {fill: gallop}", "B (8): {fills: {4: gallop, 8: four on the snare}}")
    assert ["1", "2"] == [fill.number for fill in found.fills]
    assert ["1"] == found.rows[1].marks[4].letters


@pytest.mark.parametrize(
    ("use", "words"),
    [
        ("sixteenths round the kit", "clashes with shuffle"),
        ("{use: sixteenths round the kit, on-purpose: we like it}", "clashes on purpose: we like it"),
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
