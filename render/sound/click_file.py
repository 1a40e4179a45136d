"""The file of ``click``."""

from __future__ import annotations

from collections.abc import Iterable

from charts.performance import Performance, count_in_seconds, perform
from charts.played import song_seconds
from charts.song import Song
from render.sound.clicks import clicks
from render.sound.wave_file import check_length, sample_at, section_marks, wave_pieces

WAV, MIDI = ".wav", ".mid"


def click_file(
    song: Song, kind: str, subdivide: bool, warn: int, level_db: float
) -> tuple[Performance, Iterable[bytes]]:
    """The click of a song as a WAV or a MIDI file, in pieces; in WAV the sections are named places."""
    if kind == WAV:
        check_length(count_in_seconds(song) + song_seconds(song), song.title)
    line = perform(song)
    sounds = clicks(line, subdivide, warn)
    if kind == MIDI:
        from render.sound.midi import line_midi

        return line, [line_midi(line, sounds)]
    from render.sound.click_voices import click_pieces

    pieces = click_pieces(sounds, line.seconds, level_db)
    return line, wave_pieces(pieces, sample_at(line.seconds), section_marks(line))
