"""MIDI files of others taken in: signatures, markers, count-ins, drums, and what is lost."""

from __future__ import annotations

import io
from pathlib import Path

import mido
import pytest
from scores import message, taken

from render.importing.take import Taken

Event = tuple[float, mido.Message | mido.MetaMessage]
TICKS = 480


def midi(*events: Event, quarters: float) -> bytes:
    """A file of one track: events at quarters from the start."""
    file, now = mido.MidiFile(type=1, ticks_per_beat=TICKS), 0
    file.tracks.append(track := mido.MidiTrack())
    for at, event in sorted(events, key=lambda each: each[0]):
        track.append(event.copy(time=round(at * TICKS) - now))
        now = round(at * TICKS)
    track.append(mido.MetaMessage("end_of_track", time=round(quarters * TICKS) - now))
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def drum(at: float, note: int, channel: int = 9) -> Event:
    return at, mido.Message("note_on", channel=channel, note=note, velocity=90)


def signed(at: float, upper: int, lower: int) -> Event:
    return at, mido.MetaMessage("time_signature", numerator=upper, denominator=lower)


def said(at: float, text: str, kind: str = "marker") -> Event:
    return at, mido.MetaMessage(kind, text=text)


def of(tmp_path: Path, *events: Event, quarters: float) -> Taken:
    return taken(tmp_path, "song.mid", midi(*events, quarters=quarters))


def test_what_a_chart_has_no_place_for_is_counted(tmp_path: Path) -> None:
    """Notes of other channels, percussion that is no part of a kit."""
    found = of(tmp_path, drum(0, 60, 0), drum(0, 99), drum(4, 99), drum(8, 38), quarters=12)
    assert "2 percussion notes: no drum of a kit has them" in found.lost
    assert "the notes of the other channels: a chart has no pitched notes" in found.lost
    assert "the file has no time signature: 4/4" in found.guessed


@pytest.mark.parametrize(("name", "key"), [("Bbm", "Bb minor"), ("A", "A")])
def test_the_key_is_kept(tmp_path: Path, name: str, key: str) -> None:
    """As musicians say it."""
    assert key == of(tmp_path, (0, mido.MetaMessage("key_signature", key=name)), quarters=4).song.key


def test_a_time_signature_inside_a_bar_ends_it(tmp_path: Path) -> None:
    """What is left is a bar of its own length, and said."""
    found = of(tmp_path, signed(0, 4, 4), signed(6, 3, 4), quarters=12)
    section = found.song.form[0]
    assert ["4/4", "2/4", "3/4", "3/4"] == [str(section.meter_of(bar)) for bar in (1, 2, 3, 4)]
    assert "bar 2 lasts 2 quarters, not a bar of 4/4: 2/4" in found.guessed


def test_a_marker_set_a_little_early_belongs_to_the_next_bar(tmp_path: Path) -> None:
    """By hand it is never on the tick."""
    found = of(tmp_path, said(0, "A"), said(7.9, "B"), said(12.1, "C"), quarters=16)
    assert [("A", 2), ("B", 1), ("C", 1)] == [(each.name, each.bars) for each in found.song.form]


def test_words_that_are_no_utf_8_are_read_as_old_programs_write_them(tmp_path: Path) -> None:
    """In Latin-1."""
    section = of(tmp_path, said(0, "Café"), said(4, "début", "cue_marker"), quarters=8).song.form[0]
    assert ("Café", ["début"]) == (section.name, [cue.text for cue in section.cues])


def test_a_midi_file_in_its_wrapper(tmp_path: Path) -> None:
    """RIFF around MIDI; around anything else it is no score."""
    data = midi(said(0, "A"), quarters=8)
    length = len(data).to_bytes(4, "little")
    wrapped = b"RIFF" + length + b"RMIDdata" + length + data
    assert 2 == taken(tmp_path, "a.rmi", wrapped).song.bars
    assert "this RIFF file holds no MIDI" == message(tmp_path, "a.wav", b"RIFF" + length + b"WAVE" + data)


def test_a_count_in_and_a_pickup_stand_before_bar_1(tmp_path: Path) -> None:
    """And the tempo that the count-in set goes on."""
    tempo = (0, mido.MetaMessage("set_tempo", tempo=400_000))
    before = said(0, "count-in", "cue_marker"), said(4, "pickup", "cue_marker")
    song = of(tmp_path, tempo, *before, signed(4, 1, 4), signed(5, 4, 4), said(5, "A"), quarters=13).song
    assert (1, 0, 1, 150, 2) == (song.count_in.bars, song.count_in.beats, song.pickup, song.tempo, song.bars)


def test_a_count_in_that_ends_inside_a_beat_is_lost(tmp_path: Path) -> None:
    """And said."""
    counted = said(0, "count-in", "cue_marker"), signed(0, 3, 4), signed(1.5, 4, 4)
    found = of(tmp_path, *counted, said(1.5, "A"), quarters=9.5)
    assert "a count-in of 1.5 quarters: a chart counts whole beats" in found.lost
    assert (0, 0) == (found.song.count_in.bars, found.song.count_in.beats)


def test_more_bars_than_a_song_has(tmp_path: Path) -> None:
    """A file of hours is refused."""
    data = midi(signed(0, 1, 4), quarters=2_002)
    assert "this MIDI file has more than 2000 bars" == message(tmp_path, "long.mid", data)


def test_a_length_that_never_ends_is_refused(tmp_path: Path) -> None:
    """A number in a MIDI file has four bytes at most; one of thousands is damage, and takes no time."""
    track = b"\xff" * 150_000
    data = b"MThd\0\0\0\6\0\1\0\1\1\xe0MTrk" + len(track).to_bytes(4, "big") + track
    assert "this MIDI file is broken, or cut short" == message(tmp_path, "s.mid", data)


def test_a_file_without_ticks_has_nothing_in_it(tmp_path: Path) -> None:
    """A quarter of no ticks has no length."""
    data = midi(drum(0, 38), quarters=4)
    assert "nothing in it" in message(tmp_path, "s.mid", data[:12] + b"\0\0" + data[14:])


GROOVE = [drum(at / 2, 42) for at in range(64)] + [drum(at, 36) for at in range(0, 32, 2)]


def test_a_crash_on_one_is_not_where_the_fill_begins(tmp_path: Path) -> None:
    """The fill begins where the groove is left for good."""
    strokes = [drum(28, 49), *(drum(30 + at / 2, 38) for at in range(4))]
    use = of(tmp_path, *GROOVE, *strokes, quarters=32).song.form[0].fills[0]
    assert use.pattern is not None
    assert (8, 2, 4) == (use.bar, use.pattern.beats, sum(s.voice == "SD" for s in use.pattern.strokes))


def test_strokes_on_no_grid_are_no_fill(tmp_path: Path) -> None:
    """Played freely: told, not written down wrongly."""
    found = of(tmp_path, *GROOVE, *(drum(28 + at, 38) for at in (0.01, 0.33, 0.71, 1.57)), quarters=32)
    assert "a fill in bar 8: its strokes lie on no grid" in found.lost
    assert () == found.song.form[0].fills


def test_a_groove_in_another_meter_says_so(tmp_path: Path) -> None:
    """As a comment to put into a file of grooves."""
    strokes = [drum(at / 2, 42) for at in range(24)]
    found = of(tmp_path, signed(0, 3, 4), *strokes, *(drum(at, 36) for at in range(0, 12, 3)), quarters=12)
    assert "#     meter: 3/4\n#     rows: |\n#       HH xx|xx|xx\n#       BD o.|..|..\n" in found.text


def test_a_pickup_longer_than_a_chart_takes_is_lost(tmp_path: Path) -> None:
    """And said."""
    found = of(tmp_path, said(0, "pickup", "cue_marker"), signed(0, 4, 4), said(36, "A"), quarters=40)
    assert "a pickup of 36 beats: a chart takes 32" in found.lost
    assert (0, 1) == (found.song.pickup, found.song.bars)
