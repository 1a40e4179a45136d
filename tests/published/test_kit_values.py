"""The kit's table against General MIDI and the staff places of percussion notation."""

from __future__ import annotations

import pretty_midi
import pytest

from charts.kit import GM_OPEN_HAT, VOICES

# General MIDI Level 1 percussion (MIDI Manufacturers Association), read in pretty_midi's table
GM_NAMES = {
    "C1": "Crash Cymbal 1", "C2": "Crash Cymbal 2", "CH": "Chinese Cymbal", "SP": "Splash Cymbal", "RD": "Ride Cymbal 1",
    "RB": "Ride Bell", "HH": "Closed Hi Hat", "HF": "Pedal Hi Hat", "CB": "Cowbell", "TB": "Tambourine", "SD": "Acoustic Snare",
    "XS": "Side Stick", "BD": "Bass Drum 1", "B2": "Acoustic Bass Drum",
}  # fmt: skip
TOMS_HIGH_TO_LOW = (50, 48, 47, 45, 43, 41)  # General MIDI Level 1, as above


@pytest.mark.parametrize("voice", GM_NAMES)
def test_a_voice_has_its_general_midi_note(voice: str) -> None:
    """Named by pretty_midi's copy of the General MIDI Level 1 percussion map."""
    assert GM_NAMES[voice] == pretty_midi.note_number_to_drum_name(VOICES[voice].gm)


def test_the_open_hat_has_its_own_note() -> None:
    """46, as above."""
    assert pretty_midi.note_number_to_drum_name(GM_OPEN_HAT) == "Open Hi Hat"


def test_toms_go_down_as_general_midi_has_them() -> None:
    """High to low: 50 48 47 45 43 41 (General MIDI Level 1)."""
    places = [TOMS_HIGH_TO_LOW.index(VOICES[tom].gm) for tom in ("T1", "T2", "T3", "FT")]
    assert places == sorted(set(places))


@pytest.mark.parametrize("voice", sorted(VOICES))
def test_every_note_is_in_the_table(voice: str) -> None:
    """35 to 81; 33 and 34 (metronome) are not General MIDI Level 1."""
    assert 35 <= VOICES[voice].gm <= 81


def test_music21_agrees_where_it_maps() -> None:
    """music21's PercussionMapper maps 35 of the 47 notes; its families are a cross-check, not the table."""
    from music21.midi.percussion import MIDIPercussionException, PercussionMapper

    families = {"BD": "BassDrum", "B2": "BassDrum", "SD": "SnareDrum", "C1": "CrashCymbals", "C2": "CrashCymbals",
                "HH": "HiHatCymbal", "HF": "HiHatCymbal", "CB": "Cowbell", "TB": "Tambourine", "T1": "TomTom"}  # fmt: skip
    mapper, agreed = PercussionMapper(), 0
    for voice, family in families.items():
        try:
            found = mapper.midiPitchToInstrument(VOICES[voice].gm)
        except MIDIPercussionException:
            continue
        agreed += 1
        names = {base.__name__ for base in type(found).__mro__}
        assert family in names or (family == "CrashCymbals" and "Cymbals" in names), (voice, names)
    assert agreed >= 6


@pytest.mark.parametrize(
    ("voice", "staff", "head"), [("BD", "F4", "normal"), ("SD", "C5", "normal"), ("HH", "G5", "x")]
)
def test_staff_places_of_the_percussion_tutorial(voice: str, staff: str, head: str) -> None:
    """Read in the W3C percussion tutorial of MusicXML: bass drum F4, snare C5, hi-hat G5 with x head."""
    assert (staff, head) == (VOICES[voice].staff, VOICES[voice].head)


@pytest.mark.parametrize(
    ("voice", "staff", "head"),
    [
        ("RD", "F5", "x"), ("C1", "A5", "x"), ("C2", "B5", "x"), ("T1", "E5", "normal"), ("T2", "D5", "normal"),
        ("FT", "A4", "normal"), ("HF", "D4", "x"), ("B2", "E4", "normal"), ("XS", "C5", "x"),
    ],
)  # fmt: skip
def test_staff_places_of_the_drumset_guide(voice: str, staff: str, head: str) -> None:
    """From memory of N. Weinberg, Guide to Standardized Drumset Notation (Percussive Arts Society, 1998)."""
    assert (staff, head) == (VOICES[voice].staff, VOICES[voice].head)


def test_no_two_voices_share_place_and_head() -> None:
    """Whole table: what is read off the staff is one voice."""
    assert len({(voice.staff, voice.head) for voice in VOICES.values()}) == len(VOICES)
