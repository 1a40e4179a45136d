"""Fills where they are played: laid backwards from a barline or a landing over the bar's own beats."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from charts.pattern import Pattern, in_order
from charts.played import PlayedSection
from charts.song import NOUGHT, FillUse, Section
from charts.timing import Beat, Meter


class FillBeat(NamedTuple):
    """One beat under a fill: the section's bar (under 1 where it reaches back) and beat, both from 1.

    ``start`` is in tempo units from the section's start, ``tempo`` where the beat starts.
    """

    bar: int
    number: int
    beat: Beat
    start: Fraction
    tempo: Fraction


@dataclass(frozen=True)
class PlacedFill:
    """A fill where it is played: the pattern laid over the bar's own beats, and those beats."""

    part: PlayedSection
    use: FillUse
    pass_: int
    pattern: Pattern
    beats: tuple[FillBeat, ...]

    @property
    def end(self) -> Fraction:
        """Where it lands, in tempo units from the section's start, as it sounds."""
        if self.use.landing is not None:
            return self.part.clock.units_at(self.pass_, self.use.landing)
        return self.beats[-1].start + self.beats[-1].beat.units


Slot = tuple[int, int, Beat]  # bar (under 1 where it reaches back), beat from 1, its shape


class LaidFill(NamedTuple):
    """A fill over the beats it covers, before any tempo."""

    pattern: Pattern
    slots: tuple[Slot, ...]

    @property
    def reaches_back(self) -> bool:
        """True where it starts before its section does."""
        return self.slots[0][0] < 1


def lay_fill(section: Section, use: FillUse, pass_: int) -> LaidFill | None:
    """A fill laid backwards from where it ends; None where the pattern does not exist.

    One that lands inside a beat is laid over the bar's beats as it falls, so it covers one beat more.
    """
    if use.pattern is None:
        return None
    bar, beat, offset = _end_of(section, use)
    pattern = shifted(use.pattern, offset) if offset else use.pattern
    return LaidFill(pattern, _slots_back(section, bar, beat, pattern.beats, pass_))


def _end_of(section: Section, use: FillUse) -> tuple[int, int, Fraction]:
    """The bar and the beat that a fill ends with, and how far into that beat it lands; 0 is at its end.

    Both count from 1; a fill that lands on the one of a bar ends with beat 0 of it.
    """
    if use.landing is None:
        return use.bar, len(section.meter_of(use.bar).beats), NOUGHT
    bar, beat = use.landing.bar, use.landing.beat
    offset = use.landing.nominal(section.meter_of(bar).beats[beat - 1], section.feel)
    return bar, beat - (not offset), offset


def shifted(pattern: Pattern, offset: Fraction) -> Pattern:
    """A pattern begun so much of a beat later, over one beat more."""
    moved = []
    for stroke in pattern.strokes:
        beat, at = divmod(stroke.place + offset, 1)
        moved.append(replace(stroke, beat=int(beat), at=at))
    return replace(pattern, beats=pattern.beats + 1, strokes=in_order(moved))


def _slots_back(section: Section, bar: int, beat: int, count: int, pass_: int) -> tuple[Slot, ...]:
    """The ``count`` beats up to and with a beat; from the first bar of a later pass into the pass before."""
    found: list[Slot] = []
    while len(found) < count:
        if beat < 1:
            bar -= 1
            if bar < 1 and pass_ > 1:
                pass_, bar = pass_ - 1, section.bars
            beat = len(_meter_back(section, bar).beats)
        found.append((bar, beat, _meter_back(section, bar).beats[beat - 1]))
        beat -= 1
    return tuple(reversed(found))


def _meter_back(section: Section, bar: int) -> Meter:
    return section.meter_of(bar) if bar >= 1 else section.meter


def place_fill(part: PlayedSection, use: FillUse, pass_: int) -> PlacedFill | None:
    """A laid fill with the time and the tempo of each of its beats."""
    laid = lay_fill(part.section, use, pass_)
    if laid is None:
        return None
    clock, (bar, beat, _) = part.clock, _end_of(part.section, use)
    # counted from the pass in which the fill ends, whatever passes it reaches back into
    start = clock.bar_start(pass_, bar) + sum(each.units for each in part.section.meter_of(bar).beats[:beat])
    beats: list[FillBeat] = []
    for bar, beat, shape in reversed(laid.slots):
        start -= shape.units
        beats.append(FillBeat(bar, beat, shape, start, clock.tempo_at(start)))
    return PlacedFill(part, use, pass_, laid.pattern, tuple(reversed(beats)))
