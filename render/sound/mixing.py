"""Drums and click mixed into one track."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from render.sound.click_voices import TONES, tone_wave
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
from render.sound.wave_file import FULL_SCALE, peak_of, sample_at

CLICK_GAIN = 0.42  # beside a bass drum of 0.6: heard, not in the way
CHOKE_SECONDS, FADE_SECONDS = 0.012, 0.03


def mixed(hits: Sequence[Hit], clicks: Iterable[Click], seconds: float, level_db: float) -> NDArray[np.int16]:
    """Samples of the whole line, its peak at a level; the end is faded out."""
    track = np.zeros(sample_at(seconds), dtype=np.float64)
    tones = {kind: CLICK_GAIN * np.array(tone_wave(kind)) for kind in TONES}
    for click in clicks:
        _put(track, tones[click.kind], sample_at(click.seconds))
    for (hit, room), (_, choke) in zip(rooms(hits), chokes(hits), strict=True):
        for sound in sounds_of(hit.stroke, room):
            _add(track, hit, sound, choke)
    return _levelled(ended(track, FADE_SECONDS), level_db)


def _add(track: NDArray[np.float64], hit: Hit, sound: Sound, choke: float | None) -> None:
    start = sample_at(hit.seconds + sound.after)
    wave = _wave(hit, sound)
    if choke is not None:
        kept = sample_at(choke + CHOKE_SECONDS) - start
        wave = ended(wave[:kept], CHOKE_SECONDS) if kept < wave.size else wave
    _put(track, wave, start)


def _put(track: NDArray[np.float64], wave: NDArray[np.float64], start: int) -> None:
    """Mix in a sound; what reaches past the end is cut off."""
    kept = wave[: max(0, track.size - start)]
    track[start : start + kept.size] += kept


def _levelled(track: NDArray[np.float64], level_db: float) -> NDArray[np.int16]:
    """The track with its peak brought to a level; silence stays silence."""
    loudest = float(np.max(np.abs(track), initial=0.0))
    scaled = track * (peak_of(level_db) / loudest) if loudest else track
    return np.clip(np.rint(scaled), -FULL_SCALE, FULL_SCALE).astype(np.int16)


def _wave(hit: Hit, sound: Sound) -> NDArray[np.float64]:
    """The drum as it is struck; what is softer than a ghost is a quieter ghost."""
    how, usual = SOFT, GHOST_VELOCITY
    if sound.velocity > (PLAIN_VELOCITY + ACCENT_VELOCITY) // 2:
        how, usual = HARD, ACCENT_VELOCITY
    elif sound.velocity > (GHOST_VELOCITY + PLAIN_VELOCITY) // 2:
        how, usual = PLAIN, PLAIN_VELOCITY
    wave = struck(hit.stroke.voice, how, hit.stroke.hat)
    return wave if sound.velocity == usual else wave * (sound.velocity / usual)
