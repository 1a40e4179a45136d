"""What each voice of the kit sounds like, made with numpy; pitches and decays chosen by ear and measured.

``struck`` gives one stroke: the voice, how it is struck (ghost, plain, accent) and how open the hi-hat is.
Every sound starts at its first sample.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from charts.pattern import CLOSED, HALF_OPEN, OPEN
from render.sound.shaping import Wave, ended, falling, filtered, metal, moments, noise, tone

HAT = "HH"
SOFT, PLAIN, HARD = "soft", "plain", "hard"
LOUDNESS = {SOFT: 0.2, PLAIN: 0.62, HARD: 1.0}  # about 10 dB down to a ghost, 4 dB up to an accent
BRIGHTEST = {SOFT: 3500.0, PLAIN: 12000.0, HARD: 20000.0}  # a soft stroke is darker as well
HAT_RING = {CLOSED: 0.09, HALF_OPEN: 0.42, OPEN: 1.5}  # seconds to a thousandth


def bass_drum(pitch: float, bend: float, decay: float) -> Wave:
    length = decay * 0.9
    """Head, beater, and what a small loudspeaker gives of it: over 200 Hz about as much as of a snare."""
    beater = noise(length, 1500, 6000, 11) * falling(length, 0.02)
    overtone = tone(length, pitch * 5, 0.14, 1.4, 0.02)
    return tone(length, pitch, decay, bend, 0.022) + 0.7 * overtone + 0.3 * beater


def snare() -> Wave:
    length = 0.34
    head = 0.55 * tone(length, 188, 0.16, 1.25, 0.012) + 0.35 * tone(length, 331, 0.11, 1.1, 0.01)
    wires = noise(length, 1800, 9500, 21) * falling(length, 0.27)
    snap = noise(length, 3000, 14000, 22) * falling(length, 0.03)
    return head + 0.75 * wires + 0.5 * snap


def cross_stick() -> Wave:
    length = 0.12
    wood = 0.6 * tone(length, 1720, 0.06) + 0.5 * tone(length, 2630, 0.045) + 0.3 * tone(length, 820, 0.07)
    return wood + 0.25 * noise(length, 1500, 7000, 31) * falling(length, 0.012)


def tom(pitch: float, decay: float, seed: int) -> Wave:
    length = decay * 0.9
    head = tone(length, pitch, decay, 1.45, 0.035) + 0.3 * tone(length, pitch * 1.59, decay * 0.55, 1.2, 0.02)
    stick = noise(length, 900, 5000, seed) * falling(length, 0.025)
    return head + 0.2 * stick


def hat(ring: float, low: float, seed: int) -> Wave:
    length = max(0.08, ring * 0.9)
    plates = 0.5 * metal(length, low * 0.55, 11000, ring, 36, seed) + 0.5 * noise(length, low, 15000, seed)
    return filtered(plates * falling(length, ring, 0.0005), low * 0.8, 16000)


def crash(low: float, high: float, decay: float, seed: int, rough: float = 0.0) -> Wave:
    length = decay * 0.8
    wash = noise(length, low * 1.6, high, seed) * falling(length, decay * 0.75, 0.002)
    body = metal(length, low, high * 0.8, decay, 48, seed)
    if rough:
        body = body * (1 - rough + rough * np.cos(2 * np.pi * 71 * moments(length)))
    return 0.65 * wash + 0.55 * body


def ride() -> Wave:
    length = 1.3
    ping = 0.5 * metal(length, 2900, 6200, 0.5, 7, 61) * falling(length, 0.45)
    wash = metal(length, 700, 9000, 1.5, 40, 62) * falling(length, 1.4, 0.004)
    tip = noise(length, 4000, 14000, 63) * falling(length, 0.02)
    return ping + 0.22 * wash + 0.3 * tip


def ride_bell() -> Wave:
    length = 1.2
    partials = ((842, 0.5), (1263, 0.8), (1981, 0.7), (2714, 0.5), (3866, 0.35))
    bell = sum((part * tone(length, hertz, 1.2 * (842 / hertz) ** 0.4) for hertz, part in partials), 0.0)
    return np.asarray(bell) + 0.12 * noise(length, 3000, 12000, 71) * falling(length, 0.05)


def cowbell() -> Wave:
    length = 0.32
    walls = tone(length, 562, 0.3) + 0.9 * tone(length, 845, 0.26) + 0.35 * tone(length, 1690, 0.12)
    return np.tanh(1.6 * walls) * falling(length, 0.35) + 0.2 * noise(length, 900, 5000, 81) * falling(
        length, 0.02
    )


def tambourine() -> Wave:
    length = 0.3
    jingles = metal(length, 5200, 13000, 0.3, 24, 91) + 0.6 * noise(length, 6000, 15000, 92)
    shake = 0.55 + 0.45 * np.cos(2 * np.pi * 38 * moments(length))
    return jingles * shake * falling(length, 0.28, 0.0005)


_MAKERS: dict[str, tuple[float, Callable[[], Wave]]] = {  # voice -> its peak in the mix, its maker
    "C1": (0.62, lambda: crash(420, 11000, 2.1, 41)),
    "C2": (0.62, lambda: crash(300, 8000, 2.4, 42)),
    "CH": (0.6, lambda: crash(240, 6500, 1.1, 43, 0.5)),
    "SP": (0.5, lambda: crash(900, 14000, 0.6, 44)),
    "RD": (0.42, ride),
    "RB": (0.42, ride_bell),
    "CB": (0.45, cowbell),
    "TB": (0.35, tambourine),
    "T1": (0.85, lambda: tom(208, 0.42, 51)),
    "T2": (0.85, lambda: tom(158, 0.48, 52)),
    "T3": (0.85, lambda: tom(122, 0.55, 53)),
    "FT": (0.9, lambda: tom(88, 0.7, 54)),
    "SD": (0.85, snare),
    "XS": (0.6, cross_stick),
    "BD": (1.0, lambda: bass_drum(52, 3.6, 0.34)),
    "B2": (1.0, lambda: bass_drum(43, 3.2, 0.42)),
    "HF": (0.3, lambda: hat(0.06, 3200, 73)),
}
_HAT_PEAK = 0.38


@lru_cache(maxsize=64)
def _raw(voice: str, openness: str) -> tuple[float, Wave]:
    if voice == HAT:
        return _HAT_PEAK, hat(HAT_RING[openness], 5200, 74)
    peak, make = _MAKERS[voice]
    return peak, make()


@lru_cache(maxsize=256)
def struck(voice: str, how: str = PLAIN, openness: str = CLOSED) -> Wave:
    """One stroke, its peak as loud as it is in the mix (1 at most); read only."""
    peak, raw = _raw(voice, openness if voice == HAT else CLOSED)
    if how != HARD:
        raw = filtered(raw, 0.0, BRIGHTEST[how], 1)
    shaped = ended(raw)
    shaped *= peak * LOUDNESS[how] / np.max(np.abs(shaped))
    shaped.flags.writeable = False
    return shaped
