"""MIDI files against the specifications.

Sources: Standard MIDI Files 1.0 (MIDI Manufacturers Association RP-001), read; General MIDI Level 1 percussion
key map (MIDI Manufacturers Association), read in pretty_midi's table and two copies.
"""

from __future__ import annotations

import io

import mido
import pretty_midi
import pytest
from support import chart, song, song_midi

from charts.kit import GM_HALF_OPEN_HAT, GM_OPEN_HAT, VOICES
from render.sound.clicks import BEAT, ONE
from render.sound.midi import CHANNEL, CLICK_NOTES

# RP-001, meta event 58: nn dd cc bb; dd a power of two, cc 24ths of a quarter a click, bb 32nds a quarter
SIGNATURES = [
    ("4/4", "04 02 18 08"),
    ("6/8", "06 03 24 08"),  # clicks on dotted quarters: hex 24 = 36 clocks
    ("12/8", "0c 03 24 08"),
    ("2/2", "02 01 30 08"),  # clicks on halves
    ("3/4", "03 02 18 08"),  # arithmetic from here on
    ("7/8 (2+2+3)", "07 03 0c 08"),
    ("3/8", "03 03 24 08"),
]


@pytest.mark.parametrize(("meter", "written"), SIGNATURES)
def test_the_time_signature_is_written_as_the_specification_has_it(meter: str, written: str) -> None:
    """FF 58 04 nn dd cc bb."""
    data = song_midi(song(chart("A (1)", head=f"meter: {meter}\n")))
    assert bytes.fromhex("FF 58 04" + written) in data


@pytest.mark.parametrize(
    ("meter", "tempo", "microseconds"),
    [
        ("4/4", "120", 500_000),
        ("12/8", "80", 500_000),
        ("2/2", "60", 500_000),
        ("7/8 (2+2+3)", "60", 1_000_000),
    ],
)
def test_set_tempo_is_microseconds_per_quarter_whatever_the_beat(
    meter: str, tempo: str, microseconds: int
) -> None:
    """FF 51 03 and 24 bits; dotted quarter 80 and half 60 are 500,000 (RP-001; arithmetic)."""
    data = song_midi(song(chart("A (1)", head=f"meter: {meter}\n", tempo=tempo)))
    assert bytes.fromhex("FF 51 03") + microseconds.to_bytes(3, "big") in data


WORKED = chart(
    "A (2): {tempo: 120, cue: in}",
    "B (2): {meter: 12/8, tempo: 80}",
    "C (1): {meter: 7/8 (2+2+3), tempo: 60}",
    head="count-in: none\n",
)  # fmt: skip


def test_the_worked_length() -> None:
    """2 bars 4/4 at 120, 2 bars 12/8 at dotted quarter 80, 1 bar 7/8 at quarter 60: 4 + 6 + 3.5 = 13.5 s."""
    data = song_midi(song(WORKED))
    file = mido.MidiFile(file=io.BytesIO(data))
    assert 13.5 == pytest.approx(file.length, abs=1e-6)
    ticks = max(sum(message.time for message in track) for track in file.tracks)
    assert 13.5 == pytest.approx(pretty_midi.PrettyMIDI(io.BytesIO(data)).tick_to_time(ticks), abs=1e-6)


def test_pretty_midi_reads_the_worked_example() -> None:
    """Tempos in quarters per minute 120, 120 and 60; signatures at 0, 4 and 10 s; the one on 76, beats on 77."""
    read = pretty_midi.PrettyMIDI(io.BytesIO(song_midi(song(WORKED))))
    places, tempos = read.get_tempo_changes()
    assert [(0.0, 120.0), (10.0, 60.0)] == [
        (round(at, 6), round(bpm, 6)) for at, bpm in zip(places, tempos, strict=True)
    ]
    signs = [(round(each.time, 6), each.numerator, each.denominator) for each in read.time_signature_changes]
    assert [(0.0, 4, 4), (4.0, 12, 8), (10.0, 7, 8)] == signs
    notes = sorted((round(note.start, 3), note.pitch) for note in read.instruments[0].notes)
    beats = [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.75, 5.5, 6.25, 7, 7.75, 8.5, 9.25, 10, 11, 12]
    ones = {0, 2, 4, 7, 10}
    assert [(at, 76 if at in ones else 77) for at in beats] == notes


def test_music21_reads_the_worked_example() -> None:
    """Its own reader finds the signatures where they are and as many quarters as the bars hold."""
    import music21

    score = music21.converter.parseData(song_midi(song(WORKED)), format="midi")
    signs = {
        (float(sign.getOffsetInHierarchy(score)), sign.ratioString)
        for sign in score.recurse().getElementsByClass("TimeSignature")
    }
    assert {(0.0, "4/4"), (8.0, "12/8"), (20.0, "7/8")} == signs
    marks = {(offset, mark.number) for offset, _, mark in score.metronomeMarkBoundaries()}
    assert {(0.0, 120.0), (20.0, 60.0)} <= marks
    starts = [float(note.getOffsetInHierarchy(score)) for note in score.recurse().notes]
    assert 19 == len(starts)
    assert 22.0 == max(starts)


def test_the_file_is_of_format_1_with_names_of_sections_and_cues() -> None:
    """MThd, format 1; meta event 06 marker, 07 cue point; every track ends with FF 2F 00 (RP-001)."""
    data = song_midi(song(WORKED))
    assert b"MThd\x00\x00\x00\x06\x00\x01" == data[:10]
    assert b"\xff\x06\x01A" in data
    assert b"\xff\x07\x02in" in data
    assert 2 == data.count(b"MTrk") == data.count(b"\xff\x2f\x00")
    ticks = int.from_bytes(data[12:14], "big")
    assert all(ticks % division == 0 for division in (2, 3, 4, 5, 6, 7, 8, 12, 16, 24, 32))
    assert 3360 == ticks  # the least that all of them divide


def test_the_click_is_on_the_wood_blocks_of_channel_ten() -> None:
    """General MIDI Level 1: channel 10 is percussion; 76 Hi Wood Block, 77 Low Wood Block."""
    assert 9 == CHANNEL
    names = [pretty_midi.note_number_to_drum_name(CLICK_NOTES[kind][0]) for kind in (ONE, BEAT)]
    assert ["Hi Wood Block", "Low Wood Block"] == names
    file = mido.MidiFile(file=io.BytesIO(song_midi(song(WORKED), subdivide=True)))
    notes = [message for track in file.tracks for message in track if message.type.startswith("note")]
    assert {9} == {message.channel for message in notes}


@pytest.mark.parametrize(
    ("voice", "name"),
    [
        ("B2", "Acoustic Bass Drum"), ("BD", "Bass Drum 1"), ("XS", "Side Stick"), ("SD", "Acoustic Snare"),
        ("HH", "Closed Hi Hat"), ("HF", "Pedal Hi Hat"), ("FT", "High Floor Tom"), ("T3", "Low Tom"),
        ("T2", "Hi-Mid Tom"), ("T1", "High Tom"), ("C1", "Crash Cymbal 1"), ("RD", "Ride Cymbal 1"),
        ("CH", "Chinese Cymbal"), ("RB", "Ride Bell"), ("TB", "Tambourine"), ("SP", "Splash Cymbal"),
        ("CB", "Cowbell"), ("C2", "Crash Cymbal 2"),
    ],
)  # fmt: skip
def test_every_voice_has_its_general_midi_number(voice: str, name: str) -> None:
    """The names of pretty_midi's table, an independent copy of the key map."""
    assert name == pretty_midi.note_number_to_drum_name(VOICES[voice].gm)


def test_the_open_hat_is_46() -> None:
    """General MIDI has no half-open hat: common practice takes the open one."""
    assert "Open Hi Hat" == pretty_midi.note_number_to_drum_name(GM_OPEN_HAT)
    assert GM_OPEN_HAT == GM_HALF_OPEN_HAT
