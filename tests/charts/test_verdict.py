"""The verdict on one beat."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from support import BOOK, DOTTED, QUARTER, feel, judged, verdict

from charts.feel import Feel, plain_name
from charts.verdict import CLASHES, FITS, TOLERANCE_MS, fits_grid, sounding_place, swing_pairs

SWUNG = Feel("test swing", (3,), Fraction(6, 5))


@pytest.mark.parametrize(
    ("onsets", "name", "bpm", "division", "expected", "offset"),
    [
        ("0 1/2", "shuffle", 92, 2, "clashes", -108.7),
        ("0 1/4 1/2 3/4", "half-time shuffle", 92, 4, "clashes", -54.3),
        ("0 1/3 1/2 2/3", "shuffle", 92, 6, "fits", 0),
        ("0 1/3 2/3", "straight eighths", 92, 3, "crosses", 54.3),
        ("0 1/3 2/3", "sixteenth shuffle", 92, 3, "crosses", 108.7),
        ("0 1/5 2/5 3/5 4/5", "straight sixteenths", 92, 5, "clashes", -32.6),
        ("0 2/3", "straight sixteenths", 92, 3, "clashes", -54.3),
        ("0 1/2", "swing", 240, 2, "clashes", -23.7),
        ("0 1/2", "swing", 260, 2, "near", -18.6),
    ],
)
def test_worked_values(onsets: str, name: str, bpm: int, division: int, expected: str, offset: float) -> None:
    """The worked values of page 2 of the design, as page 11 changes them."""
    found = verdict(onsets, feel(name), bpm)
    assert (division, expected, offset) == (found.division, found.verdict, round(found.worst_ms, 1))


@pytest.mark.parametrize(
    ("beats", "name", "bpm", "expected", "offset"),
    [
        ("0 1/3 2/3, 0 1/3 2/3", "straight eighths", 60, "crosses crosses", None),
        ("0 1/6 1/3 1/2 2/3 5/6", "straight sixteenths", 70, "crosses", None),
        ("0 1/2 2/3 5/6", "straight sixteenths", 92, "fits", 0),
        ("0 1/6 1/3 1/2", "straight sixteenths", 92, "fits", 0),
        ("0 1/6 1/3 1/2", "shuffle", 92, "crosses", 0),
        ("0 2/3, 1/3", "straight eighths", 120, "crosses crosses", None),
        ("0, 1/2,", "jazz waltz", 140, "fits crosses fits", None),
        ("0 1/6 1/2 2/3", "sixteenth shuffle", 92, "clashes", -108.7),
        ("0 1/3 1/2 5/6", "shuffle", 92, "crosses", 0),
        ("0 1/3 1/2 2/3", "shuffle", 92, "fits", 0),
        ("0 1/3 2/3 5/6", "shuffle", 92, "fits", 0),
        ("0 1/6 1/3 2/3", "shuffle", 92, "fits", 0),
        ("0 1/4 1/2 3/4", "half-time shuffle", 92, "clashes", -54.3),
        ("0 1/2", "shuffle", 92, "clashes", -108.7),
        ("0 1/3 2/3", "sixteenth shuffle", 92, "crosses", None),
        ("0 2/3", "straight sixteenths", 92, "clashes", -54.3),
        ("0 1/5 2/5 3/5 4/5", "straight sixteenths", 92, "clashes", -32.6),
    ],
)
def test_worked_values_of_whole_fills(
    beats: str, name: str, bpm: int, expected: str, offset: float | None
) -> None:
    """The worked values of page 11, the next beat struck; a beat that is plainly on the grid fits in a run too."""
    found = judged(beats, feel(name), bpm)
    assert expected == " ".join(beat.verdict for beat in found)
    if offset is not None:
        assert offset == round(max((beat.worst_ms for beat in found), key=abs), 1)


def test_a_light_swing_is_near_an_even_pair() -> None:
    """At 1.2 to 1 and 240 a minute an even pair is 11.4 ms early."""
    found = verdict("0 1/2", SWUNG, 240)
    assert ("near", -11.4) == (found.verdict, round(found.worst_ms, 1))


@pytest.mark.parametrize("onsets", ["0 1/2 5/6", "0 1/4 1/2 2/3 3/4"])
def test_a_stray_stroke_does_not_slip_through_the_chain(onsets: str) -> None:
    """In a feel that swings a stroke off the home grid needs a neighbour one cell away."""
    assert verdict(onsets, feel("shuffle"), 92).verdict == CLASHES


def test_offsets_go_to_the_swung_point_of_two_equally_near() -> None:
    """1/4 lies between 1/6 and 1/3, 3/4 between 2/3 and 5/6: S first, then home, then the earlier."""
    found = verdict("0 1/4 1/2 3/4", feel("half-time shuffle"), 92)
    assert [0.0, -54.3, 0.0, 54.3] == [round(off, 1) for off in found.offsets_ms]


def test_a_pair_written_where_it_sounds_fits() -> None:
    """At 1.5 to 1 the upbeat sounds at 3/5."""
    assert verdict("0 3/5", Feel("light swing", (3,), Fraction(3, 2)), 240).verdict == FITS


def test_a_straight_feel_divides_a_compound_beat_in_three() -> None:
    """Straight eighths in 6/8: three eighths a beat, an even pair clashes."""
    assert (FITS, CLASHES) == (
        verdict("0 1/3 2/3", feel("straight eighths"), 60, DOTTED).verdict,
        verdict("0 1/2", feel("straight eighths"), 60, DOTTED).verdict,
    )


FEELS = st.sampled_from(sorted(BOOK.feels, key=lambda each: each.name))
BPM = st.integers(40, 300)


@settings(deadline=None)
@given(FEELS, BPM, st.integers(0, 2), st.data())
def test_more_of_its_own_grid_keeps_a_beat_fitting(
    name: Feel, bpm: int, finer: int, data: st.DataObject
) -> None:
    """Where a fitting beat's grid is at least the home grid, more points of it keep it fitting.

    In a feel that swings this holds for points of the home grid: others need a neighbour of their own.
    """
    grid = name.grid(QUARTER, Fraction(bpm))
    level = grid.home * 2**finer
    cells = data.draw(st.sets(st.integers(0, level - 1), min_size=1))
    onsets = {Fraction(cell, level) for cell in cells} | {Fraction(1, level)}
    if not fits_grid(sorted(onsets), grid):
        onsets = {Fraction(cell, level) for cell in range(level)}
    assert fits_grid(sorted(onsets), grid)
    points = grid.home if grid.swings else level
    more = {Fraction(cell, points) for cell in data.draw(st.sets(st.integers(0, points - 1)))}
    assert fits_grid(sorted(onsets | more), grid)


@settings(deadline=None)
@given(FEELS, st.integers(80, 200), st.sets(st.integers(0, 11), min_size=1))
def test_half_the_tempo_doubles_the_offsets(name: Feel, bpm: int, cells: set[int]) -> None:
    """At a fixed ratio offsets are lengths in time."""
    assume(not isinstance(name.swing, str))
    onsets = " ".join(str(Fraction(cell, 12)) for cell in sorted(cells))
    fast, slow = verdict(onsets, name, bpm), verdict(onsets, name, Fraction(bpm, 2))
    assert [2 * off for off in fast.offsets_ms] == pytest.approx(list(slow.offsets_ms))


@settings(deadline=None)
@given(FEELS, BPM, st.sets(st.integers(0, 11)))
def test_what_fits_is_off_by_nothing(name: Feel, bpm: int, cells: set[int]) -> None:
    """A fitting beat has offsets of 0 and its own grid as level; others for a reason."""
    found = verdict(" ".join(str(Fraction(cell, 12)) for cell in sorted(cells)), name, bpm)
    if found.verdict == FITS:
        assert (set(), found.division) == ({off for off in found.offsets_ms if off}, found.level)
    elif found.verdict == CLASHES:
        assert abs(found.worst_ms) >= TOLERANCE_MS


@settings(deadline=None)
@given(FEELS, BPM, st.sets(st.integers(0, 11), min_size=1))
def test_sounding_keeps_the_order(name: Feel, bpm: int, cells: set[int]) -> None:
    """Bending a beat never swaps two strokes or throws one out of the beat."""
    onsets = [Fraction(cell, 12) for cell in sorted(cells)]
    grid = name.grid(QUARTER, Fraction(bpm))
    sounding = [sounding_place(at, onsets, grid) for at in onsets]
    assert sounding == sorted(set(sounding))
    assert 0 <= sounding[0] <= sounding[-1] < 1


def test_written_straight_is_read_swung() -> None:
    """[0, 1/2] goes onto [0, 2/3] and [1/2, 1] onto [2/3, 1]."""
    even = tuple(Fraction(n, 4) for n in range(4))
    assert (Fraction(0), Fraction(1, 3), Fraction(2, 3), Fraction(5, 6)) == swing_pairs(even)


def test_names_match_in_other_spellings() -> None:
    """Case, hyphens and 8th for eighth do not matter."""
    assert {plain_name("Straight 8ths"), plain_name("straight-eighths"), plain_name("STRAIGHT 8TH")} == {
        plain_name("straight eighths")
    }
