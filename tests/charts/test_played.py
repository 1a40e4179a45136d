"""The form as played: a section's stretches of tempo, its places in seconds, where each section starts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from support import form

from charts.played import Clock, Hold, pickup_seconds, played, song_seconds
from charts.song import Place


def clock(line: str, head: str = "") -> Clock:
    """The clock of a song's only section, at 100 and in 4/4 where the line says nothing else."""
    return Clock(form(line, head=head).form[0])


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("A (2)", [(0, 8, 100, 100)]),
        ("A (2) x2: {tempo: 90}", [(0, 16, 90, 90)]),
        ("A (2) x2: {tempo: 90 to 120}", [(0, 16, 90, 120)]),
        ("A (2): {tempos: {1: 90}}", [(0, 8, 90, 90)]),
        ("A (2): {tempos: {2: 90}}", [(0, 4, 100, 100), (4, 4, 90, 90)]),
        ("A (3): {tempos: {2: 90 to 80, 3: 120}}", [(0, 4, 100, 100), (4, 4, 90, 80), (8, 4, 120, 120)]),
        ("A (3): {tempos: {3: 120, 2: 90}}", [(0, 4, 100, 100), (4, 4, 90, 90), (8, 4, 120, 120)]),
        (
            "A (2) x2: {tempos: {2: {tempo: 90, pass: each}}}",
            [(0, 4, 100, 100), (4, 4, 90, 90), (8, 4, 100, 100), (12, 4, 90, 90)],
        ),
        ("A (2) x2: {tempos: {2: {tempo: 90, pass: 1}}}", [(0, 4, 100, 100), (4, 4, 90, 90), (8, 8, 100, 100)]),
        ("A (2) x2: {tempo: 80 to 120, tempos: {2: 90}}", [(0, 8, 80, 100), (8, 4, 100, 110), (12, 4, 90, 90)]),
        ("A (2): {odd-bars: {1: 2/4}, tempos: {2: 90}}", [(0, 2, 100, 100), (2, 4, 90, 90)]),
    ],
)  # fmt: skip
def test_the_stretches_of_a_section_follow_one_another(
    line: str, expected: list[tuple[int, int, int, int]]
) -> None:
    """Start and length in beats, tempo at both ends; a mark holds to the next one or to the end of its pass."""
    assert expected == [tuple(stretch) for stretch in clock(line).stretches]


@pytest.mark.parametrize(
    ("keys", "tempo"),
    [("tempo: 90", 90), ("tempo: 90 to 80", 80), ("tempos: {2: 90}", 90), ("tempos: {1: 70, 2: 90 to 120}", 120)],
)  # fmt: skip
def test_the_last_tempo_is_the_one_at_the_end(keys: str, tempo: int) -> None:
    """Of the last stretch, where that leads."""
    assert tempo == clock(f"A (2): {{{keys}}}").last_tempo


@pytest.mark.parametrize(
    ("units", "tempo"), [(-1, 60), (0, 60), (1, 65), (F(7, 2), F(155, 2)), (4, 120), (7, 120), (8, 120)]
)
def test_the_tempo_at_a_place(units: F, tempo: F) -> None:
    """At a mark its own; at the section's end the last one; before it the one that it starts with."""
    assert tempo == clock("A (2): {tempo: 60 to 100, tempos: {2: 120}}").tempo_at(F(units))


@pytest.mark.parametrize(
    ("units", "length", "expected"),
    [(0, 1, (60, 65)), (1, 2, (65, 75)), (3, 1, (75, 80)), (4, 1, (120, 110)), (7, 1, (90, 80))],
)
def test_the_tempo_over_a_beat(units: int, length: int, expected: tuple[int, int]) -> None:
    """Where it starts and where it ends, up or down; the mark at its end is the next beat's."""
    found = clock("A (2): {tempo: 60 to 100, tempos: {2: 120 to 80}}")
    assert expected == found.tempo_over(F(units), F(length))


@pytest.mark.parametrize(
    ("units", "seconds"), [(-2, -2), (0, 0), (1, 1), (4, 4), (5, 4.5), (8, 6), (9, 7), (12, 10), (16, 12)]
)
def test_the_seconds_to_a_place(units: int, seconds: float) -> None:
    """Four beats at 60 and four at 120, twice."""
    found = clock("A (2) x2: {tempo: 60, tempos: {2: {tempo: 120, pass: each}}}")
    assert seconds == pytest.approx(found.seconds_at(F(units)))
    assert 12 == pytest.approx(found.seconds)


@pytest.mark.parametrize("keys", ["tempo: 60 to 120", "tempo: 60, tempos: {2: 90}", "tempos: {1: 60}"])
def test_before_a_section_the_tempo_that_it_starts_with_goes_on(keys: str) -> None:
    """Three beats before it at 60 are three seconds, whatever the tempo does later."""
    assert -3 == clock(f"A (2): {{{keys}}}").seconds_at(F(-3))


HELD = "A (1) x2: {tempo: 60, holds: {1.3: 5, 1.2&: 2.5}}"


def test_a_hold_counts_on_every_pass_in_the_order_of_its_place() -> None:
    """In beats from the section's start; one whose length is not given takes no time."""
    both = [(F(3, 2), 2.5), (F(2), 5.0), (F(11, 2), 2.5), (F(6), 5.0)]
    assert [Hold(*each) for each in both] == list(clock(HELD).holds)
    assert 8 + 15 == clock(HELD).seconds
    assert () == clock("A (1): {holds: 1.3}").holds


@pytest.mark.parametrize(
    ("units", "seconds"),
    [(-1, -1), (0, 0), (F(3, 2), 1.5), (F(7, 4), 4.25), (2, 4.5), (3, 10.5), (4, 11.5), (F(11, 2), 13), (8, 23)],
)  # fmt: skip
def test_a_hold_counts_after_its_place(units: F, seconds: float) -> None:
    """The note that it is on starts in time; all after it is later."""
    assert seconds == pytest.approx(clock(HELD).seconds_at(F(units)))


@pytest.mark.parametrize(
    ("pass_", "bar", "units"),
    [(1, 1, 0), (1, 2, 4), (1, 3, 6), (1, 4, 10), (1, 5, 13), (2, 1, 13), (2, 3, 19), (3, 1, 26)],
)
def test_where_a_bar_starts(pass_: int, bar: int, units: int) -> None:
    """Odd bars before it count with their own length, every pass is a whole one."""
    found = clock("A (4) x3: {odd-bars: {2: 2/4, 4: 3/4}}")
    assert units == found.bar_start(pass_, bar)


@pytest.mark.parametrize(
    ("pass_", "bar", "beat", "units"),
    [(1, 1, 1, 0), (1, 1, 2, 1), (1, 1, 3, 2), (1, 2, 1, F(7, 2)), (1, 2, 2, 5), (2, 1, 2, 7), (2, 2, 2, 11)],
)
def test_where_a_beat_starts(pass_: int, bar: int, beat: int, units: F) -> None:
    """After the beats before it in its own bar: two, two and three eighths, and three first in bar 2."""
    found = clock("A (2) x2: {odd-bars: {2: 5/8 (3+2)}}", head="meter: 7/8 (2+2+3)\n")
    assert units == found.beat_start(pass_, bar, beat)


@pytest.mark.parametrize(
    ("place", "feel", "units"),
    [
        (Place(1, 2), "straight eighths", 1),
        (Place(1, 2, "&"), "straight eighths", F(3, 2)),
        (Place(2, 1, "&"), "shuffle", 4 + F(2, 3)),
    ],
)
def test_where_a_place_sounds(place: Place, feel: str, units: F) -> None:
    """The upbeat of a shuffle two thirds into its beat; four beats later the second time through bar 1."""
    found = clock(f"A (2) x2: {{feel: {feel}}}")
    assert units == found.units_at(1, place)
    assert units + 8 == found.units_at(2, place)


def test_an_upbeat_of_three_eighths_is_longer() -> None:
    """Beats after the first of three eighths: the second of them is a third of a beat and a half in."""
    found = clock("A (1)", head="meter: 7/8 (2+2+3)\n")
    assert [F(1, 2), F(5, 2)] == [found.units_at(1, Place(1, beat, "&")) for beat in (1, 3)]


def test_every_section_starts_where_the_one_before_ends() -> None:
    """In bars and seconds, all passes and the pickup counted."""
    found = form("A (2) x2: {tempo: 60}", "B (3): {tempo: 120}", "C (1)", head="pickup: 1 beat\n")
    parts = played(found)
    assert [(0, 1), (1, 5), (2, 8)] == [(part.index, part.first_bar) for part in parts]
    assert [1, 17, 23] == [part.seconds for part in parts]
    assert [16, 6, 2.4] == [part.length for part in parts]
    assert (1, 25.4) == (pickup_seconds(found), song_seconds(found))


def test_a_song_of_which_nothing_is_left_takes_no_time() -> None:
    """Not even for its pickup."""
    nothing = replace(form("A (1)", head="pickup: 1 beat\n"), form=())
    assert ((), 0, 0) == (played(nothing), pickup_seconds(nothing), song_seconds(nothing))
