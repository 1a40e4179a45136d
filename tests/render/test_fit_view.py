"""``fit``: one pattern against one feel, drawn so that two grids compare by eye, and as JSON."""

from __future__ import annotations

import json
from fractions import Fraction as F

import pytest
from shell import feelmap
from support import BOOK, feel, pattern

from charts.reading.settings import Settings
from render.terminal.fit_view import fit_json, fit_lines, fit_of
from render.terminal.ink import Ink, cells, escaped

SIXTEENTHS = """
    SD    Oooo|oo..
    BD    o...|..o.
    stick RLRL|RL..
"""


def fitted(rows, name, tempo=92):
    found = BOOK.patterns.get(rows) if "\n" not in rows and "|" not in rows and " " in rows else None
    return fit_of(found or pattern(rows), feel(name), F(tempo), Settings())


def drawn(fit, width=80):
    return [line.rstrip() for line in fit_lines(fit, width, Ink())]


def test_json_is_that_of_the_design():
    """Every key in order; a clash has the level it is measured against, its offsets to 0.1 ms."""
    found = fit_json(fitted("SD oooo", "half-time shuffle"))
    assert found == {
        "pattern": "test",
        "feel": "half-time shuffle",
        "tempo": 92.0,
        "swing": 2.0,
        "verdict": "clashes",
        "beats": [
            {
                "beat": 1,
                "onsets": ["0", "1/4", "1/2", "3/4"],
                "grid": 4,
                "level": 6,
                "verdict": "clashes",
                "offsets_ms": [0.0, -54.3, 0.0, 54.3],
                "ornament": False,
                "run": None,
            }
        ],
        "playable": True,
        "limits": [],
    }
    assert fit_json(fitted("SD oooo", "straight sixteenths"))["swing"] is None
    assert fit_json(fitted("SD oo", "swing", 240))["swing"] == 1.469


def test_what_cannot_be_played_is_told_with_its_limit():
    """A limb that is too fast is in the JSON with both strokes, and on the screen in words."""
    fit = fitted("BD oooo", "straight sixteenths", 160)
    assert not fit_json(fit)["playable"]
    assert fit_json(fit)["limits"][0]["gap_ms"] == pytest.approx(93.8)
    text = "\n".join(drawn(fit))
    assert text.startswith("test: fits, but is not playable\n  against")
    assert "not playable at 160 bpm" in text
    assert drawn(fitted("BD oooo", "swing", 160))[0] == "test: clashes, and is not playable"
    assert drawn(fit, 24)[:2] == ["test:", "  fits, but is not playable"]
    assert "94 ms from BD in beat 1 to BD in beat 1, the limit is" in text


def test_two_grids_stand_under_one_another():
    """The groove's count, the fill's own, what is off in ms, then strokes and sticking on one ruler."""
    found = drawn(fitted(SIXTEENTHS, "half-time shuffle"))
    assert found[:3] == ["test: clashes", "  against half-time shuffle at 92 bpm, swung 2 to 1", ""]
    assert found[3:10] == [
        "  the groove counts   1 . . . trip  . let . . | 2 . . . trip  . let . .",
        "  the fill counts     1 . . e . . & . . a . . | 2 . . e . . & . . . . .",
        "  ms early -, late +        -54         +54   |       -54   -109",
        "  accent              >                       |",
        "  SD                  O . . o . . o . . o . . | o . . o . . . . . . . .",
        "  BD                  o . . . . . . . . . . . | . . . . . . o . . . . .",
        "  stick               R     L     R     L     | R     L",
    ]
    assert "  beat 1         clashes  in 4 against 6: e 54 ms early, a 54 ms late" in found


def test_a_fitting_beat_has_no_offsets_and_bends_with_the_swing():
    """At 3:2 both counts put let at three fifths, and nothing is said to be off."""
    found = drawn(fitted("SD o.o", "swing", 240))
    groove, own = (
        next(line for line in found if label in line) for label in ("groove counts", "fill counts")
    )
    assert groove.index("let") == own.index("let")
    assert not any("ms early" in line for line in found)


def test_equal_beats_are_told_together():
    """Beats that read alike share one line."""
    found = drawn(fitted("SD oooo|oooo|ooo|....", "straight sixteenths"))
    assert "  beats 1 to 2   fits     in 4" in found
    assert "  beat 3         clashes  in 3 against 4: trip 54 ms late, let 54 ms early" in found
    assert "  beat 4         fits     nothing is struck" in found


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize(
    "name", ["sixteenths round the kit", "stairs in threes", "herta turn", "hertas round the kit"]
)
@pytest.mark.parametrize("against", ["straight eighths", "half-time shuffle", "swing", "sixteenth shuffle"])
def test_the_drawing_fits_the_terminal(width, name, against):
    """No line is wider than asked for, and both counts stand on one ruler."""
    found = drawn(fitted(name, against, 100), width)
    assert max(map(cells, found)) <= width
    counts = [line for line in found if " counts " in line]
    assert len(counts) % 2 == 0
    for groove, own in zip(counts[::2], counts[1::2], strict=True):
        assert [place for place, c in enumerate(groove) if c == "|"] == [
            p for p, c in enumerate(own) if c == "|"
        ]


def test_rows_come_from_standard_input_or_a_file(tmp_path):
    """``-`` reads rows; so does a file; both answer alike but for the name."""
    rows = "SD oooo|oooo\n"
    piped = feelmap("fit", "-", "--feel", "shuffle", "--tempo", "92", "--json", stdin=rows, cwd=tmp_path)
    (tmp_path / "mine.txt").write_text(rows)
    filed = feelmap("fit", "mine.txt", "--feel", "shuffle", "--tempo", "92", "--json", cwd=tmp_path)
    first, second = json.loads(piped.out), json.loads(filed.out)
    assert (first.pop("pattern"), second.pop("pattern")) == ("standard input", "mine.txt")
    assert first == second
    assert first["verdict"] == "clashes"
    assert piped.status == 0


@pytest.mark.parametrize(
    ("arguments", "rows", "said"),
    [
        (("-", "--feel", "shuffle", "--tempo", "92"), "SD oq", "“q” is not a stroke"),
        (("-", "--feel", "shuffle", "--tempo", "92"), "", "no row of strokes"),
        (("-", "--feel", "shufle", "--tempo", "92"), "SD o", "did you mean shuffle?"),
        (("-", "--feel", "shuffle", "--tempo", "fast"), "SD o", "not a tempo"),
        (("-", "--feel", "shuffle", "--tempo", "500"), "SD o", "out of range"),
        (("stairs in thres", "--feel", "shuffle", "--tempo", "92"), None, "did you mean stairs in threes?"),
        (("stairs in threes", "--feel", "shuffle"), None, "--tempo"),
    ],
)
def test_what_cannot_be_judged_is_exit_two(tmp_path, arguments, rows, said):
    """A message that says what to write instead, nothing on standard output."""
    found = feelmap("fit", *arguments, stdin=rows or "", cwd=tmp_path)
    assert (found.status, found.out) == (2, "")
    assert said in found.err
    assert "Traceback" not in found.err


def test_colour_is_only_for_terminals():
    """The verdict is coloured where there is a terminal, and the same words without."""
    fit = fitted(SIXTEENTHS, "half-time shuffle")
    coloured = escaped("\n".join(fit_lines(fit, 80, Ink(colour=True))))
    assert "\x1b[1;31mclashes\x1b[0m" in coloured
    assert "\x1b" not in "\n".join(drawn(fit))
