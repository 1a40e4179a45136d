"""The rules on changes between two sections, at their edges: tempo jumps, straight and swung."""

from __future__ import annotations

import pytest
from support import chart, findings, of_rule


def jumps(*lines: str) -> list[str]:
    return [each.message for each in of_rule(findings(chart(*lines)), "tempo")]


def changes(*lines: str) -> list[str]:
    return [each.message for each in of_rule(findings(chart(*lines)), "feel-change")]


@pytest.mark.parametrize(
    ("tempo", "told"),
    [
        ("110", 0),
        ("110.1", 1),
        ("111", 1),
        ("90", 0),
        ("89.9", 1),
        ("89", 1),
        ("100", 0),
        ("200", 0),
        ("201", 1),
        ("50", 0),
        ("48", 1),
        ("132", 1),
        ("133", 0),
        ("150", 0),
    ],
)
def test_a_tempo_jumps_by_more_than_a_tenth(tempo: str, told: int) -> None:
    """Of the tempo before; a tenth itself is none, up or down, nor is a tempo that is simply related."""
    assert told == len(jumps("A (8)", f"B (8): {{tempo: {tempo}}}"))


@pytest.mark.parametrize(
    ("first", "told"),
    [
        ("A (8): {tempo: 100 to 130}", 0),
        ("A (8): {tempo: 130 to 100}", 1),
        ("A (8): {tempos: {8: 100 to 130}}", 0),
        ("A (8): {tempos: {8: 130}}", 0),
        ("A (8): {tempos: {7: 130, 8: 100}}", 1),
        ("A (8) x2: {tempos: {8: {tempo: 130, pass: 1}}}", 1),
        ("A (8) x2: {tempos: {8: {tempo: 130, pass: each}}}", 0),
    ],
)
def test_the_tempo_before_is_the_last_one_that_is_played(first: str, told: int) -> None:
    """At the end of an even change, and of the last time through."""
    assert told == len(jumps(first, "B (8): {tempo: 130}"))


@pytest.mark.parametrize(
    ("second", "told"),
    [
        ("{tempo: 130, cue: drums count}", 0),
        ("{tempo: 130, cues: {1.3: drums count}}", 0),
        ("{tempo: 130, cues: {2: drums count}}", 1),
        ("{tempo: 150, meter: 6/8}", 0),
        ("{tempo: 130, meter: 3/4}", 1),
    ],
)
def test_a_jump_is_marked_by_a_cue_on_the_first_bar(second: str, told: int) -> None:
    """Anywhere in it; between simple and compound time the beat is another note, and no jump is told."""
    assert told == len(jumps("A (8)", f"B (8): {second}"))


@pytest.mark.parametrize(("tempo", "told"), [("19.9", 1), ("20", 0), ("400", 0), ("400.1", 1)])
def test_a_tempo_that_nobody_feels_is_an_error(tempo: str, told: int) -> None:
    """From 20 to 400 beats per minute, both counted in."""
    found = [
        each for each in of_rule(findings(chart("A (8)", tempo=tempo)), "tempo") if each.level == "error"
    ]
    assert told == len(found)


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ("A (8)", "B (8): {feel: shuffle}", 1),
        ("A (8): {feel: shuffle}", "B (8)", 1),
        ("A (8): {feel: shuffle}", "B (8): {feel: swing}", 0),
        ("A (8)", "B (8): {feel: straight sixteenths}", 0),
        ("A (8)", "B (8): {feel: shuffle, cue: swing it}", 0),
        ("A (8)", "B (8): {feel: shuffle, cues: {1.4: swing it}}", 0),
        ("A (8)", "B (8): {feel: shuffle, cues: {2: swing it}}", 1),
        ("A (8): {fill: big turn}", "B (8): {feel: shuffle}", 0),
        ("A (8): {fills: {7: big turn}}", "B (8): {feel: shuffle}", 1),
        ("A (8): {fills: {8.4: big turn}}", "B (8): {feel: shuffle}", 1),
        ("A (8) x2: {fill: {use: big turn, pass: 2}}", "B (8): {feel: shuffle}", 0),
        ("A (8) x2: {fill: {use: big turn, pass: each}}", "B (8): {feel: shuffle}", 0),
        ("A (8) x2: {fill: {use: big turn, pass: 1}}", "B (8): {feel: shuffle}", 1),
    ],
)
def test_a_change_between_straight_and_swung_is_marked(first: str, second: str, told: int) -> None:
    """By a cue on the first bar, or by a fill up to the barline on the last time through before it."""
    assert told == len(changes(first, second))


def test_the_way_of_the_change_is_told() -> None:
    """From the feel before to the one after."""
    assert ["B goes from straight to swung (straight eighths to shuffle), unmarked"] == changes(
        "A (8)", "B (8): {feel: shuffle}"
    )
    assert ["B goes from swung to straight (shuffle to straight eighths), unmarked"] == changes(
        "A (8): {feel: shuffle}", "B (8)"
    )
