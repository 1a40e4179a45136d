"""Stickings and playing speeds against the Percussive Arts Society's rudiments and published rates.

Beside each check is its source. Rudiments: Percussive Arts Society, 40 International Drum Rudiments,
1984; those marked “from memory” were not looked up.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import feel, pattern

from charts.fitting.hands import DEFAULT_LIMITS, Playing, playable, with_hands
from charts.fitting.moments import own_beats
from charts.limits import FASTEST_MS, LimitError, Limits
from charts.pattern import Pattern
from charts.rows import write_rows
from charts.verdict import CROSSES, FITS, judge, worst

RECORD = Limits(**FASTEST_MS)
RUDIMENTS = {
    "single stroke roll": "RLRL|RLRL",  # read
    "single paradiddle": "RLRR|LRLL",  # read
    "double stroke open roll": "RRLL|RRLL",  # from memory
    "double paradiddle": "RLRLRR|LRLRLL",  # from memory
    "triple paradiddle": "RLRLRLRR|LRLRLRLL",  # from memory
    "paradiddle-diddle": "RLRRLL|RLRRLL",  # from memory
    "six stroke roll": "RLLRRL|RLLRRL",  # from memory
}


def on_the_snare(stick: str) -> Pattern:
    """A sticking played evenly on the snare."""
    return pattern(f"SD    {'|'.join('o' * len(beat) for beat in stick.split('|'))}\nstick {stick}")


def at_rate(stick: str, strokes_a_second: F, limits: Limits = DEFAULT_LIMITS) -> Playing:
    """The sticking at so many even strokes per second, all hands together."""
    fill = on_the_snare(stick)
    bpm = 60 * strokes_a_second / len(stick.split("|", maxsplit=1)[0])
    return playable(fill, feel("straight sixteenths"), own_beats(fill, bpm), limits)


@pytest.mark.parametrize("name", RUDIMENTS)
def test_a_rudiment_is_played_as_it_is_stuck(name: str) -> None:
    """Percussive Arts Society: its own sticking is kept and playable at eight strokes per second."""
    playing = at_rate(RUDIMENTS[name], F(8))
    assert playing.playable
    assert "".join(playing.assignment) == RUDIMENTS[name].replace("|", "")


@pytest.mark.parametrize("name", RUDIMENTS)
def test_no_rudiment_asks_one_hand_for_three_running(name: str) -> None:
    """Percussive Arts Society: single strokes and diddles only, so each goes at 14 strokes per second.

    At that speed a diddle has its 70 ms, and strokes two apart have the 140 of single ones.
    """
    again = RUDIMENTS[name].replace("|", "") * 2
    assert "RRR" not in again
    assert "LLL" not in again
    assert at_rate(RUDIMENTS[name], F(14)).playable


def test_the_single_stroke_roll_is_what_is_found() -> None:
    """Percussive Arts Society rudiment 1: even strokes on one drum alternate."""
    free = pattern("SD oooo|oooo")
    playing = playable(free, feel("straight sixteenths"), own_beats(free, F(100)))
    assert write_rows(with_hands(free, playing)).splitlines()[-1] == "stick RLRL|RLRL"


@pytest.mark.parametrize(
    ("name", "rhythm", "hands"),
    [
        ("single stroke roll", "oooo|oooo", "RLRL|RLRL"),  # 1, read
        ("single stroke four", "oooo..|oooo..", "RLRL..|RLRL.."),  # 2, places from memory
        ("single stroke seven", "oooooo|o.....", "RLRLRL|R"),  # 3, from memory
        ("flam accent", "foo|foo", "RLR|LRL"),  # 21, from memory
        ("alternating flams", "f|f|f|f", "R|L|R|L"),  # 20, from memory
    ],
)
def test_single_stroke_rudiments_come_out_of_their_rhythm(name: str, rhythm: str, hands: str) -> None:
    """Percussive Arts Society: nothing is given but where the strokes fall."""
    free = pattern(f"SD {rhythm}")
    playing = playable(free, feel("shuffle"), own_beats(free, F(80)))
    assert write_rows(with_hands(free, playing)).splitlines()[-1] == f"stick {hands}", name


def test_a_paradiddle_has_one_diddle_in_four() -> None:
    """Percussive Arts Society: RLRR LRLL; only the doubled strokes need the limit of a double."""
    slower_double = Limits(hand_double_ms=F(140))
    assert at_rate("RLRR|LRLL", F(7), slower_double).playable
    breaches = at_rate("RLRR|LRLL", F(8), slower_double).breaches
    assert [(b.first.beat, b.first.at, b.second.at) for b in breaches] == [
        (0, F(1, 2), F(3, 4)),
        (1, F(1, 2), F(3, 4)),
    ]


def test_the_single_stroke_four_lies_in_triplets() -> None:
    """Percussive Arts Society rudiment 2, at 0, 1/6, 1/3 and 1/2 of the beat (from memory)."""
    four = pattern("SD    oooo..\nstick RLRL..")
    assert four.onsets[0] == (F(0), F(1, 6), F(1, 3), F(1, 2))
    fitting = {"straight sixteenths": FITS, "shuffle": CROSSES}  # a shuffle's run ends on a place of its own
    for name, expected in fitting.items():
        assert expected == worst(judge(four, feel(name), own_beats(four, F(92))))
    assert playable(four, feel("shuffle"), own_beats(four, F(92))).playable


@pytest.mark.parametrize(
    ("name", "rows", "feel_name"),
    [
        ("flam accent", "SD    foo|foo\nstick RLR|LRL", "shuffle"),
        ("flam tap", "SD    fofo\nstick RRLL", "straight sixteenths"),
    ],
)
def test_flam_rudiments_are_played_on_one_drum(name: str, rows: str, feel_name: str) -> None:
    """Percussive Arts Society rudiments 21, lRLR rLRL, and 22, lR R rL L (from memory)."""
    fill = pattern(rows)
    assert playable(fill, feel(feel_name), own_beats(fill, F(80))).playable, name


def test_a_flam_leaves_no_hand_for_another_drum() -> None:
    """Percussive Arts Society rudiment 20: one hand's grace note goes with the other hand's stroke."""
    fill = pattern("SD f...\nFT o...")
    playing = playable(fill, feel("straight sixteenths"), own_beats(fill, F(60)))
    assert [breach.kind for breach in playing.breaches] == ["two-places"]


def test_twelve_strokes_a_second_of_one_hand_are_refused_at_any_setting() -> None:
    """The record holder's hand plays 10 a second: S. Fujii et al., Neuroscience Letters 459 (2009) 69-73."""
    for hand in range(1, 11):
        for double in range(1, 15):
            limits = Limits.from_rates(hand=F(hand), hand_double=F(double))
            assert not at_rate("RRRR|RRRR", F(12), limits).playable
    with pytest.raises(LimitError):
        Limits.from_rates(hand=F(12))


def test_ten_strokes_a_second_of_one_hand_are_the_record() -> None:
    """S. Fujii et al. 2009: allowed to a player who says so, and to nobody by default."""
    assert at_rate("RRRR|RRRR", F(10), RECORD).playable
    assert not at_rate("RRRR|RRRR", F(10)).playable


@pytest.mark.parametrize(("rate", "can"), [(5, True), (7, True), (8, False)])
def test_the_default_hand_is_a_general_one(rate: int, can: bool) -> None:
    """5 to 7 strokes per second of one hand in general: S. Fujii et al. 2009, abstract."""
    assert at_rate("RRRR|RRRR", F(rate)).playable is can


def test_two_hands_at_the_record() -> None:
    """1,208 single strokes in 60 s (news reports of July 2013): just past what any setting allows."""
    assert at_rate("RLRL|RLRL", F(20), RECORD).playable
    assert not at_rate("RLRL|RLRL", F(1208, 60), RECORD).playable
    assert not at_rate("RLRL|RLRL", F(20)).playable


def test_the_foot_lies_inside_what_was_measured() -> None:
    """Groove MIDI Dataset (Gillick et al. 2019): four in a row, 5 % under 107 ms; doubles 131 ms."""
    assert FASTEST_MS["foot_ms"] == 107
    default = Limits()
    assert 107 < default.foot_ms < 206  # between the fastest twentieth and the fastest quarter
    assert default.foot_double_ms < 131  # half of all measured doubles are faster than this


def test_a_herta_is_played_hand_to_hand() -> None:
    """Two fast, two slow (1:1:2:2): 0, 1/6, 1/3, 2/3 of a triplet beat; two drum teachers' pages, read."""
    rows = pattern("SD ooo.o.|ooo.o.")
    assert rows.onsets[0] == (F(0), F(1, 6), F(1, 3), F(2, 3))
    beats = own_beats(rows, F(92))
    assert worst(judge(rows, feel("half-time shuffle"), beats)) == FITS
    playing = playable(rows, feel("half-time shuffle"), beats)
    assert playing.playable
    assert "".join(playing.assignment) == "RLRLRLRL"


def test_a_diddle_inside_a_triplet_is_one_hand_at_double_speed() -> None:
    """Two strokes by one hand (Percussive Arts Society usage), at 1/3 and 1/2 of the beat."""
    rows = pattern("SD    o.ooo.\nstick R.LLR.")
    assert rows.onsets[0] == (F(0), F(1, 3), F(1, 2), F(2, 3))
    at_92 = playable(rows, feel("shuffle"), own_beats(rows, F(92)))
    assert at_92.playable
    at_150 = playable(rows, feel("shuffle"), own_beats(rows, F(150)))
    assert [(b.limb, b.limit_ms) for b in at_150.breaches] == [("left hand", 70)]
