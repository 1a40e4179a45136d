"""Findings on the screen and as JSON."""

from __future__ import annotations

import io

import pytest
from support import findings

from render.terminal.findings import finding_json, finding_lines
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


def test_a_clash_reads_like_the_design() -> None:
    """Place, line, caret, the two counts under one another, what fits instead."""
    (found,) = findings(HARBOUR)
    assert list(finding_lines(found, 100)) == [
        "charts/test.yaml:8:13: error[grid]: this fill divides the beat in 4, and Chorus is a half-time shuffle (3)",
        "    8 |       fill: sixteenths round the kit     # the check has something to say here",
        "      |             ^^^^^^^^^^^^^^^^^^^^^^^^ bar 8, beats 1 to 4, at 96 a minute",
        "      = the groove counts   1 . . . trip  . let . .",
        "      = the fill counts     1 . . e . . & . . a . .     e 52 ms early, a 52 ms late",
        "      = fits instead        stairs in threes; long and short; two-drum turn",
        '      = or re-lay it        feelmap regrid "sixteenths round the kit" --feel "half-time shuffle"',
    ]


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


def test_a_long_line_is_cut_to_a_window_round_the_place() -> None:
    """The caret stays under its word."""
    text = "title: T\ntempo: 100\nfeel: shuffle\nform:\n  - A (8): {cue: " + "word " * 40 + ", hits: 9.1}\n"
    found = next(each for each in findings(text) if "no bar 9" in each.message)
    line, caret = list(finding_lines(found, 60))[1:3]
    assert len(line) <= 60
    assert line[caret.index("^") : caret.rindex("^") + 1] == "9.1"


def test_wide_letters_keep_the_caret_in_place() -> None:
    """A title in full-width letters takes two columns each."""
    text = "title: T\ntempo: 100\nfeel: shuffle\nform:\n  - Ｖｅｒｓｅ (8): {hits: 9.1}\n"
    found = next(each for each in findings(text) if "no bar 9" in each.message)
    line, caret = list(finding_lines(found, 80))[1:3]
    assert caret.index("^") == line.index("9.1") + 5


def test_on_a_terminal_long_lines_are_folded_at_words() -> None:
    """No word is broken at 60 columns, and the offsets go under the count."""
    (found,) = findings(HARBOUR)
    lines = list(finding_lines(found, 60, fold=True))
    assert all(len(line) <= 60 for line in lines)
    assert "the fill counts" in " ".join(lines)
    assert any(line.strip().startswith("e 52 ms early") for line in lines)


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


def test_a_long_first_line_is_folded_between_words() -> None:
    """Never at the hyphen of a rule's or a file's name."""
    (found,) = findings(
        HARBOUR.replace("fill: sixteenths round the kit", "fill: six-stroke-roll-round-the-kit")
    )
    lines = list(finding_lines(found, 44, fold=True))
    assert all(len(line) <= 44 or " " not in line.strip() for line in lines)
    assert any("six-stroke-roll-round-the-kit" in line for line in lines)
    assert not any(line.endswith("-") for line in lines)
