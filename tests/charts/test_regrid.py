"""The same fill on another grid."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import DOTTED, QUARTER, feel, pattern

from charts.feel import Feel
from charts.fitting.moments import own_beats
from charts.fitting.regrid import FINER, HOME, Regrid, regrid
from charts.fitting.slots import assign, slots_of
from charts.limits import Limits
from charts.pattern import Pattern, Stroke, in_order
from charts.rows import write_rows
from charts.timing import Meter
from charts.verdict import FITS, fits_grid, judge, worst

FEELS = ("straight eighths", "straight sixteenths", "shuffle", "sixteenth shuffle", "swing", "slow 12/8")
TIRELESS = Limits(F(100), F(70), F(107), F(90))
SIXTEENTHS = "SD oooo|oooo\nstick RLRL|RLRL"


def relaid(rows: str, name: str, bpm: int = 92, **more: object) -> Regrid:
    fill = pattern(rows)
    return regrid(fill, feel(name), own_beats(fill, F(bpm)), **more)  # type: ignore[arg-type]


def rows_of(found: Regrid, grid: str) -> str:
    version = found.get(grid)
    assert version is not None
    return write_rows(version.pattern)


def places(found: Regrid, grid: str, beat: int = 0) -> str:
    version = found.get(grid)
    assert version is not None
    return " ".join(str(at) for at in version.pattern.onsets[beat])


def test_sixteenths_over_a_shuffle_lose_one_a_beat_on_the_home_grid() -> None:
    """{0, 1/3, 2/3} on the home grid, one atom a beat gone."""
    found = relaid(SIXTEENTHS, "half-time shuffle")
    home = found.get(HOME)
    assert home is not None
    assert places(found, HOME) == "0 1/3 2/3"
    assert [(d.beat, str(d.at), d.voices) for d in home.dropped] == [(1, "3/4", ("SD",)), (2, "3/4", ("SD",))]
    assert home.kept == 6


def test_sixteenths_over_a_shuffle_keep_all_on_the_finer_grid() -> None:
    """{0, 1/3, 1/2, 2/3}: a diddle inside a triplet, the strokes moved by a twelfth of the beat."""
    found = relaid(SIXTEENTHS, "half-time shuffle")
    finer = found.get(FINER)
    assert finer is not None
    assert places(found, FINER) == "0 1/3 1/2 2/3"
    assert finer.dropped == ()
    assert round(finer.moved_ms, 1) == 54.3


def test_sixteenths_over_swung_sixteenths_go_to_the_swung_places() -> None:
    """{0, 1/3, 1/2, 5/6}, and there is no finer version where nothing is dropped."""
    found = relaid(SIXTEENTHS, "sixteenth shuffle")
    assert places(found, HOME) == "0 1/3 1/2 5/6"
    assert tuple(version.grid for version in found.versions) == (HOME,)


def test_what_weighs_more_stays() -> None:
    """Of four atoms the ghost note goes, though it has the shortest way to its slot."""
    home = relaid("SD ogoo|oooo", "shuffle").get(HOME)
    assert home is not None
    assert tuple(str(d.at) for d in home.dropped if d.beat == 1) == ("1/4",)


def test_a_voice_heard_for_the_first_time_stays() -> None:
    """The first stroke of a tom outweighs a snare stroke in the same beat."""
    home = relaid("SD oooo|ooo.\nT1 ....|...o", "shuffle").get(HOME)
    assert home is not None
    assert [(d.beat, str(d.at)) for d in home.dropped if d.beat == 2] == [(2, "1/4")]


def test_an_accent_stays() -> None:
    """An accented stroke on the last sixteenth outweighs a plain one on the second."""
    home = relaid("SD oooO", "shuffle").get(HOME)
    assert home is not None
    assert [str(d.at) for d in home.dropped] == ["1/4"]


def test_all_that_is_struck_together_moves_together() -> None:
    """A snare and bass drum at one place are one atom and land on one slot."""
    found = relaid("SD o.o.\nBD o.o.", "shuffle")
    assert rows_of(found, HOME) == "SD o.o\nBD o.o\n"


def test_a_beat_that_fits_is_left_as_it_is() -> None:
    """Only the clashing beat of two changes."""
    assert rows_of(relaid("SD ooo|oo", "shuffle"), HOME) == "SD ooo|o.o\n"


def test_pairs_written_even_and_played_swung_stay_in_a_swung_feel() -> None:
    """They are on the grid already: the fill comes back as it was, flag and all."""
    fill = Pattern("", "fill", 1, pattern("SD oo").strokes, swung=True)
    version = regrid(fill, feel("shuffle"), own_beats(fill, F(92))).get(HOME)
    assert version is not None
    assert fill is version.pattern


def test_pairs_played_swung_become_even_over_straight_eighths() -> None:
    """Played at 2/3 they move to 1/2, and the result is no longer written straight and played swung."""
    fill = Pattern("", "fill", 1, pattern("SD oo").strokes, swung=True)
    version = regrid(fill, feel("straight eighths"), own_beats(fill, F(92))).get(HOME)
    assert version is not None
    assert (write_rows(version.pattern), version.pattern.swung) == ("SD oo\n", False)


def test_a_beat_that_fits_in_a_swung_fill_keeps_its_sound() -> None:
    """Where another beat moves, an even pair that sounded at 2/3 is written there."""
    fill = Pattern("", "fill", 2, pattern("SD oo|ooooo").strokes, swung=True)
    version = regrid(fill, feel("shuffle"), own_beats(fill, F(92))).get(HOME)
    assert version is not None
    assert version.pattern.onsets[0] == (0, F(2, 3))


def test_more_than_half_gone_is_not_offered() -> None:
    """Seven strokes a beat over straight eighths keep two on the home grid: that is another fill."""
    found = relaid("SD ooooooo", "straight eighths", 60)
    assert found.get(HOME) is None
    assert (HOME, "5 of 7 strokes would go") in found.refused


def test_what_hands_cannot_play_is_not_offered() -> None:
    """Three drums at once need a third hand on any grid, and the reason is told."""
    fast = relaid("SD oooo\nT1 oooo\nFT oooo", "shuffle", 92)
    assert fast.versions == ()
    assert all("hand cannot play it" in reason for _, reason in fast.refused)


def test_a_given_sticking_is_kept_where_nothing_is_dropped() -> None:
    """Moved strokes keep their hands; where some are gone the hands are found anew."""
    found = relaid("SD oooo\nstick RRLL", "shuffle", 60)
    assert "stick R.RLL.\n" in rows_of(found, FINER)
    assert "stick RLR\n" in rows_of(found, HOME)


def test_compound_beats_use_their_own_grid() -> None:
    """Four even strokes in a dotted quarter go to its eighths and sixteenths."""
    fill = Pattern("", "fill", 2, pattern("SD oooo|oooo").strokes, meter=Meter.read("6/8"))
    found = regrid(fill, feel("6/8 ballad"), own_beats(fill, F(60)))
    assert worst(judge(found.versions[0].pattern, feel("6/8 ballad"), own_beats(fill, F(60)))) == FITS


# Properties

onset_sets = st.integers(1, 12).flatmap(
    lambda cells: st.sets(st.integers(0, cells - 1), min_size=1, max_size=5).map(
        lambda found: tuple(sorted({F(cell, cells) for cell in found}))
    )
)
grids = st.builds(
    lambda name, bpm, beat: feel(name).grid(beat, F(bpm)),
    st.sampled_from(FEELS), st.sampled_from([60, 92, 240, 280]), st.sampled_from([QUARTER, DOTTED]),
)  # fmt: skip
weights_of_atoms = st.lists(st.integers(1, 10), min_size=5, max_size=5)


def brute_force(atoms, grid, slots):
    """Every choice of atoms and of slots, in order, weighed in the design's own words."""
    best = None
    inside = grid.swung_nominal if grid.swings else {F(cell, grid.home) for cell in range(grid.home)}
    for kept_count in range(len(atoms) + 1):
        for kept in combinations(range(len(atoms)), kept_count):
            for chosen in combinations(slots, kept_count):
                ways = [abs(slot - atoms[atom][0]) for atom, slot in zip(kept, chosen, strict=True)]
                if any(way >= F(1, 4) for way in ways) or not fits_grid(chosen, grid):
                    continue
                cost = (
                    len(atoms) - kept_count,
                    sum(weight for number, (_, weight) in enumerate(atoms) if number not in kept),
                    sum(ways, F(0)),
                    sum(slot not in inside for slot in chosen),
                    sum((slot * grid.home).denominator != 1 for slot in chosen),
                    chosen,
                    kept,
                )
                if best is None or cost < best[0]:
                    best = cost, dict(zip(kept, chosen, strict=True))
    return tuple(best[1].get(number) for number in range(len(atoms)))


@settings(max_examples=150, deadline=None)
@given(onset_sets, weights_of_atoms, grids, st.sampled_from([HOME, FINER]))
def test_the_assignment_is_the_least_of_all(onsets, weights, grid, which) -> None:
    """The search finds what a search through everything finds."""
    atoms = tuple(zip(onsets, weights, strict=False))
    slots = slots_of(grid, which)
    assert brute_force(atoms, grid, slots) == assign(atoms, grid, slots)


voices = st.lists(st.sampled_from(["SD", "T1", "FT", "BD"]), min_size=5, max_size=5)
strokes_of_a_beat = st.tuples(onset_sets, voices)


@st.composite
def fills(draw):
    beats = draw(st.lists(strokes_of_a_beat, min_size=1, max_size=3))
    strokes = [
        Stroke(beat, at, voice)
        for beat, (onsets, drums) in enumerate(beats)
        for at, voice in zip(onsets, drums, strict=False)
    ]
    return Pattern("", "fill", len(beats), in_order(strokes), swung=draw(st.booleans()))


@settings(max_examples=100, deadline=None)
@given(fills(), st.sampled_from(FEELS), st.sampled_from([40, 92, 240]))
def test_a_result_fits_and_keeps_its_order(fill, name, bpm) -> None:
    """Every version gets the verdict fits, and what is left comes in the order of the original."""
    beats = own_beats(fill, F(bpm))
    for version in regrid(fill, feel(name), beats, TIRELESS).versions:
        assert worst(judge(version.pattern, feel(name), beats)) == FITS
        gone = {(dropped.beat - 1, dropped.at) for dropped in version.dropped}
        left = [stroke.voice for stroke in fill.strokes if (stroke.beat, stroke.at) not in gone]
        assert left == [stroke.voice for stroke in version.pattern.strokes]
        assert version.playing.playable


@settings(max_examples=60, deadline=None)
@given(fills(), st.sampled_from(FEELS), st.sampled_from([40, 92]))
def test_a_fill_on_the_grid_comes_back_unchanged(fill, name, bpm) -> None:
    """Nothing is moved, dropped or rewritten where every beat fits: the very same fill is the answer."""
    beats = own_beats(fill, F(bpm))
    on_grid = [version.pattern for version in regrid(fill, feel(name), beats, TIRELESS).versions]
    if worst(judge(fill, feel(name), beats)) == FITS:
        assert all(version is fill for version in on_grid)
    for version in on_grid:
        again = regrid(version, feel(name), beats, TIRELESS)
        assert tuple(version.grid for version in again.versions) == (HOME,)
        assert again.versions[0].pattern is version


def test_a_crowded_beat_is_quick() -> None:
    """Forty-eight strokes in one beat over a fine feel do not take for ever."""
    onsets = tuple((F(n, 47), 2) for n in range(47))
    grid = Feel("fine", (2, 2, 2, 2)).grid(QUARTER, F(40))
    placed = assign(onsets, grid, slots_of(grid, FINER))
    assert sum(slot is not None for slot in placed) == 32


@pytest.mark.parametrize("name", FEELS)
def test_slots_are_in_order_and_inside_the_beat(name: str) -> None:
    """Both versions' places ascend from 0 to under 1."""
    for which in (HOME, FINER):
        slots = slots_of(feel(name).grid(QUARTER, F(92)), which)
        assert list(slots) == sorted(set(slots))
        assert slots[0] == 0
        assert slots[-1] < 1
