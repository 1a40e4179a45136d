"""Two hands and two feet: who plays what, and what they cannot."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import BOOK, QUARTER, chart, feel, findings, of_rule, pattern, write_book

from charts.fitting.hands import (
    TOO_FAST,
    TWO_PLACES,
    Playing,
    hands_are_meant,
    landing_times,
    playable,
    with_hands,
)
from charts.fitting.leading import KEPT, TIME_VOICES, Asked
from charts.fitting.moments import own_beats, stroke_times
from charts.fitting.sticking import (
    BREACH,
    CM_A_POINT,
    CROSSED,
    LEAD,
    OFF,
    OFF_FIRST,
    OVER_HOLE,
    REPEAT,
    Blow,
    Pace,
    allowed,
    reach,
    same_drum,
    stick,
)
from charts.kit import VOICES
from charts.limits import Limits
from charts.pattern import GROOVE, Pattern, Stroke
from charts.rows import write_rows

SIXTEENTHS = feel("straight sixteenths")


def played(
    rows: str, bpm: int = 100, name: str = "straight sixteenths", kind: str = "fill", **more
) -> Playing:
    found = pattern(rows, kind=kind)
    return playable(found, feel(name), own_beats(found, F(bpm)), **more)


def hands(rows: str, bpm: int = 100, name: str = "straight sixteenths", kind: str = "fill", **more) -> str:
    """The sticking that is found, as the row of a pattern shows it."""
    found = pattern(rows, kind=kind)
    playing = playable(found, feel(name), own_beats(found, F(bpm)), **more)
    return write_rows(with_hands(found, playing)).splitlines()[-1].removeprefix("stick").strip()


def told(playing: Playing) -> list[tuple[str, str, str, str]]:
    return [(b.limb, b.kind, b.first.voice, b.second.voice) for b in playing.breaches]


# Finding the hands


def test_single_strokes_alternate_from_the_right() -> None:
    """Sixteenths on the snare."""
    assert hands("SD oooo|oooo") == "RLRL|RLRL"


def test_a_left_handed_kit_is_the_mirror_image() -> None:
    """The same sixteenths begin with the left hand."""
    assert hands("SD oooo|oooo", left_handed=True) == "LRLR|LRLR"


def test_round_the_kit_alternates() -> None:
    """Drums in a row down to the floor tom need no crossing and no repeated hand."""
    rows = "SD oooo|....|....|....\nT1 ....|oooo|....|....\nT2 ....|....|oooo|....\nFT ....|....|....|oooo"
    assert hands(rows) == "RLRL|RLRL|RLRL|RLRL"


def test_triplets_alternate_over_the_beats() -> None:
    """Three strokes a beat change the leading hand from beat to beat."""
    assert hands("SD ooo|ooo", 100, "shuffle") == "RLR|LRL"


def test_the_hand_on_the_right_plays_the_drum_on_the_right() -> None:
    """Snare and floor tom in turn: left on the snare, right on the floor tom, nobody crosses."""
    assert hands("SD o.o.|o.o.\nFT .o.o|.o.o") == "LRLR|LRLR"


def test_time_on_the_hi_hat_stays_in_one_hand() -> None:
    """Eighths on the hat are all right, and both hands play where the snare falls with it."""
    rows = "HH xx|xx|xx|xx\nSD ..|o.|..|o.\nBD o.|..|o.|.."
    assert hands(rows, 120, kind="groove") == "RR|BR|RR|BR"


def test_two_drums_at_once_take_both_hands() -> None:
    """The row of the pattern says B, the assignment who strikes which."""
    playing = played("T1 o\nFT o")
    assert (playing.assignment, hands("T1 o\nFT o")) == (("L", "R"), "B")


def test_a_given_hand_is_kept() -> None:
    """Only strokes without a hand are given one."""
    assert hands("SD ooo.\nstick LLR.") == "LLR."


def test_feet_follow_from_their_voices() -> None:
    """Bass drum right, hi-hat and second bass drum left; the other way round on a left-handed kit."""
    rows = "BD o..\nB2 .o.\nHF ..x"
    assert played(rows, 60, "shuffle").assignment == ("RF", "LF", "LF")
    assert played(rows, 60, "shuffle", left_handed=True).assignment == ("LF", "RF", "RF")


# Limits


def test_one_hand_needs_its_time() -> None:
    """Sixteenths at 120 in one hand: 125 ms, and 140 are needed for all but the second of a double."""
    playing = played("SD oooo\nstick RRRR", 120)
    assert [(float(b.gap_ms), float(b.limit_ms)) for b in playing.breaches] == [(125.0, 140.0)]
    assert (playing.breaches[0].first.at, playing.breaches[0].second.at) == (F(1, 4), F(1, 2))


def test_a_double_may_be_quick() -> None:
    """The second of two strokes on one drum has 70 ms: RRLL goes at 200 bpm, not at 220."""
    rows = "SD oooo|oooo\nstick RRLL|RRLL"
    assert played(rows, 200).playable
    assert {b.limit_ms for b in played(rows, 220).breaches} == {70}


def test_a_double_is_on_one_drum() -> None:
    """Two strokes of one hand on two drums are single strokes."""
    playing = played("SD o...\nFT .o..\nstick RR..", 120)
    assert told(playing) == [("right hand", TOO_FAST, "SD", "FT")]
    assert played("SD o...\nXS .o..\nstick RR..", 120).playable


def test_a_foot_has_limits_of_its_own() -> None:
    """Three sixteenths of the bass drum at 120: a double at 125 ms, the third too soon."""
    assert played("BD oo..", 120).playable
    assert told(played("BD ooo.", 120)) == [("right foot", TOO_FAST, "BD", "BD")]
    assert played("BD o.o.\nB2 .o.o", 120).playable


def test_a_limit_itself_is_allowed() -> None:
    """Exactly 140 ms is enough."""
    moved, tempo = pattern("SD o.\nFT .o\nstick RR"), F(60000, 280)
    for bpm, can in ((tempo, True), (tempo + 1, False)):
        assert playable(moved, feel("straight eighths"), own_beats(moved, bpm)).playable is can


def test_a_player_may_be_faster() -> None:
    """The book's own limits are kept."""
    rows = "SD oooo|oooo\nstick RRRR|RRRR"
    assert not played(rows, 150).playable
    assert played(rows, 150, limits=Limits.from_rates(hand=F(10))).playable


def test_swing_moves_the_gap() -> None:
    """A pair written even and played swung at 160: 250 ms to the upbeat, 125 on to the next beat."""
    swung = Pattern("", "fill", 2, pattern("SD oo|o.").strokes, swung=True)
    times = stroke_times(swung, feel("shuffle"), own_beats(swung, F(160)))
    assert [float(ms) for ms in times] == [0, 250, 375]


def test_a_groove_runs_into_itself() -> None:
    """The last stroke of a groove is followed by its first: a foot that is too quick there is told."""
    rows = "BD o...|..oo"
    assert played(rows, 120).playable
    assert told(played(rows, 120, kind=GROOVE)) == [("right foot", TOO_FAST, "BD", "BD")]


def test_three_drums_at_once_are_one_too_many() -> None:
    """A hand would be in two places."""
    (breach,) = played("SD o\nT1 o\nFT o").breaches
    assert (breach.kind, breach.first.voice, breach.second.voice) == (TWO_PLACES, "SD", "FT")


@pytest.mark.parametrize("cell", ["f", "d"])
def test_a_flam_or_drag_needs_both_hands(cell: str) -> None:
    """With another drum at the same time one hand would be in two places."""
    assert played(f"SD {cell}").playable
    assert [b.kind for b in played(f"SD {cell}\nT1 o").breaches] == [TWO_PLACES]


def test_one_foot_cannot_be_on_two_pedals() -> None:
    """Hi-hat foot and second bass drum are both the left foot's."""
    assert told(played("B2 o\nHF x")) == [("left foot", TWO_PLACES, "B2", "HF")]


def test_one_hand_cannot_strike_two_drums() -> None:
    """Strokes that are given one hand at one time."""
    both = [Stroke(0, F(0), "SD", hand="R"), Stroke(0, F(0), "FT", hand="R")]
    found = Pattern("", "fill", 1, tuple(both))
    playing = playable(found, SIXTEENTHS, own_beats(found, F(100)))
    assert [b.kind for b in playing.breaches] == [TWO_PLACES]


def test_a_breach_as_json() -> None:
    """Limb, kind, both strokes, gap and limit."""
    row = played("SD oo|oo\nstick RR|RR", 300, "straight eighths").breaches[0].row()
    assert row == {
        "limb": "right hand",
        "kind": "too-fast",
        "first": {"beat": 1, "at": "1/2", "voice": "SD"},
        "second": {"beat": 2, "at": "0", "voice": "SD"},
        "gap_ms": 100.0,
        "limit_ms": 140.0,
    }


# The search is exact

voices = st.sampled_from(["SD", "T1", "FT", "HH", "RD", "C1"])


@st.composite
def rows_of_blows(draw):
    gaps = draw(st.lists(st.sampled_from([50, 80, 120, 160, 300]), min_size=1, max_size=6))
    time, blows = 0, []
    for gap in gaps:
        first, second = draw(voices), draw(voices)
        kind = draw(st.sampled_from(["one", "one", "one", "two", "flam"]))
        one = ((first, None, LEAD), (None, first, OFF))
        two = ((first, second, 2), (second, first, 2)) if first != second else one
        flam = ((first, first, LEAD), (first, first, OFF))
        costs = draw(st.sampled_from([(0, 0), (20, 0), (0, 20), (0, 3)]))
        asked = Asked(draw(st.booleans()), *costs, lands=len(blows) > 3)
        blows.append(Blow(time, {"one": one, "two": two, "flam": flam}[kind], asked))
        time += gap
    return blows


def is_crossed(lead: str, off: str) -> bool:
    if not lead or not off or (lead in ("HH", "C1") and reach(off, "SD") <= 5):
        return False
    return VOICES[lead].x < VOICES[off].x - 15


def work_of(blows, ways) -> int:
    """The whole work of one way of playing, added up from first principles."""
    total, last, was_crossed = 0, 2, False
    at: dict[int, tuple[int, int, str, bool]] = {}
    for place, (blow, way) in enumerate(zip(blows, ways, strict=True)):
        *struck, whose = blow.ways[way]
        for hand, voice in enumerate(struck):
            if voice is None:
                continue
            double = False
            if hand in at:
                when, where, drum, doubled = at[hand]
                gap, way_there = blow.time - when, reach(drum, voice)
                total += way_there // CM_A_POINT
                double = where == place - 1 and way_there <= 5 and not doubled and 70 <= gap < 140
                total += 0 if gap >= 140 or double else BREACH
            at[hand] = (blow.time, place, voice, double)
        if whose != 2:
            total += blow.asked.off if whose else blow.asked.lead
            total += (
                OFF_FIRST * min(4, len(blows)) ** 2 // 2 if whose and not place and not blow.asked.lead else 0
            )
            total += (REPEAT if blow.asked.tied else OVER_HOLE) if whose == last else 0
        elif struck[1] in TIME_VOICES:
            total += KEPT
        lead, off = (at[hand][2] if hand in at else "" for hand in (0, 1))
        if was_crossed and (blow.asked.lands or (whose != last and is_crossed(lead, off))):
            total += CROSSED
        was_crossed = is_crossed(lead, off)
        last = whose
    return total + (CROSSED if was_crossed and len(blows) < 5 else 0)


@settings(max_examples=120, deadline=None)
@given(rows_of_blows())
def test_no_other_sticking_is_less_work(blows) -> None:
    """The search finds what trying everything finds."""
    found = work_of(blows, stick(blows, Pace(140, 70)))
    assert found == min(work_of(blows, ways) for ways in product(*(range(len(blow.ways)) for blow in blows)))


def test_a_long_pattern_is_quick() -> None:
    """Sixty-four beats of sixteenths do not take for ever."""
    rows = "SD " + "|".join(["oo.o"] * 64) + "\nFT " + "|".join(["..o."] * 64)
    assert len(played(rows).assignment) == 256


# The rule


def rule(rows: str, feel_name: str = "straight sixteenths", tempo: str = "150", book=BOOK):
    text = chart(f"Verse (8): {{fill: {{rows: {rows}}}}}", feel=feel_name, tempo=tempo)
    return of_rule(findings(text, book), "hands")


def test_too_fast_is_a_warning_that_says_who_and_how_much() -> None:
    """The limb, the two strokes, the ms."""
    (finding,) = rule('"SD oooo\\nstick RRRR"')
    assert finding.level == "warning"
    assert "the right hand has 100 ms from SD on 4+1/4 to SD on 4+1/2, and needs 140" == finding.message
    assert finding.hint.startswith("let the hands alternate")


def test_two_places_is_an_error() -> None:
    """Three drums at once."""
    (finding,) = rule('"SD o\\nT1 o\\nFT o"', tempo="80")
    assert finding.level == "error"
    assert "asked to be in two places" in finding.message


def test_one_finding_a_fill() -> None:
    """Many breaches are told in one, the first few in words."""
    (finding,) = rule('"SD oooooooo|oooooooo\\nstick RRRRRRRR|RRRRRRRR"')
    assert any("more like these" in text for _, text in finding.lines)


def test_a_books_own_player_is_asked(tmp_path) -> None:
    """Ten strokes per second in one hand are the record, and 150 bpm needs just that."""
    book = write_book(tmp_path, book="player: {hand: 10, hand-double: 14}\n")
    assert not rule('"SD oooo\\nstick RRRR"', book=book)
    assert rule('"SD oooo\\nstick RRRR"')


def test_the_worst_pass_is_told() -> None:
    """A section that speeds up is judged on every pass, and told where it is worst."""
    text = chart(
        'Verse (4) x2: {tempos: {3: 160}, fills: {4: {rows: "SD oooo\\nstick RRRR"}}}',
        feel="straight sixteenths",
        tempo="100",
    )
    (finding,) = of_rule(findings(text), "hands")
    assert (finding.where.pass_, finding.detail["tempo"], finding.detail["also"]) == (2, 160.0, [])


# one function at a time


@pytest.mark.parametrize(
    ("one", "other", "centimeters"),
    [("SD", "SD", 0), ("SD", "XS", 0), ("SD", "FT", 55), ("FT", "SD", 55), ("T1", "T2", 34), ("HH", "RD", 115),
     ("C1", "FT", 111), ("SD", "T1", 37), ("RD", "RB", 3)],
)  # fmt: skip
def test_the_way_from_voice_to_voice_is_straight(one: str, other: str, centimeters: int) -> None:
    """In whole centimeters of the kit's plan, rounded down."""
    assert centimeters == reach(one, other)


def test_a_stick_stays_where_rim_and_head_or_bell_and_bow_are() -> None:
    """No other two voices are one drum."""
    pairs = {(one, other) for one in VOICES for other in VOICES if one < other and same_drum(one, other)}
    assert {("SD", "XS"), ("RB", "RD")} == pairs
    assert all(same_drum(voice, voice) for voice in VOICES)


@pytest.mark.parametrize(
    ("gap", "in_a_row", "doubled", "expected"),
    [
        (141, False, False, (True, False)),
        (140, True, True, (True, False)),
        (139, True, False, (True, True)),
        (139, True, True, (False, False)),
        (139, False, False, (False, False)),
        (70, True, False, (True, True)),
        (69, True, False, (False, False)),
    ],
)
def test_how_soon_a_hand_may_strike_again(
    gap: int, in_a_row: bool, doubled: bool, expected: tuple[bool, bool]
) -> None:
    """From 140 on anything; from 70 on the second of two on one drum."""
    assert expected == allowed(gap, in_a_row, doubled, Pace(140, 70))


@pytest.mark.parametrize(
    ("beat", "at", "ms"), [(0, "0", 0), (1, "1/2", 750), (2, "0", 1000), (2, "1/2", 1250), (3, "0", 1500), (4, "1/4", 2125)]
)  # fmt: skip
def test_when_a_landing_sounds(beat: int, at: str, ms: int) -> None:
    """Two beats of 500 ms; after them the last one's length goes on."""
    beats = [(QUARTER, F(120))] * 2
    assert (ms,) == landing_times([Stroke(beat, F(at), "C1")], beats)


def test_a_landing_after_a_change_of_tempo_is_in_the_last_beats_time() -> None:
    """Two of a second and one of half a second; half a beat after that is a quarter of a second."""
    beats = [(QUARTER, F(60)), (QUARTER, F(60)), (QUARTER, F(120))]
    places = [(1, F(1, 2)), (2, F(0)), (3, F(0)), (3, F(1, 2))]
    landing = [Stroke(beat, at, "C1") for beat, at in places]
    assert (1500, 2000, 2500, 2750) == landing_times(landing, beats)


LEAD_ON_T1, OFF_ON_FT = ("T1", None, LEAD), (None, "FT", OFF)


@pytest.mark.parametrize(
    ("first", "second", "same"), [(LEAD_ON_T1, OFF_ON_FT, OFF), (OFF_ON_FT, LEAD_ON_T1, LEAD)]
)
@pytest.mark.parametrize(
    ("more", "stays"), [(CROSSED - OVER_HOLE - 1, True), (CROSSED - OVER_HOLE + 1, False)]
)
def test_two_strokes_with_crossed_hands_are_dearer_than_one(first, second, same, more, stays) -> None:
    """The lead hand on the high tom is left of the other on the floor tom: the same hand may go on instead.

    ``more`` is what the rhythm asks for that.
    """
    costs = (more, 0) if same == LEAD else (0, more)
    choice = Blow(4000, (LEAD_ON_T1, OFF_ON_FT), Asked(False, *costs))
    ways = stick([Blow(0, (first,)), Blow(2000, (second,)), choice], Pace(140, 70))
    assert stays == (ways[-1] == same)


def test_the_off_hand_begins_a_short_fill_where_that_saves_a_repeat() -> None:
    """The longer a fill, the more it costs: here the second stroke is the lead hand's, hand to hand."""
    few = max(count for count in range(2, 99) if OFF_FIRST * count**2 // 2 < REPEAT)
    lead, off = ("SD", None, LEAD), (None, "SD", OFF)
    for strokes, first in ((few, OFF), (few + 1, LEAD)):
        rest = [Blow(2000 * number, (lead,), Asked(number == 1, 0, 0)) for number in range(1, strokes)]
        assert first == stick([Blow(0, (lead, off)), *rest], Pace(140, 70))[0]


@pytest.mark.parametrize("place", [1, 2, 3])
@pytest.mark.parametrize(("gap", "doubled"), [(70, True), (69, False)])
def test_a_double_is_played_wherever_it_falls(place: int, gap: int, doubled: bool) -> None:
    """The second stroke on a drum, 70 after the first, may be the same hand's where the rhythm asks for that."""
    lead, off = ("SD", None, LEAD), (None, "SD", OFF)
    blows = [Blow(1000 * number, (lead,)) for number in range(place)]
    blows.append(Blow(1000 * (place - 1) + gap, (lead, off), Asked(False, 0, 20)))
    assert (LEAD if doubled else OFF) == stick(blows, Pace(140, 70))[-1]


@pytest.mark.parametrize(
    ("rows", "meant"),
    [
        ("SD oooo|oooo\nstick RLRR|LRLL", True),
        ("SD oooo\nstick RRLL", True),
        ("SD ooo|ooo\nstick RLR|LRL", False),  # no doubles
        ("SD ooo.|ooo.\nstick RLR.|RLR.", False),  # the hole asks for them
        ("SD o..o\nFT .oo.\nstick RRLL", False),  # not on one drum
        ("SD oooo", False),  # no hands at all
    ],
)
def test_hands_are_meant_where_doubles_are_written_that_no_rhythm_asks_for(rows: str, meant: bool) -> None:
    """On one drum, and not what would be found."""
    found = pattern(rows)
    assert meant == hands_are_meant(found, SIXTEENTHS, own_beats(found, F(80)))


@pytest.mark.parametrize(
    ("rows", "name"),
    [
        ("SD oooo", "straight sixteenths"),
        ("T1 ..o\nT2 oo.", "shuffle"),
        ("FT ...o\nHH ooo.", "straight sixteenths"),
    ],
)
def test_the_order_of_what_a_fill_lands_on_changes_nothing(rows: str, name: str) -> None:
    """The foot's stroke first or the hand's."""
    fill = pattern(rows)
    crash, bass = Stroke(1, F(0), "C1"), Stroke(1, F(0), "BD")
    beats = own_beats(fill, F(90))
    first, second = (
        playable(fill, feel(name), beats, landing=each) for each in ((crash, bass), (bass, crash))
    )
    assert first == second
    assert len(fill.strokes) == len(first.assignment)


def test_one_hand_in_two_places_has_no_time_and_no_limit() -> None:
    """Three drums at once: neither gap nor limit is a length."""
    (breach,) = played("SD o\nT1 o\nFT o").breaches
    assert (0, 0) == (breach.gap_ms, breach.limit_ms)


@pytest.mark.parametrize(("more", "first"), [(-1, LEAD), (1, OFF)])
def test_hands_that_end_crossed_cost_what_they_are_worth(more: int, first: int) -> None:
    """The other hand on the floor tom ends crossed; the same hand goes there over a hole and a way."""
    wish = CROSSED - OVER_HOLE - reach("T1", "FT") // CM_A_POINT + more
    choice = Blow(2000, (("FT", None, LEAD), OFF_ON_FT), Asked(False, wish, 0))
    assert first == stick([Blow(0, (LEAD_ON_T1,)), choice], Pace(140, 70))[-1]


def test_what_each_hand_strikes_of_two_drums_is_told_of_it() -> None:
    """The third of both at once is too fast: the left hand on the snare, the right one on the hi-hat."""
    found = told(played("HH xxx.\nSD ooo.", 150))
    assert [("left hand", TOO_FAST, "SD", "SD"), ("right hand", TOO_FAST, "HH", "HH")] == sorted(found)
