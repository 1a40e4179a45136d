"""Building blocks of drum sounds: tones that fall, noise of a colour, clouds of metal partials.

No samples: everything is computed, and the same on every run. Lengths are seconds, pitches Hz; ``decay`` is
the time in which a sound falls to a thousandth (60 dB).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from render.sound.wave_file import RATE

Wave = NDArray[np.float64]
GOLDEN = (5**0.5 - 1) / 2


def moments(length: float) -> Wave:
    """The time of each sample."""
    return np.arange(round(length * RATE)) / RATE


def falling(length: float, decay: float, attack: float = 0.0) -> Wave:
    """An envelope: up in ``attack``, then down by 60 dB in ``decay``."""
    at = moments(length)
    rise = np.minimum(1.0, (at + 1 / RATE) / attack) if attack else 1.0
    result: Wave = rise * np.exp(-6.908 * at / decay)
    return result


def tone(length: float, pitch: float, decay: float, bend: float = 1.0, bend_time: float = 0.03) -> Wave:
    """A drum head: starts ``bend`` times as high and falls to ``pitch``."""
    at = moments(length)
    hertz = pitch * (1 + (bend - 1) * np.exp(-at / bend_time))
    result: Wave = np.sin(2 * np.pi * np.cumsum(hertz) / RATE) * falling(length, decay)
    return result


def noise(length: float, low: float, high: float, seed: int, slope: int = 2) -> Wave:
    """Noise between two pitches, its loudest sample 1; the seed makes it the same every time."""
    count = round(length * RATE)
    raw = np.random.PCG64(seed).random_raw(count) >> np.uint64(11)
    spectrum = np.fft.rfft(raw.astype(np.float64) / 2**52 - 1)
    result = np.fft.irfft(spectrum * band(count, low, high, slope), count)
    result /= np.max(np.abs(result))
    result.flags.writeable = False
    return result


def band(count: int, low: float, high: float, slope: int = 2) -> Wave:
    """How loud each partial of that many samples is when only a band is let through; smooth at its edges."""
    hertz = np.fft.rfftfreq(count, 1 / RATE)
    with np.errstate(divide="ignore", over="ignore"):
        up = 1 / (1 + (low / np.maximum(hertz, 1e-9)) ** (2 * slope)) if low else 1.0
        down = 1 / (1 + (hertz / high) ** (2 * slope))
    result: Wave = np.sqrt(up * down)
    return result


def filtered(wave: Wave, low: float, high: float, slope: int = 2) -> Wave:
    """A band of a sound."""
    padded = wave.size * 2
    result: Wave = np.fft.irfft(np.fft.rfft(wave, padded) * band(padded, low, high, slope), padded)[
        : wave.size
    ]
    return result


def metal(length: float, low: float, high: float, decay: float, count: int, seed: int) -> Wave:
    """A cymbal: partials spread unevenly between two pitches; the higher ones die sooner."""
    at = moments(length)
    sound = np.zeros(at.size)
    for place in range(count):
        spread = (seed * 0.37 + (place + 1) * GOLDEN) % 1.0
        hertz = low * (high / low) ** spread
        phase = (place * GOLDEN * GOLDEN) % 1.0
        own = decay * (low / hertz) ** 0.35
        sound += np.sin(2 * np.pi * (hertz * at + phase)) * np.exp(-6.908 * at / own)
    sound /= np.max(np.abs(sound))
    sound.flags.writeable = False
    return sound


def ended(wave: Wave, seconds: float = 0.005) -> Wave:
    """The same sound with its end faded out."""
    count = min(wave.size, round(seconds * RATE))
    shaped = wave.copy()
    shaped[wave.size - count :] *= np.linspace(1.0, 0.0, count)
    return shaped
