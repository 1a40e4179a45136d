"""New fills out of one."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import BOOK, feel, pattern

from charts.fitting.hands import playable
from charts.fitting.moments import own_beats
from charts.fitting.vary import vary
from charts.notation import read_rows
from charts.pattern import Pattern, Stroke
from charts.rows import write_rows
from charts.verdict import FITS, judge, worst

FOUR_BEATS = [fill for fill in BOOK.patterns.fills() if fill.beats == 4]


def tempo_of(fill: Pattern) -> F:
    return sum(fill.tempo) / 2 if fill.tempo else F(100)


def feel_of(fill: Pattern):
    beats = own_beats(fill, tempo_of(fill))
    return next(each for each in BOOK.feels if worst(judge(fill, each, beats)) == FITS)


def varied(rows: str, name: str = "straight sixteenths", bpm: int = 90, **more):
    fill = pattern(rows)
    return vary(fill, feel(name), own_beats(fill, F(bpm)), **more)


def sound(fill: Pattern):
    return frozenset((s.beat, s.at, s.voice, s.kind, s.accent, s.hat) for s in fill.strokes)


@pytest.mark.parametrize("fill", FOUR_BEATS, ids=lambda fill: fill.name)
def test_six_ways_of_every_fill_of_four_beats(fill: Pattern) -> None:
    """Distinct, on the grid, playable with their landing, each with what changed, nearest first."""
    beats, own = own_beats(fill, tempo_of(fill)), feel_of(fill)
    ways = vary(fill, own, beats)
    assert len(ways) >= 6
    assert len({sound(way.pattern) for way in ways} | {sound(fill)}) == len(ways) + 1
    assert [way.distance for way in ways] == sorted(way.distance for way in ways)
    landing = [Stroke(fill.beats, F(0), voice) for voice in ("C1", "BD")]
    for way in ways:
        assert worst(judge(way.pattern, own, beats)) == FITS
        assert playable(way.pattern, own, beats, landing=landing).playable
        assert way.changed
        assert "\n" not in way.changed
        assert way.pattern.beats == fill.beats


def test_the_same_list_every_time() -> None:
    """Same input, same fills in the same order."""
    ways = [varied("SD Oooo|oooo\nT1 ....|..oo") for _ in range(2)]
    assert ways[0] == ways[1]


def test_each_kind_of_change_has_its_turn() -> None:
    """Drums, bass drum, diddle, accents, another beginning: not one idea over and over."""
    told = " / ".join(
        way.changed for way in varied("SD Oooo|oooo|....|....\nFT ....|....|oooo|oooo", count=7)
    )
    for words in (
        "the accents go to",
        "bass drum",
        "diddle",
        "accent",
        "starts on its beat",
        "goes to",
        "change places",
    ):
        assert words in told


def test_a_diddle_is_two_strokes_by_one_hand() -> None:
    """At twice the speed of the beat, by the hand that played the first."""
    way = next(way for way in varied("SD oo..\nstick RL..", bpm=60) if "diddle" in way.changed)
    assert way.changed == "the last stroke of beat 1 becomes a diddle"
    hands = [(str(s.at), s.hand) for s in way.pattern.strokes]
    assert hands == [("0", "R"), ("1/4", "L"), ("3/8", "L")]


def test_a_quick_tempo_leaves_the_quick_ways_out() -> None:
    """At 200 a minute no sixteenth becomes two."""
    assert not [way for way in varied("SD oooo|oooo", bpm=200, count=30) if "diddle" in way.changed]


def test_every_way_has_its_sticking() -> None:
    """Hands are found where none are given."""
    for way in varied("SD oooo\nFT ...."):
        assert all(stroke.hand for stroke in way.pattern.strokes if stroke.by_hand)


def test_rows_read_back() -> None:
    """What is shown can be pasted into a file."""
    for way in varied("SD Oooo|oogo\nBD ....|...o"):
        rows = read_rows(write_rows(way.pattern))
        assert not rows.problems
        assert rows.strokes == way.pattern.strokes


def test_a_fill_off_the_grid_is_re_laid_first() -> None:
    """Sixteenths in a shuffle: every way is in threes, and says so."""
    fill = pattern("SD oooo|oooo")
    beats = own_beats(fill, F(90))
    ways = vary(fill, feel("shuffle"), beats)
    assert len(ways) == 6
    for way in ways:
        assert way.changed.startswith("re-laid on the grid; ")
        assert worst(judge(way.pattern, feel("shuffle"), beats)) == FITS


def test_feet_alone_can_be_varied() -> None:
    """A bass drum's strokes go to a drum, or begin elsewhere."""
    told = [way.changed for way in varied("BD o.o.|..o.")]
    assert "the floor tom plays the bass drum's strokes" in told


def test_nothing_comes_of_nothing() -> None:
    """No strokes, no ways; nor for a fill that nobody can play."""
    assert varied("SD ....") == ()
    assert varied("SD o\nT1 o\nFT o") == ()
    assert varied("SD oooo", count=0) == ()


def test_as_many_as_were_asked_for() -> None:
    """Where single changes do not suffice the changed are changed again."""
    ways = varied("SD oooo|oooo|oooo|oooo", count=60)
    assert len(ways) == 60
    assert len({sound(way.pattern) for way in ways}) == 60


def test_a_groove_is_varied_as_a_groove() -> None:
    """It has no landing: what is asked is that it runs into itself."""
    groove = pattern("HH xx|xx|xx|xx\nSD ..|o.|..|o.\nBD o.|..|o.|..", kind="groove")
    ways = vary(groove, feel("straight eighths"), own_beats(groove, F(120)))
    assert len(ways) == 6
    assert {way.pattern.kind for way in ways} == {"groove"}
