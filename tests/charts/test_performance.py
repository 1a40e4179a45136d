"""Every bar, beat and stroke as it sounds: the count-in, the groove, fills and what gives way to them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import HealthCheck, given, settings
from random_songs import songs
from support import chart, feel, pattern, song

from charts.feel import Feel
from charts.pattern import GROOVE, Pattern, Stroke
from charts.performance import BAR, COUNT_IN, PICKUP, count_in_seconds, lead_in, perform, played_bars
from charts.played import song_seconds
from charts.song import Place, Section, Song, Stop
from charts.strokes import BeatStrokes, Struck, groove_beat, in_the_way, play_drums, silent_from, sounding
from charts.timing import Meter
from render.live.pulse import count_in
from render.sound.clicks import clicks
from render.terminal.roadmap import foot_lines

# the count-in and the pickup


@pytest.mark.parametrize(
    ("meter", "count", "beats", "seconds"),
    [
        ("7/8 (3+2+2)", "2 beats", [0, 1.5], 2.5),
        ("7/8 (2+2+3)", "2 beats", [0, 1], 2),
        ("7/8 (3+2+2)", "1 bar 1 beat", [0, 1.5, 2.5, 3.5], 5),
        ("7/8 (3+2+2)", "5 beats", [0, 1.5, 2.5, 3.5, 5], 6),
        ("6/8", "2 beats", [0, 1], 2),
        ("4/4", "none", [], 0),
    ],
)
def test_a_count_in_lasts_as_long_as_the_beats_that_are_spoken(meter, count, beats, seconds):
    """The long beat first where the bar has it first, on the click, on the screen and before bar 1."""
    tune = song(chart("A (1)", head=f'meter: "{meter}"\ncount-in: {count}\n', tempo="60"))
    line = perform(tune)
    assert seconds == count_in_seconds(tune) == line.lead == line.by_place[0, 1, 1].seconds
    assert beats == [beat.seconds for bar in lead_in(tune) for beat in bar.beats]
    assert beats == [beat.seconds for bar in count_in(tune) for beat in bar.beats]
    assert beats == [click.seconds for click in clicks(line) if click.seconds < seconds]


def test_a_count_in_of_more_beats_than_a_bar_begins_again_at_one():
    """Five beats of 3/4 are counted 1 2 3 1 2."""
    tune = song(chart("A (1)", head="meter: 3/4\ncount-in: 5 beats\n"))
    assert [1, 2, 3, 1, 2] == [beat.number for bar in lead_in(tune) for beat in bar.beats]


@pytest.mark.parametrize(
    ("meter", "pickup", "numbers", "skips", "seconds"),
    [
        ("4/4", "1 beat", [4], [0], [0]),
        ("4/4", "1.5 beats", [3, 4], [F(1, 2), 0], [0, 0.5]),
        ("4/4", "5 beats", [4, 1, 2, 3, 4], [0] * 5, [0, 1, 2, 3, 4]),
        ("7/8 (2+2+3)", "2 beats", [2, 3], [F(1, 2), 0], [0, 0.5]),
    ],
)
def test_a_pickup_is_the_last_beats_before_bar_1(meter, pickup, numbers, skips, seconds):
    """Counted back; the first of them may begin inside a beat."""
    head = f'meter: "{meter}"\ncount-in: none\npickup: {pickup}\n'
    (bar,) = lead_in(song(chart("A (1)", head=head, tempo="60")))
    assert PICKUP == bar.kind
    assert numbers == [beat.number for beat in bar.beats]
    assert skips == [beat.skip for beat in bar.beats]
    assert seconds == [beat.seconds for beat in bar.beats]


# bars and beats


@given(songs(most=4))
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_the_beats_add_up_to_the_songs_length(tune: Song):
    """Each beat begins where the one before it ends; all of them last as long as ``show`` prints."""
    line = perform(tune)
    now = 0.0
    for beat in line.beats:
        assert beat.seconds == pytest.approx(now, abs=1e-6)
        now = beat.seconds + beat.length
    counted = sum(beat.length for bar in line.bars if bar.kind == COUNT_IN for beat in bar.beats)
    whole = sum(beat.length for beat in line.beats)
    assert count_in_seconds(tune) == pytest.approx(counted, abs=1e-6)
    assert song_seconds(tune) == pytest.approx(whole - counted, abs=1e-6)
    assert line.seconds == pytest.approx(whole, abs=1e-6)
    assert line.quarters == sum(bar.length for bar in line.bars)
    assert tune.bars == sum(bar.kind == BAR for bar in line.bars)


def test_show_prints_the_sum_of_the_beats():
    """Ramps, odd bars, passes, a hold of 20 s and a pickup, rounded to whole seconds."""
    tune = song(
        chart(
            "A (8) x2: {tempo: 92 to 104, odd-bars: {3: 2/4}}",
            "B (16): {meter: 6/8, tempo: 70, holds: {4.2: 20}}",
            "C (40): {tempo: 140, tempos: {20: 90 to 60}}",
            head="pickup: 1 beat\n",
        )
    )
    line = perform(tune)
    seconds = sum(beat.length for bar in line.bars if bar.kind != COUNT_IN for beat in bar.beats)
    printed = " ".join(foot_lines(tune, 80))
    assert f"{int(seconds + 0.5) // 60}:{int(seconds + 0.5) % 60:02}" in printed


def test_time_stands_still_where_a_hold_is():
    """A hold on the upbeat of beat 2 lengthens that beat, and what is after the upbeat in it."""
    bar = next(
        iter(played_bars(song(chart("A (1): {holds: {1.2&: 3}}", head="count-in: none\n", tempo="60"))))
    )
    assert [1, 4, 1, 1] == pytest.approx([beat.length for beat in bar.beats])
    held = bar.beats[1]
    assert [F(1, 2)] == held.holds
    assert [1.5, 4.75] == pytest.approx([held.seconds_at(F(1, 2)), held.seconds_at(F(3, 4))])


def test_holds_are_in_the_beat_that_they_are_on():
    """As fractions of it, each once: a third of three eighths, the half of two; in their section alone."""
    head = 'meter: "7/8 (2+2+3)"\ncount-in: 1 beat\n'
    line = perform(song(chart("A (2): {holds: {1.1&: 2, 1.3&: 3, 2.2: 1}}", "B (1)", head=head)))
    held = [[F(1, 2)], [], [F(1, 3)], [], [F(0)], [], [], [], []]
    assert [[], *held] == [beat.holds for beat in line.beats]


def test_bars_are_found_by_section_pass_and_bar():
    """What is before bar 1 is none of them; so is the beat that each begins with."""
    tune = song(chart("A (2) x2", "B (1): {meter: 3/4}", head="count-in: 1 bar 1 beat\npickup: 2 beats\n"))
    line = perform(tune)
    places = [(0, 1, 1), (0, 1, 2), (0, 2, 1), (0, 2, 2), (1, 1, 1)]
    assert places == list(line.by_place)
    assert [1, 2, 3, 4, 5] == [bar.number for bar in line.by_place.values()]
    assert dict(zip(places, (7, 11, 15, 19, 23), strict=True)) == line.first_beats
    assert [COUNT_IN, COUNT_IN, PICKUP] == [bar.kind for bar in line.bars[:3]]
    assert [0, 0, 0] == [bar.number for bar in line.bars[:3]]
    assert [
        part.section.name for part in line.parts for _ in range(part.section.times * part.section.bars)
    ] == [bar.part.section.name for bar in line.by_place.values()]


def test_the_count_in_has_the_meter_of_the_first_bar():
    """An odd one too."""
    bars = list(lead_in(song(chart("A (2): {odd-bars: {1: 2/4}}", head="count-in: 1 bar\npickup: 1 beat\n"))))
    assert ["2/4", "2/4"] == [str(bar.meter) for bar in bars]
    assert [2, 1] == [len(bar.beats) for bar in bars]


def test_words_are_at_their_places():
    """Names where sections start, cues on every pass where they sound, the count-in and the pickup."""
    head = "count-in: 1 bar\npickup: 2 beats\n"
    lines = ("A (1) x2: {cues: {1.3&: up}, feel: shuffle}", "B (1): {cues: {1.2: down}}")
    line = perform(song(chart(*lines, head=head, tempo="60")))
    assert [(6, 6.0, "A"), (14, 14.0, "B")] == [
        (each.quarters, each.seconds, each.text) for each in line.sections
    ]
    up = F(8) + F(2, 3)
    assert [(0, COUNT_IN), (4, PICKUP), (up, "up"), (up + 4, "up"), (15, "down")] == [
        (each.quarters, each.text) for each in line.cues
    ]
    assert [0, 4, float(up), float(up + 4), 15] == pytest.approx([each.seconds for each in line.cues])


@pytest.mark.parametrize(
    ("count_in", "pickup", "kinds"),
    [("none", "1 beat", [PICKUP]), ("1 bar", "none", [COUNT_IN]), ("none", "none", [])],
)
def test_only_what_there_is_before_bar_1_is_named(count_in, pickup, kinds):
    """The count-in, the pickup, or neither."""
    head = f"count-in: {count_in}\n" + (f"pickup: {pickup}\n" if pickup != "none" else "")
    assert kinds == [words.text for words in perform(song(chart("A (1)", head=head))).cues]


def test_the_units_of_a_beat():
    """A dotted quarter is the unit of 6/8, a quarter that of 7/8: one and a half of it in the longest beat."""
    for meter, quarters in (("6/8", [F(3, 2)] * 2), ("7/8 (2+2+3)", [1, 1, 1]), ("2/2", [2, 2])):
        beats = perform(song(chart("A (1)", head=f'meter: "{meter}"\ncount-in: none\n'))).beats
        assert quarters == [beat.unit_quarters for beat in beats]


def test_a_song_of_which_nothing_is_left_is_empty():
    """No count-in, no bar, no time."""
    line = perform(replace(song(chart("A (1)", head="pickup: 1 beat\n")), form=()))
    assert ((), 0, 0, 0) == (line.bars, line.lead, line.seconds, line.quarters)
    assert ((), ()) == (line.sections, line.cues)


def test_each_beat_has_the_tempo_of_its_ends():
    """On the way from 60 to 100 in four beats; the count-in at the first tempo throughout."""
    beats = perform(song(chart("A (1): {tempo: 60 to 100}", head="count-in: 2 beats\n"))).beats
    expected = [(60, 60), (60, 60), (60, 70), (70, 80), (80, 90), (90, 100)]
    assert expected == [(beat.tempo, beat.tempo_end) for beat in beats]


# the groove


TWO_BARS = Pattern("two bars", GROOVE, 8, (Stroke(0, F(0), "BD"), Stroke(6, F(1, 2), "SD")))


def section(*, bars: int = 8, meter: str = "4/4", **more) -> Section:
    return Section("A", (bars,), feel("straight eighths"), Meter.read(meter), F(100), **more)


@pytest.mark.parametrize(
    ("bar", "beat", "place"), [(1, 1, 0), (1, 4, 3), (2, 1, 4), (2, 3, 6), (3, 1, 0), (8, 4, 7)]
)
def test_a_groove_of_two_bars_goes_on_through_the_section(bar, beat, place):
    """Bars 1 and 2 by turns."""
    assert place == groove_beat(TWO_BARS, section(), bar, beat)


def test_in_a_section_with_odd_bars_every_bar_begins_the_groove_anew():
    """An odd bar would turn it round."""
    odd = section(odd_bars={3: Meter.read("2/4")})
    assert [0, 1, 0, 3] == [groove_beat(TWO_BARS, odd, *at) for at in ((2, 1), (3, 2), (4, 1), (5, 4))]


def test_a_groove_that_does_not_fill_whole_bars_begins_anew_in_each():
    """Five to seven beats in bars of four: the first four of them, every time."""
    for beats in (5, 6, 7):
        long = Pattern("long", GROOVE, beats, (Stroke(0, F(0), "BD"),))
        assert [0, 3, 0, 3] == [groove_beat(long, section(), *at) for at in ((1, 1), (1, 4), (2, 1), (3, 4))]


def test_a_groove_of_three_bars_goes_on_in_order():
    """Bars 1, 2, 3 and 1 again."""
    three = Pattern("three", GROOVE, 12, (Stroke(0, F(0), "BD"),))
    assert [0, 4, 8, 0] == [groove_beat(three, section(), bar, 1) for bar in (1, 2, 3, 4)]


def test_a_bar_of_one_beat_has_its_groove():
    """Its first beat is its last."""
    one = Pattern("one", GROOVE, 1, (Stroke(0, F(0), "BD"),))
    assert [F(0), F(1)] == [at for at, _ in placed(song(chart("A (2)", head="meter: 1/4\n")), one)]


def placed(tune: Song, groove: Pattern | None) -> list[tuple[F, str]]:
    """Quarters from bar 1 and voice of everything struck."""
    line = perform(tune)
    drums = play_drums(line, lambda _: groove)
    start = line.by_place[0, 1, 1].quarters
    return sorted(
        (beat.quarters_at(each.at) - start, each.stroke.voice)
        for beat, laid in zip(line.beats, drums.beats, strict=True)
        for each in laid.struck()
    )


def test_a_groove_that_does_not_start_on_one_is_played_where_it_is_written():
    """Snare on 2 and the upbeat of 3, nothing on one: the same in every bar, nothing before bar 1."""
    late = Pattern("late", GROOVE, 4, (Stroke(1, F(0), "SD"), Stroke(2, F(1, 2), "BD")))
    expected = [(F(4 * bar) + at, voice) for bar in range(3) for at, voice in ((1, "SD"), (F(5, 2), "BD"))]
    assert expected == placed(song(chart("A (3)", head="count-in: 1 bar 2 beats\npickup: 1 beat\n")), late)


def test_a_groove_of_two_bars_ends_and_begins_with_its_section():
    """After a section of three bars the next one begins with the groove's first bar."""
    found = placed(song(chart("A (3)", "B (2)")), TWO_BARS)
    assert [F(0), F(8), F(12)] == [at for at, voice in found if voice == "BD"]
    assert [F(13, 2), F(37, 2)] == [at for at, voice in found if voice == "SD"]


def test_in_an_odd_bar_of_other_beats_the_time_is_free():
    """A groove of quarters says nothing about three eighths; in 2/4 it plays its first beats."""
    tune = song(chart("A (3): {odd-bars: {1: 6/8, 2: 2/4}}", head="count-in: none\n"))
    drums = play_drums(perform(tune), lambda _: TWO_BARS)
    assert [True, True, False, False, False, False, False, False] == [laid.free for laid in drums.beats]
    assert (F(3), "BD") in placed(tune, TWO_BARS)


def test_a_groove_of_uneven_beats_goes_on_in_an_odd_bar():
    """Its first two beats in a bar of five eighths; there a longer beat is nothing new."""
    head = 'meter: "7/8 (2+2+3)"\ncount-in: none\n'
    tune = song(chart('A (2): {odd-bars: {2: "5/8 (3+2)"}}', head=head))
    three = Pattern("three", GROOVE, 3, tuple(Stroke(beat, F(0), "BD") for beat in range(3)))
    assert [F(at) for at in (0, 1, 2, F(7, 2), 5)] == [at for at, _ in placed(tune, three)]
    assert not any(laid.free for laid in play_drums(perform(tune), lambda _: three).beats)


# stops


@pytest.mark.parametrize(
    ("bar", "beat", "silent"),
    [(1, 4, None), (2, 1, None), (2, 2, F(1, 2)), (2, 3, F(0)), (3, 1, F(0)), (3, 2, F(0)), (3, 3, None)],
)
def test_a_stop_is_silent_from_its_place_to_the_end_of_its_last_beat(bar, beat, silent):
    """From the upbeat of 2.2 through 3.2."""
    stop = Stop(Place(2, 2, "&"), Place(3, 2))
    quarter = Meter.read("4/4").beats[0]
    assert silent == silent_from(feel("straight eighths"), stop, bar, beat, quarter)


def test_the_groove_is_silent_in_a_stop_and_a_fill_is_not():
    """The band stops on 2.3; the fill in that bar's last beat is played."""
    hats = pattern("HH xx|xx|xx|xx", kind=GROOVE)
    tune = song(chart("A (2): {stops: 2.3-2.4, fill: {rows: 'SD oo', land: none}}"))
    found = placed(tune, hats)
    assert F(11, 2) == max(at for at, voice in found if voice == "HH")
    assert [F(7), F(15, 2)] == [at for at, voice in found if voice == "SD"]


def test_a_stop_leaves_no_time_to_the_player_from_its_place_on():
    """Without a groove a beat is the player's own, but for the one that a stop begins with."""
    tune = song(chart("A (1): {stops: 1.2&-1.3}", head="count-in: none\n"))
    drums = play_drums(perform(tune), lambda _: None)
    assert [True, True, False, True] == [laid.free for laid in drums.beats]


# fills and landings


def struck(voice: str, at: F = F(0)) -> Struck:
    return Struck(Stroke(0, at, voice), at, at)


@pytest.mark.parametrize(
    ("groove", "landing", "gives_way"),
    [
        ("HH", "C1", True),  # one hand cannot be in two places
        ("RD", "C1", True),
        ("BD", "BD", True),  # struck by the landing itself
        ("SD", "C1", False),  # the other hand plays on
        ("BD", "C1", False),
        ("HF", "C1", False),  # a foot
        ("HH", "BD", False),
    ],
)
def test_a_landing_takes_its_own_drum_and_the_hand_on_the_cymbals(groove, landing, gives_way):
    """The rest of the groove plays on."""
    assert gives_way == in_the_way(struck(groove), struck(landing))
    assert not in_the_way(struck(groove, F(1, 2)), struck(landing))


def test_only_the_place_of_the_landing_gives_way():
    """The hats go on at the next upbeat; without the landing they are there on one, too."""
    laid = BeatStrokes([struck("HH"), struck("SD"), struck("HH", F(1, 2))], [], [struck("C1"), struck("BD")])
    kept = [struck("SD"), struck("HH", F(1, 2)), struck("C1"), struck("BD")]
    assert kept == laid.struck()
    assert [struck("HH"), struck("SD"), struck("HH", F(1, 2))] == laid.struck(landing=False)


def test_the_groove_gives_way_from_the_fills_first_stroke_to_its_landing():
    """A fill from the upbeat of 3 that lands on the upbeat of 4: hats before the one and from the other on."""
    hats = pattern("HH xx|xx|xx|xx", kind=GROOVE)
    tune = song(chart("A (1): {fills: {1.4&: {rows: 'SD oo', land: BD}}}"))
    found = placed(tune, hats)
    hand = [at for at, voice in found if voice == "HH"]
    assert [F(0), F(1, 2), F(1), F(3, 2), F(2), F(7, 2)] == hand
    assert [F(5, 2), F(3)] == [at for at, voice in found if voice == "SD"]
    assert [F(7, 2)] == [at for at, voice in found if voice == "BD"]


def test_the_groove_plays_on_in_the_beat_that_a_fill_lands_in():
    """From the landing to the beat's end, in sixteenths; before the landing the fill alone."""
    hats = pattern("HH xxxx|xxxx|xxxx|xxxx", kind=GROOVE)
    found = placed(song(chart("A (1): {fills: {1.4&: {rows: 'SD o', land: BD}}}")), hats)
    assert [F(7, 2), F(15, 4)] == [at for at, voice in found if voice == "HH" and at >= F(5, 2)]
    assert 10 == sum(voice == "HH" and at < F(5, 2) for at, voice in found)


def test_a_landing_is_accented_where_it_is_written_and_where_it_sounds():
    """The upbeat of a swing of 3 to 2: two thirds into its beat, at three fifths; on one, there."""
    swing = Feel("light swing", (3,), F(3, 2))
    fills = "fills: {1: {rows: 'SD o'}, 2.2&: {rows: 'SD o', land: C1}}"
    tune = song(chart(f"A (2): {{{fills}}}", head="count-in: none\n"))
    tune = replace(tune, form=tuple(replace(section, feel=swing) for section in tune.form))
    drums = play_drums(perform(tune), lambda _: None)
    landed = [(number, each) for number, laid in enumerate(drums.beats) for each in laid.landing]
    expected = [(4, F(0), F(0), "C1"), (4, F(0), F(0), "BD"), (5, F(2, 3), F(3, 5), "C1")]
    assert expected == [(number, each.nominal, each.at, each.stroke.voice) for number, each in landed]
    assert all(each.stroke.accent and each.stroke.at == each.nominal for _, each in landed)


def test_of_a_fill_before_the_song_only_what_is_in_the_pickup_is_played():
    """A pickup of a beat and a half begins on an upbeat."""
    tune = song(
        chart(
            "A (1): {fills: {1.1: {rows: 'SD oo|oo', land: none}}}",
            head="count-in: none\npickup: 1.5 beats\n",
        )
    )
    assert [F(-3, 2), F(-1), F(-1, 2)] == [at for at, _ in placed(tune, None)]


def test_a_fill_up_to_the_songs_end_lands_nowhere():
    """There is no beat after it; one before that lands on its own beat."""
    tune = song(chart("A (2): {fill: {rows: 'SD oo', pass: each}, fills: {1: {rows: 'FT oo'}}}"))
    found = placed(tune, None)
    assert [(F(4), "BD"), (F(4), "C1")] == [each for each in found if each[1] in ("BD", "C1")]
    assert [F(7), F(15, 2)] == [at for at, voice in found if voice == "SD"]


def test_where_fills_lie_over_one_another_the_later_is_played():
    """Two beats at the end of bar 1, and a fill of six beats that ends bar 2: it begins in bar 1."""
    rows = "fills: {1: {rows: 'SD oo|oo'}, 2: {rows: 'FT o|o|o|o|o', land: none}}"
    found = placed(song(chart(f"A (2): {{{rows}}}")), None)
    assert [F(2), F(5, 2)] == [at for at, voice in found if voice == "SD"]
    assert [F(3), F(4), F(5), F(6), F(7)] == [at for at, voice in found if voice == "FT"]
    assert not any(voice == "C1" for _, voice in found)  # the second fill strikes where the first lands


def test_a_fill_that_lands_on_one_of_the_second_time_through_is_played_before_it():
    """On both passes: before bar 1 in the pickup, and at the end of the first pass."""
    tune = song(chart("A (2) x2: {fills: {1.1: {rows: 'SD oo', land: C1}}}", head="pickup: 1 beat\n"))
    found = placed(tune, None)
    assert [F(-1), F(-1, 2), F(7), F(15, 2)] == [at for at, voice in found if voice == "SD"]
    assert [F(0), F(8)] == [at for at, voice in found if voice == "C1"]


def test_two_fills_that_end_in_one_place_land_once():
    """One crash, one bass drum."""
    ends = "fills: {1: {rows: 'SD oo'}, 2.1: {rows: 'FT .o', land: C1}}"
    assert ["C1"] == [voice for at, voice in placed(song(chart(f"A (2): {{{ends}}}")), None) if at == 4]


def test_a_fill_begins_with_its_first_stroke():
    """Its opening is told once, in its own beat, whatever is silent before it; one from before the song is not."""
    tune = song(
        chart("A (2): {fills: {1: {rows: 'SD o|o|o|o|o'}, 2: {rows: 'SD .|.oo|o'}}}", head="count-in: none\n")
    )
    (opening,) = play_drums(perform(tune), lambda _: None).openings
    assert (6, F(1, 3), 2) == (opening.beat, opening.first.at, opening.use.bar)


def test_a_fill_that_nobody_has_and_one_without_a_stroke_leave_the_groove_alone():
    """Neither silences the hats, neither lands."""
    hats = pattern("HH x|x|x|x", kind=GROOVE)
    tune = song(chart("A (1): {fill: nonesuch}", "B (1): {fill: {rows: 'SD .|.'}}", "C (1)"))
    assert [(F(beat), "HH") for beat in range(12)] == placed(tune, hats)


def test_a_fill_is_played_in_the_feel_that_it_sets_up():
    """Written even and played swung: on the last time through in the shuffle, before that in the verse."""
    fill = '{rows: "SD oo|oo", written: straight, played: swung, sets-up: next, land: none}'
    tune = song(
        chart(f"A (1) x2: {{fills: {{1: {fill}}}}}", "B (1): {feel: shuffle}", feel="straight sixteenths")
    )
    assert [F(2), F(5, 2), F(3), F(7, 2), F(6), F(20, 3), F(7), F(23, 3)] == [
        at for at, _ in placed(tune, None)
    ]


def test_a_stroke_has_its_place_as_written_on_the_grid_and_as_it_sounds():
    """At a ratio of 3 to 2 an even pair is nominally at 2/3 and sounds at 3/5."""
    even = replace(pattern("SD oo"), swung=True)
    pair = sounding(even, 0, Feel("light swing", (3,), F(3, 2)), Meter.read("4/4").beats[0], F(240))
    assert [(F(0), F(0), F(0)), (F(1, 2), F(2, 3), F(3, 5))] == [
        (each.stroke.at, each.nominal, each.at) for each in pair
    ]
