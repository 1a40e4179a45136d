"""The file of ``click``, whole, before anything is written."""

from __future__ import annotations

from charts.performance import Performance, Watch, count_in_seconds, perform, unwatched
from charts.played import song_seconds
from charts.song import Song
from render.sound.clicks import clicks
from render.sound.wave_file import check_length, section_marks, wave_bytes

WAV, MIDI = ".wav", ".mid"
SHARES = {WAV: 2.0, MIDI: 5.0}  # how much work a file is, as ``watch`` sees it


def click_file(
    song: Song, kind: str, subdivide: bool, warn: int, level_db: float, watch: Watch = unwatched
) -> tuple[Performance, bytes]:
    """The click of a song as a WAV or a MIDI file; in WAV the sections are named places."""
    if kind == WAV:
        check_length(count_in_seconds(song) + song_seconds(song), song.title)
    line = perform(song, watch)
    sounds = clicks(line, subdivide, warn, watch)
    if kind == MIDI:
        from render.sound.midi import line_midi

        return line, line_midi(line, sounds, watch=watch)
    from render.sound.click_voices import click_samples

    return line, wave_bytes(click_samples(sounds, line.seconds, level_db), section_marks(line))
