"""Drums and click mixed into one track."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from render.sound.click_voices import add_clicks, to_samples
from render.sound.clicks import Click
from render.sound.drum_voices import HARD, PLAIN, SOFT, struck
from render.sound.shaping import ended
from render.sound.striking import (
    ACCENT_VELOCITY,
    GHOST_VELOCITY,
    PLAIN_VELOCITY,
    Hit,
    Sound,
    chokes,
    rooms,
    sounds_of,
)
from render.sound.wave_file import sample_at

CLICK_GAIN = 0.3  # beside a bass drum of 0.6: heard, not in the way
CHOKE_SECONDS, FADE_SECONDS = 0.012, 0.03


def mixed(hits: Sequence[Hit], clicks: Iterable[Click], seconds: float, level_db: float) -> NDArray[np.int16]:
    """Samples of the whole line, its peak at a level; the end is faded out."""
    track = np.zeros(sample_at(seconds), dtype=np.float64)
    add_clicks(track, clicks, CLICK_GAIN)
    for (hit, room), (_, choke) in zip(rooms(hits), chokes(hits), strict=True):
        for sound in sounds_of(hit.stroke, room):
            _add(track, hit, sound, choke)
    return to_samples(ended(track, FADE_SECONDS), level_db)


def _add(track: NDArray[np.float64], hit: Hit, sound: Sound, choke: float | None) -> None:
    start = sample_at(hit.seconds + sound.after)
    wave = _wave(hit, sound)
    if choke is not None:
        kept = sample_at(choke + CHOKE_SECONDS) - start
        wave = ended(wave[:kept], CHOKE_SECONDS) if kept < wave.size else wave
    wave = wave[: max(0, track.size - start)]
    track[start : start + wave.size] += wave


def _wave(hit: Hit, sound: Sound) -> NDArray[np.float64]:
    """The drum as it is struck; what is softer than a ghost is a quieter ghost."""
    how, usual = SOFT, GHOST_VELOCITY
    if sound.velocity > (PLAIN_VELOCITY + ACCENT_VELOCITY) // 2:
        how, usual = HARD, ACCENT_VELOCITY
    elif sound.velocity > (GHOST_VELOCITY + PLAIN_VELOCITY) // 2:
        how, usual = PLAIN, PLAIN_VELOCITY
    wave = struck(hit.stroke.voice, how, hit.stroke.hat)
    return wave if sound.velocity == usual else wave * (sound.velocity / usual)
