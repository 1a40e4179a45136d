"""A fill as it is heard where it is played: levels, words, and across a change of tempo."""

from __future__ import annotations

import re

import pytest
from support import chart, findings, of_rule, song

from charts.fills import played_fills
from charts.hearing import Heard
from charts.played import played
from charts.reading.settings import Settings
from charts.source import Finding
from charts.verdict import CLASHES, CROSSES, FITS, TOLERANCE_MS
from render.page.sheet import Options, sheet_of
from render.terminal.ink import Ink
from render.terminal.roadmap import roadmap_lines
from render.terminal.section_view import section_lines


def text(rows: str, into: str, more: str = ", sets-up: next", head: str = "") -> str:
    """A chart of a straight section at 93 with a fill at its end, and what follows it."""
    fill = f"{{rows: 'SD {rows}'{more}}}"
    return chart(f"A (4): {{fill: {fill}}}", f"B (8): {into}", "C (8)", tempo="93", head=head)


def heard(written: str) -> Heard:
    """The fill of the first section on its last time."""
    parts = played(song(written))
    use = parts[0].section.fills[0]
    return played_fills(parts, 0, use)[-1].heard(TOLERANCE_MS)


def grid(written: str) -> list[Finding]:
    return of_rule(findings(written), "grid")


@pytest.mark.parametrize(
    ("rows", "into", "expected"),
    [
        ("oo|oo|oo", "{feel: slow 12/8, meter: 12/8, tempo: 62}", FITS),
        ("oo|oo", "{feel: slow 12/8, meter: 12/8, tempo: 62}", FITS),
        ("oooo|oooo|oooo", "{feel: slow 12/8, meter: 12/8, tempo: 62}", FITS),
        ("ooo|ooo|ooo", "{feel: slow 12/8, meter: 12/8, tempo: 62}", CLASHES),
        ("ooo|ooo|ooo", "{feel: slow 12/8, meter: 12/8, tempo: 93}", FITS),
        ("oo|oo|oo", "{feel: slow 12/8, meter: 12/8, tempo: 93}", CROSSES),
        ("oo|oo", "{tempo: 140}", CLASHES),
        ("o|o", "{tempo: 140}", CROSSES),
        ("oo|..|oo", "{tempo: 140}", CLASHES),
        ("ooo|ooo", "{tempo: 140}", FITS),
        ("ooo|ooo", "{feel: shuffle, tempo: 140}", CLASHES),
        ("oo|oo", "{tempo: 186}", FITS),
        ("oo|oo", "{tempo: 46.5}", FITS),
        ("oo|oo", "{tempo: 100}", FITS),
        ("oo|oo", "{tempo: 102.3}", FITS),
        ("oo|oo", "{tempo: 103}", CLASHES),
        ("oo|oo", "{tempo: 83.7}", FITS),
        ("oo|oo", "{tempo: 83}", CLASHES),
        ("oo|oo", "{meter: 3/8 (3), tempo: 93}", FITS),
    ],
)
def test_a_fill_into_another_tempo_is_judged_in_strokes_per_minute(
    rows: str, into: str, expected: str
) -> None:
    """Eighths at 93 are the eighths of a 12/8 at 62; up to a tenth the fill goes on beat for beat."""
    if "3/8" in into:
        into = into.replace("3/8 (3)", "7/8 (2+2+3)")
    assert expected == heard(text(rows, into)).verdict


def test_eighths_at_88_are_nothing_in_straight_eighths_at_132() -> None:
    """176 strokes per minute against 264 and 132."""
    written = text("oo|oo|oo|oo", "{tempo: 132}").replace("tempo: 93", "tempo: 88")
    assert CLASHES == heard(written).verdict
    (found,) = grid(written)
    assert found.message.endswith("and it sets up in straight eighths (2) at 132 bpm")
    assert "triplet eighth = eighth" == found.detail["equation"]


def test_a_crossing_that_fits_is_silent_and_said_everywhere() -> None:
    """In check nothing; in the section told larger with its tempo and equation; on paper what it sets up."""
    written = text("oo|oo|oo", "{feel: slow 12/8, meter: 12/8, tempo: 62}")
    assert not grid(written)
    assert "    fits slow 12/8 at 62 (eighth = eighth)" in section_lines(
        song(written), "A", 90, Ink(), Settings()
    )
    assert "sets up slow 12/8" == sheet_of(song(written), Options()).fills[0].said
    assert "(eighth = eighth)" in "\n".join(roadmap_lines(song(written), 90, Ink(), TOLERANCE_MS))


def test_only_the_last_time_leads_on_and_only_from_the_last_bar() -> None:
    """Every time before it is this section once more; a fill in the middle is beat for beat."""
    into = "{feel: slow 12/8, meter: 12/8, tempo: 62}"
    each = text("ooo|ooo", into, ", sets-up: next, pass: each").replace("A (4)", "A (4) x2")
    parts = played(song(each))
    first, last = [fill.heard(TOLERANCE_MS) for fill in played_fills(parts, 0, parts[0].section.fills[0])]
    assert (False, True) == (first.across, last.across)
    assert "straight eighths" == first.feel.name
    middle = text("ooo|ooo", into).replace("fill: ", "fills: {2: ").replace("next}", "next}}")
    assert (False, FITS) == (heard(middle).across, heard(middle).verdict)


def test_what_fits_only_the_next_section_is_said_so_by_strokes_per_minute() -> None:
    """The check offers sets-up where the fill would fit what follows at its own tempo."""
    written = text("ooo|ooo", "{tempo: 140}", "")
    (found,) = grid(written)
    assert dict(found.lines)["it fits"].startswith("B, the next section")
    (other,) = grid(text("ooo|ooo", "{feel: shuffle, tempo: 140}", ""))
    assert "it fits" not in dict(other.lines)


def test_a_fill_across_with_no_stroke_after_it() -> None:
    """Into a stop on the one nothing is struck there: the last three has no end."""
    into = "{feel: straight eighths, tempo: 100, stops: 1.1-2.4}"
    assert CLASHES == heard(text("ooo", into)).verdict
    assert CROSSES == heard(text("ooo", into.replace(", stops: 1.1-2.4", ""))).verdict


@pytest.mark.parametrize(
    ("rows", "feel", "words"),
    [
        ("ooo|ooo", "straight eighths", "in threes across two beats"),
        ("ooo", "straight eighths", "in threes"),
        ("oooooo|oooooo|oooooo", "straight eighths", "in sixes across three beats"),
        ("ooo|ooo|oooo|ooo", "straight eighths", "in threes across three beats"),
        ("o.o|.o.", "straight eighths", "three over two"),
        ("o.o|.o.|o.o|.o.", "straight eighths", "three over two across four beats"),
        ("ooo|oooooo", "straight eighths", "in threes and in sixes"),
        ("o.|.o|..", "jazz waltz", "two over three"),
        ("o..o|..o.|.o..", "jazz waltz", "four over three"),
        ("oooo|oooo", "shuffle", "in fours"),
        ("oooo|oo", "shuffle", "in fours and twos"),
        ("ooooo|ooooooo", "straight eighths", "in fives and sevens"),
        ("o.o", "straight eighths", "in threes"),
        ("oo.oo.", "shuffle", "in sixes"),
        ("ooo|oooo|ooo|oo", "shuffle", "in fours and twos"),
    ],
)
def test_a_fill_is_called_what_it_is(rows: str, feel: str, words: str) -> None:
    """As one player says it to another."""
    written = chart(f"A (4): {{fill: {{rows: 'SD {rows}'}}}}", "B (8)", feel=feel)
    assert words == heard(written).words


@pytest.mark.parametrize(
    ("rows", "feel", "why", "level", "screen", "page"),
    [
        ("oooo", "shuffle", "", "error", "clashes with shuffle; feelmap check", "clashes with shuffle"),
        ("o.o", "waltz", "", "warning", "is in threes over waltz; feelmap check", "in threes over waltz"),
        ("ooo|ooo", "waltz", "", "note", "is in threes across two beats over waltz", "in threes across two beats"),
        ("oooo", "shuffle", "we like it", "note", "is in fours over shuffle on purpose: we like it",
         "in fours on purpose: we like it"),
        ("0 13/24", "waltz", "", "note", "", ""),
    ],
)  # fmt: skip
def test_check_screen_and_paper_agree(
    rows: str, feel: str, why: str, level: str, screen: str, page: str
) -> None:
    """Only an error is called a clash; a note or a warning is called what it is."""
    if rows[0] == "0":
        rows = "o" + "." * 12 + "o" + "." * 10  # 0 and 13/24
    kept = f", on-purpose: {why}" if why else ""
    written = chart(f"A (4): {{fill: {{rows: 'SD {rows}'{kept}}}}}", "B (8)", feel=feel, tempo="130")
    (found,) = grid(written)
    assert level == found.level
    lines = " ".join(roadmap_lines(song(written), 120, Ink(), TOLERANCE_MS))
    assert (f"fill 1 A fill {screen}" in lines) if screen else not re.search("over|clashes", lines)
    (fill,) = sheet_of(song(written), Options()).fills
    assert (page, level in ("error", "warning")) == (fill.said, fill.at_odds)
