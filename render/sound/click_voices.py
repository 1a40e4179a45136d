"""The sounds of the click, made of decaying tones and told apart by pitch.

Each starts at its loudest sample, so that what is heard is exactly on time. A few milliseconds of tone are
computed once and copied to every click: the standard library does that faster than numpy is imported.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import cos, exp, pi

from render.sound.clicks import BEAT, ONE, SUB, WARN, Click
from render.sound.wave_file import PIECE, RATE, peak_of, sample_at

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
_FADE_MS = 4.0  # at the end of a tone, so that it ends without a crack


@lru_cache(maxsize=8)
def tone_wave(kind: str) -> tuple[float, ...]:
    """The samples of one click, the first of them the largest, 1 at most."""
    tone = TONES[kind]
    count = round(tone.length / 1000 * RATE)
    loudest = 10 ** (-tone.below / 20)
    found, turns = [], 0.0
    for sample in range(count):
        now = sample * 1000 / RATE
        level = loudest * exp(-now / tone.decay) * min(1.0, (tone.length - now) / _FADE_MS)
        found.append(level * (0.75 * cos(2 * pi * turns) + 0.25 * cos(2 * pi * turns * OVERTONE)))
        turns += (tone.then if tone.then and sample >= count // 2 else tone.pitch) / RATE
    return tuple(found)


def click_pieces(clicks: Iterable[Click], seconds: float, level_db: float) -> Iterator[array[int]]:
    """The whole click as 16-bit samples, its peak at a level; a new click cuts off what still sounds."""
    peak = peak_of(level_db)
    waves = {kind: array("h", (round(peak * value) for value in tone_wave(kind))) for kind in TONES}
    starts = [(sample_at(click.seconds), waves[click.kind]) for click in clicks]
    piece = array("h")
    for (start, wave), (following, _) in pairwise(
        [(0, array("h")), *starts, (sample_at(seconds), array("h"))]
    ):
        piece += wave[: following - start]
        silent = max(0, following - start - len(wave))
        while len(piece) + silent > PIECE:
            fits = max(0, PIECE - len(piece))
            yield piece + array("h", bytes(2 * fits))
            silent -= fits
            piece = array("h")
        piece += array("h", bytes(2 * silent))
    yield piece
