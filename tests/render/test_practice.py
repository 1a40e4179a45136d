"""Practice loops: groove, fill where it belongs, landing on one; timing by the notation, swung by the feel."""

from __future__ import annotations

import io
import struct
import wave
from fractions import Fraction as F
from pathlib import Path

import mido
import numpy as np
import pytest
from support import BOOK, chart, feel, pattern, song, write_book

from charts.pattern import GROOVE, Stroke
from charts.performance import perform
from charts.placing import PlacedFill, place_fill
from charts.played import played
from charts.timing import Meter
from charts.verdict import nominal_onsets, sounding_place, swing_place
from render.cli.app import run
from render.sound.grooves import feel_for, groove_for, meter_for, pulse, tempo_for
from render.sound.loops import Mix, exercise_song, loop_grooves
from render.sound.practice import pattern_exercise, section_exercise, usual_tempi
from render.sound.practice_files import practice_pair
from render.sound.striking import drum_hits

RATE = 44_100
GROOVES = BOOK.patterns.grooves()
EIGHTHS = pattern("HH xx|xx|xx|xx\nSD ..|O.|..|O.\nBD o.|..|o.|..", "eighths", GROOVE)
STAIRS = pattern("SD Ooo|...\nFT ...|Ooo", "stairs")


def hits_of(exercise, tempo=F(60), times=2):
    """The strokes of a loop, as (quarters, voice), and the line."""
    line = perform(exercise_song(exercise, [tempo], times))
    return line, drum_hits(line, loop_grooves)


def heard(hits, start, end):
    """What sounds in a stretch of quarters: place in it and voice."""
    return [(str(hit.quarters - start), hit.stroke.voice) for hit in hits if start <= hit.quarters < end]


def test_groove_groove_groove_fill_landing():
    """Three bars of groove, the fill in the last two beats of the fourth, crash and bass drum on the next one."""
    exercise = pattern_exercise(STAIRS, feel("shuffle"), 3, [EIGHTHS], F(100))
    line, hits = hits_of(exercise)
    bar = [("0", "HH"), ("0", "BD")]
    assert all(bar == heard(hits, F(4 * n), F(4 * n) + F(1, 2)) for n in (1, 2, 3, 4))
    fill = [("0", "SD"), ("1/3", "SD"), ("2/3", "SD"), ("1", "FT"), ("4/3", "FT"), ("5/3", "FT")]
    assert fill == heard(hits, F(18), F(20))
    assert [("0", "C1"), ("0", "BD")] == heard(hits, F(20), F(20) + F(1, 4))
    assert [("0", "C1"), ("0", "BD")] == heard(hits, F(36), F(40))
    assert 4 + 2 * 16 + 4 == line.quarters


def test_the_groove_plays_until_the_fills_first_stroke():
    """A pickup that leaves its beat free keeps the groove's strokes there."""
    pickup = pattern("SD .ooO", "pickup")
    _, hits = hits_of(pattern_exercise(pickup, feel("straight sixteenths"), 1, GROOVES, F(100)))
    groove = heard(hits, F(7), F(7) + F(1, 4))  # beat 4 of the bar before
    assert groove == heard(hits, F(11), F(11) + F(1, 4))
    assert [("1/4", "SD"), ("1/2", "SD"), ("3/4", "SD")] == heard(hits, F(11), F(12))[len(groove) :]


@pytest.mark.parametrize(
    ("name", "tempo", "upbeat"),
    [("shuffle", 92, F(2, 3)), ("swing", 240, F(404, 679)), ("swing", 92, F(2, 3)), ("swing", 360, F(1, 2))],
)
def test_pairs_swing_by_the_feels_ratio_at_that_tempo(name, tempo, upbeat):
    """Written on the triplet's third note, heard at r/(1+r): ratio 2, 404 to 275 at 240, 1 at 360."""
    pairs = pattern("SD o.o|o.o|o.o|o.o", "pairs")
    _, hits = hits_of(pattern_exercise(pairs, feel(name), 0, GROOVES, F(100)), F(tempo))
    fill = [hit for hit in hits if hit.stroke.voice == "SD" and 4 <= hit.quarters < 8]
    assert [F(4), 4 + upbeat] == [hit.quarters for hit in fill[:2]]
    assert [240 / tempo, 240 / tempo + float(upbeat) * 60 / tempo] == pytest.approx(
        [hit.seconds for hit in fill[:2]]
    )


def test_what_is_written_even_is_played_swung():
    """“written: straight, played: swung”: [0, 1/2] is heard as long and short."""
    from dataclasses import replace

    even = replace(pattern("SD oo|oo|oo|oo", "even"), swung=True)
    _, hits = hits_of(pattern_exercise(even, feel("swing"), 0, GROOVES, F(100)), F(240))
    assert [F(4), F(4) + F(404, 679)] == [hit.quarters for hit in hits if hit.stroke.voice == "SD"][:2]


def test_a_clashing_fill_is_played_as_it_is_written():
    """Sixteenths over a shuffle stay sixteenths: that is what the ear has to hear."""
    fours = pattern("SD oooo", "fours")
    _, hits = hits_of(pattern_exercise(fours, feel("shuffle"), 1, [EIGHTHS], F(100)))
    assert ["0", "1/4", "1/2", "3/4"] == [
        place for place, voice in heard(hits, F(11), F(12)) if voice == "SD"
    ]


SONG = """
title: Tin Roof
tempo: 96
feel: shuffle
groove: plain shuffle
form:
  - Verse (8)
  - Chorus (8): {fills: {4: stairs in threes, 8: {rows: "SD Ooo|Ooo"}}, tempo: 90 to 104}
  - Bridge (7): {meter: 6/8, feel: 6/8 ballad, odd-bars: {7: 9/8}, fill: {rows: "SD Ooo|Ooo|Ooo"}}
  - Tag (4): {fills: {2.3: {rows: "SD ooo", land: SD}}}
"""


def seconds_of(placed: PlacedFill, stroke: Stroke) -> float:
    """Seconds from the song's start to a stroke of the pattern, swung as the feel swings."""
    under = placed.beats[stroke.beat]
    grid = placed.part.section.feel.grid(under.beat, under.tempo)
    at = swing_place(stroke.at, grid.pairs) if placed.pattern.swung else stroke.at
    at = sounding_place(at, nominal_onsets(placed.pattern, stroke.beat, grid), grid)
    return placed.part.seconds + placed.part.clock.seconds_at(under.start + at * under.beat.units)


def test_every_stroke_of_a_charts_fill_is_where_the_chart_has_it():
    """The drums of the whole song agree with the placing that the check uses, to a nanosecond."""
    tune = song(SONG)
    line = perform(tune)
    hits = {(round(hit.seconds, 9), hit.stroke.voice) for hit in drum_hits(line, lambda _: None)}
    for part in played(tune):
        for use in part.section.fills:
            placed = place_fill(part, use, 1)
            assert placed is not None
            for stroke in placed.pattern.strokes:
                assert (round(line.lead + seconds_of(placed, stroke), 9), stroke.voice) in hits


def test_a_section_is_practised_fill_by_fill():
    """So many bars of groove before each fill, in the order of the chart, each on its own bars."""
    exercise = section_exercise(song(SONG), 1, 2, GROOVES)
    assert 6 == exercise.section.bars
    assert [3, 6] == [use.bar for use in exercise.section.fills]
    assert F(104) > exercise.tempo > F(90)
    _, hits = hits_of(exercise)
    assert ["0", "1/3", "2/3", "1", "4/3", "5/3"] == [
        place for place, voice in heard(hits, F(4 + 22), F(4 + 24)) if voice == "SD"
    ]


def test_a_section_keeps_its_odd_bars_and_meter():
    """Three beats of fill fill the 9/8 bar; the groove bars before it are 6/8."""
    exercise = section_exercise(song(SONG), 2, 2, GROOVES)
    assert [Meter.read("6/8"), Meter.read("6/8"), Meter.read("9/8")] == [
        exercise.section.meter_of(bar) for bar in (1, 2, 3)
    ]
    line, hits = hits_of(exercise)
    start = line.by_place[0, 1, 3].quarters
    assert 9 == len([hit for hit in hits if start <= hit.quarters < start + F(9, 2)])


def test_a_fill_that_lands_inside_a_bar_lands_there():
    """It ends on beat 3 and lands with what the chart says; the groove goes on after it."""
    exercise = section_exercise(song(SONG), 3, 1, GROOVES)
    line, hits = hits_of(exercise)
    bar = line.by_place[0, 1, 2].quarters
    assert [("0", "SD")] == [each for each in heard(hits, bar + 2, bar + F(9, 4)) if each[1] == "SD"]
    assert ["0", "1/3", "2/3"] == [place for place, voice in heard(hits, bar + 1, bar + 2) if voice == "SD"]
    assert any(voice == "HH" for _, voice in heard(hits, bar + 3, bar + 4))


def test_a_section_without_a_fill_is_its_groove():
    """Nothing lands, nothing crashes."""
    exercise = section_exercise(song(SONG), 0, 3, GROOVES)
    assert not exercise.lands
    _, hits = hits_of(exercise)
    assert "C1" not in {hit.stroke.voice for hit in hits}
    assert "Tin Roof, Verse: no fill there, plain shuffle alone" == exercise.told


def test_the_groove_is_the_sections_the_songs_or_the_feels():
    """In this order; a feel of the section's own has its own groove."""
    tune = song(SONG)
    assert "plain shuffle" == groove_for(tune, tune.form[0], GROOVES).name
    assert "slow six" == groove_for(tune, tune.form[2], GROOVES).name
    bare = song(chart("A (4)", "B (4): {groove: ride rock}"))
    assert ["plain rock", "ride rock"] == [groove_for(bare, each, GROOVES).name for each in bare.form]


@pytest.mark.parametrize("meter", ["4/4", "3/4", "7/8 (2+2+3)", "11/8 (3+3+3+2)", "1/4", "5/2", "15/8"])
def test_there_is_a_groove_for_every_feel_in_every_meter(meter):
    """Where nothing in the books fits, a plain pulse does."""
    for each in BOOK.feels:
        tune = song(chart("A (2)", head=f"meter: {meter}\n", feel=f'"{each.name}"'))
        groove = groove_for(tune, tune.form[0], GROOVES)
        line = perform(tune)
        hits = drum_hits(line, lambda _, groove=groove: groove)
        for bar in line.bars[1:]:
            assert heard(hits, bar.quarters, bar.quarters + bar.length), (each.name, bar.bar)
    assert 1 == pulse(feel("shuffle"), Meter.read("1/4")).beats


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("SD oo|oo", "straight eighths"),
        ("SD oooo|oooo", "straight sixteenths"),
        ("SD ooo|ooo", "shuffle"),
        ("SD o.oo.o|o.oo.o", "sixteenth shuffle"),
    ],
)
def test_a_feel_is_chosen_that_the_pattern_fits(rows, expected):
    """The plainest whose own grid holds every stroke; steady swing before swing by tempo."""
    assert expected == feel_for(pattern(rows), BOOK.feels, GROOVES).name


@pytest.mark.parametrize("made_for", ["waltz", "two-step", "half-time"])
def test_the_feel_that_a_fill_is_made_for_comes_first(made_for):
    """Before the plainest, where the fill fits it; where it does not, it counts for nothing."""
    from dataclasses import replace

    eighths = replace(pattern("SD oo|oo"), feels=(made_for,))
    assert made_for == feel_for(eighths, BOOK.feels, GROOVES).name
    threes = replace(pattern("SD ooo|ooo"), feels=(made_for,))
    assert feel_for(threes, BOOK.feels, GROOVES).swings


def test_the_meter_is_the_patterns_or_its_grooves():
    """6/8 for a ballad in six, three for a jazz waltz, else four."""
    fill = pattern("SD ooo|ooo")
    assert ["6/8", "3/4", "4/4"] == [
        str(meter_for(fill, feel(name), GROOVES)) for name in ("6/8 ballad", "jazz waltz", "shuffle")
    ]


def test_the_usual_tempi_are_slow_and_at_tempo():
    """Two thirds of it, and it; a pattern is played at 100 unless that does not suit it."""
    assert (64, 96) == usual_tempi(F(96))
    assert 100 == tempo_for(pattern("SD oo"))
    known = BOOK.patterns.get("stairs in threes")
    assert known is not None
    assert known.tempo is not None
    assert known.tempo[0] <= tempo_for(known) <= known.tempo[1]


def test_a_groove_is_practised_as_it_is():
    """Whole times round, no fill and no crash."""
    bossa = BOOK.patterns.get("bossa nova")
    assert bossa is not None
    exercise = pattern_exercise(bossa, feel("bossa nova"), 3, GROOVES, F(100))
    assert 4 == exercise.section.bars  # it takes two bars: three are rounded up
    assert not exercise.lands


@pytest.mark.parametrize("name", [each.name for each in BOOK.patterns.fills()][::9])
def test_every_stroke_of_a_shipped_fill_is_in_its_loop(name):
    """As many strokes as the notation has, every time round."""
    fill = BOOK.patterns.get(name)
    assert fill is not None
    exercise = pattern_exercise(fill, feel_for(fill, BOOK.feels, GROOVES), 1, GROOVES, F(100))
    line, hits = hits_of(exercise, times=1)
    landing = line.sections[1].quarters
    start = landing - line.bars[-2].length * -(-fill.beats // len(line.bars[-2].beats))
    found = [hit.stroke for hit in hits if start <= hit.quarters < landing]
    assert len(found) >= len(fill.strokes)
    assert [s.voice for s in fill.strokes] == [s.voice for s in found[-len(fill.strokes) :]]


def test_the_loop_goes_round_without_a_seam():
    """What follows the loop's end is what its start is: the same landing, sample for sample, tails included."""
    exercise = pattern_exercise(STAIRS, feel("shuffle"), 1, GROOVES, F(120))
    wav = b"".join(practice_pair(exercise, [F(120)], Mix(3))[0])
    chunk = wav.index(b"smpl")
    start, last = struct.unpack("<2I", wav[chunk + 8 + 36 + 8 : chunk + 8 + 36 + 16])
    with wave.open(io.BytesIO(wav)) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(int)
    beat = RATE // 2
    assert (4 + 8) * beat == start  # count-in of four beats, two bars once round
    assert (4 + 24) * beat == last + 1
    assert np.abs(samples[start : start + beat // 4] - samples[last + 1 : last + 1 + beat // 4]).max() <= 1
    assert np.abs(samples).max() == 16_422


def test_the_files_are_the_same_every_time():
    """Same input, same bytes, WAV and MIDI."""
    exercise = pattern_exercise(STAIRS, feel("shuffle"), 1, GROOVES, F(120))
    (one, midi), (other, again) = (practice_pair(exercise, [F(120)], Mix(2)) for _ in range(2))
    assert b"".join(one) == b"".join(other)
    assert midi == again


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    write_book(tmp_path, charts__tin=SONG)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_command_writes_a_pair_of_files_for_every_tempo(book, capsys):
    """A ladder of tempos; names from the pattern or the section, and the tempo."""
    ladder = ["--tempo", "60", "--tempo", "66.5", "--tempo", "60", "--times", "1", "--bars", "1"]
    assert 0 == run(["practice", "stairs in threes", "--feel", "half-time shuffle", *ladder, "-o", "out"])
    stems = [f"stairs-in-threes_over_half-time-shuffle_{bpm}_bars-1_times-1" for bpm in ("60", "66.5")]
    assert {f"{stem}.{kind}" for stem in stems for kind in ("wav", "mid")} == {
        p.name for p in (book / "out").iterdir()
    }
    assert 0 == run(["practice", "tin", "chorus", "--tempo", "80", "--times", "1", "-o", "out"])
    midi = mido.MidiFile(book / "out" / "tin-roof_chorus_80_times-1.mid")
    assert {"Tin Roof Chorus", "Click", "Drums"} == {track.name for track in midi.tracks}
    told = capsys.readouterr()
    assert "" == told.out
    assert "wrote out/tin-roof_chorus_80_times-1.wav" in told.err


@pytest.mark.usefixtures("book")
def test_a_fill_above_its_tempi_is_written_and_told(capsys):
    """Slower than it is made for is how one begins; faster is said."""
    assert 0 == run(
        ["practice", "stairs in threes", "--tempo", "40", "--tempo", "120", "--times", "1", "-o", "a"]
    )
    told = capsys.readouterr().err
    assert "is made for" not in told
    assert "clashes" not in told
    assert 0 == run(
        ["practice", "stairs in threes", "--tempo", "90", "--tempo", "300", "--times", "1", "-o", "b"]
    )
    assert "stairs in threes is made for up to 120 bpm, not 300" in capsys.readouterr().err


@pytest.mark.usefixtures("book")
def test_a_fill_that_clashes_is_written_and_told(capsys):
    """Who practises it shall know; a groove has no feel but its own."""
    assert 0 == run(
        ["practice", "linear turn", "--feel", "shuffle", "--tempo", "90", "--times", "1", "-o", "a"]
    )
    assert "linear turn clashes with shuffle: feelmap fit shows where" in capsys.readouterr().err
    assert 0 == run(
        ["practice", "plain rock", "--feel", "shuffle", "--tempo", "90", "--times", "1", "-o", "b"]
    )
    assert "clashes" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["no such fill"], "no pattern is called"),
        (["tin"], "which section"),
        (["tin", "coda"], "no section"),
        (["tin", "verse#3"], "there is no #3"),
        (["tin", "verse", "--feel", "swing"], "leave --feel off"),
        (["stairs in threes", "--tempo", "500"], "20 to 400"),
        (["stairs in threes", "--feel", "shufle"], "shuffle"),
        (["stairs in threes", "--level", "1"], "above 0 dB"),
        (["stairs in threes", "-o", "book.yaml"], "is a file"),
    ],
)
def test_what_cannot_be_done_is_told(book, capsys, arguments, word):
    """Exit status 2, nothing written, standard output empty."""
    assert 2 == run(["practice", *arguments])
    told = capsys.readouterr()
    assert "" == told.out
    assert word in told.err
    assert {"book.yaml", "charts"} == {path.name for path in book.iterdir()}


def test_without_a_folder_nothing_is_overwritten(book, capsys):
    """Files in the current folder are the user's."""
    (book / "stairs-in-threes_over_shuffle_60.mid").write_bytes(b"mine")
    assert 2 == run(["practice", "stairs in threes", "--tempo", "60"])
    assert "already there" in capsys.readouterr().err
    assert b"mine" == (book / "stairs-in-threes_over_shuffle_60.mid").read_bytes()
    assert not (book / "stairs-in-threes_over_shuffle_60.wav").exists()


def test_a_fill_that_nobody_has_is_left_out_of_the_loop():
    """The others are played; a section that has no other loops its groove."""
    of = song(chart("A (4): {fills: {2: nonesuch, 4: {rows: 'SD oo'}}}", "B (4): {fill: nonesuch}"))
    fills = [section_exercise(of, index, 1, GROOVES).section.fills for index in (0, 1)]
    assert [1, 0] == [len(uses) for uses in fills]


def test_a_fill_that_lands_on_one_ends_with_the_bar_before():
    """It is looped in a bar of its own, as one that ends at the barline is."""
    of = song(chart("A (4): {fills: {3.1: {rows: 'SD oo'}}}"))
    (use,) = section_exercise(of, 0, 1, GROOVES).section.fills
    assert (2, None) == (use.bar, use.landing)


def test_a_fill_of_many_bars_is_looped_over_the_bars_that_it_lies_on():
    """Odd bars too, and the bars before the section where it reaches so far."""
    of = song(chart("A (2): {odd-bars: {1: 2/4}, fill: {rows: 'SD o|o|o|o|o|o|o|o'}}"))
    looped = section_exercise(of, 0, 1, GROOVES).section
    assert ["4/4", "4/4", "2/4", "4/4"] == [str(looped.meter_of(bar)) for bar in range(1, looped.bars + 1)]
    assert [4] == [use.bar for use in looped.fills]


def test_a_fill_that_begins_before_the_song_is_heard_from_its_first_beat_on():
    """What lies before bar 1 has no time to sound in."""
    line = perform(song(chart("A (1): {fill: {rows: 'SD o|o|o|o|o|o'}}", head="count-in: none\n")))
    assert ["0", "1", "2", "3"] == [
        str(hit.quarters) for hit in drum_hits(line, lambda _: None) if hit.stroke.voice == "SD"
    ]


def test_a_section_that_names_the_songs_own_feel_keeps_the_songs_groove():
    """It is for the feel, wherever that is written."""
    of = song(chart("A (4): {feel: straight eighths}", "B (4): {feel: shuffle}", head="groove: two-step\n"))
    assert "two-step" == groove_for(of, of.form[0], GROOVES).name
    assert "two-step" != groove_for(of, of.form[1], GROOVES).name
