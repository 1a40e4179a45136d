"""The smaller rules: length, meter, feel-change, odd-length, tempo, form, unknown."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from support import chart, findings, of_rule, write_book

from charts.book import Book
from charts.check.run import check_chart
from charts.source import Finding


def told(rule: str, *lines: str, **head: str) -> list[Finding]:
    return of_rule(findings(chart(*lines, **head)), rule)


@pytest.mark.parametrize(
    ("rule", "level", "says", "lines"),
    [
        (
            "length",
            "error",
            "4 beats longer than what A has",
            ["A (1): {fill: {rows: 'SD oo|oo|oo|oo|oo|oo|oo|oo'}}"],
        ),
        (
            "length",
            "error",
            "over the change from shuffle",
            ["Z (4): {feel: shuffle, cue: x}", "A (1): {cue: y, fill: {rows: 'SD oo|oo|oo|oo|oo|oo|oo|oo'}}"],
        ),
        (
            "length",
            "warning",
            "starts before",
            ["A (8): {fills: {7: {rows: 'SD oo|oo|oo|oo'}, 7.4: {rows: 'SD oo'}}}"],
        ),
        (
            "stop",
            "note",
            "runs through the stop of the band at 8.3",
            ["A (8): {stops: 8.3-8.4, fill: big turn}"],
        ),
        ("stop", "note", "goes on after the hold at 8.2", ["A (8): {holds: 8.2, fill: big turn}"]),
        ("meter", "error", "made for 6/8", ["A (8): {fill: {rows: 'SD oo|oo', meter: 6/8}}"]),
        ("feel-change", "note", "straight to swung", ["A (8)", "B (8): {feel: shuffle}"]),
        ("feel-change", "note", "swung to straight", ["A (8): {feel: shuffle}", "B (8)"]),
        ("odd-length", "note", "A has 7 bars", ["A (7)"]),
        ("odd-length", "note", "bar 3 of A is a bar of 2/4", ["A (8): {odd-bars: {3: 2/4}}"]),
        ("tempo", "error", "19 beats per minute", ["A (8): {tempo: 19}"]),
        ("tempo", "error", "401 beats per minute", ["A (8): {tempos: {4: 401}}"]),
        ("tempo", "note", "jumps from 100 to 140", ["A (8)", "B (8): {tempo: 140}"]),
        ("tempo", "note", "B jumps from 140 to 100", ["A (8): {tempos: {4: 140}}", "B (8)"]),
        ("tempo", "note", "B jumps from 140 to 100", ["A (8): {tempos: {4: 90 to 140}}", "B (8)"]),
        ("form", "error", "two fills end at bar 8", ["A (8): {fill: big turn, fills: {8: short pickup}}"]),
        ("form", "warning", "nothing follows", ["A (8): {fill: {use: big turn, sets-up: next}}"]),
        ("unknown", "error", "no fill is called", ["A (8): {fill: bog turn}"]),
        ("unknown", "error", "is a groove, not a fill", ["A (8): {fill: ghosted half-time}"]),
        ("unknown", "error", "no feel is called", ["A (8): {feel: shufle}"]),
    ],
)
def test_a_rule_finds_what_it_is_for(rule: str, level: str, says: str, lines: list[str]) -> None:
    """With its level and its words."""
    assert any(level == each.level and says in each.message for each in told(rule, *lines)), told(
        rule, *lines
    )


@pytest.mark.parametrize(
    ("rule", "lines"),
    [
        ("length", ["A (2): {fill: {rows: 'SD oo|oo|oo|oo|oo|oo|oo|oo'}}"]),
        ("stop", ["A (8): {stops: 8.3-8.4 2.1, fills: {8.3: {rows: 'SD oo|oo'}, 7: big turn}}"]),
        ("stop", ["A (8): {stops: 7.1-8.4, fill: big turn}"]),
        ("stop", ["A (8): {holds: 8.4, stops: 8.1, fill: {rows: 'SD o.|..'}}"]),
        ("meter", ["A (8): {meter: 6/8, fill: {rows: 'SD ooo|ooo', meter: 6/8}}"]),
        ("feel-change", ["A (8): {fill: big turn}", "B (8): {feel: shuffle}"]),
        ("odd-length", ["A (8)", "B (1)"]),
        ("tempo", ["A (8): {tempo: 20}", "B (8): {tempo: 400, cue: hold on}"]),
        ("tempo", ["A (8): {tempo: 100 to 150}", "B (8): {tempo: 150}"]),
        ("form", ["A (8) x2: {fill: {use: big turn, pass: 1}, fills: {4: short pickup}}"]),
    ],
)
def test_a_rule_is_silent_where_all_is_well(rule: str, lines: list[str]) -> None:
    """Marked, inside, or in range."""
    assert not told(rule, *lines)


def test_what_to_write_instead_of_a_fill_through_a_stop() -> None:
    """The place in full: in fills a bar alone would mean its end; kept on purpose it is not told at all."""
    (found,) = told("stop", "A (8): {stops: 8.1-8.2, fill: big turn}")
    assert "fills: {8.1: big turn}" in found.hint
    assert not told("stop", "A (8): {stops: 8.1-8.2, fill: {use: big turn, on-purpose: the drums' own}}")


def test_the_nearest_name_is_offered() -> None:
    """A slip of the pen is mended by reading the hint."""
    (found,) = told("unknown", "A (8): {fill: stares in threes}")
    assert found.hint == "did you mean stairs in threes?"


def test_a_fill_is_told_once_however_often_it_is_played() -> None:
    """One written place, one finding."""
    assert 1 == len(told("unknown", "A (8): {fill: nonesuch}", "B (4)", "A", "A x2"))


def test_a_chart_is_forgotten_once_it_is_checked() -> None:
    """Nothing of it leads round in a ring, so that a large book need not be searched for what is in use."""
    text = chart(
        "Verse (7): {fill: sixteenths round the kit}", "Chorus (8): {fill: big turn}", feel="shuffle"
    )
    findings(text)
    gc.collect()
    gc.disable()
    try:
        assert findings(text)
        assert gc.collect() == 0
    finally:
        gc.enable()


def test_an_overlap_is_told_once_however_often_it_is_inherited() -> None:
    """The repeats differ, the fills are in the file once."""
    lines = [
        "Verse (8): {fill: stairs in threes, fills: {8.3: short pickup}}",
        "Verse: {cue: x}",
        "Verse: {cue: y}",
    ]
    assert 1 == len(told("length", *lines, feel="shuffle"))


def test_names_are_looked_up_in_a_chart_that_cannot_be_read_whole(tmp_path: Path) -> None:
    """One run tells all: the tempo that is none, and the fill that nobody has."""
    (tmp_path / "charts").mkdir()
    path = tmp_path / "charts" / "a.yaml"
    path.write_text("title: A\ntempo: fast\nfeel: shuffle\nform:\n  - Verse (8): {fill: stares in threes}\n")
    found = [(each.rule, each.span.line if each.span else 0) for each in check_chart(Book(tmp_path), path)]
    assert found == [("file", 2), ("unknown", 5)]


def test_a_fill_that_cannot_be_read_is_there(tmp_path: Path) -> None:
    """It is not said to be missing: its own file tells what is wrong."""
    text = chart("A (8): {fill: bad one}")
    book = write_book(tmp_path, fills__x="fills:\n  bad one: {rows: SD q}\n")
    (found,) = of_rule(findings(text, book), "unknown")
    assert ("the fill “bad one” cannot be read", "fix it in its own file first") == (
        found.message,
        found.hint,
    )
