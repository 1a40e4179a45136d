"""The crossing: the last bars of a section with the fill, then the next in its own feel, tempo and meter."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction as F
from itertools import pairwise

import numpy as np
import pytest
from sounding import PEAK, RATE, files_of, loop_points, metas, onsets, places, samples_in
from support import BOOK, chart, pattern, song

from charts.book import Book
from charts.kit import VOICES
from charts.pattern import GROOVE
from charts.performance import perform
from charts.source import FeelmapError
from render.sound.crossing import crossing_exercise
from render.sound.grooves import groove_for
from render.sound.loops import NO_DRUMS, Mix, counts_back, exercise_song, loop_hits
from render.sound.practice_files import practice_pair
from render.sound.striking import drum_hits
from setlists.demo import ROOT

DEMO = Book(ROOT)
GROOVES = DEMO.patterns.grooves()
SNARE, CRASH, BASS, HAT, STICK = (VOICES[voice].gm for voice in ("SD", "C1", "BD", "HH", "XS"))
THREES = '{rows: "SD Ooo|Ooo|Ooo|Ooo"}'


def into_six():
    """A shuffle at 96 whose last bar is a fill, into a ballad in six at 62."""
    return song(
        chart(
            f"Verse (8): {{fill: {THREES}}}",
            "Bridge (6): {meter: 6/8, feel: 6/8 ballad, tempo: 62}",
            feel="shuffle",
            tempo="96",
        )
    )


def sample(*stretches: tuple[int, F | int]) -> int:
    """The first sample after so many beats at a tempo, one stretch after another."""
    return math.ceil(sum((F(60 * count) / bpm for count, bpm in stretches), F(0)) * RATE)


def test_each_side_has_its_own_tempo_meter_and_groove():
    """A bar of count, two bars of four at 96, two of six at 62; every click within a sample of its time."""
    exercise = crossing_exercise(into_six(), 0, GROOVES)
    samples, midi = files_of(exercise, [96], Mix(times=1, drums=NO_DRUMS))
    beats = [sample((count, 96)) for count in range(12)]
    beats += [sample((12, 96), (count, 62)) for count in range(4)]
    beats += [sample((12, 96), (4, 62), (count, 96)) for count in range(4)]
    found = onsets(samples)
    assert max(abs(one - other) for one, other in zip(beats, found, strict=True)) <= 1
    assert [(0, "4/4"), (12, "6/8"), (18, "4/4")] == [
        (at, f"{message.numerator}/{message.denominator}") for at, message in metas(midi, "time_signature")
    ]
    assert [(0, 96.0), (12, 62 * 1.5), (18, 96.0)] == [
        (at, round(60e6 / message.tempo, 2)) for at, message in metas(midi, "set_tempo")
    ]
    assert ["Verse", "Bridge", "Count-in"] == [message.text for _, message in metas(midi, "marker")]


def test_the_fill_leads_into_the_next_sections_groove():
    """A bar of groove, the fill in triplets, crash and bass drum on the one of the bridge, its slow six on."""
    exercise = crossing_exercise(into_six(), 0, GROOVES)
    assert ("plain shuffle", "slow six") == tuple(
        each.groove_pattern.name for each in (exercise.section, exercise.into)
    )
    _, midi = files_of(exercise, [96], Mix(times=1))
    assert places(midi, "Drums", 4, 8, HAT)
    assert [F(third, 3) for third in range(12)] == places(midi, "Drums", 8, 12, SNARE)
    assert [0] == places(midi, "Drums", 12, 18, CRASH)
    six = BOOK.patterns.get("slow six")
    snares = [stroke.place * F(3, 2) for stroke in six.strokes if stroke.voice in ("SD", "XS")]
    assert snares == places(midi, "Drums", 12, 15, SNARE, STICK)
    assert (
        "Verse into Bridge: Verse fill, shuffle into 6/8 ballad, 4/4 into 6/8, 96 into 62 bpm"
        in exercise.told
    )


def strokes_between(line, hits, start, end):
    """What is struck between two places, from the first beat on."""
    return {
        (hit.quarters - start, hit.stroke.voice, hit.stroke.kind)
        for hit in hits
        if start <= hit.quarters < end
    }


@pytest.mark.parametrize("path", DEMO.chart_paths(), ids=lambda path: path.stem)
def test_the_crossing_is_what_the_song_plays_there(path):
    """Every stroke in the bars before the barline and the two after it, for each section of the demo's songs."""
    of = DEMO.song_at(path)
    whole = perform(of)
    played = drum_hits(whole, lambda section: groove_for(of, section, GROOVES))
    for index, (section, after) in enumerate(pairwise(of.form)):
        exercise = crossing_exercise(of, index, GROOVES)
        line = perform(exercise_song(exercise, [exercise.tempo], 1))
        hits = loop_hits(line, exercise)
        for ours, theirs, first in (
            (line.by_place[0, 1, 1], (index, section.times), section.bars - exercise.section.bars + 1),
            (line.by_place[1, 1, 1], (index + 1, 1), 1),
        ):
            bars = exercise.section.bars if first > 1 else exercise.into.bars
            start = whole.by_place[*theirs, first].quarters
            length = sum((whole.by_place[*theirs, first + more].length for more in range(bars)), F(0))
            one, other = (
                strokes_between(line, hits, ours.quarters, ours.quarters + length),
                strokes_between(whole, played, start, start + length),
            )
            leading = {each for each in one ^ other if each[0] > 0 or first == 1}
            assert not leading, (section.name, after.name, first)


def test_slower_the_two_sides_keep_their_relation():
    """At half the tempo the bridge is at half its own."""
    _, midi = files_of(crossing_exercise(into_six(), 0, GROOVES), [48], Mix(times=1))
    assert [48.0, 31 * 1.5, 48.0] == [
        round(60e6 / message.tempo, 2) for _, message in metas(midi, "set_tempo")
    ]


def test_the_way_back_is_counted_where_it_is_a_jump():
    """From six at 62 back to four at 96 a bar of click; between sections of one tempo straight on."""
    _, midi = files_of(crossing_exercise(into_six(), 0, GROOVES), [96], Mix(times=2))
    assert ["Verse", "Bridge", "Count-in", "Verse", "Bridge", "Count-in"] == [
        message.text for _, message in metas(midi, "marker")
    ]
    assert not [at for at in places(midi, "Drums", 18, 22) if at > 0]
    assert [0, 1, 2, 3] == places(midi, "Click", 18, 22)
    even = song(chart(f"A (4): {{fill: {THREES}}}", "B (4): {feel: half-time shuffle}", feel="shuffle"))
    _, midi = files_of(crossing_exercise(even, 0, GROOVES), [96], Mix(times=2))
    assert ["A", "B", "A", "B", "Count-in"] == [message.text for _, message in metas(midi, "marker")]


@pytest.mark.parametrize("second", ["{feel: half-time shuffle}", "{tempo: 80}"])
def test_the_crossing_goes_round_without_a_seam(second):
    """What comes before the loop's end is what comes before its start, tails included."""
    of = song(chart(f"A (4): {{fill: {THREES}}}", f"B (4): {second}", feel="shuffle"))
    exercise = crossing_exercise(of, 0, GROOVES)
    wav = b"".join(practice_pair(exercise, [F(100)], Mix(times=3))[0])
    start, end = loop_points(wav)
    samples = samples_in(wav)
    assert start < end < samples.size
    beat = RATE // 4
    assert np.abs(samples[start - beat : start] - samples[end - beat : end]).max() <= 1
    if "tempo" in second:  # the loop begins with a bar of count, as the one after its end
        assert np.abs(samples[start : start + beat] - samples[end : end + beat]).max() <= 1
    assert np.abs(samples).max() == PEAK


def test_a_fill_that_sets_up_the_next_feel_is_played_in_it():
    """Written straight, played swung: long and short in a straight verse that leads into a shuffle."""
    fill = '{rows: "SD oo|oo|oo|oo", written: straight, played: swung, sets-up: next}'
    of = song(chart(f"A (4): {{fill: {fill}}}", "B (4): {feel: shuffle}", feel="straight eighths"))
    _, midi = files_of(crossing_exercise(of, 0, GROOVES), [100], Mix(times=1))
    assert [beat + at for beat in range(4) for at in (F(0), F(2, 3))] == places(midi, "Drums", 8, 12, SNARE)


def test_a_long_fill_has_a_bar_of_groove_before_it():
    """Two bars of fill: three bars before the barline."""
    fill = '{rows: "SD ooo|ooo|ooo|ooo|ooo|ooo|ooo|ooo"}'
    of = song(chart(f"A (8): {{fill: {fill}}}", "B (4)", feel="shuffle"))
    exercise = crossing_exercise(of, 0, GROOVES)
    assert (3, [3]) == (exercise.section.bars, [use.bar for use in exercise.section.fills])
    _, midi = files_of(exercise, [100], Mix(times=1))
    assert places(midi, "Drums", 4, 8, HAT)
    assert 24 == len(places(midi, "Drums", 8, 16, SNARE))


def test_only_the_fills_of_the_last_time_through_are_there():
    """One in the middle, and one that is played the first time only, lead nowhere."""
    fills = f"{{4: {THREES}, 8: {{rows: 'FT ooo', pass: 1}}}}"
    of = song(chart(f"A (8) x2: {{fills: {fills}}}", "B (4)", feel="shuffle"))
    exercise = crossing_exercise(of, 0, GROOVES)
    assert () == exercise.section.fills
    assert "no fill there" in exercise.told
    _, midi = files_of(exercise, [100], Mix(times=1))
    assert [] == places(midi, "Drums", 0, 20, CRASH)


def test_a_change_of_tempo_in_the_last_bars_is_kept():
    """The ritard from 100 to 80 over the last bar, and the next section's tempo after it, at half speed too."""
    of = song(
        chart(f"A (8): {{tempo: 100, tempos: {{8: 100 to 80}}, fill: {THREES}}}", "B (4): {tempo: 120}")
    )
    exercise = crossing_exercise(of, 0, GROOVES)
    for bpm in (100, 50):
        samples, _ = files_of(exercise, [bpm], Mix(times=1, drums=NO_DRUMS))
        seconds = [start / RATE for start in onsets(samples)]
        last = seconds[12] - seconds[8]  # ln(100/80) over an even change of tempo by the beat
        assert abs(last - 60 * 4 / 20 * math.log(100 / 80) * 100 / bpm) < 0.002
        assert abs(seconds[13] - seconds[12] - 60 / 120 * 100 / bpm) < 1.1 / RATE


def test_odd_bars_stops_and_dynamics_are_kept():
    """A last bar of two beats; into a stop or a soft section lands no crash."""
    of = song(
        chart(
            "A (4): {odd-bars: {4: 2/4}, fill: {rows: 'SD ooo|ooo'}}", "B (4): {dynamics: p}", feel="shuffle"
        )
    )
    exercise = crossing_exercise(of, 0, GROOVES)
    assert ["4/4", "2/4"] == [str(exercise.section.meter_of(bar)) for bar in (1, 2)]
    _, midi = files_of(exercise, [100], Mix(times=1))
    assert [] == places(midi, "Drums", 0, 40, CRASH)
    of = song(chart("A (4): {stops: 4.1-4.4}", "B (4): {stops: 1.1-1.4}", feel="shuffle"))
    _, midi = files_of(crossing_exercise(of, 0, GROOVES), [100], Mix(times=1))
    assert (True, [], [], True) == tuple(
        bool(found) or found for found in (places(midi, "Drums", at, at + 4) for at in (4, 8, 12, 16))
    )


def test_sections_shorter_than_two_bars_have_what_they_have():
    """One bar played three times has two of them; one bar alone is one bar."""
    of = song(chart("A (1) x3: {fill: {rows: 'SD ooo'}}", "B (1)", feel="shuffle"))
    exercise = crossing_exercise(of, 0, GROOVES)
    assert (2, 1) == (exercise.section.bars, exercise.into.bars)
    assert [2] == [use.bar for use in exercise.section.fills]
    of = song(chart("A (1): {fill: {rows: 'SD ooo|ooo|ooo|ooo|ooo|ooo'}}", "B (1)", feel="shuffle"))
    _, midi = files_of(crossing_exercise(of, 0, GROOVES), [100], Mix(times=1))
    assert [F(third, 3) for third in range(18)] == places(midi, "Drums", 2, 8, SNARE)  # over the count, too


def test_a_fill_before_the_last_bars_is_played_where_there_is_room_for_all_of_it():
    """A long fill at the end makes room for one that ends in its bar of groove, and none for half of one."""
    long, short, two = (
        "{rows: 'SD ooo|ooo|ooo|ooo|ooo'}",
        "{rows: 'FT ooo'}",
        "{rows: 'FT ooo|ooo|ooo|ooo|ooo'}",
    )
    for earlier, bars in ((short, [1, 3]), (two, [3])):
        of = song(chart(f"A (8): {{fills: {{6: {earlier}, 8: {long}}}}}", "B (4)", feel="shuffle"))
        assert bars == [use.bar for use in crossing_exercise(of, 0, GROOVES).section.fills]


def test_a_groove_of_two_bars_goes_on_where_it_is():
    """The crossing that begins with an even bar of the section begins with the groove's second bar."""
    clave = pattern("HH xx|xx|xx|xx|xx|xx|xx|xx\nXS o.|..|o.|..|..|..|..|oo", "two bars", GROOVE)
    long = "{rows: 'SD oo|oo|oo|oo|oo'}"
    of = song(chart(f"A (8): {{fill: {long}}}", "B (4)"))
    of = replace(of, groove_pattern=clave)
    _, midi = files_of(crossing_exercise(of, 0, GROOVES), [100], Mix(times=1))
    assert [3, F(7, 2)] == places(midi, "Drums", 4, 8, STICK)
    assert [0, 2, 7, F(15, 2)] == places(midi, "Drums", 16, 24, STICK)


def test_a_stop_that_lasts_longer_is_silent_to_the_barlines():
    """From the middle of a bar on, and on from there."""
    of = song(chart("A (8): {stops: 5.1-7.3}", "B (4): {stops: 1.3-4.4}"))
    _, midi = files_of(crossing_exercise(of, 0, GROOVES), [100], Mix(times=1))
    sounding = places(midi, "Drums", 4, 20)
    assert not [at for at in sounding if at < 3 or at >= 10]
    assert [at for at in sounding if 3 <= at < 10]


def test_nothing_follows_the_last_section():
    """It says so, and what to do."""
    with pytest.raises(FeelmapError, match=r"Bridge is the last section of .*, and nothing follows it"):
        crossing_exercise(into_six(), 1, GROOVES)


@pytest.mark.parametrize(
    ("first", "second", "counted"),
    [
        ("A (4)", "B (4)", False),
        ("A (4)", "B (4): {feel: shuffle}", False),
        ("A (4)", "B (4): {meter: 3/4}", True),
        ("A (4)", "B (4): {tempo: 101}", True),
        ("A (4): {tempos: {4: 100 to 80}}", "B (4): {tempo: 100}", True),
    ],
)
def test_the_way_back_is_a_jump_in_tempo_or_beats(first, second, counted):
    """Another feel is none."""
    assert counted == counts_back(crossing_exercise(song(chart(first, second)), 0, GROOVES))


def test_a_steady_tempo_is_kept_to_its_last_decimal():
    """Not rounded to a tenth, as the tempo in the middle of a change is."""
    of = song(chart("A (4)", "B (4)", tempo="66.55"))
    assert F("66.55") == crossing_exercise(of, 0, GROOVES).tempo
