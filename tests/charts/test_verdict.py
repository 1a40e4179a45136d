"""The verdict on one beat."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from support import BOOK, DOTTED, QUARTER, feel, judged, pattern, verdict

from charts.feel import HALF, Feel, plain_name
from charts.figures import Run
from charts.pattern import Pattern, Stroke
from charts.verdict import (
    CLASHES,
    CROSSES,
    FITS,
    NEAR,
    TOLERANCE_MS,
    BeatVerdict,
    beat_json,
    fits,
    fits_before,
    fits_grid,
    judge,
    own_end,
    sounding_place,
    swing_pairs,
    swing_place,
    worst,
    written_on,
)

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
    """At 1.2 to 1 and 240 bpm an even pair is 11.4 ms early."""
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

    In a feel that swings this holds for what the groove itself plays: others need a neighbour of their own.
    """
    grid = name.grid(QUARTER, Fraction(bpm))
    level = grid.home * 2**finer
    cells = data.draw(st.sets(st.integers(0, level - 1), min_size=1))
    onsets = {Fraction(cell, level) for cell in cells} | {Fraction(1, level)}
    if not fits_grid(sorted(onsets), grid):
        onsets = {Fraction(cell, level) for cell in range(level)}
    assert fits_grid(sorted(onsets), grid)
    cells_of = grid.home if grid.swings else level
    points = {Fraction(cell, cells_of) for cell in range(cells_of)}
    more = data.draw(
        st.sets(st.sampled_from(sorted(filter(grid.is_place, points) if grid.swings else points)))
    )
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


# one function at a time


QUARTERS = [(QUARTER, Fraction(60))]
STRAIGHT, SHUFFLE = feel("straight eighths"), feel("shuffle")


@pytest.mark.parametrize(
    ("at", "pairs", "expected"),
    [("0", 1, "0"), ("1/4", 1, "1/3"), ("1/2", 1, "2/3"), ("3/4", 1, "5/6"), ("1/3", 1, "4/9"), ("0", 2, "0"),
     ("1/4", 2, "1/3"), ("3/8", 2, "5/12"), ("1/2", 2, "1/2"), ("3/4", 2, "5/6"), ("7/8", 2, "11/12")],
)  # fmt: skip
def test_an_even_place_is_read_swung_inside_its_pair(at: str, pairs: int, expected: str) -> None:
    """Its first half goes onto two thirds of the pair, its second half onto the last third."""
    assert Fraction(expected) == swing_place(Fraction(at), pairs)
    assert (Fraction(expected),) == swing_pairs((Fraction(at),), pairs)


def test_a_beat_has_one_pair_where_nothing_else_is_given() -> None:
    """An even upbeat is at two thirds of the beat."""
    assert Fraction(2, 3) == swing_place(HALF)
    assert (Fraction(2, 3),) == swing_pairs((HALF,))


@pytest.mark.parametrize(
    ("rows", "kind", "end"),
    [
        ("SD o", "fill", 1),
        ("SD .o", "fill", 1),
        ("SD o", "groove", 1),
        ("SD .o", "groove", None),
        ("SD oo|.o", "groove", 1),
        ("SD .o|oo", "groove", None),
    ],
)
def test_a_fill_leads_to_its_landing_and_a_groove_to_itself(rows: str, kind: str, end: int | None) -> None:
    """A groove that does not start on one leads to nothing that is struck."""
    assert end == own_end(pattern(rows, kind=kind))


@pytest.mark.parametrize(
    ("onsets", "name", "written"),
    [("0 1/3 2/3", "shuffle", True), ("0 1/2", "shuffle", False), ("0 1/2", "straight eighths", True),
     ("0 1/3 1/2 5/6", "sixteenth shuffle", True), ("0 1/3", "sixteenth shuffle", True),
     ("0 1/2", "sixteenth shuffle", True), ("0 1/4", "sixteenth shuffle", False), ("1/6", "shuffle", True)],
)  # fmt: skip
def test_what_is_written_on_the_grid_of_a_feel(onsets: str, name: str, written: bool) -> None:
    """A division of its chain, or the places of its swung pairs."""
    assert written == written_on(
        [Fraction(at) for at in onsets.split()], feel(name).grid(QUARTER, Fraction(92))
    )


@pytest.mark.parametrize(
    ("at", "onsets", "sounds"),
    [("2/3", "0 2/3", "3/5"), ("3/5", "0 3/5", "3/5"), ("1/2", "0 1/2", "1/2"), ("1/3", "0 1/3 2/3", "3/10"),
     ("5/6", "5/6", "4/5")],
)  # fmt: skip
def test_where_a_written_place_sounds(at: str, onsets: str, sounds: str) -> None:
    """At 3 to 2 the upbeat is at 3/5; what is written there, or on another grid, stays."""
    grid = Feel("light swing", (3,), Fraction(3, 2)).grid(QUARTER, Fraction(240))
    assert Fraction(sounds) == sounding_place(
        Fraction(at), [Fraction(place) for place in onsets.split()], grid
    )


@pytest.mark.parametrize(
    ("onsets", "struck", "on_grid"),
    [
        ("0 2/3", False, True),
        ("0 1/3 1/2", True, False),
        ("0 2/3 5/6", True, True),
        ("0 2/3 5/6", False, False),
    ],
)
def test_a_beat_by_itself_is_on_the_grid_of_a_feel_that_swings(
    onsets: str, struck: bool, on_grid: bool
) -> None:
    """What is off its places goes on to the next cell, or into the next beat where that is struck."""
    grid, places = SHUFFLE.grid(QUARTER, Fraction(92)), [Fraction(at) for at in onsets.split()]
    assert on_grid == fits_grid(places, grid, struck)
    assert on_grid == fits_before(places, [Fraction(0)] if struck else [HALF], grid)


def test_a_place_of_a_straight_feel_sounds_where_it_is_written() -> None:
    """Whatever else the beat holds."""
    grid = STRAIGHT.grid(QUARTER, Fraction(92))
    assert Fraction(2, 3) == sounding_place(Fraction(2, 3), [Fraction(2, 3)], grid)


def test_a_stroke_from_twenty_ms_on_clashes() -> None:
    """A sixtieth of a beat of 1200 ms is 20 ms early: that itself is heard."""
    (found,) = judged("29/60", STRAIGHT, 50)
    assert (CLASHES, -20.0) == (found.verdict, found.worst_ms)
    (found,) = judged("29/60", STRAIGHT, 51)
    assert (NEAR, True) == (found.verdict, -20 < found.worst_ms < 0)


@pytest.mark.parametrize(
    ("beats", "struck", "offset"),
    [
        ("0 9/10, 0", True, 400),
        ("0 9/10, 1/2", True, -100),
        ("0 9/10, 1/10", True, 400),  # is taken for the start of its beat
        ("0 9/10, 2/5", True, -100),
        ("0 9/10", True, 400),
        ("0 9/10", False, -100),
    ],
)
def test_a_late_stroke_is_measured_from_the_next_beat_where_nothing_is_struck_there(
    beats: str, struck: bool, offset: float
) -> None:
    """Nine tenths into a beat of a second: a tenth early for the next, else four tenths late for the upbeat."""
    assert offset == pytest.approx(judged(beats, STRAIGHT, 60, struck)[0].offsets_ms[1])


RUFF = "SD .oo..."  # a sixth and a third into the beat: an ornament of the half beat


def test_a_landing_inside_the_last_beat_counts_as_struck() -> None:
    """What leads to it is an ornament of it; only the fill's own strokes are in the verdict."""
    ruff = pattern(RUFF)
    (found,) = judge(ruff, STRAIGHT, QUARTERS, lands=HALF)
    assert (FITS, True) == (found.verdict, found.ornament)
    assert (Fraction(1, 6), Fraction(1, 3)) == found.onsets
    assert 2 == len(found.offsets_ms)
    assert FITS != judge(ruff, STRAIGHT, QUARTERS)[0].verdict
    assert [True, False, False] == [
        fits(ruff, STRAIGHT, QUARTERS, lands) for lands in (HALF, Fraction(1), None)
    ]


def test_only_the_last_beat_has_the_landing() -> None:
    """The same strokes a beat earlier lead to nothing; in the verdict each beat has its own."""
    thrice = pattern("SD ooo|.oo...|.oo...")
    found = judge(thrice, STRAIGHT, QUARTERS * 3, lands=HALF)
    assert [False, False, True] == [beat.ornament for beat in found]
    assert list(thrice.onsets) == [beat.onsets for beat in found]


def test_what_would_be_struck_after_a_landing_does_not_count() -> None:
    """An ornament ends with what it leads to."""
    longer = pattern("SD .oo.o.")
    assert FITS == judge(longer, STRAIGHT, QUARTERS, lands=HALF)[0].verdict
    assert fits(longer, STRAIGHT, QUARTERS, HALF)


@pytest.mark.parametrize(("lands", "expected"), [(Fraction(1), True), (None, False)])
def test_a_ruff_at_the_end_fits_where_the_next_beat_is_struck(lands: Fraction | None, expected: bool) -> None:
    """Sixteenth triplets into the barline."""
    ruff = pattern("SD o..ooo")
    assert expected == fits(ruff, STRAIGHT, QUARTERS, lands)
    assert expected == (worst(judge(ruff, STRAIGHT, QUARTERS, lands=lands)) == FITS)


def test_where_the_swing_goes_by_the_tempo_so_does_what_fits() -> None:
    """A pair written where it sounds at 240 fits there and not at 120."""
    swing = feel("swing")
    upbeat = max(swing.grid(QUARTER, Fraction(240)).swung_sounding)
    pair = Pattern("", "fill", 1, (Stroke(0, Fraction(0), "SD"), Stroke(0, upbeat, "SD")))
    assert [True, False] == [fits(pair, swing, [(QUARTER, Fraction(bpm))]) for bpm in (240, 120)]
    assert fits(pattern("SD oo"), STRAIGHT, QUARTERS)


def test_a_fill_of_no_beats_is_judged_as_nothing() -> None:
    """And nothing is at fault with it."""
    nothing = Pattern("", "fill", 0, ())
    assert () == judge(nothing, STRAIGHT, [])
    assert FITS == worst(())


@pytest.mark.parametrize(
    ("verdicts", "expected"),
    [
        ("fits crosses", "crosses"),
        ("near crosses", "near"),
        ("clashes near fits", "clashes"),
        ("fits", "fits"),
    ],
)
def test_the_worst_of_several_verdicts(verdicts: str, expected: str) -> None:
    """Fits, crosses, near, clashes."""
    beat = BeatVerdict((), 1, 1, FITS, ())
    assert expected == worst([beat._replace(verdict=each) for each in verdicts.split()])


def test_the_largest_offset_is_the_one_that_is_told() -> None:
    """By size, with its sign; the earlier of equals; nothing where nothing is struck."""
    beat = BeatVerdict((), 1, 1, CLASHES, (10.0, -30.0, 30.0))
    assert -30.0 == beat.worst_ms
    assert 0.0 == beat._replace(offsets_ms=()).worst_ms


def test_a_beat_in_json() -> None:
    """Its run from beat to beat, counted from 1; ms to a tenth."""
    run = Run(1, 3, 3, 2)
    beat = BeatVerdict((Fraction(0), Fraction(2, 3)), 3, 4, CROSSES, (0.0, 54.345), run=run)
    expected = {
        "beat": 2, "onsets": ["0", "2/3"], "grid": 3, "level": 4, "verdict": "crosses",
        "offsets_ms": [0.0, 54.3], "ornament": False,
        "run": {"from": {"beat": 2, "at": "0"}, "to": {"beat": 4, "at": "0"}, "in": 3, "over": 2, "beats": 2},
    }  # fmt: skip
    assert expected == beat_json(2, beat)
    assert beat_json(2, beat._replace(run=None))["run"] is None
