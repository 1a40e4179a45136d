"""Reading a set list: every key, and every message."""

from __future__ import annotations

from datetime import date, time
from fractions import Fraction
from pathlib import Path

import pytest
from band import band, one_set, read, setlist

from charts.song import CountIn
from setlists.setlist import Break

WHOLE = """
    gig: Mill Street
    date: 2026-12-04
    start: 20:30
    ends: 0:30
    between: 30 s
    sets:
      - name: First set
        length: 45 min
        songs:
          - Tin Roof
          - Short Cut: {tempo: 118, key: E, notes: capo 3, segue: yes, count-in: 2 beats, skip: Tag}
          - Long Meadow: {feel: jazz waltz, between: 1 min, skip: [Head]}
          - Raffle: {length: 3:30}
      - break: 20 min
      - start: 22:15
        songs: [Opener, tin_roof]
"""


def test_every_key_is_read(tmp_path: Path) -> None:
    """As a musician means it: E is a key, yes is yes, 20:30 is a time."""
    found = setlist(WHOLE, band(tmp_path))
    assert ("Mill Street", date(2026, 12, 4), time(20, 30), time(0, 30)) == (
        found.gig,
        found.date,
        found.start,
        found.ends,
    )
    first, pause, second = found.parts
    assert isinstance(pause, Break)
    assert (30, 1200) == (found.between, pause.seconds)
    assert ("First set", "Set 2") == tuple(part.name for part in found.sets)
    assert (Fraction(2700), time(22, 15)) == (found.sets[0].length, found.sets[1].start)
    assert first is found.sets[0]
    assert second is found.sets[1]


def test_what_changes_for_the_gig_is_read(tmp_path: Path) -> None:
    """Each per-gig key, and nothing where none is given."""
    tin, cut, meadow, raffle, *_ = setlist(WHOLE, band(tmp_path)).items()
    assert (None, "", False, ()) == (tin.changes.tempo, tin.changes.key, tin.changes.segue, tin.changes.skip)
    changes = cut.changes
    assert (118, "E", "capo 3", True) == (changes.tempo, changes.key, changes.notes, changes.segue)
    assert (CountIn(beats=2), ("Tag",)) == (changes.count_in, changes.skip)
    assert meadow.changes.feel is not None
    assert ("jazz waltz", 60) == (meadow.changes.feel.name, meadow.changes.between)
    assert (210, None) == (raffle.changes.length, raffle.path)


def test_a_set_list_needs_nothing_but_sets(tmp_path: Path) -> None:
    """The gig takes the file's name, talk is 20 s, and nothing has a time of day."""
    found = setlist("sets: [{songs: [Tin Roof]}]", band(tmp_path))
    assert ("test", None, None, 20) == (found.gig, found.date, found.start, found.between)


@pytest.mark.parametrize(
    ("line", "column", "message", "hint"),
    [
        (
            "Tin Roof: 118",
            19,
            "118 after Tin Roof does not say what it is",
            "write - Tin Roof: {tempo: 118}",
        ),
        (
            "Tin Roof: 3:30",
            19,
            "3:30 after Tin Roof does not say what it is",
            "write - Tin Roof: {length: 3:30}",
        ),
        (
            "Song: Part Two",
            9,
            "“Song: Part Two” has a colon, so it reads as a title and a value",
            'put the title in quotes: - "Song: Part Two"; or, for tonight: - Song: {notes: Part Two}',
        ),
        (
            "Tin Roof: key A",
            9,
            "keys after a line need braces",
            "write Tin Roof: {key: A}",
        ),
        (
            "Tin Roof: {leave-out: A}",
            20,
            "a song of a set list has no key “leave-out”",
            "write skip",
        ),
        (
            "Tin Roof: 118 bpm",
            19,
            "118 bpm after Tin Roof does not say what it is",
            "write - Tin Roof: {tempo: 118}",
        ),
        ("Tin Roof {key: A}", 9, "no colon before {", "write Tin Roof: {key: A}"),
        ("Tin Roof: {segue}", 25, "segue has no value", "write segue: yes, or leave the key out"),
        (
            "Tin Roof:",
            9,
            "nothing is after Tin Roof:",
            "leave the colon out, or write {tempo: 118} after it",
        ),
        ("Tin Roof:{tempo: 118}", 9, "no space after the colon", "write a space between : and {"),
        (
            "break: 5 min",
            9,
            "a break is between sets",
            "end this set, then write - break: 20 min level with - name:",
        ),
        ("[Tin Roof]", 9, "a song is a list", "write - TITLE, or - TITLE: {tempo: 118}"),
        (
            "Tin Roof: [118]",
            19,
            "a song of a set list is a list, not keys with values",
            "write key: value, a line each",
        ),
        ("Tin Roof: {tempoo: 118}", 20, "a song of a set list has no key “tempoo”", "did you mean tempo?"),
        (
            "Tin Roof: {tempo: 92 to 104}",
            27,
            "“92 to 104” is a change of tempo",
            "write one number: the chart's changes are scaled with it",
        ),
        (
            "Tin Roof: {tempo: quick}",
            27,
            "“quick” is not a tempo",
            "write beats per minute, 20 to 400: 92, or 66.5",
        ),
        ("Tin Roof: {tempo: 500}", 27, "500 beats per minute is out of range", "write 20 to 400"),
        ("Tin Roof: {feel: suffle}", 26, "no feel is called “suffle”", "did you mean shuffle?"),
        ("Tin Roof: {segue: maybe}", 27, "“maybe” is neither yes nor no", "write yes or no"),
        ("Tin Roof: {between: 5}", 29, "“5” has no unit", "write 5 s or 5 min"),
        (
            "Tin Roof: {segue: yes, between: 20 s}",
            32,
            "a segue has no gap, and between gives one",
            "keep one of the two",
        ),
        ("Tin Roof: {length: 0:00}", 28, "a song of no length", "write minutes and seconds: 3:30"),
        ("Tin Roof: {count-in: four}", 30, "“four” is not a count-in", "write 1 bar, 2 bars, 3 beats or none"),
        (
            "Tin Roof: {notes: capo 3, then off}",
            35,
            "the comma splits the words of notes in two",
            'put all of them in quotes: notes: "capo 3, then off"',
        ),
        (
            "{Tin Roof: {}, Opener: {}}",
            24,
            "a song in braces has one key, its name",
            "write - NAME: {key: value}",
        ),
    ],
)
def test_a_song_that_cannot_be_read_says_what_to_write(
    tmp_path: Path, line: str, column: int, message: str, hint: str
) -> None:
    """Line, column, what is wrong, what to write instead."""
    found, findings = read(one_set(line), band(tmp_path))
    assert found is None
    (finding,) = [each for each in findings if each.is_error]
    assert finding.span is not None
    assert (4, column) == (finding.span.line, finding.span.column)
    assert (message, hint) == (finding.message, finding.hint)


def test_keys_level_with_their_song_are_told(tmp_path: Path) -> None:
    """The indent is the commonest slip."""
    text = "sets:\n  - songs:\n      - Tin Roof:\n        tempo: 118\n      - Opener:\n        Tin Roof:\n"
    _, findings = read(text, band(tmp_path))
    assert ["tempo should be indented under Tin Roof", "a second song in one line"] == [
        finding.message for finding in findings
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "this file is empty"),
        ("just words", "a set list is a value, not keys with values"),
        ("gig: Hall\n", "this set list has no sets"),
        ("gig: Hall\nsongs: [Tin Roof]\n", "songs are in a set"),
        ("sets: []\n", "sets has no set"),
        ("sets:\n  - break: 5 min\n", "nothing but breaks"),
        ("sets:\n  - [Tin Roof]\n", "a set is a list, not keys with values"),
        ("sets:\n" + "  - break: 5 min\n" * 201, "more than 200 sets and breaks"),
        ("sets:\n  - Tin Roof\n", "“Tin Roof” is a set without its songs"),
        ("sets:\n  - name: One\n", "this set has no songs"),
        ("sets:\n  - encore: [Tin Roof]\n", "a set has no key “encore”"),
        ("sets:\n  - songs: Tin Roof\n", "songs is one title, not a list"),
        ("sets:\n  - songs:\n", "this set has no songs"),
        ("sets:\n  - {break: 5 min, name: Tea}\n", "a break has no name"),
        ("gig: A\ngig: B\nsets: [{songs: [Tin Roof]}]\n", "gig is given twice"),
        ("date: 4/12\nsets: [{songs: [Tin Roof]}]\n", "“4/12” is not a date"),
        ("ends: 23:00\nsets: [{songs: [Tin Roof]}]\n", "ends needs a start to count from"),
        (
            "start: 20:30\nends: 20:30\nsets: [{songs: [Tin Roof]}]\n",
            "the gig ends at 20:30 and starts at 20:30",
        ),
        (
            "start: 20:30\nends: 20:00\nsets: [{songs: [Tin Roof]}]\n",
            "the gig ends at 20:00 and starts at 20:30",
        ),
        (
            "start: 20:30\nsets: [{songs: [Opener], start: 20:00}]\n",
            "Set 1 starts at 20:00, before what is above it (20:30)",
        ),
        (
            "start: 20:30\nends: 22:00\nsets: [{songs: [Opener]}, {songs: [Opener], start: 22:30}]\n",
            "Set 2 starts at 22:30, when the gig has ended (22:00)",
        ),
        (
            "sets: [{songs: [Opener]}, {songs: [Opener], start: 22:30}]\n",
            "Set 2 has a time and the gig has none",
        ),
    ],
)
def test_a_set_list_that_does_not_hold_together(tmp_path: Path, text: str, message: str) -> None:
    """Every shape that is not a set list has its own sentence, and a hint."""
    found, findings = read(text, band(tmp_path))
    assert found is None
    assert [message] == [finding.message for finding in findings]
    assert all(finding.hint for finding in findings)


def test_everything_wrong_is_told_at_once(tmp_path: Path) -> None:
    """Unknown songs too, though no whole set list came of it; in order of lines."""
    text = "gig: Hall\ndate: soon\nsets:\n  - songs: [Tin Rooof, {Opener: {tempo: x}}]\n"
    _, findings = read(text, band(tmp_path))
    assert ["“soon” is not a date", "no song is called “Tin Rooof”", "“x” is not a tempo"] == [
        finding.message for finding in findings
    ]
    assert all(finding.where.setlist == "Hall" for finding in findings)


def test_a_segue_into_nothing_is_a_warning(tmp_path: Path) -> None:
    """Before a break and at the end; between two sets that follow one another it is none."""
    song = "{Tin Roof: {segue: yes}}"
    text = f"sets: [{{songs: [{song}]}}, {{songs: [{song}]}}, {{break: 5 min}}, {{songs: [{song}]}}]"
    found, findings = read(text, band(tmp_path))
    assert found is not None
    assert ["warning"] * 2 == [finding.level for finding in findings]


def test_a_thousand_songs_are_enough(tmp_path: Path) -> None:
    """One more is told, at once."""
    book = band(tmp_path)
    assert read(one_set(*["Tin Roof"] * 1000), book)[0] is not None
    found, findings = read(one_set(*["Tin Roof"] * 1001), book)
    assert found is None
    assert ["more than 1000 songs"] == [finding.message for finding in findings]


def test_an_empty_set_list_says_what_belongs_in_it(tmp_path: Path) -> None:
    _, (finding,) = read("# nothing yet\n", band(tmp_path))
    assert finding.hint == "write gig, date, start and sets, or remove the file"
