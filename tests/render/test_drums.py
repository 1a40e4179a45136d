"""Drum sounds without samples: every voice, accent, ghost, flam, drag, buzz and hi-hat told apart by measure."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from itertools import combinations, pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from charts.kit import VOICES
from charts.pattern import BUZZ, CLOSED, DRAG, FLAM, HALF_OPEN, OPEN, Stroke
from render.sound.drum_voices import HARD, PLAIN, SOFT, _raw, struck
from render.sound.mixing import LONGEST, mixed
from render.sound.striking import Hit, chokes, sounds_of
from render.sound.wave_file import PIECE, sample_at

RATE = 44_100


def centroid(wave: NDArray[np.float64]) -> float:
    """Where the middle of the spectrum's energy lies, in Hz."""
    energy = np.abs(np.fft.rfft(wave)) ** 2
    return float((energy * np.fft.rfftfreq(wave.size, 1 / RATE)).sum() / energy.sum())


def decay(wave: NDArray[np.float64]) -> float:
    """Seconds until all but a thousandth of the energy has sounded."""
    left = np.cumsum(wave[::-1] ** 2)[::-1]
    return float(np.argmax(left < left[0] / 1000)) / RATE


def hit(seconds: float, voice: str, kind: str = "stroke", accent: bool = False, hat: str = CLOSED) -> Hit:
    return Hit(F(0), seconds, Stroke(0, F(0), voice, kind, accent, hat))


def samples_of(*given: Any) -> NDArray[np.int16]:
    """A whole track, of its pieces."""
    return np.concatenate(list(mixed(*given)))


def energy(samples: NDArray[np.int16], start: float, end: float) -> float:
    """Mean square of a stretch, seconds."""
    part = samples[round(start * RATE) : round(end * RATE)].astype(float)
    return float((part**2).mean())


@pytest.mark.parametrize("voice", VOICES)
def test_every_voice_sounds_from_its_first_samples_and_ends(voice):
    """No silence before the stroke, nothing infinite, faded to nothing at the end, never over full scale."""
    for how in (SOFT, PLAIN, HARD):
        wave = struck(voice, how)
        assert np.isfinite(wave).all()
        assert np.argmax(np.abs(wave) > 0.05 * np.abs(wave).max()) < 0.001 * RATE
        assert abs(wave[-1]) < 1e-9
        assert np.abs(wave).max() <= 1.0


def test_no_two_voices_sound_alike():
    """Any two differ by a sixth in the middle of their spectrum or by a quarter in how long they ring."""
    measured = {voice: (centroid(struck(voice)), decay(struck(voice))) for voice in VOICES}
    for one, other in combinations(VOICES, 2):
        (high, long), (low, short) = measured[one], measured[other]
        assert abs(np.log(high / low)) > np.log(7 / 6) or abs(np.log(long / short)) > np.log(5 / 4), (
            one,
            other,
        )


@pytest.mark.parametrize("voice", VOICES)
def test_accent_stroke_and_ghost_differ_in_level_and_colour(voice):
    """A ghost is about 10 dB under a stroke, an accent about 4 dB over it; harder is never darker."""
    soft, plain, hard = (struck(voice, how) for how in (SOFT, PLAIN, HARD))
    levels = [20 * np.log10(np.abs(wave).max()) for wave in (soft, plain, hard)]
    assert 8 < levels[1] - levels[0] < 12
    assert 3 < levels[2] - levels[1] < 6
    assert centroid(soft) <= centroid(plain) <= centroid(hard)


def test_the_hats_are_told_apart_by_how_long_they_ring():
    """Closed under 0.1 s, half-open between, open over 0.4 s; the foot is shorter and darker than the stick."""
    closed, half, wide = (decay(struck("HH", PLAIN, hat)) for hat in (CLOSED, HALF_OPEN, OPEN))
    assert closed < 0.1 < half < 0.3 < 0.4 < wide
    foot = struck("HF")
    assert decay(foot) < closed
    assert centroid(foot) < centroid(struck("HH")) * 0.9


def test_toms_fall_from_high_to_low():
    """High, middle and low rack tom, floor tom, bass drum: each lower than the one before."""
    middles = [centroid(struck(voice)) for voice in ("T1", "T2", "T3", "FT")]
    assert all(high > 1.15 * low for high, low in pairwise(middles))


@pytest.mark.parametrize("closer", ["HH", "HF"])
def test_closing_the_hat_chokes_it(closer):
    """Left alone an open hat rings; closed at 0.15 s, by stick or foot, it is gone by 0.3 s."""
    wide = hit(0.0, "HH", hat=OPEN)
    alone, choked = (samples_of(hits, (), 1.0, -6.0) for hits in ([wide], [wide, hit(0.15, closer)]))
    left, rest = (energy(samples, 0.3, 0.45) / energy(samples, 0.0, 0.05) for samples in (alone, choked))
    assert left > 0.02
    assert rest < left / 20


def test_what_falls_together_does_not_choke():
    """An open hat with the foot on the same instant rings until the next closing."""
    hits = [hit(0.0, "HH", hat=OPEN), hit(0.0, "HF"), hit(0.5, "HH")]
    assert [0.5, None, None] == [until for _, until in chokes(hits)]


def test_a_flam_has_one_grace_note_and_a_drag_two():
    """Softer, before the stroke; the stroke itself stays on its place."""
    for kind, count in ((FLAM, 1), (DRAG, 2)):
        sounds = list(sounds_of(Stroke(0, F(0), "SD", kind, accent=True)))
        assert [True] * count + [False] == [sound.after < 0 for sound in sounds]
        assert 0.0 == sounds[-1].after
        assert all(sound.velocity < 60 < sounds[-1].velocity for sound in sounds[:-1])


def test_a_flam_is_heard_as_two_strokes():
    """Energy rises 25 ms before the beat, and only there."""
    plain = samples_of([hit(0.5, "SD")], (), 1.0, -6.0)
    flam = samples_of([hit(0.5, "SD", FLAM)], (), 1.0, -6.0)
    assert not plain[: round(0.4999 * RATE)].any()
    assert not flam[: round(0.4749 * RATE)].any()
    assert energy(flam, 0.475, 0.4999) > 1000


def test_a_buzz_bounces_until_the_drum_is_struck_again():
    """Bounces 24 ms apart, each softer; none on top of the next stroke."""
    free = list(sounds_of(Stroke(0, F(0), "SD", BUZZ)))
    assert 8 == len(free)
    assert all(before.velocity > after.velocity for before, after in pairwise(free))
    tight = [sound.after for sound in sounds_of(Stroke(0, F(0), "SD", BUZZ), room=0.1)]
    assert [0.0, 0.024, 0.048, 0.072] == pytest.approx(tight)


def test_a_buzz_lasts_longer_than_a_stroke():
    """150 ms after the stroke the bounces are still there."""
    plain, buzz = (samples_of([hit(0.0, "SD", kind)], (), 0.5, -6.0) for kind in ("stroke", BUZZ))
    assert energy(buzz, 0.12, 0.2) > 4 * energy(plain, 0.12, 0.2)


def test_a_stroke_begins_on_its_sample():
    """0.37 s is sample 16,317."""
    samples = samples_of([hit(0.37, "SD", accent=True)], (), 1.0, -6.0)
    first = int(np.flatnonzero(samples)[0])
    assert 16_317 <= first <= 16_319


def test_the_mix_peaks_at_its_level():
    """However many drums fall together."""
    hits = [hit(0.1, voice, accent=True) for voice in ("C1", "SD", "BD", "FT")]
    assert 16_422 == np.abs(samples_of(hits, (), 1.0, -6.0).astype(int)).max()


def test_the_sounds_are_the_same_every_time():
    """Made anew, not remembered."""
    first = struck("C1", SOFT).copy()
    for remembered in (struck, _raw):
        remembered.cache_clear()
    assert np.array_equal(first, struck("C1", SOFT))


def test_a_long_track_is_made_in_pieces_that_fit_without_a_seam():
    """Drums that ring from one piece into the next sound as in a track of their own; the end is faded out."""
    edge = PIECE / RATE
    strokes = [hit(edge - 0.01, "C1"), hit(edge + 0.5, "SD"), hit(2 * edge - 0.001, "RD")]
    pieces = list(mixed(strokes, (), 2 * edge + 0.02, -6.0))
    assert [PIECE, PIECE, pieces[2].size] == [piece.size for piece in pieces]
    whole = np.concatenate(pieces).astype(int)
    near = samples_of(
        [replace(each, seconds=each.seconds - edge + 1) for each in strokes], (), edge + 1.02, -6.0
    )
    moved = sample_at(edge - 0.01) - sample_at(0.99)
    assert np.abs(whole[moved:][: near.size] - near.astype(int)[: whole.size - moved]).max() <= 1
    assert 0 == whole[-1]


def test_no_drum_sounds_longer_than_a_track_allows_for():
    """Every voice, however it is struck."""
    assert all(struck(voice, HARD, hat).size < LONGEST for voice in VOICES for hat in (CLOSED, OPEN))
