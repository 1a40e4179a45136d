"""The files of ``practice``: WAV in pieces, made as they are written, and MIDI."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from charts.performance import count_in_seconds, perform
from charts.played import song_seconds
from charts.song import Song
from render.sound.loops import Mix, exercise_song, loop_clicks, loop_hits, loop_places, silences
from render.sound.midi import line_midi
from render.sound.mixing import mixed
from render.sound.practice import Exercise
from render.sound.wave_file import check_length, sample_at, section_marks, wave_pieces


def practice_files(
    exercise: Exercise, runs: Mapping[str, Sequence[Fraction]], mix: Mix, done: Callable[[], None]
) -> dict[str, Iterable[bytes]]:
    """Name and content of every file: a WAV and a MIDI file for each run of tempos.

    ``runs`` has the tempos by the name that the files get; ``done`` is called after each run.
    """
    files: dict[str, Iterable[bytes]] = {}
    for stem, tempos in runs.items():
        wav, midi = practice_pair(exercise, tempos, mix)
        files[stem + ".wav"], files[stem + ".mid"] = _told(wav, done), [midi]
    return files


def _told(pieces: Iterable[bytes], done: Callable[[], None]) -> Iterator[bytes]:
    yield from pieces
    done()


def loop_seconds(song: Song) -> float:
    """Length of a loop's file, its count-in included."""
    return count_in_seconds(song) + song_seconds(song)


def practice_pair(exercise: Exercise, tempos: Sequence[Fraction], mix: Mix) -> tuple[Iterable[bytes], bytes]:
    """WAV, in pieces, and MIDI of a loop at one tempo, or at several one after another.

    At one tempo the WAV file has loop points from the second time round, into which the fill has led, to
    the end of the last, so that a player that knows loops goes on without a seam.
    """
    song = exercise_song(exercise, tempos, mix.times)
    check_length(loop_seconds(song), exercise.name, "write fewer --times, or a shorter --ladder")
    line = perform(song)
    sounds = loop_clicks(line, exercise, mix.subdivide)
    hits = loop_hits(line, exercise, mix.drums)
    quiet = silences(line, exercise)
    pieces = mixed(hits, sounds, line.seconds, mix.level_db, mix.click_db, quiet)
    loop = None
    if mix.times > 1 and len(tempos) == 1:
        start, end = loop_places(line, exercise)
        loop = sample_at(start), sample_at(end)
    wav = wave_pieces(pieces, sample_at(line.seconds), section_marks(line), loop)
    return wav, line_midi(line, sounds, hits, mix.click_db)
