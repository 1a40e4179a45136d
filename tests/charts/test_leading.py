"""Which hand a rhythm asks for: natural sticking, and the shipped fills' own hands."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from itertools import pairwise

import pytest
from support import BOOK, feel, pattern

from charts.fitting.hands import playable, with_hands
from charts.fitting.leading import natural
from charts.fitting.moments import Spot, own_beats
from charts.pattern import BOTH, Pattern
from charts.rows import write_rows
from charts.verdict import FITS, judge, worst

SIXTEENTHS = "straight sixteenths"


def sticking(fill: Pattern) -> str:
    """The row of the hands as the pattern writes it."""
    rows = [line for line in write_rows(fill).splitlines() if line.startswith("stick")]
    return rows[0].removeprefix("stick").strip() if rows else ""


def unstuck(fill: Pattern) -> Pattern:
    return fill.with_strokes(replace(stroke, hand="") for stroke in fill.strokes)


def found_for(fill: Pattern, name: str, bpm: F, **more) -> str:
    bare = unstuck(fill)
    return sticking(with_hands(bare, playable(bare, feel(name), own_beats(bare, bpm), **more)))


def found(rows: str, name: str = SIXTEENTHS, bpm: int = 100, kind: str = "fill", **more) -> str:
    return found_for(pattern(rows, kind=kind), name, F(bpm), **more)


DOWN = "SD Oo|..|..|..\nT1 ..|oo|..|..\nT2 ..|..|oo|..\nFT ..|..|..|oO"


@pytest.mark.parametrize(
    ("rows", "name", "bpm", "hands"),
    [
        (DOWN, "straight eighths", 120, "RL|RL|RL|RL"),
        ("SD O.|..\nT1 .o|..\nFT ..|oO", "straight eighths", 120, "RL|RL"),
        ("SD ooo|...\nFT ...|ooo", "shuffle", 100, "RLR|LRL"),
        ("T1 ooo|...\nFT ...|ooo", "shuffle", 160, "RLR|LRL"),
        ("SD ooo|...|ooo|...\nFT ...|ooo|...|ooo", "shuffle", 130, "RLR|LRL|RLR|LRL"),
        ("SD o.oo|o.oo", SIXTEENTHS, 120, "R.RL|R.RL"),
    ],
)
def test_what_was_seen_wrong(rows: str, name: str, bpm: int, hands: str) -> None:
    """Even eighths alternate down the kit, two-drum triplets are led by the right, a gallop by the beat."""
    assert hands == found(rows, name, bpm)


@pytest.mark.parametrize(
    ("rows", "hands"),
    [
        ("SD .ooo|.ooo", ".LRL|.LRL"),
        ("SD oo.o|oo.o", "RL.L|RL.L"),
        ("SD ..oo|..oo", "..RL|..RL"),
        ("SD ...o|o...|...o|o...", "...L|R|...L|R"),
        ("SD oooo|o...|oooo|o...", "RLRL|R|RLRL|R"),
        ("SD f...|oooo", "R|RLRL"),
        ("SD o..o|o..o", "R..L|R..L"),
    ],
)
def test_after_a_hole_the_hand_of_the_full_grid_comes_back(rows: str, hands: str) -> None:
    """Natural sticking: right on the beat and its half, left on the places between."""
    assert hands == found(rows)


@pytest.mark.parametrize(
    ("rows", "name", "hands"),
    [
        ("SD o.o|o.o|o.o|o.o", "shuffle", "R.L|R.L|R.L|R.L"),
        ("SD ..o|o..", "shuffle", "..L|R"),
        ("SD .o.", "shuffle", ".L."),
        ("SD .oo|.oo|.oo|ooo", "shuffle", ".RL|.RL|.RL|RLR"),
        ("SD o.oo.o|..oo.o", "sixteenth shuffle", "R.LR.L|..LR.L"),
        ("SD o..o.o|o..o.o", "sixteenth shuffle", "R..R.L|R..R.L"),
    ],
)
def test_in_threes_the_beat_leads_and_the_last_follows(rows: str, name: str, hands: str) -> None:
    """Long and short are right and left; swung sixteenths alternate by their own places."""
    assert hands == found(rows, name, 90)


@pytest.mark.parametrize(
    ("rows", "name", "hands"),
    [
        ("SD ooo.o.|ooo.o.", "shuffle", "RLR.L.|RLR.L."),
        ("SD o.o|.o.|o.o|.o.", "straight eighths", "R.L|.R.|L.R|.L."),
        ("SD o|o|o|o|oo|oo|oooo|oooo", SIXTEENTHS, "R|L|R|L|RL|RL|RLRL|RLRL"),
        ("SD Oo.O|o.Oo\nBD ..o.|.o..", SIXTEENTHS, "RL.R|L.RL"),
        ("SD O.O.|O.O.\nBD .o.o|.o.o", SIXTEENTHS, "R.L.|R.L."),
    ],
)
def test_one_spacing_is_a_run_and_a_foot_fills_a_hole(rows: str, name: str, hands: str) -> None:
    """Hertas, quarter triplets, quarters and what the bass drum completes go hand to hand."""
    assert hands == found(rows, name, 80)


def test_strokes_over_a_beat_apart_are_not_a_run() -> None:
    """Three beats and a half apart on either side, a flam is led by the leading hand each time."""
    assert "R.|.R|..|R." == found("SD F.|.F|..|F.\nBD .o|..|oo|.o", "half-time")


def test_a_crossing_is_no_way_to_begin() -> None:
    """Two or four strokes start with the hand that leaves the right one for the floor tom; six do not."""
    assert "LR" == found("SD o.\nFT .o", "straight eighths")
    assert "LRLR" == found("SD o...\nT1 .o..\nT2 ..o.\nFT ...o")
    assert "RLR|LRL" == found("SD ooo|...\nT1 ...|oo.\nFT ...|..o", "shuffle")


def test_time_is_kept_by_one_hand() -> None:
    """On the hats or the ride, and on a floor tom under backbeats; the other lies on the rim."""
    assert "R|R.R|R|R.R" == found("RD x..|x.x|x..|x.x", "swing", 170, kind="groove")
    toms = "SD ..|O.|..|O.\nFT oo|oo|oo|oo"
    assert "RR|BR|RR|BR" == found(toms, "straight eighths", 120, kind="groove")
    assert ".L|.L|L|L." == found("XS .o|.o|o.|o.\nBD o.|.o|o.|.o", "bossa nova", 130)


@pytest.mark.parametrize(
    ("rows", "bpm", "hands"),
    [
        ("HH xxxx|.xxx\nSD ....|O...", 86, "RLRL|RLRL"),
        ("HH xxxx|.xxx\nSD ....|O...", 85, "RRRR|LRRR"),
        ("HH xxxx|xxxx\nSD ....|O...", 86, "RRRR|BRRR"),
        ("XS ..oo|....", 101, "..RL|"),
        ("XS ..oo|....", 100, "..LL|"),
    ],
)
def test_quick_time_is_shared(rows: str, bpm: int, hands: str) -> None:
    """Hats under 175 ms apart take both hands where these are free, a pair on the rim under 150 ms."""
    assert hands.removesuffix("|") == found(rows, bpm=bpm, kind="groove").split("|.")[0]


def test_one_crash_does_not_make_the_floor_tom_keep_time() -> None:
    """Sixteenths on the floor tom go hand to hand though their first one has a crash."""
    assert "RLRL|BLRL" == found("SD oooo|....\nFT ....|oooo\nC1 ....|o...")


def test_a_crash_out_of_a_hole_is_the_leading_hands() -> None:
    """Crash on the upbeat, snare on the next beat."""
    assert ".R|L|.R|LR" == found("C1 .X|..|.X|..\nSD ..|O.|..|OO", "straight eighths", 120)


def test_the_landing_changes_no_hand() -> None:
    """What a fill is stuck as does not hang on whether its crash is asked for."""
    from charts.pattern import Stroke

    for fill in BOOK.patterns.fills():
        landing = [Stroke(fill.beats, F(0), voice) for voice in ("C1", "BD")]
        name, bpm = feel_of(fill), tempo_of(fill)
        assert found_for(fill, name, bpm) == found_for(fill, name, bpm, landing=landing), fill.name


def spot(at: F, beat: F = F(1)) -> Spot:
    return Spot(at * beat, at, (), beat)


@pytest.mark.parametrize(
    ("at", "tried", "leads"),
    [
        (F(0), [F(1, 3)], True),
        (F(1, 4), [F(1, 4)], False),
        (F(1, 2), [F(1, 4)], True),
        (F(1, 2), [F(1, 2)], False),
        (F(1, 2), [F(1), F(1, 4)], True),
        (F(1, 3), [F(1, 3)], None),
        (F(2, 3), [F(1, 3)], False),
        (F(1, 3), [F(1, 6)], None),
        (F(5, 6), [F(1, 6)], False),
        (F(1, 5), [F(1, 4)], None),
    ],
)
def test_the_full_grid_gives_each_place_its_hand(at: F, tried: list[F], leads: bool | None) -> None:
    """By the first length of a cell that the place is whole in; the middle of a triplet is anybody's."""
    assert natural(spot(at), tried) is leads


def test_a_longer_beat_is_counted_in_its_own_cells() -> None:
    """The second and the last eighth of a group of three: anybody's, and the other hand's."""
    assert natural(spot(F(1, 3), F(3, 2)), [F(1, 2)]) is None
    assert natural(spot(F(2, 3), F(3, 2)), [F(1, 2)]) is False


# The shipped fills' own hands

EXPLAINED = {
    "parade pickup": "its accents lie three apart and alternate",
    "brush fan": "the left brush sweeps",
    "brush turn": "the left brush sweeps",
    "brush answer": "the left brush sweeps",
    "carnival pickup": "its last stroke reaches back to the floor tom",
    "carnival turn": "the right hand plays the first of two lone accents",
    "late set-up with a lift": "the accent is the right hand's",
    "late stutter": "alternates over the hole, as the accent comes late",
}
GROOVES_EXPLAINED = {
    "brush ballad": "the left brush sweeps",
    "brush swing": "the left brush sweeps",
    "tango": "the right hand marches in quarters",
}
SWUNG_SIXTEENTHS = {F(0), F(1, 3), F(1, 2), F(5, 6)}


def tempo_of(fill: Pattern) -> F:
    return sum(fill.tempo) / 2 if fill.tempo else F(100)


def feel_of(fill: Pattern) -> str:
    """A feel that the fill fits; one that swings sixteenths where its places are those."""
    swung = all(SWUNG_SIXTEENTHS.issuperset(onsets) for onsets in fill.onsets)
    struck = {at for onsets in fill.onsets for at in onsets}
    if swung and {F(1, 2), F(5, 6)} <= struck:
        return "sixteenth shuffle"
    beats = own_beats(fill, tempo_of(fill))
    return next(each.name for each in BOOK.feels if worst(judge(fill, each, beats)) == FITS)


def hand_to_hand(fill: Pattern) -> bool:
    """True where no hand is written twice running, but over a hole: a longer gap that no foot fills."""
    struck = sorted({(stroke.place, stroke.hand) for stroke in fill.strokes if stroke.by_hand})
    feet = {stroke.place for stroke in fill.strokes if not stroke.by_hand}
    gaps = [after - before for (before, _), (after, _) in pairwise(struck)]
    for number, ((start, hand), (end, again)) in enumerate(pairwise(struck)):
        beside = gaps[max(0, number - 1) : number] + gaps[number + 1 : number + 2]
        hole = any(gaps[number] > gap for gap in beside) and gaps[number] not in beside
        if hand == again != BOTH and not (hole and not any(start < foot < end for foot in feet)):
            return False
    return bool(struck) and all(hand for _, hand in struck)


def test_the_hands_of_the_shipped_fills_are_found_from_their_rhythm_and_drums() -> None:
    """At least 95 of 100 that are written hand to hand; the rest are listed with a reason."""
    fills = [fill for fill in BOOK.patterns.fills() if hand_to_hand(fill)]
    other = {fill.name for fill in fills if sticking(fill) != found_for(fill, feel_of(fill), tempo_of(fill))}
    assert len(fills) >= 150
    assert set(EXPLAINED) == other
    assert len(other) <= 0.05 * len(fills)


def test_the_grooves_that_ship_find_their_own_hands() -> None:
    """At the middle of its tempos: time in the leading hand, backbeats in the other; three are explained."""
    grooves = BOOK.patterns.grooves()
    other = {
        each.name for each in grooves if sticking(each) != found_for(each, feel_of(each), tempo_of(each))
    }
    assert len(grooves) >= 60
    assert set(GROOVES_EXPLAINED) == other
