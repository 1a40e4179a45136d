"""What differs between two printings of a gig, in musical words; equal gigs have equal marks."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import pytest
from support import write_book

from setlists.book import gig_named
from setlists.facts import differences, facts_of, mark_of, read_facts, written

GIG = """
    gig: Boat shed
    date: 2026-06-20
    start: 20:30
    ends: 23:00
    sets:
      - name: First
        songs: [Rain, Kettle: {key: D}, Raffle: {length: 3:00}]
      - break: 20 min
      - name: Second
        songs: [Bus, Rain]
"""
CHARTS = {
    "charts__rain": "title: Rain\ntempo: 92\nkey: Bb\nfeel: half-time shuffle\nform:\n"
    "  - Intro (4): {cue: guitar alone, dynamics: p}\n  - Verse (8): {fill: stairs in threes}\n"
    "  - Chorus (7) x2: {hits: 3.1 3.2&}\n  - Verse\n",
    "charts__kettle": "title: Kettle\ntempo: 120\nkey: G\nfeel: shuffle\nform:\n  - A (32)\n  - B (8): {stops: 3.1}\n",
    "charts__bus": "title: Bus\ntempo: 112\nfeel: train beat\nform:\n  - A (64)\n",
}


def facts(tmp_path: Path, replaced: tuple[str, str] = ("", ""), **charts: str) -> dict:
    """The facts of the gig with one text replaced everywhere."""
    old, new = replaced
    texts = {**CHARTS, **charts, "setlists__shed": GIG}
    changed = {name: text.replace(old, new) if old else text for name, text in texts.items()}
    assert not old or changed != texts
    tmp_path.mkdir(exist_ok=True)
    return facts_of(gig_named(write_book(tmp_path, **changed), "boat"))


@pytest.mark.parametrize(
    ("replaced", "told"),
    [
        (("tempo: 92", "tempo: 88"), [(1, "Rain", "tempo 88, was 92"), (5, "Rain", "tempo 88, was 92")]),
        (("{key: D}", "{key: Eb}"), [(2, "Kettle", "key E♭, was D")]),
        (("{key: D}", "{segue: yes}"), [(2, "Kettle", "key G, was D"), (2, "Kettle", "segue yes (new)")]),
        (("feel: train beat", "feel: shuffle"), [(4, "Bus", "feel shuffle, was train beat")]),
        (("A (64)", "A (60)"), [(4, "Bus", "A: bars 60, was 64")]),
        (("stops: 3.1", "stops: 4.1"), [(2, "Kettle", "B: stops 4.1, was 3.1")]),
        (("  - B (8): {stops: 3.1}\n", ""), [(2, "Kettle", "B: left out")]),
        (("  - B (8)", "  - C (4)\n  - B (8)"), [(2, "Kettle", "C: new, 4 bars")]),
        (("x2: {hits: 3.1 3.2&}", "x3"), [
            (1, "Rain", "Chorus: repeat x3, was x2"), (1, "Rain", "Chorus: hits gone, was 3.1 3.2&"),
            (5, "Rain", "Chorus: repeat x3, was x2"), (5, "Rain", "Chorus: hits gone, was 3.1 3.2&"),
        ]),
        (("guitar alone", "hats only"), [
            (n, "Rain", "Intro: cue at 1 hats only, was guitar alone") for n in (1, 5)
        ]),
        (("ends: 23:00", "ends: 22:30"), [(0, "", "curfew 22:30, was 23:00")]),
        (("20 min", "15 min"), None),
        (("Raffle: {length: 3:00}", "Raffle: {length: 5:00}"), None),
        ((", Raffle: {length: 3:00}", ""), None),
        (("[Bus, Rain]", "[Rain, Bus]"), None),
    ],
)  # fmt: skip
def test_one_change_is_told_in_words(tmp_path, replaced, told):
    """With the song's number and title; nothing else is told."""
    old, new = facts(tmp_path / "old"), facts(tmp_path / "new", replaced)
    found = [tuple(each) for each in differences(old, new)]
    if told is not None:
        assert told == found
    else:
        assert found
    assert mark_of(old) != mark_of(new)


@pytest.mark.parametrize(
    ("replaced", "words"),
    [
        (("20 min", "15 min"), "break before Second 15 min, was 20 min"),
        (("Raffle: {length: 3:00}", "Raffle: {length: 5:00}"), "length 5 min, was 3 min"),
        ((", Raffle: {length: 3:00}", ""), "Raffle"),
        (("[Bus, Rain]", "[Rain, Bus]"), "now song 4, was 5"),
        (("[Bus, Rain]", "[Bus, Rain, Kettle]"), "new on the list"),
    ],
)
def test_changes_of_the_list_are_told(tmp_path, replaced, words):
    """Order, breaks, lengths, songs that are new or gone."""
    found = differences(facts(tmp_path / "old"), facts(tmp_path / "new", replaced))
    assert words in [each.words for each in found]


def test_other_notes_of_a_fill_are_told_without_them(tmp_path):
    """The name is the same, what is played is not."""
    chart = "title: Bus\ntempo: 112\nfeel: train beat\nform:\n  - A (64): {fill: ours}\n"
    old, new = (
        facts(
            tmp_path / name, charts__bus=chart, fills__own=f"fills:\n  ours:\n    rows: |\n      SD {row}\n"
        )
        for name, row in (("old", "o.o.|o.o."), ("new", "oooo|o.o."))
    )
    assert [(4, "Bus", "A: fill in bar 64: other notes in ours")] == differences(old, new)


def test_equal_gigs_have_equal_marks_and_no_differences(tmp_path):
    """Written and read again too; what did not come from here is not read."""
    one, other = facts(tmp_path / "one"), facts(tmp_path / "other")
    assert mark_of(one) == mark_of(other)
    assert [] == differences(one, other)
    again = read_facts(written(one))
    assert one == again
    assert mark_of(one) == mark_of(again)
    for data in (b"", b"\xff", b"[1]", b"{}", json.dumps({**copy.deepcopy(one), "feelmap": 0}).encode()):
        assert read_facts(data) is None


def test_where_appearances_differ_each_has_its_number(tmp_path):
    """A change in one of two verses is told for that one."""
    found = differences(
        facts(tmp_path / "old"), facts(tmp_path / "new", ("  - Verse\n", "  - Verse: {dynamics: ff}\n"))
    )
    assert "Verse: dynamics none (1st), ff (2nd) (new)" in [each.words for each in found]
