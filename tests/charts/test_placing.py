"""Where a fill lies: the beats under it, counted back from where it ends, their times and tempos."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import chart, findings, form, of_rule

from charts.placing import FillBeat, lay_fill, place_fill
from charts.played import played

BEATS = {n: f'{{rows: "SD {"|".join("o" * n)}"}}' for n in range(1, 13)}


def slots(line: str, pass_: int = 1) -> list[tuple[int, int]]:
    """Bar and beat of everything under a section's only fill."""
    section = form(line).form[0]
    laid = lay_fill(section, section.fills[0], pass_)
    assert laid is not None
    return [(bar, beat) for bar, beat, _ in laid.slots]


def beats(line: str, pass_: int = 1) -> tuple[FillBeat, ...]:
    """A section's only fill with times and tempos."""
    (part,) = played(form(line))
    placed = place_fill(part, part.section.fills[0], pass_)
    assert placed is not None
    return placed.beats


@pytest.mark.parametrize(
    ("length", "expected"),
    [
        (1, [(2, 4)]),
        (4, [(2, 1), (2, 2), (2, 3), (2, 4)]),
        (5, [(1, 4), (2, 1), (2, 2), (2, 3), (2, 4)]),
        (8, [(bar, beat) for bar in (1, 2) for beat in (1, 2, 3, 4)]),
        (9, [(0, 4), *((bar, beat) for bar in (1, 2) for beat in (1, 2, 3, 4))]),
    ],
)
def test_a_fill_is_counted_back_from_its_barline(length: int, expected: list[tuple[int, int]]) -> None:
    """Over the bars before where it is long; before the section's first bar they count from 0 down."""
    assert expected == slots(f"A (2): {{fill: {BEATS[length]}}}")


@pytest.mark.parametrize(
    ("landing", "expected"),
    [
        ("2.1", [(1, 3), (1, 4)]),
        ("2.2", [(1, 4), (2, 1)]),
        ("2.3", [(2, 1), (2, 2)]),
        ("2.4", [(2, 2), (2, 3)]),
        ("2.4&", [(2, 2), (2, 3), (2, 4)]),
        ("2.1&", [(1, 3), (1, 4), (2, 1)]),
        ("1.1", [(0, 3), (0, 4)]),
        ("1.2", [(0, 4), (1, 1)]),
    ],
)
def test_a_fill_is_counted_back_from_its_landing(landing: str, expected: list[tuple[int, int]]) -> None:
    """The beat that it lands on is not under it; one that it lands inside is."""
    assert expected == slots(f"A (2): {{fills: {{{landing}: {BEATS[2]}}}}}")


def test_an_odd_bar_is_counted_with_its_own_beats() -> None:
    """Two quarters in bar 2, four in bar 1; before the section bars have its own meter."""
    line = f"A (3): {{odd-bars: {{2: 2/4}}, fills: {{3: {BEATS[11]}}}}}"
    assert [(0, 4), *((1, n) for n in range(1, 5)), (2, 1), (2, 2), *((3, n) for n in range(1, 5))] == slots(
        line
    )


@pytest.mark.parametrize(
    ("pass_", "first"), [(1, [(0, 1), (0, 2), (0, 3), (0, 4)]), (2, [(1, 1), (1, 2), (1, 3), (1, 4)])]
)
def test_a_long_fill_reaches_back_into_the_time_before(pass_: int, first: list[tuple[int, int]]) -> None:
    """In Turn (1) x2 it starts in the first time through; there, before the section."""
    line = f"Turn (1) x2: {{fill: {{rows: {BEATS[8][7:-1]}, pass: each}}}}"
    assert first == slots(line, pass_)[:4]


@pytest.mark.parametrize(("pass_", "errors"), [("last", 0), ("2", 0), ("1", 1), ("each", 1)])
def test_a_long_fill_in_a_turn_is_no_error_where_it_was_played_before(pass_: str, errors: int) -> None:
    """Eight beats in one bar x2: the first time has no room for it, the second does."""
    line = f"Turn (1) x2: {{fill: {{rows: {BEATS[8][7:-1]}, pass: {pass_}}}}}"
    assert errors == len(of_rule(findings(chart("Verse (8)", line)), "length"))


def test_a_fill_over_three_times_through_reaches_back_bar_by_bar() -> None:
    """Each time before is a whole one, from its last bar."""
    line = f"Turn (1) x3: {{fill: {{rows: {BEATS[12][7:-1]}}}}}"
    assert [(1, beat) for _ in range(3) for beat in (1, 2, 3, 4)] == slots(line, 3)
    assert (0, 1) == slots(line, 2)[0]


@pytest.mark.parametrize(
    ("line", "pass_", "starts"),
    [
        (f"A (2): {{fill: {BEATS[3]}}}", 1, [5, 6, 7]),
        (f"A (2): {{fills: {{2.3: {BEATS[3]}}}}}", 1, [3, 4, 5]),
        (f"A (2): {{fills: {{2.3&: {BEATS[2]}}}}}", 1, [4, 5, 6]),
        (f"A (1): {{fill: {BEATS[6]}}}", 1, [-2, -1, 0, 1, 2, 3]),
        (f"A (1) x2: {{fill: {BEATS[6]}}}", 2, [2, 3, 4, 5, 6, 7]),
        (f"A (2) x2: {{fills: {{1.1: {BEATS[2]}}}}}", 1, [-2, -1]),
        (f"A (2) x2: {{fills: {{1.1: {BEATS[2]}}}}}", 2, [6, 7]),
        (f"A (2) x2: {{odd-bars: {{2: 2/4}}, fills: {{1.2: {BEATS[2]}}}}}", 2, [5, 6]),
    ],
)
def test_where_each_beat_of_a_fill_starts(line: str, pass_: int, starts: list[int]) -> None:
    """In beats from the section's start, under 0 before it, whichever time through it reaches back into."""
    assert starts == [beat.start for beat in beats(line, pass_)]


def test_the_tempo_under_a_fill_is_that_of_each_beat() -> None:
    """On the way from 100 to 180 in eight beats it rises by ten a beat."""
    assert [160, 170] == [beat.tempo for beat in beats(f"A (2): {{tempo: 100 to 180, fill: {BEATS[2]}}}")]


def test_before_a_section_its_first_tempo_goes_on() -> None:
    """Not a tempo that the change would have come from."""
    found = beats(f"A (1): {{tempo: 100 to 140, fill: {BEATS[6]}}}")
    assert [100, 100, 100, 110, 120, 130] == [beat.tempo for beat in found]


def test_a_fill_that_begins_in_the_time_before_has_the_tempo_of_then() -> None:
    """The last time starts at 90, the time before was at 100."""
    keys = f"tempos: {{1: 90}}, fill: {BEATS[6]}"
    assert [100, 100, 90, 90, 90, 90] == [beat.tempo for beat in beats(f"A (1) x2: {{{keys}}}", 2)]


@given(
    st.integers(1, 12),
    st.integers(1, 3),
    st.integers(1, 3),
    st.sampled_from(["4/4", "3/4", "6/8", "7/8 (2+2+3)"]),
)
def test_the_beats_under_a_fill_follow_one_another(length: int, bars: int, times: int, meter: str) -> None:
    """Without a gap, up to the barline of the time through that it ends on; as many as the fill has."""
    keys = f"meter: {meter}, fill: {BEATS[length]}"
    song = form(f"A ({bars}) x{times}: {{{keys}}}")
    (part,) = played(song)
    placed = place_fill(part, part.section.fills[0], times)
    assert placed is not None
    assert length == len(placed.beats)
    at = placed.beats[0].start
    for beat in placed.beats:
        assert at == beat.start
        at += beat.beat.units
    assert at == placed.end == times * bars * part.section.meter.units


def test_a_fill_whose_pattern_does_not_exist_is_nowhere() -> None:
    """Neither laid nor placed."""
    (part,) = played(form("A (2): {fill: no such turn}"))
    assert lay_fill(part.section, part.section.fills[0], 1) is None
    assert place_fill(part, part.section.fills[0], 1) is None


def test_a_fill_that_lands_inside_a_beat_ends_where_that_sounds() -> None:
    """On the swung upbeat of a shuffle, two thirds into the beat."""
    (part,) = played(form(f"A (2): {{feel: shuffle, fills: {{2.3&: {BEATS[2]}}}}}"))
    placed = place_fill(part, part.section.fills[0], 1)
    assert placed is not None
    assert 6 + F(2, 3) == placed.end


def test_an_odd_first_bar_is_counted_with_its_own_beats() -> None:
    """On the way back to what is before the section."""
    line = f"A (2): {{odd-bars: {{1: 2/4}}, fill: {BEATS[7]}}}"
    assert [(0, 4), (1, 1), (1, 2), *((2, n) for n in range(1, 5))] == slots(line)


def test_a_later_time_through_is_counted_back_over_its_own_bars_first() -> None:
    """Bar 1 of the second time, then the last bar of the first."""
    line = f"A (2) x2: {{fill: {BEATS[9]}}}"
    assert [(2, 4), *((bar, beat) for bar in (1, 2) for beat in (1, 2, 3, 4))] == slots(line, 2)


def test_each_beat_has_the_shape_of_its_place_in_the_bar() -> None:
    """Two, two and three eighths, from the last beat of the bar before on."""
    found = beats(f"A (2): {{meter: 7/8 (2+2+3), fill: {BEATS[4]}}}")
    assert [F(3, 2), 1, 1, F(3, 2)] == [beat.beat.units for beat in found]


def test_a_landing_inside_a_beat_is_that_far_into_its_own_beat() -> None:
    """The upbeat of three eighths is the second of them, of two the middle; strokes move along with it."""
    line = "A (2): {{meter: 7/8 (2+2+3), fills: {{{}&: {}}}}}"
    for place, offset in (("2.2", F(1, 2)), ("2.3", F(1, 3))):
        section = form(line.format(place, BEATS[2])).form[0]
        laid = lay_fill(section, section.fills[0], 1)
        assert laid is not None
        assert [(0, offset), (1, offset)] == [(stroke.beat, stroke.at) for stroke in laid.pattern.strokes]


def test_strokes_pushed_over_the_beat_are_in_the_next() -> None:
    """Of four sixteenths from the upbeat on, the third and the fourth lie in the beat after."""
    fill = '{rows: "SD oooo"}'
    section = form(f"A (2): {{fills: {{2.3&: {fill}}}}}").form[0]
    laid = lay_fill(section, section.fills[0], 1)
    assert laid is not None
    expected = [(0, F(1, 2)), (0, F(3, 4)), (1, 0), (1, F(1, 4))]
    assert (2, expected) == (laid.pattern.beats, [(s.beat, s.at) for s in laid.pattern.strokes])


@pytest.mark.parametrize(("length", "back"), [(1, False), (4, False), (5, True)])
def test_a_fill_reaches_back_where_it_starts_before_bar_one(length: int, back: bool) -> None:
    """Not where it starts with its first beat."""
    section = form(f"A (1): {{fill: {BEATS[length]}}}").form[0]
    laid = lay_fill(section, section.fills[0], 1)
    assert laid is not None
    assert back == laid.reaches_back
