"""The files of ``practice``: WAV in pieces, made as they are written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction

from charts.performance import Performance, count_in_seconds, perform
from charts.played import song_seconds
from render.sound.clicks import clicks
from render.sound.midi import line_midi
from render.sound.mixing import mixed
from render.sound.practice import Exercise, exercise_song, file_stem, loop_grooves
from render.sound.striking import drum_hits
from render.sound.wave_file import check_length, sample_at, section_marks, wave_pieces


def practice_files(
    exercise: Exercise, tempi: Iterable[Fraction], times: int, level_db: float, done: Callable[[], None]
) -> dict[str, Iterable[bytes]]:
    """Name and content of every file: a WAV and a MIDI file a tempo; ``done`` is told after each tempo."""
    files: dict[str, Iterable[bytes]] = {}
    for tempo in tempi:
        stem = file_stem(exercise.name, tempo)
        wav, midi = practice_pair(exercise, tempo, times, level_db)
        files[stem + ".wav"], files[stem + ".mid"] = _told(wav, done), [midi]
    return files


def _told(pieces: Iterable[bytes], done: Callable[[], None]) -> Iterator[bytes]:
    yield from pieces
    done()


def practice_pair(
    exercise: Exercise, tempo: Fraction, times: int, level_db: float
) -> tuple[Iterable[bytes], bytes]:
    """WAV, in pieces, and MIDI of a loop at one tempo.

    The WAV file's loop runs from the second time round, into which the fill has led, to the last one's end,
    so that a player that knows loops goes on without a seam.
    """
    song = exercise_song(exercise, tempo, times)
    check_length(count_in_seconds(song) + song_seconds(song), exercise.name)
    line = perform(song)
    sounds = clicks(line)
    hits = drum_hits(line, loop_grooves, lambda _form, _index, use, _pass: exercise.feel_of(use))
    pieces = mixed(hits, sounds, line.seconds, level_db)
    loop = _loop(line) if times > 1 else None
    wav = wave_pieces(pieces, sample_at(line.seconds), section_marks(line), loop)
    return wav, line_midi(line, sounds, hits)


def _loop(line: Performance) -> tuple[int, int]:
    part = line.parts[0]
    return sample_at(line.by_place[0, 2, 1].seconds), sample_at(line.lead + part.seconds + part.length)
