"""The sounds of the click, made of decaying tones and told apart by pitch.

Each starts at its loudest sample, so that what is heard is exactly on time.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from render.sound.clicks import BEAT, ONE, SUB, WARN, Click
from render.sound.wave_file import FULL_SCALE, RATE, peak_of, sample_at

OVERTONE = 2.756  # of a struck bar: Fletcher and Rossing, The Physics of Musical Instruments; from memory


@dataclass(frozen=True)
class Tone:
    """A struck tone: Hz, ms in which it falls to a third, length in ms, dB below the loudest one."""

    pitch: float
    decay: float
    length: float
    below: float = 0.0
    then: float = 0.0  # Hz from the middle on; 0 for none


TONES = {
    ONE: Tone(1760.0, 9.0, 60.0),
    BEAT: Tone(1175.0, 8.0, 55.0, 2.0),
    SUB: Tone(784.0, 5.0, 30.0, 9.0),
    WARN: Tone(2637.0, 40.0, 160.0, 0.0, 1976.0),
}


@lru_cache(maxsize=8)
def tone_wave(kind: str) -> NDArray[np.float64]:
    """The samples of one click, the first of them the largest, 1 at most."""
    tone = TONES[kind]
    seconds = np.arange(round(tone.length / 1000 * RATE)) / RATE
    pitch = np.full(seconds.size, tone.pitch)
    if tone.then:
        pitch[seconds.size // 2 :] = tone.then
    turns = np.concatenate(([0.0], np.cumsum(pitch)[:-1])) / RATE
    wave = 0.75 * np.cos(2 * np.pi * turns) + 0.25 * np.cos(2 * np.pi * turns * OVERTONE)
    fade = np.minimum(1.0, (tone.length / 1000 - seconds) / 0.004)
    result: NDArray[np.float64] = (
        wave * np.exp(-seconds * 1000 / tone.decay) * fade * 10 ** (-tone.below / 20)
    )
    return result


def click_samples(clicks: Iterable[Click], seconds: float, level_db: float) -> NDArray[np.int16]:
    """The whole click as samples with its peak at a level; a new click cuts off what still sounds."""
    peak = peak_of(level_db)
    waves = {kind: np.rint(tone_wave(kind) * peak).astype(np.int16) for kind in TONES}
    track = np.zeros(sample_at(seconds), dtype=np.int16)
    last, last_end = 0, 0
    for click in clicks:
        start = sample_at(click.seconds)
        if last_end > start > last:
            track[start:last_end] = 0
        wave = waves[click.kind][: max(0, track.size - start)]
        track[start : start + wave.size] = wave
        last, last_end = start, start + wave.size
    return track


def add_clicks(track: NDArray[np.float64], clicks: Iterable[Click], gain: float) -> None:
    """Mix clicks under other sounds."""
    for click in clicks:
        start = sample_at(click.seconds)
        wave = tone_wave(click.kind)[: max(0, track.size - start)]
        track[start : start + wave.size] += gain * wave


def to_samples(track: NDArray[np.float64], level_db: float) -> NDArray[np.int16]:
    """Any track with its peak brought to a level; silence stays silence."""
    loudest = float(np.max(np.abs(track), initial=0.0))
    scaled = track * (peak_of(level_db) / loudest) if loudest else track
    return np.clip(np.rint(scaled), -FULL_SCALE, FULL_SCALE).astype(np.int16)
