"""MIDI files, read back with other libraries: lengths, tempo map, time signatures, notes, markers."""

from __future__ import annotations

import io
import subprocess
import sys
from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction as F
from itertools import pairwise

import mido
import pretty_midi
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from support import BOOK, chart, feel, pattern, song, song_midi

from charts.performance import perform
from charts.song import Song
from charts.source import FeelmapError
from render.plain_text import ascii_text
from render.sound.clicks import SUB, clicks
from render.sound.grooves import groove_for
from render.sound.loops import exercise_song, loop_grooves
from render.sound.midi import CLICK_NOTES, line_midi
from render.sound.practice import pattern_exercise
from render.sound.striking import drum_hits
from render.sound.ticks import ticks_a_quarter

GROOVES = BOOK.patterns.grooves()


def file_of(tune: Song, **asked) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(song_midi(tune, **asked)))


def pretty(data: bytes) -> pretty_midi.PrettyMIDI:
    return pretty_midi.PrettyMIDI(io.BytesIO(data))


def events(file: mido.MidiFile, kind: str, track: int = 0) -> list[tuple[F, mido.Message]]:
    """Quarters from the start, and each message of a kind."""
    found, tick = [], 0
    for message in file.tracks[track]:
        tick += message.time
        if message.type == kind:
            found.append((F(tick, file.ticks_per_beat), message))
    return found


def seconds_at(file: mido.MidiFile):
    """Seconds of a place in quarters, by summing the tempo map."""
    tempos = [(place, message.tempo) for place, message in events(file, "set_tempo")]
    starts, sums = [place for place, _ in tempos], [0.0]
    for (place, tempo), (following, _) in pairwise(tempos):
        sums.append(sums[-1] + float(following - place) * tempo / 1e6)

    def at(place: F) -> float:
        which = max(0, bisect_right(starts, place) - 1)
        return sums[which] + float(place - starts[which]) * tempos[which][1] / 1e6

    return at


METERS = ["4/4", "3/4", "6/8", "12/8", "7/8 (2+2+3)", "2/2", "9/8 (2+2+2+3)", "5/4", "3/8"]
TEMPI = ["92", "133.3", "389", "41.5", "96 to 72", "72.5 to 101"]
PICKUPS = ["none", "1 beat", "1.5 beats", "2/3 beat", "3 beats"]


@st.composite
def tunes(draw) -> Song:
    """Songs with meters, ramps, holds, odd bars, pickups and fills of any kind."""
    lines = []
    for number in range(draw(st.integers(1, 4))):
        bars = draw(st.integers(1, 5))
        bar = draw(st.integers(1, bars))
        keys = [f"meter: {draw(st.sampled_from(METERS))}", f"tempo: {draw(st.sampled_from(TEMPI))}"]
        keys += [f'feel: "{draw(st.sampled_from([each.name for each in BOOK.feels]))}"']
        keys += draw(st.sampled_from([[], [f"holds: {{{bar}: 2.5}}"], [f"holds: {{{bar}: 70}}"]]))
        keys += draw(st.sampled_from([[], [f"odd-bars: {{{bar}: {draw(st.sampled_from(METERS))}}}"]]))
        keys += draw(st.sampled_from([[], [f"tempos: {{{bar}: 56 to 40}}"]]))
        keys += draw(st.sampled_from([[], [f"fill: {draw(st.sampled_from(BOOK.patterns.fills())).name}"]]))
        lines.append(f"S{number} ({bars}) x{draw(st.integers(1, 3))}: {{{', '.join(keys)}}}")
    count = draw(st.sampled_from(["1 bar", "2 bars", "3 beats", "none", "1 bar 2 beats"]))
    return song(chart(*lines, head=f"count-in: {count}\npickup: {draw(st.sampled_from(PICKUPS))}\n"))


@given(tunes())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_every_barline_is_within_a_millisecond_of_the_closed_form(tune):
    """Ramps, holds, rounding: the tempo map adds up at every beat; notes and length are those of the WAV file."""
    line = perform(tune)
    sounds = clicks(line)
    file = mido.MidiFile(file=io.BytesIO(line_midi(line, sounds, drum_hits(line, lambda _: None))))
    at = seconds_at(file)
    notes = events(file, "note_on", 1)
    assert len(sounds) == len(notes)
    for click, (place, message) in zip(sounds, notes, strict=True):
        assert abs(at(place) - click.seconds) < 0.001
        assert CLICK_NOTES[click.kind][0] == message.note
    assert abs(file.length - line.seconds) < 0.001
    assert all(message.tempo <= 0xFFFFFF for _, message in events(file, "set_tempo"))


@given(tunes())
@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_pretty_midi_reads_the_same_times(tune):
    """Click notes with pretty_midi, the sum of its own tempo map."""
    line = perform(tune)
    found = pretty(line_midi(line, clicks(line)))
    starts = sorted(note.start for part in found.instruments for note in part.notes)
    assert [click.seconds for click in clicks(line)] == pytest.approx(starts, abs=0.001)
    assert all(part.is_drum for part in found.instruments)


def test_ten_minutes_do_not_drift():
    """389 bpm rounds to 154,242 microseconds a quarter: it is corrected before a millisecond is lost."""
    tune = song(chart("A (960)", tempo="389", head="count-in: none\n"))
    assert abs(file_of(tune).length - 3840 * 60 / 389) < 0.001


def test_a_steady_song_has_one_tempo():
    """No Set Tempo but the first where nothing changes."""
    assert [60_000_000 // 96] == [
        m.tempo for _, m in events(file_of(song(chart("A (8)", tempo="96"))), "set_tempo")
    ]


def test_a_ramp_is_one_tempo_a_beat():
    """Sixteen beats, sixteen tempos, and the old one before it."""
    tune = song(chart("A (1): {tempo: 100}", "B (4): {tempo: 92 to 104}"))
    tempos = events(file_of(tune), "set_tempo")
    assert [F(0), *(F(8 + beat) for beat in range(16))] == [place for place, _ in tempos]


def test_sections_are_markers_and_cues_are_cue_points():
    """Text in printable ASCII; every appearance, every pass; what comes before bar 1 is a cue."""
    tune = song(
        chart(
            "Intro (2)", "Café – A (1) x2: {cue: “horns” in}", "Intro",
            head="count-in: 2 beats\npickup: 1 beat\n",
        )
    )  # fmt: skip
    file = file_of(tune)
    assert [(F(3), "Intro"), (F(11), "Cafe - A"), (F(19), "Intro")] == [
        (place, message.text) for place, message in events(file, "marker")
    ]
    assert [(F(0), "count-in"), (F(2), "pickup"), (F(11), '"horns" in'), (F(15), '"horns" in')] == [
        (place, message.text) for place, message in events(file, "cue_marker")
    ]


def test_the_lead_in_has_time_signatures_of_its_own():
    """Two beats counted are a 2/4, a pickup of 1.5 beats a 3/8, and bar 1 begins on a barline."""
    file = file_of(song(chart("A (2)", head="count-in: 2 beats\npickup: 1.5 beats\n")))
    assert [(F(0), 2, 4), (F(2), 3, 8), (F(7, 2), 4, 4)] == [
        (place, m.numerator, m.denominator) for place, m in events(file, "time_signature")
    ]


def test_a_pickup_that_no_signature_can_say_moves_the_barline():
    """Two thirds of a beat: the signature is anew on bar 1."""
    file = file_of(song(chart("A (2)", head="count-in: none\npickup: 2/3 beat\n")))
    assert (F(2, 3), 4) == [(place, m.numerator) for place, m in events(file, "time_signature")][-1]


def test_a_hold_is_a_slow_stretch():
    """4 s after beat 3: that quarter lasts a beat and 4 s, and the bar keeps its four beats."""
    file = file_of(song(chart("A (2): {holds: {1.3: 4}}", tempo="60", head="count-in: none\n")))
    assert [(F(0), 1_000_000), (F(2), 5_000_000), (F(3), 1_000_000)] == [
        (place, message.tempo) for place, message in events(file, "set_tempo")
    ]
    assert 1 == len(events(file, "time_signature"))


def test_a_hold_longer_than_any_tempo_makes_its_bar_longer():
    """100 s are more than 24 bits of microseconds: six quarters are put in, and the time is exact."""
    tune = song(chart("A (2): {holds: {1.3: 100}}", tempo="60", head="count-in: none\n"))
    file = file_of(tune)
    assert [(F(0), 10, 4), (F(10), 4, 4)] == [
        (place, m.numerator, m.denominator) for place, m in events(file, "time_signature")
    ]
    assert [0, 1, 2, 103, 104] == pytest.approx(
        [seconds_at(file)(place) for place, _ in events(file, "note_on", 1)][:5], abs=1e-4
    )


def test_a_tempo_slower_than_midi_can_say_is_refused():
    """3.58 quarters per minute is the slowest; a WAV file can say it."""
    with pytest.raises(FeelmapError) as caught:
        song_midi(song(chart("A (2)", tempo="2")))
    assert "slower than MIDI" in caught.value.message


def test_subdivisions_swing():
    """At 1.5 to 1 a swing upbeat is at 3/5 of the beat, by tempo at 92 at 2/3: exact ticks."""
    for swing, tempo, upbeat in (("1.5", "240", F(3, 5)), ("by tempo", "92", F(2, 3))):
        name = f"{{name: x, divides: [3], swing: {swing}}}"
        file = file_of(song(chart("A (1)", feel=name, tempo=tempo, head="count-in: none\n")), subdivide=True)
        notes = [(place, m.velocity) for place, m in events(file, "note_on", 1) if place < 1]
        assert [F(0), upbeat / 2, upbeat] == [place for place, _ in notes]
        assert CLICK_NOTES[SUB][1] == notes[1][1] < notes[0][1]


@pytest.mark.parametrize(
    ("denominators", "ticks"),
    [
        ((1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 24, 32), 3360),
        ((9,), 10080),
        ((10, 9), 10080),
        ((11,), 3355),
        ((11, 13, 17), 2431),
    ],
)
def test_the_ticks_are_as_fine_as_the_grid_needs(denominators, ticks):
    """Every place on a whole tick where 15 bits allow it."""
    assert ticks == ticks_a_quarter([F(1, each) for each in denominators])
    assert all(ticks % each == 0 for each in denominators)


def test_the_finest_places_are_rounded_where_15_bits_do_not_hold_all():
    """31 x 32 x 33 is just held; a thirty-fifth is a 32,736th of a quarter off at most."""
    assert 31 * 32 * 33 == ticks_a_quarter([F(1, each) for each in (31, 32, 33, 35)])


def test_drums_have_their_general_midi_numbers_and_levels():
    """Open hat 46, closed 42, snare 38, a ghost soft, an accent hard; a flam's grace note 25 ms before."""
    fill = pattern("HH x.|o.|..|..\nSD .g|.O|.f|..\nFT ..|..|..|O.\nBD o.|..|..|..")
    line = perform(
        exercise_song(pattern_exercise(fill, feel("straight eighths"), 0, GROOVES, F(120)), [F(120)], 1)
    )
    found = pretty(line_midi(line, clicks(line), drum_hits(line, loop_grooves)))
    drums = next(part for part in found.instruments if part.name == "Drums")
    notes = [(round(note.start - 2, 3), note.pitch, note.velocity) for note in drums.notes if note.start < 4]
    assert {
        (0.0, 42, 92), (0.0, 36, 92), (0.25, 38, 36), (0.5, 46, 92), (0.75, 38, 120), (1.225, 38, 44),
        (1.25, 38, 92), (1.5, 43, 120),
    } == set(notes)  # fmt: skip
    assert {(4.0, 49), (4.0, 36)} == {(round(n.start, 3), n.pitch) for n in drums.notes if n.start > 3.9}


def test_a_note_ends_before_the_same_drum_sounds_again():
    """Fast rolls do not overlap, no note hangs, none outlasts the track."""
    tune = song(chart('A (1): {fill: {rows: "SD zzzzzzzz|oooooooooooo|dddd|ffff"}}', tempo="200"))
    file = file_of(tune, grooves=lambda _: None)
    sounding: set[int] = set()
    for message in file.tracks[2]:
        if message.type == "note_on":
            assert message.note not in sounding
            sounding.add(message.note)
        elif message.type == "note_off":
            sounding.remove(message.note)
    assert not sounding


def test_music21_reads_bars_meters_tempi_and_notes():
    """Measures by its own counting, metronome marks, and every click of the WAV file."""
    import music21

    tune = song(chart("A (2): {tempo: 120}", "B (2): {meter: 6/8, tempo: 60}", head="count-in: none\n"))
    score = music21.converter.parseData(song_midi(tune), format="midi")
    part = next(part for part in score.parts if part.recurse().notes)
    signs = [
        (each.getOffsetInHierarchy(score), each.ratioString)
        for each in score.recurse().getElementsByClass("TimeSignature")
    ]
    assert [(0.0, "4/4"), (8.0, "6/8")] == sorted(set(signs))
    marks = {(offset, mark.number) for offset, _, mark in score.metronomeMarkBoundaries()}
    assert {(0.0, 120.0), (8.0, 90.0)} == marks  # quarters per minute: 60 dotted ones are 90
    starts = sorted({float(note.getOffsetInHierarchy(score)) for note in part.recurse().notes})
    assert [0, 1, 2, 3, 4, 5, 6, 7, 8, 9.5, 11, 12.5] == starts


def test_the_same_song_gives_the_same_bytes_in_any_process():
    """Nothing hangs on the order of a hash."""
    code = (
        "import sys; sys.path[:0] = ['.', 'tests']\n"
        "from support import song, chart, song_midi\nimport hashlib\n"
        "tune = song(chart('A (4): {tempo: 92 to 104, cue: go}', 'B (3)', feel='swing'))\n"
        "print(hashlib.sha256(song_midi(tune, True, 1)).hexdigest())"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    assert 65 == len(runs[0])


def test_a_song_plays_its_grooves_and_fills():
    """Drums of the whole song: groove under every bar, crash where a fill lands."""
    tune = song(chart('A (2): {fill: {rows: "SD oooo|oooo"}}', "B (2)", head="count-in: none\n"))
    file = file_of(tune, grooves=lambda section: groove_for(tune, section, GROOVES))
    notes = [(place, message.note) for place, message in events(file, "note_on", 2)]
    assert [F(8)] == [place for place, note in notes if note == 49]
    assert {0, 1, 2, 3} == {int(place // 4) for place, note in notes if note == 42}


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Žluťoučký kůň", "Zlutoucky kun"),
        ("Ночь", "Noch"),
        ("Ωδή", "Odi"),
        ("夜", "?"),
        ("a\tb", "a b"),
        ("½", "1/2"),
    ],
)
def test_text_is_printable_ascii(text, plain):
    """Accents dropped, Cyrillic and Greek spelled out, a question mark for what cannot be spelled."""
    assert plain == ascii_text(text)


@given(st.text(max_size=40))
@settings(max_examples=50, deadline=None)
def test_no_text_is_left_unprintable(text):
    """Whatever a title says."""
    assert all(" " <= sign <= "~" for sign in ascii_text(text))


def test_a_title_of_any_script_makes_a_file():
    """The track's name is what is left of it."""
    file = file_of(replace(song(chart("A (1)")), title="夜 Ночь\n\x07"))
    assert "? Noch ?" == file.tracks[0].name
