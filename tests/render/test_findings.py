"""Findings on the screen and as JSON."""

from __future__ import annotations

import io

import pytest
from support import findings

from charts.source import Finding
from render.terminal.findings import finding_json, finding_lines
from render.terminal.ink import Ink, escaped
from render.terminal.saying import say

HARBOUR = """\
title: Harbour Lights
tempo: 92
feel: half-time shuffle
form:
  - Verse (8)
  - Chorus (4+4) x2:
      tempo: 96
      fill: sixteenths round the kit     # the check has something to say here
  - Chorus
"""
KEYS = [
    "rule", "level", "file", "line", "column", "end_column", "song", "setlist", "section", "pass", "bar", "beat",
    "message", "hint", "fill", "feel", "tempo", "verdict", "offset_ms", "beats", "instead", "on_purpose", "also",
]  # fmt: skip


def test_a_clash_leads_with_the_music() -> None:
    """Song, section, place and what is wrong; the two counts; the line of the file; what to try."""
    (found,) = findings(HARBOUR)
    first, *rest = finding_lines(found, 100)
    assert f"✗ Harbour Lights, Chorus, {found.caption}:" == first[: first.index(":") + 1]
    assert [
        "    the groove counts  1 . . . trip  . let . .",
        "    the fill counts    1 . . e . . & . . a . .     e 52 ms early, a 52 ms late",
        "    charts/test.yaml, line 8:",
        "      fill: sixteenths round the kit     # the check has something to say here",
        "    fits instead  stairs in threes; long and short; two-drum turn",
        '    or re-lay it  feelmap regrid "sixteenths round the kit" --feel "half-time shuffle"',
    ] == rest[-6:]


def test_in_a_pipe_it_begins_with_file_line_and_column() -> None:
    """On one line, however long, for editors."""
    (found,) = findings(HARBOUR)
    first = next(finding_lines(found, 40, lines=True))
    assert first == f"charts/test.yaml:8:13: error: Harbour Lights, Chorus, {found.caption}: {found.message}"


@pytest.mark.parametrize(("level", "marks"), [("error", "✗x"), ("warning", "!!"), ("note", "--")])
def test_a_level_has_a_mark_of_its_own(level: str, marks: str) -> None:
    """Also where only plain letters can be printed."""
    found = Finding("file", level, "words", None)
    assert [f"{marks[0]} words"] == list(finding_lines(found, 80))
    assert [f"{marks[1]} words"] == list(finding_lines(found, 80, Ink(signs=False)))


def test_a_finding_of_the_whole_song_names_the_song_alone() -> None:
    """The message names the section."""
    found = next(each for each in findings("title: T\ntempo: 100\nfeel: shuffle\nform:\n  - Turn (7)\n"))
    assert next(finding_lines(found, 80)).startswith("- T: Turn has 7 bars")


def test_the_same_as_json() -> None:
    """Every key is there, in order; milliseconds to 0.1."""
    (found,) = findings(HARBOUR)
    row = finding_json(found)
    assert KEYS == list(row)
    assert (8, 13, 37, "Harbour Lights", None, "Chorus", 2, 8, 1) == (
        row["line"], row["column"], row["end_column"], row["song"], row["setlist"], row["section"], row["pass"],
        row["bar"], row["beat"],
    )  # fmt: skip
    assert ("clashes", -52.1, 96.0, "half-time shuffle") == (
        row["verdict"],
        row["offset_ms"],
        row["tempo"],
        row["feel"],
    )
    assert [{"section": "Chorus", "first_bar": 25, "pass": 2, "bar": 8}] == row["also"]
    assert {"beat": 1, "onsets": ["0", "1/4", "1/2", "3/4"], "grid": 4, "level": 6, "verdict": "clashes",
            "offsets_ms": [0.0, -52.1, 0.0, 52.1], "ornament": False, "run": None} == row["beats"][0]  # fmt: skip


def test_keys_that_do_not_apply_are_null() -> None:
    """A file that cannot be read has no song and no fill."""
    row = finding_json(findings("title: T\ntempo: fast\n")[0])
    assert KEYS == list(row)
    assert {row[key] for key in ("song", "section", "pass", "fill", "beats", "also")} == {None}


@pytest.mark.parametrize("width", [60, 80])
def test_a_long_line_is_cut_to_a_window_around_the_place(width: int) -> None:
    """The words concerned are in it, on a terminal in bold."""
    text = "title: T\ntempo: 100\nfeel: shuffle\nform:\n  - A (8): {cue: " + "word " * 40 + ", hits: 9.1}\n"
    found = next(each for each in findings(text) if "no bar 9" in each.message)
    line = next(line for line in finding_lines(found, width) if "hits:" in line)
    assert len(line) <= width
    assert line.startswith("      …")
    assert "9.1" in line
    bold = next(line for line in finding_lines(found, width, Ink(colour=True)) if "hits:" in line)
    assert "\x1b[1m9.1\x1b[0m" in escaped(bold)


@pytest.mark.parametrize("width", [40, 60, 96])
def test_lines_are_folded_at_words(width: int) -> None:
    """Nothing is wider than the terminal but a command or a count to paste or read whole."""
    (found,) = findings(HARBOUR)
    lines = list(finding_lines(found, width))
    assert all(len(line) <= width or " . " in line or "feelmap" in line for line in lines), lines
    assert (width <= 60) == ("      e 52 ms early, a 52 ms late" in lines)


class Terminal(io.StringIO):
    """Standard error as a terminal."""

    def isatty(self) -> bool:
        return True


def test_a_message_is_folded_at_words_on_a_terminal_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Indented as it was given; in a pipe it is one line for programs."""
    monkeypatch.setenv("COLUMNS", "40")
    message = "  this holds for both appearances of Chorus, where they do not say otherwise"
    for stream, told in (
        (
            Terminal(),
            "  this holds for both appearances of\n    Chorus, where they do not say\n    otherwise\n",
        ),
        (io.StringIO(), message + "\n"),
    ):
        monkeypatch.setattr("sys.stderr", stream)
        say(message)
        assert stream.getvalue() == told
