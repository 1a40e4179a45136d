"""Drums and click mixed into one track, a piece at a time."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from render.sound.click_voices import TONES, tone_wave
from render.sound.clicks import Click
from render.sound.drum_voices import HARD, PLAIN, SOFT, struck
from render.sound.shaping import Wave, ended
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
from render.sound.wave_file import FULL_SCALE, PIECE, RATE, peak_of, sample_at

# Measured over the shipped grooves at 100 bpm (tests/render/test_loudness.py): each beat's click is 5.5 dB or
# more over the drums in its third of an octave, and as loud as a rock groove's backbeat by the A curve.
CLICK_GAIN = 0.85
CHOKE_SECONDS, FADE_SECONDS = 0.012, 0.03
LONGEST = 3 * RATE  # samples: no drum sounds longer


class Placed(NamedTuple):
    """A sound on the track: its first sample, and what makes it."""

    start: int
    make: Callable[[], Wave]


def mixed(
    hits: Sequence[Hit],
    clicks: Iterable[Click],
    seconds: float,
    level_db: float,
    click_db: float = 0.0,
    silences: Sequence[float] = (),
) -> Iterator[NDArray[np.int16]]:
    """Samples of the whole line in pieces, their peak at a level; the end is faded out.

    ``click_db`` makes the click louder or softer than it usually is beside the drums. ``silences`` are the
    seconds, in order, at which whatever still rings is cut off. The pieces are made twice, first to find the
    peak: a long track is never in memory whole.
    """
    size = sample_at(seconds)
    sounds = [*_clicked(clicks, click_db), *_struck(hits, silences)]
    loudest = max((float(np.max(np.abs(piece), initial=0.0)) for piece in _track(sounds, size)), default=0.0)
    scale = peak_of(level_db) / loudest if loudest else 1.0
    for piece in _track(sounds, size):
        yield np.clip(np.rint(piece * scale), -FULL_SCALE, FULL_SCALE).astype(np.int16)


def _clicked(clicks: Iterable[Click], click_db: float = 0.0) -> Iterator[Placed]:
    gain = CLICK_GAIN * 10 ** (click_db / 20)
    tones = {kind: gain * np.array(tone_wave(kind)) for kind in TONES}
    for click in clicks:
        yield Placed(sample_at(click.seconds), partial(tones.__getitem__, click.kind))


def _struck(hits: Sequence[Hit], silences: Sequence[float] = ()) -> Iterator[Placed]:
    for (hit, room), (_, choke) in zip(rooms(hits), chokes(hits), strict=True):
        ends = [choke + CHOKE_SECONDS] if choke is not None else []
        ends += silences[bisect_right(silences, hit.seconds) :][:1]
        for sound in sounds_of(hit.stroke, room):
            start = sample_at(hit.seconds + sound.after)
            kept = max(0, sample_at(min(ends)) - start) if ends else LONGEST
            yield Placed(start, partial(_choked, hit, sound, kept))


def _choked(hit: Hit, sound: Sound, kept: int) -> Wave:
    """The drum as it is struck, ended after that many samples."""
    wave = _wave(hit, sound)
    return ended(wave[:kept], CHOKE_SECONDS) if kept < wave.size else wave


def _track(sounds: Iterable[Placed], size: int) -> Iterator[Wave]:
    """The sounds mixed, piece by piece; what reaches past the end is cut off."""
    by_piece: dict[int, list[Placed]] = {}
    for sound in sounds:
        for number in range(sound.start // PIECE, (sound.start + LONGEST) // PIECE + 1):
            by_piece.setdefault(number, []).append(sound)
    fade = np.linspace(1.0, 0.0, min(size, round(FADE_SECONDS * RATE)))
    for first in range(0, size, PIECE):
        piece = np.zeros(min(PIECE, size - first))
        for sound in by_piece.get(first // PIECE, ()):
            wave, at = sound.make(), sound.start - first
            kept = wave[max(0, -at) : max(0, piece.size - at)]
            piece[max(0, at) : max(0, at) + kept.size] += kept
        fades = max(first, size - fade.size)
        piece[fades - first :] *= fade[fades - size + fade.size :][: max(0, first + piece.size - fades)]
        yield piece


def _wave(hit: Hit, sound: Sound) -> Wave:
    """The drum as it is struck; what is softer than a ghost is a quieter ghost."""
    how, usual = SOFT, GHOST_VELOCITY
    if sound.velocity > (PLAIN_VELOCITY + ACCENT_VELOCITY) // 2:
        how, usual = HARD, ACCENT_VELOCITY
    elif sound.velocity > (GHOST_VELOCITY + PLAIN_VELOCITY) // 2:
        how, usual = PLAIN, PLAIN_VELOCITY
    wave = struck(hit.stroke.voice, how, hit.stroke.hat)
    return wave if sound.velocity == usual else wave * (sound.velocity / usual)
