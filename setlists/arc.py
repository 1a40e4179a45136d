"""The arc of a gig: tempo, loudness and feel of every song over the clock, for drawing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from charts.performance import count_in_seconds
from charts.played import PlayedSection, played, song_seconds
from charts.song import DYNAMICS
from setlists.gig import GigSong

STRAIGHT, SWUNG, COMPOUND = "straight", "swung", "compound"  # how the beat divides


@dataclass(frozen=True)
class Step:
    """From one moment to another, in seconds from the gig's start: what is so at its start and at its end."""

    start: float
    end: float
    value: float
    to: float


@dataclass(frozen=True)
class SongArc:
    """One song: its tempo in beats per minute, and how loud it is, from 0 to 1, where the chart says so."""

    song: GigSong
    kind: str
    tempo: tuple[Step, ...]
    loudness: tuple[Step, ...]

    def tempo_at(self, seconds: float) -> float | None:
        """Beats per minute at a moment; before the first bar its own tempo, None for a song without one."""
        found = [step for step in self.tempo if step.start <= seconds] or self.tempo[:1]
        if not found:
            return None
        step = found[-1]
        share = (seconds - step.start) / (step.end - step.start) if step.end > step.start else 0.0
        return step.value + (step.to - step.value) * min(1.0, max(0.0, share))


def arc_of(song: GigSong) -> SongArc:
    """The arc of a song; one without a chart has the tempo that the set list gives, if it does."""
    kind = _kind(song)
    if song.song is None:
        tempo = float(song.tempo) if song.tempo else None
        steps = () if tempo is None else (Step(song.offset, song.ends, tempo, tempo),)
        return SongArc(song, kind, steps, ())
    lead = count_in_seconds(song.song)
    whole = lead + song_seconds(song.song)
    factor = song.seconds / whole if whole else 0.0  # the set list may give a length of its own
    parts = played(song.song)

    def placed(steps: Iterator[Step]) -> tuple[Step, ...]:
        at = [
            (song.offset + (lead + s.start) * factor, song.offset + (lead + s.end) * factor, s) for s in steps
        ]
        return tuple(Step(start, end, step.value, step.to) for start, end, step in at)

    return SongArc(song, kind, placed(_tempos(parts)), placed(_loudness(parts)))


def _kind(song: GigSong) -> str:
    if song.meter is not None and song.meter.compound:
        return COMPOUND
    return SWUNG if song.feel is not None and song.feel.swings else STRAIGHT


def _tempos(parts: tuple[PlayedSection, ...]) -> Iterator[Step]:
    for part in parts:
        for stretch in part.clock.stretches:
            start, end = (part.clock.seconds_at(at) for at in (stretch.start, stretch.start + stretch.length))
            yield Step(part.seconds + start, part.seconds + end, float(stretch.tempo), float(stretch.to))


def _loudness(parts: tuple[PlayedSection, ...]) -> Iterator[Step]:
    """From the first section that has dynamics on; they hold until others come."""
    now: float | None = None
    for part in parts:
        marks = [(DYNAMICS.index(mark) + 1) / len(DYNAMICS) for mark in part.section.dynamics]
        if marks or now is not None:
            first = marks[0] if marks else now
            assert first is not None
            now = marks[-1] if marks else now
            assert now is not None
            yield Step(part.seconds, part.seconds + part.length, first, now)
