"""The same fill on another grid."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import combinations
from operator import ge

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import BOOK, DOTTED, QUARTER, feel, pattern

from charts.feel import Feel
from charts.fitting.moments import own_beats
from charts.fitting.regrid import FINER, HOME, POUR, Regrid, regrid, weight_of
from charts.fitting.slots import HEAVY, assign, slots_of
from charts.limits import Limits
from charts.pattern import Pattern, Stroke, division, in_order
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


def comes_in(few, many) -> bool:
    """True where few are among many in their order."""
    rest = iter(many)
    return all(each in rest for each in few)


# What players choose


@pytest.mark.parametrize(
    ("rows", "name", "home"),
    [
        ("SD ooo", "straight sixteenths", "SD o.oo\n"),  # 1 & a, not 1 e a
        ("SD Ooo", "straight sixteenths", "SD O.oo\n"),
        ("SD ooO", "straight eighths", "SD oO\n"),
        ("SD o.o", "straight sixteenths", "SD oo\n"),
        ("SD o.o|.o.", "straight sixteenths", "SD o..o|.o\n"),  # quarter triplets are 3-3-2
        ("SD oo|o.o|.o.", "straight sixteenths", "SD oo|o..o|.o\n"),
        ("SD o.o|.o.", "straight eighths", "SD oo|.o\n"),  # where there are no sixteenths the upbeats
        ("SD o.o|o..", "straight sixteenths", "SD oo|o\n"),
        ("SD .o.", "straight sixteenths", "SD .o\n"),  # on & before e
        ("SD ..o", "straight sixteenths", "SD .o\n"),  # and before a
        ("SD .oo", "straight sixteenths", "SD ..oo\n"),
        ("SD .o....", "straight sixteenths", "SD .o..\n"),  # nothing off the beat moves onto it
        ("SD ooo.o.", "straight sixteenths", "SD oooo\n"),  # a herta
        ("SD oo", "shuffle", "SD o.o\n"),
        ("SD o..o.O", "straight eighths", "SD oO\n"),  # an accent goes farther than a stroke
        ("SD oo..", "sixteenth shuffle", "SD oo.\n"),
        ("SD oogo", "shuffle", "SD ooo\n"),  # the ghost goes first
        ("SD Oo.o\nBD ..o.", "shuffle", "SD Oo.\nBD ..o\n"),  # the foot stays in its figure
    ],
)
def test_the_choices_that_players_make(rows: str, name: str, home: str) -> None:
    """The home version of one or two beats."""
    assert home == rows_of(relaid(rows, name), HOME)


@pytest.mark.parametrize(
    ("at", "stroke", "weight"),
    [(F(0), {}, 6), (F(1, 2), {}, 4), (F(1, 4), {}, 2), (F(1, 4), {"accent": True}, 12),
     (F(1, 4), {"kind": "ghost"}, 1), (F(1, 4), {"kind": "flam"}, 2), (F(1, 4), {"kind": "buzz"}, 2),
     (F(1, 4), {"voice": "BD"}, 3)],
)  # fmt: skip
def test_what_an_atom_weighs(at: F, stroke: dict[str, object], weight: int) -> None:
    """Beat 4, half 2, accent 10, a foot by itself 1, over 2 for any stroke; a ghost 1 in all."""
    struck = Stroke(1, at, **{"voice": "SD", **stroke})  # type: ignore[arg-type]
    heard = Pattern("", "fill", 2, (Stroke(0, F(0), "SD"), Stroke(0, F(0), "BD"), struck))
    assert weight == weight_of(heard, (struck,), at)
    new = Pattern("", "fill", 2, (struck,))
    assert weight + 2 * (struck.kind != "ghost") == weight_of(new, (struck,), at)


@pytest.mark.parametrize(("rows", "gone"), [("SD oooo.", ""), ("SD ooooo", "3 of 5 strokes would go")])
def test_half_may_go_and_no_more(rows: str, gone: str) -> None:
    """Over straight eighths two of four fifths of a beat are left, which is offered, and two of five, which is not."""
    found = relaid(rows, "straight eighths", 60)
    assert gone == dict(found.refused).get(HOME, "")
    assert bool(gone) is (found.get(HOME) is None)


def test_six_strokes_in_straight_are_a_shape_that_hands_know() -> None:
    """0, 1/4, 3/8, 1/2, 5/8, 3/4: the doubles are the quick ones."""
    found = relaid("SD OggggO\nstick RLLRRL", "straight sixteenths", 90)
    assert rows_of(found, FINER) == "SD    O.ggggO.\nstick R.LLRRL.\n"


def test_quick_strokes_run_from_a_place_to_a_place() -> None:
    """No stroke hangs in the air: what has no stroke beside it stays on the home grid."""
    assert relaid("SD ooooo", "straight sixteenths").get(HOME) is not None
    for version in relaid("SD ooooo|oooooo", "straight sixteenths", 60).versions:
        for onsets in version.pattern.onsets:
            for at in onsets:
                if (at * 4).denominator != 1:
                    assert {at - F(1, 8), at + F(1, 8)} <= {*onsets, F(1)}


# Poured


@pytest.mark.parametrize(
    ("rows", "name", "poured"),
    [
        ("SD Oo.O|o.Oo\nBD ..o.|.o..", "shuffle", "SD Oo.|OoO\nBD ..o|...\n"),
        (
            "T1 O..|O..|...|...\nSD .o.|.o.|Oo.|OoO\nBD ..o|..o|..o|...",
            "straight sixteenths",
            "T1 O..O|....|....|....\nSD .o..|o.Oo|.Oo.|oo.O\nBD ..o.|.o..|o..o|..o.\n",
        ),
        ("SD ooO", "straight sixteenths", "SD oooO\n"),
        ("SD Oo..\nFT ..oO", "shuffle", "SD Oo.\nFT ..O\n"),
        ("SD .ooO", "shuffle", "SD ooO\n"),
        ("SD ooO", "straight eighths", "SD oooO\n"),  # four are nearer to three than two are
        ("SD Oo.O|o.Oo|.Ooo|oooO\nBD ..o.|.o..|o...|....", "shuffle", None),  # it breaks off too soon
        ("SD oooooooO", "shuffle", None),  # it would be what the nearest places are
        ("SD Oo.O|o.OO\nBD ..o.|.o..", "straight sixteenths", None),
        ("SD oooo|oooO", "shuffle", None),  # a plain run has no figure
        ("SD Ooo.|Ooo.", "shuffle", None),  # holes are not a stream
        ("SD OooO|ooOo\nBD o...|o...", "shuffle", None),  # the foot marks the beat
        ("SD oO", "shuffle", None),
        ("SD OooOoo|OooOoo", "straight sixteenths", "SD OooO|ooOo\n"),
    ],
)
def test_poured_strokes_keep_their_order(rows: str, name: str, poured: str | None) -> None:
    """The figure goes on at the new rate, and the last accent lands where it did."""
    version = relaid(rows, name, 80).get(POUR)
    assert poured == (write_rows(version.pattern) if version else None)


def test_poured_hands_stay_in_order() -> None:
    """Sixes with doubles, over triplets; what is cut is told, and how far the rest goes."""
    rows = "SD OggO|ggOg|gOgg|OggO\nstick RLLR|LLRL|LRLL|RLLR"
    version = relaid(rows, "shuffle", 100).get(POUR)
    assert version is not None
    assert write_rows(version.pattern) == "SD    Ogg|Ogg|Ogg|OgO\nstick RLL|RLL|RLL|RLR\n"
    assert [(gone.beat, str(gone.at)) for gone in version.dropped] == [
        (3, "3/4"), (4, "0"), (4, "1/4"), (4, "1/2")
    ]  # fmt: skip
    assert (version.kept, round(version.moved_ms)) == (12, 500)


# The order of offers, the hands


def test_most_of_the_figure_comes_first_then_the_easier_hands() -> None:
    """More strokes; of as many fewer doubles; of as many what moves least."""
    found = relaid("SD .ooO\nstick .LRL", "shuffle")
    assert [(3, "finer"), (3, "pour"), (2, "home")] == [(each.kept, each.grid) for each in found.versions]
    doubles = "SD gggg....\nFT ....oooO\nstick RRLLRRLL"
    assert [(6, "finer"), (6, "pour")] == [
        (each.kept, each.grid) for each in relaid(doubles, "shuffle").versions
    ]


def test_hands_that_the_old_rhythm_asked_for_are_found_anew() -> None:
    """A gallop becomes triplets hand to hand; a paradiddle stays one."""
    assert rows_of(relaid("SD O.oo|O.oO\nstick R.RL|R.RL", "shuffle"), HOME).endswith("stick RLR|LRL\n")
    kept = rows_of(relaid("SD oooo|oooo\nstick RLRR|LRLL", "sixteenth shuffle"), HOME)
    assert kept.endswith("stick R.LR.R|L.RL.L\n")


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(BOOK.patterns.fills()), st.sampled_from(FEELS))
def test_there_and_back_keeps_accents_and_the_order_of_the_drums(fill, name) -> None:
    """On another grid and back: every accent that had a place, the drums in their order."""
    beats = own_beats(fill, F(80))
    fitting = [each for each in BOOK.feels if worst(judge(fill, each, beats)) == FITS]
    home = max(fitting, key=lambda each: each.grid(*beats[0]).home)
    there = regrid(fill, feel(name), beats, TIRELESS).get(HOME)
    back = there and regrid(there.pattern, home, beats, TIRELESS).get(HOME)
    if not back:
        return
    cells = [len(slots_of(feel(name).grid(*beat), HOME)) for beat in beats]
    for place, (before, after) in enumerate(zip(fill.by_beat, back.pattern.by_beat, strict=True)):
        loud = sorted({stroke.at for stroke in before if stroke.accent})
        if len(fill.onsets[place]) <= cells[place] or len(loud) <= cells[place] // 2:
            kept = sorted({stroke.at for stroke in after if stroke.accent})
            assert len(loud) == len(kept)
    for hands in (True, False):
        voices = [
            [each.voice for each in one.strokes if each.by_hand is hands] for one in (fill, back.pattern)
        ]
        assert comes_in(voices[1], voices[0])


# Properties

onset_sets = st.integers(1, 12).flatmap(
    lambda cells: st.sets(st.integers(0, cells - 1), min_size=1, max_size=5).map(
        lambda found: tuple(sorted({F(cell, cells) for cell in found}))
    )
)
grids = st.builds(
    lambda name, bpm, beat: feel(name).grid(beat, F(bpm)),
    st.sampled_from(FEELS), st.sampled_from([60, 92, 240, 280, 400]), st.sampled_from([QUARTER, DOTTED]),
)  # fmt: skip
weights_of_atoms = st.lists(st.integers(1, 13), min_size=5, max_size=5)


def off_home(slot, grid):
    return (slot * grid.home).denominator != 1


def known_to_hands(chosen, grid):
    """Quick strokes off the home grid run from a place of it to another."""
    cell = F(1, division(chosen))
    return cell.denominator < 6 or all(
        {slot - cell, slot + cell} <= {*chosen, 1} for slot in chosen if off_home(slot, grid)
    )


def beginnings(chosen, grid):
    """How often quick strokes begin."""
    quick = [division(chosen) >= 6 and off_home(slot, grid) for slot in chosen]
    return sum(now and not any(quick[max(0, at - 2) : at]) for at, now in enumerate(quick))


def brute_force(atoms, grid, slots):
    """Every choice of atoms and of slots, in order, weighed in the design's own words."""
    best = None
    for kept_count in range(len(atoms) + 1):
        for kept in combinations(range(len(atoms)), kept_count):
            for chosen in combinations(slots, kept_count):
                ways = [abs(slot - atoms[atom][0]) for atom, slot in zip(kept, chosen, strict=True)]
                far = [atoms[atom][1] >= HEAVY and slot > 0 for atom, slot in zip(kept, chosen, strict=True)]
                reaches = [F(1, 2) if accent else F(1, 4) for accent in far]
                if any(map(ge, ways, reaches)) or not fits_grid(chosen, grid):
                    continue
                if not known_to_hands(chosen, grid):
                    continue
                stays = {slot for atom, slot in zip(kept, chosen, strict=True) if slot == atoms[atom][0] == 0}
                cost = (
                    len(atoms) - kept_count,
                    sum(weight for number, (_, weight) in enumerate(atoms) if number not in kept),
                    sum(off_home(slot, grid) for slot in chosen),
                    beginnings(chosen, grid),
                    grid.halves * sum(slot != F(1, 2) and slot not in stays for slot in chosen),
                    sum(ways, F(0)),
                    grid.swings * sum(slot not in grid.swung_nominal for slot in chosen),
                    tuple(-slot for slot in chosen),
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
        voices = [stroke.voice for stroke in version.pattern.strokes]
        assert comes_in(left, voices) if version.grid == POUR else left == voices
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


def test_swung_pairs_hold_two_that_no_division_does() -> None:
    """{0, 1/3} over swung sixteenths at any ratio: a half and its upbeat, though thirds are not in the chain."""
    grid = Feel("loose sixteenths", (2, 3), F(3, 2)).grid(QUARTER, F(90))
    assert (F(0), F(1, 3)) == assign(((F(0), 6), (F(1, 4), 2)), grid, slots_of(grid, HOME))


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


@pytest.mark.parametrize(("at", "slot"), [(F(1, 6), 0), (F(1, 2), F(2, 3))])
def test_of_two_slots_as_near_the_swung_place_is_taken(at: F, slot: F) -> None:
    """In a shuffle those are the beat and the last triplet, not the middle one."""
    grid = feel("shuffle").grid(QUARTER, F(92))
    assert (slot,) == assign(((at, 2),), grid, slots_of(grid, HOME))


def test_a_beat_without_a_stroke_moves_nothing() -> None:
    """A fill on the grid with an empty beat comes back unchanged."""
    fill = pattern("SD oo|..")
    version = regrid(fill, feel("straight eighths"), own_beats(fill, F(92))).get(HOME)
    assert version is not None
    assert fill is version.pattern
    assert 0 == version.moved_ms


def test_of_as_many_strokes_fewer_doubles_come_first() -> None:
    """The poured hands would stumble and are found anew; that is easier than what moves less."""
    found = relaid("SD ooo\nstick LLR", "sixteenth shuffle", 80)
    assert [(3, POUR), (3, HOME)] == [(each.kept, each.grid) for each in found.versions]
    assert ["SD    o.oo.o\nstick R.LR.L\n", "SD    o.o..o\nstick L.L..R\n"] == [
        write_rows(each.pattern) for each in found.versions
    ]


@pytest.mark.parametrize(
    ("name", "grid", "slots"),
    [("straight eighths", HOME, "0 1/2"), ("straight eighths", FINER, "0 1/4 1/2 3/4"), ("shuffle", HOME, "0 1/3 2/3"),
     ("shuffle", FINER, "0 1/6 1/3 1/2 2/3 5/6"), ("sixteenth shuffle", HOME, "0 1/3 1/2 5/6"),
     ("sixteenth shuffle", FINER, " ".join(str(F(n, 12)) for n in range(12)))],
)  # fmt: skip
def test_the_slots_of_a_beat(name: str, grid: str, slots: str) -> None:
    """What the groove plays, and the next division of the feel."""
    assert slots == " ".join(map(str, slots_of(feel(name).grid(QUARTER, F(92)), grid)))
