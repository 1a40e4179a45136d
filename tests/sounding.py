"""Practice files as they are heard: the samples of a WAV file and the notes of a MIDI file, read back."""

from __future__ import annotations

import io
import struct
import wave
from collections.abc import Sequence
from fractions import Fraction as F

import mido
import numpy as np
from numpy.typing import NDArray

from render.sound.loops import Mix
from render.sound.practice import Exercise
from render.sound.practice_files import practice_pair

RATE = 44_100
PEAK = 16_422  # -6 dB of full scale
CLICK_NOTES = {76: "one", 77: "beat"}

Samples = NDArray[np.int64]


def files_of(exercise: Exercise, tempos: Sequence[int | F], mix: Mix) -> tuple[Samples, mido.MidiFile]:
    """Both files of an exercise at these tempos."""
    pieces, midi = practice_pair(exercise, [F(tempo) for tempo in tempos], mix)
    return samples_in(b"".join(pieces)), mido.MidiFile(file=io.BytesIO(midi))


def samples_in(wav: bytes) -> Samples:
    with wave.open(io.BytesIO(wav)) as file:
        assert (1, 2, RATE) == (file.getnchannels(), file.getsampwidth(), file.getframerate())
        return np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(int)


def loop_points(wav: bytes) -> tuple[int, int]:
    """The first sample of the loop and the first after it."""
    chunk = wav.index(b"smpl") + 8
    start, last = struct.unpack("<2I", wav[chunk + 44 : chunk + 52])
    return start, last + 1


def onsets(samples: Samples, quiet: int = 200) -> list[int]:
    """Where something sounds after so many samples of silence."""
    loud = np.flatnonzero(samples)
    starts = np.flatnonzero(np.diff(loud, prepend=-quiet - 1) > quiet)
    return [int(sample) for sample in loud[starts]]


def notes(midi: mido.MidiFile, track: str) -> list[tuple[F, int, int]]:
    """Quarters from the start, number and velocity of each note that begins in a track."""
    tick, found = 0, []
    for message in next(each for each in midi.tracks if each.name == track):
        tick += message.time
        if message.type == "note_on" and message.velocity:
            found.append((F(tick, midi.ticks_per_beat), message.note, message.velocity))
    return found


def places(midi: mido.MidiFile, track: str, start: F | int, end: F | int, *numbers: int) -> list[F]:
    """Where notes begin between two places, counted from the first; of some numbers, or of all."""
    found = [
        at - start for at, note, _ in notes(midi, track) if start <= at < end and note in (numbers or (note,))
    ]
    return sorted(found)


def metas(midi: mido.MidiFile, kind: str) -> list[tuple[F, mido.MetaMessage]]:
    """The messages of one kind in the first track, by quarters from the start."""
    tick, found = 0, []
    for message in midi.tracks[0]:
        tick += message.time
        if message.type == kind:
            found.append((F(tick, midi.ticks_per_beat), message))
    return found


def level(samples: Samples | NDArray[np.float64], low: float = 0.0, high: float = RATE / 2) -> float:
    """The energy between two pitches, in dB of one."""
    size = 1 << max(13, int(samples.size - 1).bit_length())
    energy = np.abs(np.fft.rfft(samples, size)) ** 2
    hertz = np.fft.rfftfreq(size, 1 / RATE)
    return float(10 * np.log10(energy[(hertz >= low) & (hertz < high)].sum() / size + 1e-12))


def a_weighted(samples: Samples | NDArray[np.float64]) -> float:
    """The energy as the ear weighs it, in dB of one: the A curve of IEC 61672-1, from memory."""
    size = 1 << max(13, int(samples.size - 1).bit_length())
    square = np.fft.rfftfreq(size, 1 / RATE) ** 2
    curve = (
        12194**2
        * square**2
        / ((square + 20.6**2) * np.sqrt((square + 107.7**2) * (square + 737.9**2)) * (square + 12194**2))
    )
    energy = (np.abs(np.fft.rfft(samples, size)) * curve * 1.2589) ** 2
    return float(10 * np.log10(energy.sum() / size + 1e-12))
