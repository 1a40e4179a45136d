"""The row notation: read, and written back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import pattern

from charts.kit import VOICES, is_hand
from charts.notation import read_rows
from charts.pattern import FILL, Pattern, Stroke, in_order
from charts.rows import write_rows


def test_rows_divide_a_beat_as_they_like() -> None:
    """A foot in two under hands in three, and groups of other lengths in one row."""
    found = pattern("SD ooo|o.o.\nBD oo|o...")
    assert (
        (Fraction(0), Fraction(1, 3), Fraction(1, 2), Fraction(2, 3)),
        (Fraction(0), Fraction(1, 2)),
    ) == found.onsets


def test_letters_mean_their_strokes() -> None:
    """Ghost, flam, drag, buzz, accents, and how open the hat is."""
    found = pattern("HH xsoX\nSD gfDz")
    assert [("closed", False), ("half-open", False), ("open", False), ("closed", True)] == [
        (s.hat, s.accent) for s in found.strokes if s.voice == "HH"
    ]
    assert [("ghost", False), ("flam", False), ("drag", True), ("buzz", False)] == [
        (s.kind, s.accent) for s in found.strokes if s.voice == "SD"
    ]


@pytest.mark.parametrize(
    ("rows", "message", "line", "column"),
    [
        ("SD o.q.", "“q” is not a stroke", 0, 5),
        ("SD o.G.", "a ghost note has no accent", 0, 5),
        ("SD o|o\nBD o", "row BD has 1 beat, the first row has 2", 1, 0),
        ("SD o||o", "row SD has a beat without cells", 0, 0),
        ("QQ oo", "“QQ” is not a voice", 0, 0),
        ("SD oo\nSN oo", "a second row SN", 1, 0),
        ("SD so", "only the hi-hat can be slightly open", 0, 3),
        ("BD fo", "a foot plays no flam", 0, 3),
        ("SD o.\nstick RL", "L in beat 1 has no stroke under it", 1, 7),
        ("SD oo\nstick R.", "the stroke on beat 1 at 1/2 has no hand", 1, 0),
        ("SD o\nT1 o\nstick R", "two drums at once in beat 1 and one hand", 2, 6),
        ("SD oo\nstick RX", "“X” is not a hand", 1, 7),
        ("", "no row of strokes here", 0, 0),
        ("SD " + "|".join("o" * 65), "65 beats are too many", 0, 0),
        ("SD o|" + "o" * 49, "49 cells in a beat", 0, 5),
        ("SD " + "|".join(["o" * 10] * 41), "410 strokes are too many", 0, 0),
    ],
)
def test_problems_are_told_at_their_place(rows: str, message: str, line: int, column: int) -> None:
    """Line and column of the very cell, counted from 0."""
    assert (message, line, column) in {(p.message, p.line, p.column) for p in read_rows(rows).problems}


@pytest.mark.parametrize(
    ("rows", "hint"),
    [
        ("snare oo", "write SD"),
        ("Kick: oo", "write BD"),
        ("toms oo", "write T1 or T2 or T3 or FT"),
        ("QQ oo", f"use one of {' '.join(VOICES)}, or stick"),
        (
            "SD oo|oo|",
            "leave out the “|” before the first and after the last beat, or write “.” for an empty beat",
        ),
        (
            "SD |oo|oo",
            "leave out the “|” before the first and after the last beat, or write “.” for an empty beat",
        ),
        ("SD o||o", "write “.” for an empty beat"),
    ],
)
def test_problems_say_what_to_write(rows: str, hint: str) -> None:
    """The code of a voice that is spelt out; no bar at the ends of a row."""
    (problem,) = read_rows(rows).problems
    assert problem.hint == hint


def test_every_problem_of_the_rows_is_told() -> None:
    """Not the first one only."""
    assert len(read_rows("SD q.\nQQ o.\nBD o|o").problems) == 3


cells = st.sampled_from([1, 2, 3, 4, 6, 8])


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    beats = draw(st.integers(1, 4))
    strokes: dict[tuple[int, Fraction, str], Stroke] = {}
    for _ in range(draw(st.integers(1, 12))):
        beat, division = draw(st.integers(0, beats - 1)), draw(cells)
        at = Fraction(draw(st.integers(0, division - 1)), division)
        voice = draw(st.sampled_from(sorted(VOICES)))
        kinds = ["stroke", "ghost", "flam", "drag", "buzz"] if is_hand(voice) else ["stroke", "ghost"]
        kind = draw(st.sampled_from(kinds))
        accent = kind != "ghost" and draw(st.booleans())
        hat = (
            draw(st.sampled_from(["closed", "half-open", "open"]))
            if voice == "HH" and kind == "stroke"
            else "closed"
        )
        strokes[beat, at, voice] = Stroke(beat, at, voice, kind, accent, hat)
    return Pattern("drawn", FILL, beats, in_order(strokes.values()))


@given(patterns())
def test_what_is_written_reads_back_the_same(drawn: Pattern) -> None:
    """Reading the canonical text gives the same pattern, and writing that gives the same text."""
    text = write_rows(drawn)
    rows = read_rows(text)
    assert ((), drawn.beats, drawn.strokes) == (rows.problems, rows.beats, rows.strokes)
    assert text == write_rows(Pattern("again", FILL, rows.beats, rows.strokes))


def test_the_sticking_is_written_back() -> None:
    """The row stick is last and aligned."""
    assert "SD    o.o\nBD    .o.\nstick R.L\n" == write_rows(pattern("stick R.L\nBD .o.\nSD o.o"))


def test_a_pattern_of_nothing_is_written_as_rests() -> None:
    """And reads back as that."""
    assert "SD .|..\n" == write_rows(Pattern("rests", FILL, 2, ()), [1, 2])


def test_a_beat_too_fine_to_be_one_row_is_written_row_by_row() -> None:
    """Seven over eleven: each voice in its own division."""
    assert "SD ooooooo\nBD ooooooooooo\n" == write_rows(pattern("SD ooooooo\nBD ooooooooooo"))


@pytest.mark.parametrize("voice", sorted(VOICES))
def test_every_voice_is_read_and_written(voice: str) -> None:
    """A row of the kit's table is a row that can be used."""
    assert voice == pattern(f"{voice} o").voices[0]
    assert write_rows(pattern(f"{voice} o")).startswith(voice)
