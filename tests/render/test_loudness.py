"""What is heard over what: the click over every shipped groove, the bass drum on a small loudspeaker."""

from __future__ import annotations

from fractions import Fraction as F

import numpy as np
import pytest
from sounding import RATE, a_weighted, level
from support import BOOK

from charts.performance import perform
from render.sound import mixing
from render.sound.click_voices import TONES
from render.sound.clicks import SUB
from render.sound.drum_voices import HARD, PLAIN, struck
from render.sound.grooves import feel_for
from render.sound.loops import exercise_song, loop_clicks, loop_hits
from render.sound.practice import pattern_exercise
from render.sound.wave_file import sample_at

GROOVES = BOOK.patterns.grooves()
THIRD = 2 ** (1 / 6)  # from the middle of a third of an octave to its edge
SMALL = 200.0  # Hz: under this a small loudspeaker gives next to nothing; common practice, no source


def click_over_drums(groove, seconds: float, over):
    """How far over the drums each click is, in dB, through so many seconds from its start."""
    named = feel_for(groove, BOOK.feels, GROOVES)
    exercise = pattern_exercise(groove, named, 1, GROOVES, F(100))
    line = perform(exercise_song(exercise, [F(100)], 1))
    size, sounds = sample_at(line.seconds), loop_clicks(line, exercise, subdivide=True)
    drums, clicked = (
        np.concatenate(list(mixing._track(each, size)))
        for each in (list(mixing._struck(loop_hits(line, exercise))), list(mixing._clicked(sounds)))
    )
    for click in sounds:
        if click.seconds >= line.lead:
            start = sample_at(click.seconds)
            heard = slice(start, start + round(seconds * RATE))
            yield click.kind, over(click, clicked[heard]) - over(click, drums[heard])


def in_its_own_band(click, wave):
    pitch = TONES[click.kind].pitch
    return level(wave * np.hanning(wave.size), pitch / THIRD, pitch * THIRD)


@pytest.mark.parametrize("name", [groove.name for groove in GROOVES])
def test_each_click_is_heard_through_every_groove(name):
    """5.5 dB or more over the drums in the third of an octave around its pitch, with a crash on every beat too.

    The subdivision is softer: it may be 2 dB under a cross-stick that falls together with it, and a cowbell
    that plays it, at nearly the same pitch, covers it.
    """
    groove = BOOK.patterns.get(name)
    found = list(click_over_drums(groove, 0.03, in_its_own_band))
    beats = [over for kind, over in found if kind != SUB]
    assert min(beats) > 5.5
    if "CB" not in {stroke.voice for stroke in groove.strokes}:
        assert min([over for kind, over in found if kind == SUB], default=10) > -2


@pytest.mark.parametrize("name", ["plain rock", "plain shuffle", "plain sixteenths"])
def test_the_click_is_as_loud_as_the_loudest_beat_of_a_full_groove(name):
    """By A-weighted energy in its first 50 ms, to half a dB; on most beats it is the louder one."""
    found = click_over_drums(BOOK.patterns.get(name), 0.05, lambda _, wave: a_weighted(wave))
    beats = [over for kind, over in found if kind != SUB]
    assert min(beats) > -0.5
    assert np.median(beats) > 1.5


@pytest.mark.parametrize("voice", ["BD", "B2"])
@pytest.mark.parametrize("how", [PLAIN, HARD])
def test_the_bass_drum_is_heard_on_a_small_loudspeaker(voice, how):
    """Over 200 Hz it has within 3 dB the energy of the snare; under 100 Hz it is still a bass drum."""
    bass, snare = struck(voice, how), struck("SD", how)
    assert abs(level(bass, SMALL) - level(snare, SMALL)) < 3
    assert level(bass, 0, 100) - level(bass, SMALL) > 2
