"""What the ear gets is one thing in every medium: WAV, MIDI and MusicXML agree on every onset."""

from __future__ import annotations

import io
from bisect import bisect_right
from fractions import Fraction as F
from itertools import pairwise

import mido
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sounding_score import sounding_bars
from support import BOOK, chart, song

from charts.families import ELSEWHERE, kinship
from charts.kit import GM_HALF_OPEN_HAT, GM_OPEN_HAT, VOICES
from charts.pattern import Pattern
from charts.performance import BAR, Performance, perform
from charts.song import Section, Song
from charts.strokes import play_drums
from render.musicxml.score import musicxml
from render.sound.click_file import click_file
from render.sound.clicks import clicks
from render.sound.grooves import fills_bars, groove_for
from render.sound.loops import Mix
from render.sound.midi import line_midi
from render.sound.mixing import mixed
from render.sound.practice import section_exercise
from render.sound.practice_files import practice_pair
from render.sound.striking import drum_hits
from render.sound.wave_file import RATE, sample_at

GROOVES = BOOK.patterns.grooves()
SNARE = 38


def leading(times: int = 1) -> Song:
    """A straight verse whose last bar plays swung pairs that set up a shuffle."""
    fill = '{rows: "SD oo|oo|oo|oo", written: straight, played: swung, sets-up: next}'
    return song(
        chart(
            f"Verse (2) x{times}: {{fill: {fill}}}",
            "Chorus (2): {feel: shuffle}",
            feel="straight sixteenths",
        )
    )


def drum_places(data: bytes, note: int) -> list[F]:
    """Quarters from the start at which a drum sounds in a MIDI file."""
    file, tick, found = mido.MidiFile(file=io.BytesIO(data)), 0, []
    for message in file.tracks[-1]:
        tick += message.time
        if message.type == "note_on" and message.note == note:
            found.append(F(tick, file.ticks_per_beat))
    return found


SWUNG = [place + beat for beat in range(4) for place in (F(0), F(2, 3))]


def test_a_fill_that_sets_up_a_shuffle_is_practised_swung_every_time_round():
    """Written straight, played swung: in the feel of the next section its pairs are long and short."""
    _, midi = practice_pair(section_exercise(leading(), 0, 1, GROOVES), [F(100)], Mix(3))
    heard = drum_places(midi, SNARE)
    for start in (8, 16, 24):  # a count-in bar, then groove and fill by turns
        assert SWUNG == [place - start for place in heard if start <= place < start + 4]


def test_a_fill_in_its_own_sections_feel_is_practised_straight():
    """The same fill played on the first time through leads back into the straight verse."""
    fill = '{rows: "SD oo|oo|oo|oo", written: straight, played: swung, sets-up: next, pass: 1}'
    of = song(
        chart(f"Verse (2) x2: {{fill: {fill}}}", "Chorus (2): {feel: shuffle}", feel="straight sixteenths")
    )
    _, midi = practice_pair(section_exercise(of, 0, 1, GROOVES), [F(100)], Mix(2))
    heard = [place - 8 for place in drum_places(midi, SNARE) if 8 <= place < 12]
    assert [F(half, 2) for half in range(8)] == heard


def test_a_fill_that_sets_up_a_shuffle_is_exported_swung():
    """In a straight section no sign swings its pairs, so they are written in triplets."""
    bars = [struck for struck, _ in sounding_bars(musicxml(leading()))]
    assert [(place, "C5") for place in SWUNG] == sorted(each for each in bars[1] if each[1] == "C5")


METERS = ["4/4", "4/4", "3/4", "6/8", "12/8", "7/8 (3+2+2)", "2/2"]
TEMPI = ["92", "133.3", "240", "180 to 260", "72.5 to 101"]
FILLS = [
    'rows: "SD oo|oo", written: straight, played: swung',
    'rows: "SD ooo|.oo"',
    'rows: "SD .oo.|gooo"',
    *(f"use: {fill.name}" for fill in BOOK.patterns.fills()[::5] if fill.meter is None),
]
MORE = ["holds: 1.2", "stops: 1.2", "odd-bars: {1: 2/4}", "odd-bars: {1: 6/8}", "cue: watch"]


@st.composite
def tunes(draw: st.DrawFn) -> Song:
    """Songs in any feel whose fills are even, swung, in another feel, across one another, before a stop."""
    lines = []
    for name in "ABC"[: draw(st.integers(1, 3))]:
        bars = draw(st.integers(1, 4))
        feel = draw(st.sampled_from([each.name for each in BOOK.feels]))
        keys = [f'meter: "{draw(st.sampled_from(METERS))}"', f"tempo: {draw(st.sampled_from(TEMPI))}"]
        made_for = kinship(BOOK.feels.named(feel), BOOK.feels).made_for
        grooves = [groove for groove in GROOVES if made_for(groove)[0] < ELSEWHERE]  # others have no notation
        keys += [f'feel: "{feel}"', f"groove: {draw(st.sampled_from(grooves)).name}"]
        fills = draw(st.dictionaries(st.integers(1, bars), st.sampled_from(FILLS), max_size=2))
        sets_up = ", sets-up: next" if draw(st.booleans()) else ""
        of_pass = draw(st.sampled_from(["each", "last"]))
        uses = (f"{bar}: {{{fill}{sets_up}, pass: {of_pass}}}" for bar, fill in fills.items())
        keys += [f"fills: {{{', '.join(uses)}}}", draw(st.sampled_from(MORE))]
        lines.append(f"{name} ({bars}) x{draw(st.integers(1, 3))}: {{{', '.join(keys)}}}")
    return song(chart(*lines, head=f"pickup: {draw(st.sampled_from(['none', '1 beat']))}\n"))


def written_groove(section: Section) -> Pattern | None:
    """The groove that a chart names, where it fills the bars: what a score has."""
    groove = section.groove_pattern
    return groove if groove is not None and fills_bars(groove, section.meter) else None


STAFF = {voice.gm: voice.staff for voice in VOICES.values()}
STAFF |= dict.fromkeys((GM_OPEN_HAT, GM_HALF_OPEN_HAT), VOICES["HH"].staff)
STROKES = (36, 92, 120)  # ghost, stroke, accent: not a grace note, not a bounce of a buzz


def midi_drums(data: bytes) -> set[tuple[F, str]]:
    """Quarters and staff place of every stroke in a MIDI file's drums."""
    file, tick, found = mido.MidiFile(file=io.BytesIO(data)), 0, set()
    for message in file.tracks[-1]:
        tick += message.time
        if message.type == "note_on" and message.velocity in STROKES:
            found.add((F(tick, file.ticks_per_beat), STAFF[message.note]))
    return found


def score_drums(tune: Song, start: F) -> set[tuple[F, str]]:
    """The same of its score, played out from bar 1 at ``start``."""
    found = set()
    for struck, length in sounding_bars(musicxml(tune)):
        found |= {(start + at, place) for at, place in struck}
        start += length
    return found


def landings(line: Performance) -> set[F]:
    """Where fills land: a score leaves out a landing that is not on every pass of a repeat."""
    drums = play_drums(line, written_groove)
    return {
        beat.quarters_at(each.at)
        for beat, laid in zip(line.beats, drums.beats, strict=True)
        for each in laid.landing
    }


@given(tunes())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_midi_and_musicxml_sound_alike(tune):
    """Every stroke of grooves and fills is at the same place in both, to a hundredth of a quarter."""
    line = perform(tune)
    hits = drum_hits(line, written_groove)
    start = next(bar.quarters for bar in line.bars if bar.kind == BAR)
    landed = landings(line)
    midi = midi_drums(line_midi(line, clicks(line), hits)) if hits else set()
    score = score_drums(tune, start)
    for one, other in ((midi, score), (score, midi)):
        for at, staff in one:
            if at >= start - F(1, 1000) and not any(abs(at - place) < F(1, 1000) for place in landed):
                assert any(abs(at - there) < F(1, 100) for there, place in other if place == staff), (
                    at - start,
                    staff,
                )


def midi_seconds(data: bytes) -> list[float]:
    """Seconds of every stroke in a MIDI file's drums, by its own tempo map."""
    file = mido.MidiFile(file=io.BytesIO(data))
    tempos, tick = [(0, 0.0, 500_000)], 0
    for message in file.tracks[0]:
        tick += message.time
        if message.type == "set_tempo":
            at, seconds, tempo = tempos[-1]
            tempos.append((tick, seconds + (tick - at) * tempo / file.ticks_per_beat / 1e6, message.tempo))
    found, tick = [], 0
    for message in file.tracks[-1]:
        tick += message.time
        if message.type == "note_on" and message.velocity in STROKES:
            at, seconds, tempo = tempos[bisect_right(tempos, (tick, float("inf"))) - 1]
            found.append(seconds + (tick - at) * tempo / file.ticks_per_beat / 1e6)
    return found


@given(tunes())
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_midi_and_wav_sound_alike(tune):
    """Every stroke of the MIDI file is within a millisecond of a stroke's first sample, and the other way.

    Inside a beat of an even change MIDI has one tempo: there a stroke may be 5 ms off, never a beat.
    """
    line = perform(tune)
    hits = drum_hits(line, written_groove)
    if not hits:
        return
    slack = 0.001 if all(section.tempo_to is None for section in tune.form) else 0.005
    samples = np.array([sample_at(hit.seconds) / RATE for hit in hits])
    midi = np.array(midi_seconds(line_midi(line, clicks(line), hits)))
    for one, other in ((midi, samples), (samples, midi)):
        assert slack > max(np.min(np.abs(one - at)) for at in other)


@pytest.mark.parametrize("name", ["swing", "sixteenth shuffle", "straight sixteenths"])
def test_the_rendered_samples_begin_on_the_computed_ones(name):
    """Each drum's first sample that is not silent, and each click's, where its time says; through a ramp."""
    keys = "{tempo: 180 to 240, holds: {2.3: 1.5}, fill: {rows: 'SD o.o|oo|oooo'}}"
    tune = song(chart(f"A (3): {keys}", "B (1)", feel=name, tempo="180"))
    line = perform(tune)
    hits = drum_hits(line, lambda section: groove_for(tune, section, GROOVES))
    assert 30 < len(hits)
    for hit in hits[::4]:
        (sounding,) = np.nonzero(np.concatenate(list(mixed([hit], [], line.seconds, -6.0))))
        assert sounding[0] - sample_at(hit.seconds) in (0, 1)  # a drum may begin with a sample of silence
    data = b"".join(click_file(tune, ".wav", False, 0, -6.0)[1])
    loud = np.flatnonzero(
        np.frombuffer(data[data.index(b"data") + 8 :][: 2 * sample_at(line.seconds)], "<i2")
    )
    begun = [int(loud[0]), *(int(at) for before, at in pairwise(loud) if at - before > 300)]
    assert [sample_at(click.seconds) for click in clicks(line)] == begun
