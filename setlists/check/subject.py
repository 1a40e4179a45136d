"""What the rules look at: the gig, and every two songs that meet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from charts.book import Book
from charts.check.registry import Registry
from charts.feel import Feel
from charts.song import Section
from charts.source import Finding, Span, Where
from charts.timing import Meter
from charts.wording import figure
from setlists.gig import Gig, GigBreak, GigSong

RULES: Registry[Subject] = Registry("setlists.check")
rule = RULES.rule


@dataclass(frozen=True)
class State:
    """Feel, tempo and meter at one end of a song; None where a song without a chart does not say."""

    feel: Feel | None
    tempo: Fraction | None
    meter: Meter | None

    @property
    def in_threes(self) -> bool:
        """True where the beat, or each half of it, is heard in three, swung or not."""
        compound = self.meter is not None and self.meter.compound
        return compound or (self.feel is not None and self.feel.divides[-1] == 3)


def opening(song: GigSong) -> State:
    """What a song starts in."""
    if song.song is None:
        return State(song.feel, song.tempo, None)
    first = song.song.form[0]
    return State(first.feel, first.tempo, first.meter_of(1))


def leaving(song: GigSong) -> State:
    """What a song leaves in the ear: its last section as it settles, before any ritard at the end."""
    if song.song is None:
        return State(song.feel, song.tempo, None)
    last = song.song.form[-1]
    return State(last.feel, last.tempos[-1].tempo if last.tempos else last.tempo, last.meter)


def last_tempo(song: GigSong) -> Fraction | None:
    """The tempo that a song has reached at its last barline."""
    return song.tempo if song.song is None else _reached(song.song.form[-1])


def _reached(section: Section) -> Fraction:
    if section.tempos:
        return section.tempos[-1].to or section.tempos[-1].tempo
    return section.tempo_to or section.tempo


class Subject:
    """A gig under check, in its book."""

    def __init__(self, gig: Gig, book: Book) -> None:
        self.gig, self.book = gig, book
        self.told: dict[int, list[Finding]] = {}  # by the number of the song that it is told at

    @property
    def runs(self) -> tuple[tuple[GigSong, ...], ...]:
        """Songs that follow one another with no break between."""
        runs: list[list[GigSong]] = [[]]
        for part in self.gig.parts:
            if isinstance(part, GigBreak):
                runs.append([])
            else:
                runs[-1] += part.songs
        return tuple(tuple(run) for run in runs if run)

    def neighbours(self) -> Iterator[tuple[GigSong, GigSong]]:
        """Every two songs that meet."""
        return (pair for run in self.runs for pair in pairwise(run))

    def finding(
        self,
        rule: str,
        level: str,
        song: GigSong,
        message: str,
        hint: str = "",
        key: str = "",
        span: Span | None = None,
        lines: tuple[tuple[str, str], ...] = (),
        short: str = "",
    ) -> Finding:
        """A finding told at a song: at one of its keys where it has that, or at a span of the set list."""
        place = span or (song.item.span_of(key) if key else None) or song.item.span
        where = Where(song.title, self.gig.setlist.gig)
        found = Finding(rule, level, message, place, hint, where, lines=lines, short=short)
        self.told.setdefault(song.number, []).append(found)
        return found


def left_at(song: GigSong, tempo: Fraction) -> str:
    """The tempo a song leaves in the ear, with where that is in it where the song itself has another."""
    if tempo == song.tempo:
        return figure(tempo)
    reached = last_tempo(song) or tempo
    if reached == tempo:
        return f"{figure(tempo)} at the end"
    return f"{figure(tempo)} before its {'ritard' if reached < tempo else 'last change of tempo'}"
