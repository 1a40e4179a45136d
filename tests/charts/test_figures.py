"""Runs, ornaments and rhythms across the beat, each at its edges."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import feel, judged

from charts.feel import Grid
from charts.figures import Line, Run, StruckBeat, _at_a_rate_of, _crosses
from charts.nearest import measure
from charts.verdict import CLASHES, CROSSES, FITS, NEAR, BeatVerdict, fits_before, judge_beats, worst

STRAIGHT, SHUFFLE = Grid((2, 2), 4, None), Grid((3,), 3, F(2))
SWUNG_SIXTEENTHS, TWELVE = Grid((2, 3), 6, F(2)), Grid((3,), 6, None)


def line(beats: str, grid: Grid, then: bool = True, units: tuple[F, ...] = ()) -> Line:
    """A fill written like "0 1/2, 1/3"; each beat one unit long where no lengths are given."""
    onsets = [tuple(F(at) for at in beat.split()) for beat in beats.split(",")]
    lengths = units or (F(1),) * len(onsets)
    struck = [StruckBeat(each, grid, long, F(600)) for each, long in zip(onsets, lengths, strict=True)]
    return Line(struck, then)


def crossings(beats: str, grid: Grid, then: bool = True, units: tuple[F, ...] = ()) -> list[Run]:
    return line(beats, grid, then, units).crossings()


@pytest.mark.parametrize(
    ("beats", "then", "ornament"),
    [
        ("0 2/3 5/6", True, True),
        ("0 2/3 5/6", False, False),
        ("0 2/3 5/6, 0", False, True),
        ("0 2/3 5/6, 1/2", False, False),
        ("0 5/6", True, False),
        ("0 1/2 2/3 5/6", True, True),
        ("0 4/5 9/10", True, True),
        ("0 3/5 4/5", True, False),
        ("0 1/12 2/12 3/12 4/12 5/12 1/2", True, False),
        ("0 8/12 9/12 10/12 11/12", True, True),
        ("0 7/12 8/12 9/12 10/12 11/12", True, False),
        ("0 4/7 5/7 6/7", True, True),
        ("0 3/7 4/7 5/7 6/7", True, False),
        ("1/3 1/2 2/3 5/6", True, False),
        ("0 1/3 2/3 5/6", True, False),
        ("0 1/6 1/3 1/2", True, True),
        ("0 1/6 1/3 1/2 2/3", True, False),
        ("0 1/6 1/3 1/2 3/4", True, True),
        ("0 1/6 1/3", True, False),
        ("1/6 1/3 1/2", True, True),
        ("1/3 1/2", True, False),
        ("0 2/3 5/6, 0 1/6 1/3 1/2", True, False),
        ("0 2/3 5/6, 0 1/3 1/2", True, True),
        ("0 1/4 1/2 3/4", True, False),
        ("0 10/12 11/12", True, True),
        ("0 1/3 10/12 11/12", True, False),
    ],
)
def test_an_ornament_is_two_to_four_quick_strokes_into_a_beat(beats: str, then: bool, ornament: bool) -> None:
    """At most a sixth apart, begun at most half a beat before, the last of their row; the rest has to fit."""
    assert ornament == line(beats, STRAIGHT, then).ornamented(0)


@pytest.mark.parametrize(
    ("beats", "grid", "ornament"),
    [
        ("0 1/3 2/3 7/9 8/9", SHUFFLE, True),
        ("0 1/2 7/9 8/9", SHUFFLE, False),
        ("0 1/8 2/8 3/8 1/2", SHUFFLE, False),
        ("1/3 5/12 1/2", SHUFFLE, False),
        ("0 1/12 2/12 1/4 1/3 1/2", TWELVE, False),
        ("0 1/4 3/8 1/2", TWELVE, False),
    ],
)
def test_only_a_straight_beat_has_a_half_to_lead_to(beats: str, grid: Grid, ornament: bool) -> None:
    """In swung feels and in beats of three eighths an ornament leads to the beat alone."""
    assert ornament == line(beats, grid).ornamented(0)


@pytest.mark.parametrize(
    ("beats", "grid", "then", "fits"),
    [
        ("0 1/3 1/2 2/3", SHUFFLE, True, True),
        ("0 1/3 1/2", SHUFFLE, True, False),
        ("0 2/3 5/6", SHUFFLE, True, True),
        ("0 2/3 5/6", SHUFFLE, False, False),
        ("0 2/3 5/6, 0", SHUFFLE, False, True),
        ("0 2/3 5/6, 1/3", SHUFFLE, False, False),
        ("0 1/6 1/3", SHUFFLE, True, True),
        ("0 1/6 1/3 1/2", SHUFFLE, True, False),
        ("0 5/12 1/2 7/12 2/3", SHUFFLE, True, True),
        ("0 5/12 1/2 2/3", SHUFFLE, True, False),
        ("", SHUFFLE, True, True),
        ("0 1/6 1/3", SWUNG_SIXTEENTHS, True, True),
        ("0 1/6 1/2", SWUNG_SIXTEENTHS, True, False),
        ("0 2/3 5/6", SWUNG_SIXTEENTHS, True, True),
        ("0 1/3 2/3", SWUNG_SIXTEENTHS, True, False),
        ("0 1/6 1/2", TWELVE, True, True),
        ("0 1/8 1/2", STRAIGHT, True, True),
        ("0 1/6 1/2", STRAIGHT, True, False),
    ],
)
def test_a_run_ends_on_a_place_of_the_groove(beats: str, grid: Grid, then: bool, fits: bool) -> None:
    """Where the feel swings; the next beat ends a run where it is struck."""
    assert fits == line(beats, grid, then).on_grid(0)


@pytest.mark.parametrize(
    ("beats", "grid", "then", "found"),
    [
        ("0 1/3 2/3", STRAIGHT, True, [Run(0, 1, 3, 1)]),
        ("0 1/3 2/3", STRAIGHT, False, []),
        ("0 1/3 2/3, 0", STRAIGHT, False, [Run(0, 1, 3, 1)]),
        ("0 1/3 2/3, 0 1/3 2/3", STRAIGHT, True, [Run(0, 2, 3, 1)]),
        ("0 1/3 2/3, 0 1/3 2/3", STRAIGHT, False, [Run(0, 1, 3, 1)]),
        ("0, 0 1/3 2/3", STRAIGHT, True, [Run(1, 2, 3, 1)]),
        ("0 1/3 2/3, 0 1/4, 0 1/3 2/3", STRAIGHT, True, [Run(0, 1, 3, 1), Run(2, 3, 3, 1)]),
        ("1/3 2/3", STRAIGHT, True, []),
        ("0 1/3", STRAIGHT, True, []),
        ("0 1/3 1/2 2/3", STRAIGHT, True, []),
        ("0 2/3, 1/3", STRAIGHT, True, [Run(0, 2, 3, 2)]),
        ("0 2/3, 1/3 2/3", STRAIGHT, True, []),
        ("0, 1/3, 2/3,", STRAIGHT, True, [Run(0, 4, 3, 4)]),
        ("0 1/5 2/5 3/5 4/5", STRAIGHT, True, []),
        ("0, 0, 0", STRAIGHT, True, []),
        ("0, 1/2,", STRAIGHT, True, []),
        ("0, 1/2,", SHUFFLE, True, [Run(0, 3, 2, 3)]),
        ("0, 1/2,", SHUFFLE, False, []),
        ("0, 1/2, 0", SHUFFLE, True, []),
        ("0 1/2", SHUFFLE, True, []),
        ("0 3/4, 1/2, 1/4", SHUFFLE, True, [Run(0, 3, 4, 3)]),
        ("0 3/4, 1/2, 1/4", SWUNG_SIXTEENTHS, True, []),
        ("0 1/3 2/3", SWUNG_SIXTEENTHS, True, [Run(0, 1, 3, 1)]),
        ("0 2/3, 1/3", SWUNG_SIXTEENTHS, True, [Run(0, 2, 3, 2)]),
        ("0 1/4 1/2 3/4", SWUNG_SIXTEENTHS, True, []),
    ],
)
def test_a_rhythm_across_the_beat_starts_and_ends_on_a_beat(
    beats: str, grid: Grid, then: bool, found: list[Run]
) -> None:
    """Three strokes or more at one distance, nothing else between them; the landing counts."""
    assert found == crossings(beats, grid, then)


def test_beats_of_two_lengths_hold_no_rhythm_across_them() -> None:
    """Two and two eighths, then three: quarter triplets over the first two, none over the last two."""
    seven = (F(1), F(1), F(3, 2))
    assert [Run(0, 2, 3, 2)] == crossings("0 2/3, 1/3, 0 1/3", STRAIGHT, True, seven)
    assert [] == crossings("0, 0 2/3, 2/9", STRAIGHT, True, seven)
    assert [Run(2, 3, 3, 1)] == crossings("0, 0, 0 1/3 2/3", STRAIGHT, True, seven)


@pytest.mark.parametrize(
    ("step", "straight", "shuffle", "sixteenths"),
    [
        ("1/24", True, False, False), ("1/12", True, False, False), ("1/6", True, False, False),
        ("1/4", False, False, False), ("1/3", True, False, True), ("1/2", False, False, False),
        ("2/3", True, False, True), ("3/4", False, True, False), ("1", False, False, False),
        ("4/3", True, True, True), ("3/2", True, True, True), ("5/3", True, True, True), ("5/6", False, False, False),
        ("1/9", False, False, False), ("2/5", False, False, False),
    ],
)  # fmt: skip
def test_which_distances_cross(step: str, straight: bool, shuffle: bool, sixteenths: bool) -> None:
    """Thirds halved or doubled over straight; thirds over swung sixteenths; four over three over a swung beat."""
    assert (straight, shuffle, sixteenths) == tuple(
        _crosses(F(step), grid) for grid in (STRAIGHT, SHUFFLE, SWUNG_SIXTEENTHS)
    )


@pytest.mark.parametrize(
    ("cell", "kept"),
    [(None, True), ("1", True), ("3", True), ("1/2", True), ("1/8", True), ("1/3", False), ("3/2", False),
     ("2/3", False), ("3/4", False), ("3/8", False)],
)  # fmt: skip
def test_a_rate_of_the_grid(cell: str | None, kept: bool) -> None:
    """One cell of the chain, or whole beats."""
    assert kept == _at_a_rate_of(STRAIGHT, None if cell is None else F(cell))


@pytest.mark.parametrize(
    ("strokes", "grid", "taken", "level", "points"),
    [
        ("1/2", SHUFFLE, True, 3, "2/3"),
        ("1/4", STRAIGHT, True, 4, "1/4"),
        ("1/3 2/3", STRAIGHT, True, 4, "1/4 3/4"),
        ("7/8", STRAIGHT, True, 4, "3/4"),
        ("15/16", STRAIGHT, False, 4, "1"),
        ("7/8", STRAIGHT, False, 4, "3/4"),
        ("15/16", STRAIGHT, True, 4, "3/4"),
        ("1/8", STRAIGHT, True, 4, "0"),
        ("0 1/8", STRAIGHT, True, 4, "0 1/4"),
        ("1/2 7/12", SHUFFLE, True, 3, "1/3 2/3"),
        ("2/3 3/4", SHUFFLE, True, 3, "1/3 2/3"),
        ("2/3 3/4", SHUFFLE, False, 3, "2/3 1"),
        ("0 1/4 1/2 3/4", SHUFFLE, True, 6, "0 1/3 1/2 2/3"),
        ("0 1/6 1/2 2/3", SWUNG_SIXTEENTHS, True, 6, "0 1/3 1/2 5/6"),
        ("0 1/6 1/3 1/2 2/3", SWUNG_SIXTEENTHS, True, 6, "0 1/6 1/3 1/2 2/3"),
        ("1/4", TWELVE, True, 6, "1/6"),
    ],
)
def test_no_two_strokes_are_measured_to_one_point(
    strokes: str, grid: Grid, taken: bool, level: int, points: str
) -> None:
    """The cheapest match that keeps the order; of equal ones S first, then the groove's places, then the earlier."""
    found = measure([F(at) for at in strokes.split()], grid, taken)
    assert (level, points) == (found.level, " ".join(map(str, found.points)))


def test_a_point_taken_by_the_next_beat_is_not_this_ones() -> None:
    """A late stroke goes to the next beat's start only where nothing there does."""
    late = StruckBeat((F(0), F(7, 8)), SHUFFLE, F(1), F(600))
    after = [StruckBeat((F(at),), SHUFFLE, F(1), F(600)) for at in ("1/4", "1/9")]
    (free, _), (taken, _) = (judge_beats([late, each], False, F(20)) for each in after)
    assert (-75.0, 125.0) == (free.offsets_ms[1], taken.offsets_ms[1])


@pytest.mark.parametrize(
    ("at", "verdict"),
    [("1/2", FITS), ("8/15", CLASHES), ("53/100", NEAR), ("47/100", NEAR), ("7/15", CLASHES)],
)
def test_the_tolerance_itself_is_a_clash(at: str, verdict: str) -> None:
    """In a beat of 600 ms 20 ms are a thirtieth; a hair less is near, early or late."""
    (found,) = judge_beats([StruckBeat((F(0), F(at)), STRAIGHT, F(1), F(600))], True, F(20))
    assert verdict == found.verdict


def test_a_run_and_an_ornament_are_told_with_the_beat() -> None:
    """A beat that is plainly on the grid keeps that verdict in a run; only what fits by it has an ornament."""
    first, second, third = judged("0, 1/2,", feel("jazz waltz"), 140)
    assert [FITS, CROSSES, FITS] == [first.verdict, second.verdict, third.verdict]
    assert {Run(0, 3, 2, 3)} == {first.run, second.run, third.run}
    plain, ruff = judged("0 1/2 5/8 3/4 7/8, 0 2/3 5/6", feel("straight eighths"), 90)
    assert (False, True, None) == (plain.ornament, ruff.ornament, ruff.run)
    assert (0.0, 0.0, 0.0) == ruff.offsets_ms


def test_a_run_is_followed_through_beats_of_any_length() -> None:
    """A group of three eighths lasts one and a half units; its last sixth leads to the next beat all the same."""
    assert line("0 2/3 5/6, 0", SHUFFLE, False, (F(3, 2), F(1))).on_grid(0)
    assert not line("0 2/3 5/6, 1/3", SHUFFLE, False, (F(3, 2), F(1))).on_grid(0)


def test_swung_pairs_fit_as_written_and_as_they_sound() -> None:
    """At 3 to 2 the upbeat is written at 2/3 and sounds at 3/5."""
    lively = Grid((3,), 3, F(3, 2))
    assert [True, True, False] == [line(f"0 {at}", lively).on_grid(0) for at in ("2/3", "3/5", "1/2")]


def test_the_worst_verdict_is_that_of_the_fill() -> None:
    """Fits, crosses, near, clashes, in whatever order they come."""
    order = [FITS, CROSSES, NEAR, CLASHES]
    beats = {each: BeatVerdict((), 1, 1, each, ()) for each in order}
    for place, worse in enumerate(order):
        for better in order[: place + 1]:
            assert worse == worst([beats[better], beats[worse]]) == worst([beats[worse], beats[better]])
    assert FITS == worst([])


def test_a_beat_fits_by_what_is_struck_after_it() -> None:
    """A ruff, and a diddle in a shuffle, before a struck beat and before a rest."""
    for onsets, grid in (("0 1/2 2/3 5/6", STRAIGHT), ("0 1/3 2/3 5/6", SHUFFLE)):
        struck = [F(at) for at in onsets.split()]
        assert [True, False] == [fits_before(struck, following, grid) for following in ([F(0)], [F(1, 2)])]
    assert not fits_before([F(0), F(1, 2)], [F(0)], SHUFFLE)
    assert fits_before([F(0)], [F(0), F(1, 2)], SHUFFLE)
