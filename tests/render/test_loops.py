"""Practice files measured: ladders, silent bars, call and answer, drums out, click and subdivision."""

from __future__ import annotations

import math
from fractions import Fraction as F

import numpy as np
import pytest
from sounding import PEAK, RATE, files_of, level, metas, notes, onsets, places
from support import BOOK, chart, feel, pattern, song

from charts.kit import VOICES
from charts.pattern import GROOVE
from render.sound.loops import ALL, NO_DRUMS, NO_FILL, Mix
from render.sound.practice import pattern_exercise, section_exercise

GROOVES = BOOK.patterns.grooves()
ROCK = pattern("HH xx|xx|xx|xx\nSD ..|O.|..|O.\nBD o.|..|o.|..", "rock", GROOVE)
TURN = pattern("SD Ooo|...\nFT ...|Ooo", "turn")
SNARE, FLOOR_TOM, CRASH, BASS = (VOICES[voice].gm for voice in ("SD", "FT", "C1", "BD"))


def turn(bars: int = 1, **more):
    """Bars of groove, then a bar whose last two beats are the fill, in triplets."""
    return pattern_exercise(TURN, feel("shuffle"), bars, [ROCK], F(100), **more)


def samples_of_beats(beats: list[tuple[int, int | F]]) -> list[int]:
    """The first sample of each of so many beats at a tempo, one run after another."""
    at, found = F(0), []
    for count, bpm in beats:
        for _ in range(count):
            found.append(math.ceil(at * RATE))
            at += F(60) / bpm
    return found


def test_a_ladder_goes_up_in_one_file():
    """At each tempo a bar of count, the loop so often; every click within one sample of its exact time."""
    samples, midi = files_of(turn(), [60, 64, 66], Mix(times=2, drums=NO_DRUMS))
    beats = samples_of_beats([(4 + 16, 60), (4 + 16, 64), (4 + 16, 66), (4, 66)])
    found = onsets(samples)
    assert len(beats) == len(found)
    assert max(abs(one - other) for one, other in zip(beats, found, strict=True)) <= 1
    tempos = [(at, round(60e6 / message.tempo, 3)) for at, message in metas(midi, "set_tempo")]
    assert [(0, 60.0), (20, 64.0), (40, 66.0)] == tempos
    assert ["turn 60 bpm", "Count-in", "turn 64 bpm", "Count-in", "turn 66 bpm", "Landing"] == [
        message.text for _, message in metas(midi, "marker")
    ]


def test_the_fill_of_one_step_lands_in_the_count_of_the_next():
    """Crash and bass drum on its one; nothing else but the click until the groove."""
    _, midi = files_of(turn(), [60, 64], Mix(times=1))
    assert {(F(12), BASS), (F(12), CRASH)} == {
        (at, note) for at, note, _ in notes(midi, "Drums") if 12 <= at < 16
    }
    assert [0, 1, 2, 3] == places(midi, "Click", 12, 16)
    assert [0, F(1, 3), F(2, 3), 1, F(4, 3), F(5, 3)] == places(midi, "Drums", 22, 24, SNARE, FLOOR_TOM)


def test_a_ladder_has_no_loop_points():
    """Going round would go back to the first tempo; at one tempo the file has them."""
    from render.sound.practice_files import practice_pair

    for tempos, has in (([F(60), F(64)], False), ([F(60)], True)):
        assert has == (b"smpl" in next(iter(practice_pair(turn(), tempos, Mix())[0])))


@pytest.mark.parametrize("drums", [ALL, NO_DRUMS])
def test_silent_bars_are_silent_and_the_next_comes_back_on_time(drums):
    """Two bars of nothing at all, whatever rang before; then groove and click on the very sample."""
    samples, midi = files_of(turn(silent=2), [120], Mix(times=2, drums=drums))
    beat = RATE // 2
    for first in (8, 24):  # count-in, then a bar of groove, two silent, one with the fill; and again
        silent = samples[first * beat : (first + 8) * beat]
        assert not silent.any()
        assert samples[(first - 1) * beat : first * beat].any()
        assert abs(samples[(first + 8) * beat]) > PEAK // 10
        for track in [each.name for each in midi.tracks[1:]]:
            assert [] == places(midi, track, first, first + 8)
            assert 0 == places(midi, track, first + 8, first + 12)[0]
    assert np.abs(samples).max() == PEAK


def test_silence_begins_after_the_sound_before_it_has_been_faded():
    """A crash that would ring for two seconds is gone without a crack: no step is larger than in the sound."""
    exercise = turn(silent=1)
    samples, _ = files_of(exercise, [240], Mix(times=2))
    start = (4 + 12 + 4) * RATE // 4  # the second silent bar; the crash was struck a second before
    assert not samples[start : start + RATE].any()
    assert samples[start - RATE // 50 : start - RATE // 100].any()
    assert np.abs(np.diff(samples[start - 100 : start + 1])).max() < PEAK / 50


def test_a_groove_is_left_silent_at_its_end():
    """Three bars of it, then two of nothing."""
    exercise = pattern_exercise(ROCK, feel("straight eighths"), 3, GROOVES, F(100), silent=2)
    samples, midi = files_of(exercise, [120], Mix(times=1))
    beat = RATE // 2
    assert samples[15 * beat : 16 * beat].any()
    assert not samples[16 * beat :].any()
    assert (4 + 20) * beat == samples.size
    assert [0, 4, 8] == places(midi, "Click", 4, 24, 76)


def test_call_and_answer():
    """The fill, a bar of click alone, and then the landing with the groove: yours lands there."""
    samples, midi = files_of(turn(answer=True), [120], Mix(times=2))
    fill, answer, again = 8, 12, 16
    assert [2, F(7, 3), F(8, 3), 3, F(10, 3), F(11, 3)] == places(
        midi, "Drums", fill, answer, SNARE, FLOOR_TOM
    )[1:]
    assert [] == places(midi, "Drums", answer, again)
    assert [0, 1, 2, 3] == places(midi, "Click", answer, again)
    assert [0] == places(midi, "Drums", again, again + 4, CRASH)
    beat = RATE // 2
    deep = [level(samples[start * beat : (start + 2) * beat], 30, 150) for start in (fill, answer + 2)]
    assert deep[0] - deep[1] > 40  # no drum sounds there; the click has nothing so deep
    assert np.abs(samples[(answer + 2) * beat : again * beat]).max() > PEAK // 10


def test_each_fill_of_a_section_is_answered_in_its_own_bars():
    """A fill of two bars has two bars to answer it."""
    fills = '{2: {rows: "SD oo|oo"}, 6: {rows: "SD oo|oo|oo|oo|oo|oo|oo|oo"}}'
    of = song(chart(f"A (8): {{fills: {fills}}}"))
    exercise = section_exercise(of, 0, 1, GROOVES, answer=True)
    assert (frozenset({3, 7, 8}), 8) == (exercise.answered, exercise.section.bars)
    _, midi = files_of(exercise, [120], Mix(times=1))
    for bar, silent in enumerate([False, False, True, False, False, False, True, True], start=1):
        assert silent == (not places(midi, "Drums", 4 * bar, 4 * bar + 4))


def test_the_fill_is_left_to_the_player():
    """The groove stops where it would begin, the click goes on, and crash and groove come in on one."""
    samples, midi = files_of(turn(), [120], Mix(times=2, drums=NO_FILL))
    assert [] == places(midi, "Drums", 10, 12)
    assert [0, 1] == places(midi, "Click", 10, 12)
    assert [0] == places(midi, "Drums", 12, 16, CRASH)
    with_it = notes(files_of(turn(), [120], Mix(times=2))[1], "Drums")
    ours = notes(midi, "Drums")
    assert [each for each in with_it if each[0] % 8 < 2 or each[0] % 8 >= 4] == ours
    beat = RATE // 2
    assert level(samples[4 * beat : 6 * beat], 30, 150) - level(samples[11 * beat : 12 * beat], 30, 150) > 40


def test_the_click_alone():
    """No drums in either file: what sounds is within 60 ms after a click."""
    samples, midi = files_of(turn(), [90], Mix(times=1, drums=NO_DRUMS))
    assert ["turn", "Click"] == [track.name for track in midi.tracks]
    clicks = samples_of_beats([(16, 90)])
    assert clicks == onsets(samples)
    for start in clicks:
        assert not samples[start + RATE * 61 // 1000 : start + RATE * 2 // 3].any()
    assert np.abs(samples).max() == PEAK


@pytest.mark.parametrize(
    ("name", "tempo", "inside"),
    [
        ("straight eighths", 60, [F(1, 2)]),
        ("straight sixteenths", 60, [F(1, 4), F(1, 2), F(3, 4)]),
        ("shuffle", 60, [F(1, 3), F(2, 3)]),
        ("swing", 240, [F(404, 679)]),  # 1.72 - 60 * 0.46 / 110 to 1
    ],
)
def test_the_subdivision_is_clicked_as_the_feel_swings(name, tempo, inside):
    """Within one sample in the WAV file, on its tick in the MIDI file, and lower than the beat."""
    exercise = pattern_exercise(pattern("SD oo|oo|oo|oo"), feel(name), 0, GROOVES, F(100))
    samples, midi = files_of(exercise, [tempo], Mix(times=1, subdivide=True, drums=NO_DRUMS))
    found = places(midi, "Click", 4, 5, 77)
    if name == "swing":
        assert set(inside) <= set(found)
    else:
        assert inside == found
    first = 4 * F(60, tempo) * RATE
    expected = [math.ceil(first + at * F(60, tempo) * RATE) for at in [F(0), *found]]
    heard = [sample for sample in onsets(samples, 40) if first <= sample < first + F(60, tempo) * RATE]
    assert max(abs(one - other) for one, other in zip(expected, heard, strict=True)) <= 1


@pytest.mark.parametrize("louder", [-12.0, -3.0, 3.0, 6.0, 12.0])
def test_the_click_is_louder_or_softer_by_so_many_db(louder):
    """Against the bass drum, measured where each is alone; the peak of the file stays where it is."""
    found = []
    for click_db in (0.0, louder):
        samples, midi = files_of(turn(2), [60], Mix(times=1, click_db=click_db))
        count = samples[RATE : RATE * 5 // 4]
        bass = samples[4 * RATE : 4 * RATE + RATE // 4]
        found.append(level(count, 800, 2000) - level(bass, 30, 120))
        assert np.abs(samples).max() == PEAK
        velocities = {note: velocity for _, note, velocity in notes(midi, "Click")}
        for note, usual in ((76, 120), (77, 100)):
            assert abs(min(127, usual * 10 ** (click_db / 40)) - velocities[note]) <= 0.5
    assert abs(found[1] - found[0] - louder) < 0.1


@pytest.mark.parametrize("level_db", [-6.0, -20.0])
@pytest.mark.parametrize("more", [{}, {"silent": 1}, {"answer": True}])
def test_the_peak_is_at_its_level(level_db, more):
    """Whatever is left out."""
    for drums in (ALL, NO_FILL, NO_DRUMS):
        samples, _ = files_of(turn(**more), [100, 120], Mix(1, level_db, 0.0, True, drums))
        assert round(32_767 * 10 ** (level_db / 20)) == np.abs(samples).max()


def test_bounces_that_would_fall_into_a_silence_are_left_out():
    """A buzz just before it, whose last bounces come after it has begun."""
    buzz = pattern("HH x...|x...|x...|x...\nSD ....|....|....|...z", "buzz", GROOVE)
    exercise = pattern_exercise(buzz, feel("straight sixteenths"), 1, GROOVES, F(100), silent=1)
    samples, _ = files_of(exercise, [240], Mix(times=1))
    assert not samples[8 * RATE // 4 :].any()


def test_bars_of_two_beats_are_counted_in_twice_and_landed_in_once():
    """Two bars of count before each step, both clicked though bar 2 of the loop is silent."""
    of = song(chart("A (4): {fill: {rows: 'SD oo'}}", head="meter: 2/4\n"))
    _, midi = files_of(section_exercise(of, 0, 1, GROOVES, silent=1), [60, 64], Mix(times=1))
    assert [0, 1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 13, 14, 15, 18, 19, 20, 21] == places(midi, "Click", 0, 99)


def test_a_section_without_a_fill_has_a_bar_of_groove_at_least():
    """Also where no bars are asked for before the fill."""
    assert 1 == section_exercise(song(chart("A (4)")), 0, 0, GROOVES).section.bars
