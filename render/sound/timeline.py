"""A song on one line, from the first beat of the count-in to the last barline.

Every beat has its exact place twice: in seconds (for WAV) and in written quarters (for MIDI).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Protocol, TypeVar

from charts.feel import Feel
from charts.played import PlayedSection, Stretch, count_in_seconds, played
from charts.song import Song
from charts.timing import Beat, Meter, tempo_after

T = TypeVar("T")
COUNT_IN, PICKUP, BAR = "count-in", "pickup", "bar"


@dataclass(frozen=True, slots=True)
class TimedBeat:
    """One felt beat. ``skip`` is the part of it that is left out at its start (a pickup inside a beat).

    ``part`` and ``units`` say where it lies in its section; ``part`` is None before bar 1.
    """

    number: int  # in its bar, from 1
    beat: Beat
    feel: Feel
    tempo: Fraction
    tempo_end: Fraction
    quarters: Fraction
    seconds: float
    skip: Fraction = Fraction(0)
    part: PlayedSection | None = None
    units: Fraction = Fraction(0)
    lead: float = 0.0  # seconds before the section starts

    def seconds_at(self, at: Fraction) -> float:
        """Seconds from the start of the line to a place in the beat, 0 to 1."""
        if self.part is None:
            return self.seconds + float((at - self.skip) * 60 * self.beat.units / self.tempo)
        return self.lead + self.part.clock.seconds_at(self.units + at * self.beat.units)

    def quarters_at(self, at: Fraction) -> Fraction:
        """Written quarters from the start of the line to a place in the beat."""
        return self.quarters + (at - self.skip) * self.beat.quarters

    @property
    def unit_quarters(self) -> Fraction:
        """Quarters in the unit that the tempo counts."""
        return self.beat.quarters / self.beat.units


@dataclass(frozen=True, slots=True)
class TimedBar:
    """One bar, or a part of one before bar 1. ``number`` counts through the song, 0 before bar 1."""

    kind: str
    meter: Meter
    beats: tuple[TimedBeat, ...]
    number: int = 0
    bar: int = 0  # in its section
    pass_: int = 0
    index: int = 0  # of its section in the form

    @property
    def quarters(self) -> Fraction:
        return self.beats[0].quarters

    @property
    def seconds(self) -> float:
        return self.beats[0].seconds

    @property
    def length(self) -> Fraction:
        """Length in quarters."""
        return sum(((1 - beat.skip) * beat.beat.quarters for beat in self.beats), Fraction(0))


class Watch(Protocol):
    """Sees the steps of long work go by, each of them so much of the whole."""

    def __call__(self, steps: Iterable[T], each: float) -> Iterable[T]: ...


def unwatched(steps: Iterable[T], each: float) -> Iterable[T]:
    """For work that no one waits for."""
    return steps


@dataclass(frozen=True, slots=True)
class Words:
    """Words at a place: a section's name or a cue."""

    quarters: Fraction
    seconds: float
    text: str


@dataclass(frozen=True)
class Timeline:
    """All bars of a song with its count-in; ``lead`` is the count-in's length in seconds."""

    song: Song
    parts: tuple[PlayedSection, ...]
    bars: tuple[TimedBar, ...]
    lead: float
    seconds: float
    quarters: Fraction

    @cached_property
    def beats(self) -> tuple[TimedBeat, ...]:
        """Every beat in order."""
        return tuple(beat for bar in self.bars for beat in bar.beats)

    @cached_property
    def by_place(self) -> dict[tuple[int, int, int], TimedBar]:
        """Bars by section, pass and bar; sections from 0, the others from 1."""
        return {(bar.index, bar.pass_, bar.bar): bar for bar in self.bars if bar.kind == BAR}

    @cached_property
    def sections(self) -> tuple[Words, ...]:
        """Each appearance's name where it starts."""
        starts = (self.by_place[part.index, 1, 1] for part in self.parts)
        return tuple(
            Words(bar.quarters, bar.seconds, part.section.name)
            for part, bar in zip(self.parts, starts, strict=True)
        )

    @cached_property
    def cues(self) -> tuple[Words, ...]:
        """Every cue on every pass, in time; the count-in and the pickup say what they are."""
        found = []
        for kind in (COUNT_IN, PICKUP):
            first = next((bar for bar in self.bars if bar.kind == kind), None)
            if first:
                found.append(Words(first.quarters, first.seconds, kind))
        for part in self.parts:
            for pass_ in range(1, part.section.times + 1):
                found += self._cues(part, pass_)
        return tuple(sorted(found, key=lambda words: words.quarters))

    def _cues(self, part: PlayedSection, pass_: int) -> Iterator[Words]:
        for cue in part.section.cues:
            bar = self.by_place[part.index, pass_, cue.place.bar]
            beat = bar.beats[cue.place.beat - 1]
            at = cue.place.at(beat.beat, beat.feel, beat.tempo)
            yield Words(beat.quarters_at(at), beat.seconds_at(at), cue.text)


def timeline(song: Song, watch: Watch = unwatched) -> Timeline:
    """Lay a song out; ``watch`` may follow the work, bar by bar, 1 in all."""
    parts = played(song)
    lead = count_in_seconds(song)
    bars = list(_lead_in(song)) if song.form else []
    quarters = sum((bar.length for bar in bars), Fraction(0))
    for part in parts:
        for bar in watch(_bars(part, lead, quarters), 1 / song.bars):
            bars.append(bar)
            quarters = bar.quarters + bar.length
    seconds = lead + (parts[-1].seconds + parts[-1].length if parts else 0.0)
    return Timeline(song, parts, tuple(bars), lead, seconds, quarters)


def _bars(part: PlayedSection, lead: float, quarters: Fraction) -> Iterator[TimedBar]:
    section, number, units = part.section, part.first_bar, Fraction(0)
    stretches = part.clock.stretches
    which = 0
    for pass_ in range(1, section.times + 1):
        for bar in range(1, section.bars + 1):
            meter = section.meter_of(bar)
            while which + 1 < len(stretches) and stretches[which + 1].start <= units:
                which += 1
            beats = []
            for place, beat in enumerate(meter.beats, start=1):
                beats.append(_beat(part, stretches[which], lead, quarters, units, place, beat))
                quarters += beat.quarters
                units += beat.units
            yield TimedBar(BAR, meter, tuple(beats), number, bar, pass_, part.index)
            number += 1


def _beat(
    part: PlayedSection,
    stretch: Stretch,
    lead: float,
    quarters: Fraction,
    units: Fraction,
    place: int,
    beat: Beat,
) -> TimedBeat:
    tempo = end = stretch.tempo
    if stretch.to != tempo:
        into = units - stretch.start
        tempo = tempo_after(stretch.tempo, stretch.to, stretch.length, into)
        end = tempo_after(stretch.tempo, stretch.to, stretch.length, into + beat.units)
    before = lead + part.seconds
    seconds = before + part.clock.seconds_at(units)
    return TimedBeat(
        place, beat, part.section.feel, tempo, end, quarters, seconds, Fraction(0), part, units, before
    )


def _lead_in(song: Song) -> Iterator[TimedBar]:
    """The count-in's bars, its single beats, and the pickup: the bar's last beats, at the first tempo."""
    first = song.form[0]
    meter = first.meter_of(1)
    whole = [(place, beat, Fraction(0)) for place, beat in enumerate(meter.beats, start=1)]
    spoken = [whole[place % len(whole)] for place in range(song.count_in.beats)]
    rows = [(COUNT_IN, whole)] * song.count_in.bars + [(COUNT_IN, spoken), (PICKUP, _pickup(song))]
    quarters = units = Fraction(0)
    for kind, shapes in rows:
        beats = []
        for number, beat, skip in shapes:
            seconds = float(60 * units / first.tempo)
            beats.append(
                TimedBeat(number, beat, first.feel, first.tempo, first.tempo, quarters, seconds, skip)
            )
            quarters += (1 - skip) * beat.quarters
            units += (1 - skip) * beat.units
        if beats:
            yield TimedBar(kind, meter, tuple(beats))


def _pickup(song: Song) -> list[tuple[int, Beat, Fraction]]:
    """Number, shape and left-out part of each beat of the pickup."""
    beats = song.form[0].meter_of(1).beats
    left, place, found = song.pickup, len(beats), []
    while left > 0:
        beat = beats[(place - 1) % len(beats)]
        part = min(left, beat.units)
        found.append(((place - 1) % len(beats) + 1, beat, 1 - part / beat.units))
        left -= part
        place -= 1
    return found[::-1]
