"""The click as a WAV file: on time to the sample, three pitches, its own subdivision, silence in holds."""

from __future__ import annotations

import io
import math
import struct
import time
import wave
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from support import chart, song, write_book

from charts.performance import perform
from charts.song import Song
from charts.source import FeelmapError
from render.cli.app import run
from render.sound.click_file import click_file
from render.sound.clicks import BEAT, ONE, SUB, WARN, clicks
from render.sound.wave_file import PIECE

RATE = 44_100
PITCHES = {ONE: 1760, BEAT: 1175, SUB: 784, WARN: 2637}


def content(tune: Song, subdivide: bool = False, warn: int = 0, level: float = -6.0) -> bytes:
    """The WAV file of a song's click."""
    return b"".join(click_file(tune, ".wav", subdivide, warn, level)[1])


def wav(tune: Song, subdivide: bool = False, warn: int = 0, level: float = -6.0) -> NDArray[np.int16]:
    """The samples of a song's click, read back with the standard library."""
    data = content(tune, subdivide, warn, level)
    with wave.open(io.BytesIO(data)) as file:
        assert (1, 2, RATE) == (file.getnchannels(), file.getsampwidth(), file.getframerate())
        return np.frombuffer(file.readframes(file.getnframes()), "<i2")


def onsets(samples: NDArray[np.int16], gap: int = 300) -> list[int]:
    """The first sample of every sound: loud after so many silent samples."""
    loud = np.flatnonzero(samples)
    return (
        [int(loud[0]), *(int(at) for before, at in pairwise(loud) if at - before > gap)] if loud.size else []
    )


def pitch(samples: NDArray[np.int16], start: int, length: int = 1200) -> float:
    """The loudest pitch after a sample, in Hz."""
    spectrum = np.abs(np.fft.rfft(samples[start : start + length].astype(float), 1 << 16))
    return float(np.argmax(spectrum)) * RATE / (1 << 16)


def test_every_click_is_on_its_sample_for_ten_minutes():
    """97 bpm: the n-th beat is at 60 n / 97 s, and its first sample is the first one not before that."""
    found = onsets(wav(song(chart("A (240)", tempo="97"))))
    assert 4 + 960 == len(found)
    expected = [60 * beat / 97 * RATE for beat in range(964)]
    assert all(0 <= sample - exact < 1 for sample, exact in zip(found, expected, strict=True))
    assert found[-1] > 590 * RATE


def test_every_click_of_an_even_change_is_on_its_sample():
    """From 92 to 104 over 256 beats: beat n is at 60 ln(1 + 12 n / (256 x 92)) x 256 / 12 s."""
    found = onsets(wav(song(chart("A (64): {tempo: 92 to 104}", head="count-in: none\n"))))
    expected = [60 * 256 / 12 * math.log1p(12 * beat / (256 * 92)) * RATE for beat in range(256)]
    assert all(0 <= sample - exact < 1 for sample, exact in zip(found, expected, strict=True))


def test_nothing_sounds_before_its_time():
    """Between the end of one click and the next one's place every sample is 0."""
    samples = wav(song(chart("A (8)", tempo="60", head="count-in: none\n")))
    for beat in range(32):
        assert not samples[beat * RATE + 3000 : (beat + 1) * RATE].any()
        assert samples[beat * RATE]


@pytest.mark.parametrize(("level", "peak"), [(-6.0, 16422), (-12.0, 8231), (0.0, 32767)])
def test_the_peak_is_at_the_level(level, peak):
    """32767 x 10^(dB/20), for every sound together."""
    samples = wav(song(chart("A (4)", "B (4)")), subdivide=True, warn=1, level=level)
    assert peak == np.abs(samples.astype(int)).max()


def test_the_file_is_as_long_as_count_in_and_song():
    """One bar and 8 of 12/8 at dotted quarter 60 are 36 s, to the sample."""
    assert 36 * RATE == wav(song(chart("A (8)", head="meter: 12/8\n", feel="slow 12/8", tempo="60"))).size


def test_one_beat_and_subdivision_are_told_apart_by_pitch():
    """Each has its own pitch, and the one is heard on every one."""
    samples = wav(song(chart("A (2)", tempo="60", head="count-in: none\n")), subdivide=True)
    found = onsets(samples)
    kinds = [ONE, SUB, BEAT, SUB, BEAT, SUB, BEAT, SUB] * 2
    assert [PITCHES[kind] for kind in kinds] == pytest.approx([pitch(samples, at) for at in found], rel=0.03)


@pytest.mark.parametrize(
    ("feel", "tempo", "places"),
    [
        ("straight eighths", "60", [0, 1 / 2]),
        ("straight sixteenths", "60", [0, 1 / 4, 1 / 2, 3 / 4]),
        ("shuffle", "60", [0, 1 / 3, 2 / 3]),
        ("swing", "60", [0, 1 / 3, 2 / 3]),
        ("swing", "240", [0, 202 / 679, 404 / 679]),
        ("sixteenth shuffle", "60", [0, 1 / 3, 1 / 2, 5 / 6]),
        ("{name: lazy, divides: [3], swing: 1.5}", "60", [0, 3 / 10, 3 / 5]),
    ],
)
def test_the_subdivision_is_the_feels_own(feel, tempo, places):
    """As the feel is counted; the swung pair's upbeat at r/(1+r), 3/5 at ratio 1.5, 404/679 in a swing at 240 bpm."""
    tune = song(chart("A (1)", feel=feel, tempo=tempo, head="count-in: none\n"))
    beat = 60 / float(tempo)
    found = [click.seconds / beat for click in clicks(perform(tune), True) if click.seconds < beat - 1e-9]
    assert places == pytest.approx(found)


@pytest.mark.parametrize(
    ("meter", "seconds"),
    [
        ("7/8 (2+2+3)", [0, 1, 2]),  # tempo counts quarters
        ("7/8 (3+2+2)", [0, 1.5, 2.5]),
        ("6/8", [0, 1]),
        ("2/2", [0, 1]),
        ("5/4", [0, 1, 2, 3, 4]),
    ],
)
def test_the_click_is_on_the_felt_beat(meter, seconds):
    """Dotted quarters in 6/8, halves in 2/2, groups of two and three in an additive meter."""
    tune = song(chart("A (1)", head=f"meter: {meter}\ncount-in: none\n", tempo="60"))
    assert seconds == pytest.approx([click.seconds for click in clicks(perform(tune))])


def test_the_count_in_and_the_pickup_come_first():
    """3 beats counted, a beat and a half of pickup: the half beat is silent, bar 1 starts after 4.5 beats."""
    tune = song(chart("A (1)", head="count-in: 3 beats\npickup: 1.5 beats\n", tempo="60"))
    found = [(click.seconds, click.kind) for click in clicks(perform(tune))]
    assert [(0, ONE), (1, BEAT), (2, BEAT), (3.5, BEAT), (4.5, ONE)] == found[:5]
    halves = [
        click.seconds
        for click in clicks(perform(tune), True)
        if click.kind == SUB and 3 <= click.seconds < 4.5
    ]
    assert [3, 4] == halves


def test_time_stands_still_in_a_hold():
    """A hold of 4 s on beat 3: the beat sounds, then nothing; beat 4 comes a beat and 4 s later."""
    tune = song(chart("A (2): {holds: {1.3: 4}}", head="count-in: none\n", tempo="60"))
    assert [0, 1, 2, 7, 8, 9, 10, 11] == [sample / RATE for sample in onsets(wav(tune))]


def test_a_warning_sounds_before_each_new_section():
    """On the one of the bar so many bars before it, never before bar 1, not before the first section."""
    tune = song(chart("A (4)", "B (1)", "C (4) x2", tempo="120", head="count-in: none\n"))
    for bars, expected in ((1, [4, 5]), (2, [3, 4]), (9, [1])):
        warned = [click.seconds for click in clicks(perform(tune), warn=bars) if click.kind == WARN]
        assert [2.0 * (bar - 1) for bar in expected] == warned
    samples = wav(tune, warn=1)
    assert pitch(samples, 3 * 2 * RATE, 3000) == pytest.approx(PITCHES[WARN], rel=0.03)


def test_sections_are_named_places_in_the_wav_file():
    """A cue chunk with the first sample of each section, names in ASCII."""
    data = content(song(chart("Strophe – 1 (1)", "Chorus (1)", tempo="60")))
    cue = data.index(b"cue ")
    assert (2,) == struct.unpack("<I", data[cue + 8 : cue + 12])
    places = [struct.unpack("<6I", data[at : at + 24])[5] for at in (cue + 12, cue + 36)]
    assert [4 * RATE, 8 * RATE] == places
    assert b"Strophe - 1\0" in data
    assert b"Chorus\0" in data
    assert len(data) - 8 == struct.unpack("<I", data[4:8])[0]


def test_the_same_song_gives_the_same_bytes():
    """Made twice, equal to the last bit."""
    tune = song(chart("A (4): {tempo: 92 to 104}", "B (3)", feel="shuffle"))
    first, second = (content(tune, True, 1) for _ in range(2))
    assert first == second


def test_a_long_click_is_never_in_memory_whole():
    """Whatever it lasts, and through a hold of minutes, no piece of the file is longer than about six seconds."""
    tune = song(chart("A (90): {holds: {2.1: 100}}", tempo="180", head="count-in: none\n"))
    line, pieces = click_file(tune, ".wav", True, 0, -6.0)
    sizes = [len(piece) for piece in pieces]
    assert 2 * (PIECE + RATE) > max(sizes)  # a click is not cut in two
    assert sum(sizes) > 2 * RATE * line.seconds > 2 * RATE * 200


def test_five_minutes_are_made_in_well_under_a_second():
    """The bench says how fast; this only catches a click that is built sample by sample."""
    tune = song(chart("A (75)", "B (75)", tempo="120", feel="straight sixteenths"))
    wav(tune)
    start = time.process_time()
    wav(tune, subdivide=True)
    assert time.process_time() - start < 1.0


@pytest.mark.parametrize(
    ("level", "word"),
    [(0.5, "above 0 dB"), (6.0, "hurts ears"), (-90.0, "nothing is heard"), (math.nan, "not a level")],
)
def test_a_level_that_hurts_is_refused(level, word):
    """Louder than full scale, softer than hearing, or no number."""
    with pytest.raises(FeelmapError) as caught:
        wav(song(chart("A (1)")), level=level)
    assert word in caught.value.message


def test_what_lasts_for_hours_is_refused():
    """999 times 64 bars would be a file of gigabytes; MIDI has room."""
    endless = song(chart("A (10) x999", tempo="40"))
    with pytest.raises(FeelmapError) as caught:
        wav(endless)
    assert "lasts 999 minutes" in caught.value.message  # 9990 bars of 6 s, and one of count-in
    assert "OUT.mid" in caught.value.hint


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    write_book(tmp_path, charts__tin=chart("Verse (2)", "Chorus (2)").replace("Test", "Tin Roof"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_command_writes_what_it_is_told(book, capsys):
    """A WAV or a MIDI file by its ending; the message goes to standard error."""
    assert 0 == run(["click", "tin", "-o", "out.wav", "--subdivide", "--warn", "1 bar", "--level", "-9"])
    assert 0 == run(["click", "tin", "-o", "out.mid"])
    assert b"RIFF" == (book / "out.wav").read_bytes()[:4]
    assert b"MThd" == (book / "out.mid").read_bytes()[:4]
    told = capsys.readouterr()
    assert "" == told.out
    assert "wrote out.wav" in told.err


def test_without_a_name_a_file_that_is_there_is_left_alone(book, capsys):
    """The name is made from the title; a second time it is refused."""
    assert 0 == run(["click", "tin"])
    (book / "tin-roof.wav").write_bytes(b"mine")
    assert 2 == run(["click", "tin"])
    assert b"mine" == (book / "tin-roof.wav").read_bytes()
    assert "already there" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["click", "tin", "-o", "out.mp3"], "out.wav or out.mid"),
        (["click", "nobody", "-o", "out.wav"], "no chart"),
        (["click", "tin", "-o", "out.wav", "--warn", "soon"], "--warn 1"),
        (["click", "tin", "-o", "out.wav", "--warn", "0"], "--warn 1"),
        (["click", "tin", "-o", "out.wav", "--level", "3"], "above 0 dB"),
        (["click", "tin", "-o", "nowhere/out.wav"], "make the folder"),
    ],
)
def test_what_cannot_be_done_is_told(book, capsys, arguments, word):
    """Exit status 2, one message, nothing written, standard output empty."""
    assert 2 == run(arguments)
    told = capsys.readouterr()
    assert "" == told.out
    assert word in told.err
    assert {"book.yaml", "charts"} == {path.name for path in book.iterdir()}


def test_nothing_is_half_written_when_it_is_interrupted(book, monkeypatch):
    """Ctrl-C while the sound is made leaves the old file as it was, and no other."""
    (book / "out.wav").write_bytes(b"old")

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("render.sound.click_voices.sample_at", interrupted)
    assert 130 == run(["click", "tin", "-o", "out.wav"])
    assert b"old" == (book / "out.wav").read_bytes()
    assert {"book.yaml", "charts", "out.wav"} == {path.name for path in book.iterdir()}
