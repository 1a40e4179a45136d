"""The form as played: where each section starts, and tempo and time at any place in it.

:class:`Clock` answers where a place lies in seconds without walking the bars before it; every bar and beat
in turn is in :mod:`charts.performance`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from charts.song import Place, Section, Song, passes_of
from charts.timing import ramp_seconds, tempo_after


class Stretch(NamedTuple):
    """A stretch of even tempo change: units from the section's start, beats per minute."""

    start: Fraction
    length: Fraction
    tempo: Fraction
    to: Fraction

    def seconds(self, upto: Fraction) -> float:
        return ramp_seconds(self.tempo, self.to, self.length, upto)

    def tempo_at(self, units: Fraction) -> Fraction:
        """Beats per minute at a place, in units from the section's start."""
        return tempo_after(self.tempo, self.to, self.length, units - self.start)


class Hold(NamedTuple):
    """Time standing still: units from the section's start, seconds."""

    at: Fraction
    seconds: float


class Clock:
    """Tempo and time of one section, all passes; places are tempo units from its start."""

    def __init__(self, section: Section) -> None:
        self.section = section
        self.stretches = list(_stretches(section))
        self._starts = [stretch.start for stretch in self.stretches]
        self._elapsed = [0.0]
        for stretch in self.stretches:
            self._elapsed.append(self._elapsed[-1] + stretch.seconds(stretch.length))

    @cached_property
    def holds(self) -> tuple[Hold, ...]:
        """Every pass's holds that the clock counts."""
        found = []
        for pass_ in range(1, self.section.times + 1):
            for hold in self.section.holds:
                if hold.seconds:
                    found.append(Hold(self.units_at(pass_, hold.place), float(hold.seconds)))
        return tuple(sorted(found, key=lambda hold: hold.at))

    @property
    def last_tempo(self) -> Fraction:
        """Beats per minute at the section's end."""
        return self.stretches[-1].to

    @property
    def seconds(self) -> float:
        """Length of the section, all passes, holds included."""
        return self._elapsed[-1] + sum(hold.seconds for hold in self.holds)

    def stretch_at(self, units: Fraction) -> Stretch:
        """The stretch that a place lies in."""
        return self.stretches[self._find(units)]

    def tempo_at(self, units: Fraction) -> Fraction:
        """Beats per minute at a place; before its section the tempo that it starts with goes on."""
        inside = max(units, Fraction(0))
        return self.stretch_at(inside).tempo_at(inside)

    def tempo_over(self, units: Fraction, length: Fraction) -> tuple[Fraction, Fraction]:
        """Beats per minute at a place, and that many units later in the same stretch."""
        stretch = self.stretch_at(units)
        return stretch.tempo_at(units), stretch.tempo_at(units + length)

    def seconds_at(self, units: Fraction) -> float:
        """Seconds from the section's start to a place; a hold counts after the place it is on."""
        if units < 0:  # a fill that reaches back before its section: the first tempo goes on
            return float(60 * units / self.stretches[0].tempo)
        which = self._find(units)
        held = sum(hold.seconds for hold in self.holds if hold.at < units)
        return self._elapsed[which] + self.stretches[which].seconds(units - self._starts[which]) + held

    def _find(self, units: Fraction) -> int:
        return bisect_right(self._starts, units) - 1

    def bar_start(self, pass_: int, bar: int) -> Fraction:
        """Units from the section's start to a bar of a pass, both from 1."""
        return (pass_ - 1) * self.section.units + _units_before(self.section, bar)

    def beat_start(self, pass_: int, bar: int, beat: int) -> Fraction:
        """Units from the section's start to a beat, all from 1."""
        beats = self.section.meter_of(bar).beats
        return self.bar_start(pass_, bar) + sum((b.units for b in beats[: beat - 1]), Fraction(0))

    def units_at(self, pass_: int, place: Place) -> Fraction:
        """Units from the section's start to where a place sounds."""
        start = self.beat_start(pass_, place.bar, place.beat)
        beat = self.section.meter_of(place.bar).beats[place.beat - 1]
        return start + place.at(beat, self.section.feel, self.tempo_at(start)) * beat.units


def _stretches(section: Section) -> Iterator[Stretch]:
    """The section's tempo as stretches that follow one another, all passes."""
    total = section.units * section.times
    base = Stretch(Fraction(0), total, section.tempo, section.tempo_to or section.tempo)
    if not section.tempos:
        yield base
        return
    for pass_ in range(1, section.times + 1):
        yield from _pass_stretches(section, base, pass_)


def _pass_stretches(section: Section, base: Stretch, pass_: int) -> Iterator[Stretch]:
    start, end = (pass_ - 1) * section.units, pass_ * section.units
    marks = sorted(
        (m for m in section.tempos if pass_ in passes_of(m.pass_, section.times)), key=lambda m: m.bar
    )
    bounds = [*(start + _units_before(section, mark.bar) for mark in marks), end]
    if bounds[0] > start:
        yield Stretch(start, bounds[0] - start, base.tempo_at(start), base.tempo_at(bounds[0]))
    for mark, (place, until) in zip(marks, pairwise(bounds), strict=True):
        yield Stretch(place, until - place, mark.tempo, mark.to or mark.tempo)


def _units_before(section: Section, bar: int) -> Fraction:
    """Units from the start of a pass to a bar of it."""
    usual = section.meter.units
    odd = (meter.units - usual for number, meter in section.odd_bars.items() if number < bar)
    return (bar - 1) * usual + sum(odd)


@dataclass(frozen=True)
class PlayedSection:
    """One appearance as played: its clock, its first bar in the song, its start in seconds."""

    section: Section
    index: int
    first_bar: int
    seconds: float
    clock: Clock

    @property
    def length(self) -> float:
        return self.clock.seconds


def pickup_seconds(song: Song) -> float:
    """Length of the pickup before bar 1, at the first section's tempo."""
    return float(60 * song.pickup / song.form[0].tempo) if song.form else 0.0


def played(song: Song) -> tuple[PlayedSection, ...]:
    """The song's sections as played; seconds count from the start of the pickup, after the count-in."""
    found, bar, seconds = [], 1, pickup_seconds(song)
    for index, section in enumerate(song.form):
        clock = Clock(section)
        found.append(PlayedSection(section, index, bar, seconds, clock))
        bar += section.bars * section.times
        seconds += clock.seconds
    return tuple(found)


def song_seconds(song: Song) -> float:
    """Length of the song, all passes, pickup included, without the count-in."""
    return pickup_seconds(song) + sum(Clock(section).seconds for section in song.form)
