"""New fills out of one."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import BOOK, feel, pattern

from charts.fitting.changes import KINDS
from charts.fitting.hands import playable, with_hands
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


@pytest.mark.parametrize("fill", FOUR_BEATS[::3], ids=lambda fill: fill.name)
def test_the_loud_end_stays_at_the_end(fill: Pattern) -> None:
    """Where a fill ends on an accent in its last beat, no variation leaves that beat without one."""
    if not any(stroke.accent and stroke.beat == fill.beats - 1 for stroke in fill.strokes):
        return
    for way in vary(fill, feel_of(fill), own_beats(fill, tempo_of(fill)), count=14):
        assert any(stroke.accent and stroke.beat == fill.beats - 1 for stroke in way.pattern.strokes)


SIXTEENTHS = "SD Oooo|....|....|....\nT1 ....|Oooo|....|....\nFT ....|....|oooo|oooO"


@pytest.mark.parametrize(
    ("words", "rows"),
    [
        ("the last stroke goes to the bass drum; the hands are free for the crash", "BD ....|....|....|...O"),
        ("up the kit instead of down", "SD ....|....|oooo|oooO"),
        ("right hand to the floor tom, left on the snare", "SD .o.o|.o.o|.o.o|.o.O"),
        ("a hole in beat 3: let it breathe", "FT ....|....|o...|oooO"),
        ("paradiddles over the same rhythm, accents on their first strokes", "stick RLRR|LRLL|RLRR|LRLL"),
        ("double strokes over the same rhythm, accents as they were", "stick RRLL|RRLL|RRLL|RRLL"),
        ("a herta for three singles in beat 2", "T1 ........|Ooo.o.o.|........|........"),
        ("flams on the accents", "T1 ....|Fooo|....|...."),
        ("only its second half; the groove goes on until then", "FT ....|....|oooo|oooO"),
        ("ends on the last &, before the next one", "FT ....|....|oooo|ooO."),
        ("crash and bass drum together on the accent of beat 2", "C1 ....|X...|....|...."),
        ("hand, hand, foot, cell for cell", "BD ..o.|.o..|o..o|..o."),
        ("half speed, then full", "SD O.o.|o.o.|....|...."),
        ("ghosts between the accents", "SD Oggg|....|....|...."),
        ("the accents go to the floor tom", "FT O...|O...|oooo|oooO"),
    ],
)
def test_the_teachers_list(words: str, rows: str) -> None:
    """Each idea, on sixteenths down the kit: the row that shows it."""
    fill = pattern(SIXTEENTHS)
    for each in KINDS:
        stuck = with_hands(fill, playable(fill, feel("straight sixteenths"), own_beats(fill, F(90))))
        for told, strokes in each(stuck.by_beat):
            if told == words:
                assert pattern_rows(stuck.with_strokes(strokes), rows) == rows
                return
    raise AssertionError(f"{words} is not on the list")


def pattern_rows(fill: Pattern, like: str) -> str:
    """The row of the same voice, written in as many cells to a beat as another."""
    voice, cells = like.split(maxsplit=1)
    beats = cells.split("|")
    signs = {"ghost": "g", "flam": "f", "stroke": "x" if voice in ("C1", "HH") else "o"}
    found = []
    for number, beat in enumerate(beats):
        at = {
            stroke.at * len(beat): stroke
            for stroke in fill.by_beat[number]
            if voice in ("stick", stroke.voice)
        }
        if voice == "stick":
            signs_here = [at[F(place)].hand if F(place) in at else "." for place in range(len(beat))]
        else:
            struck = [at.get(F(place)) for place in range(len(beat))]
            signs_here = [
                "." if s is None else signs[s.kind].upper() if s.accent else signs[s.kind] for s in struck
            ]
        found.append("".join(signs_here))
    return f"{voice} {'|'.join(found)}"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("SD oooO", "a hole"),  # neither the first beat nor the last
        ("SD oooo|oooO", "a hole"),
        ("SD O.O|O.O", "a herta"),
        ("SD oooo", "flams on the accents"),
        ("SD oo|oo", "ends on the last &"),
        ("SD oooo|oooo", "up the kit"),
        ("SD oooo|o...", "hand, hand, foot"),
        ("SD Oo.o|Oo.o|oooo|oooo\nBD ..o.|..o.|....|....", "hand, hand, foot"),
        ("SD oooo", "half speed"),
        ("SD oooo", "only its second half"),
        ("SD ooo|ooo", "paradiddles"),
        ("SD OOOO|OOOO", "ghosts between"),
        ("SD oo|oo", "the bass drum takes the last stroke of beat 2"),
    ],
)
def test_ideas_that_a_fill_has_no_room_for(rows: str, words: str) -> None:
    """They are not on its list."""
    assert not any(told.startswith(words) for kind in KINDS for told, _ in kind(pattern(rows).by_beat))


def test_the_same_list_every_time() -> None:
    """Same input, same fills in the same order."""
    ways = [varied("SD Oooo|oooo\nT1 ....|..oo") for _ in range(2)]
    assert ways[0] == ways[1]


def test_each_kind_of_change_has_its_turn() -> None:
    """A teacher's list: bass drum, flams, drums, hands, holes, hertas; not one idea over and over."""
    told = " / ".join(
        way.changed for way in varied("SD Oooo|oooo|....|....\nFT ....|....|oooo|oooo", count=7)
    )
    for words in (
        "flams on the accents",
        "the last stroke goes to the bass drum",
        "up the kit instead of down",
        "right hand to the floor tom, left on the snare",
        "a hole in beat 3",
        "paradiddles over the same rhythm",
        "a herta for three singles in beat 1",
    ):
        assert words in told


def test_a_diddle_is_two_strokes_by_one_hand() -> None:
    """At twice the speed of the beat, by the hand that played the first."""
    way = next(way for way in varied("SD oo..\nstick RL..", bpm=60) if "diddle" in way.changed)
    assert way.changed == "the last stroke of beat 1 becomes a diddle"
    hands = [(str(s.at), s.hand) for s in way.pattern.strokes]
    assert hands == [("0", "R"), ("1/4", "L"), ("3/8", "L")]


def test_a_quick_tempo_leaves_the_quick_ways_out() -> None:
    """At 200 bpm no sixteenth becomes two."""
    assert not [way for way in varied("SD oooo|oooo", bpm=200, count=30) if "becomes a diddle" in way.changed]


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
