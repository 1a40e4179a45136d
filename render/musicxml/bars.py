"""The bars of a song as played, with the groove in each; where the band stops it is silent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction

from charts.kit import HAND, VOICES
from charts.pattern import Stroke
from charts.played import Clock, PlayedSection, Stretch, played
from charts.song import Section, Song, Stop
from charts.timing import Beat, Meter
from render.sound.grooves import fills_bars, groove_beat


@dataclass
class BeatPart:
    """One felt beat of a bar: what is struck in it, or ``free`` where the time is left to the player.

    ``start`` is quarters from the barline; places in ``strokes`` and ``holds`` are fractions
    of the beat.
    """

    beat: Beat
    start: Fraction
    tempo: Fraction
    groove: list[Stroke] = field(default_factory=list)
    fill: list[Stroke] = field(default_factory=list)
    landing: list[Stroke] = field(default_factory=list)
    free: bool = False
    ramping: bool = False  # inside an even change of tempo, after its start
    holds: tuple[Fraction, ...] = ()

    def struck(self, landing: bool = True) -> tuple[Stroke, ...]:
        """All strokes; a landing takes its own drums, and the hand that keeps time on a cymbal."""
        if not (landing and self.landing):
            return tuple(self.groove + self.fill)
        at = self.landing[0].at
        kept = [stroke for stroke in self.groove if stroke.at != at or not self._in_the_way(stroke)]
        return tuple(kept + self.fill + self.landing)

    def _in_the_way(self, stroke: Stroke) -> bool:
        voices = [landed.voice for landed in self.landing]
        return stroke.voice in voices or (_on_cymbal(stroke.voice) and any(map(_on_cymbal, voices)))

    def quarters_at(self, at: Fraction) -> Fraction:
        """Quarters from the barline to a place in this beat."""
        return self.start + at * self.beat.quarters


def _on_cymbal(voice: str) -> bool:
    return VOICES[voice].family == "cymbal" and VOICES[voice].limb == HAND


@dataclass(frozen=True)
class BarPart:
    """One bar of one pass. ``fills`` are (quarters, name) of fills that begin here."""

    part: PlayedSection
    pass_: int
    bar: int
    meter: Meter
    beats: tuple[BeatPart, ...]
    ramp_to: Fraction | None = None  # an even change of tempo begins here
    fills: list[tuple[Fraction, str]] = field(default_factory=list)

    @property
    def section(self) -> Section:
        return self.part.section


def song_bars(song: Song) -> list[BarPart]:
    """Every bar of every pass with its groove, without the fills."""
    return [bar for part in played(song) for bar in _section_bars(part)]


def _section_bars(part: PlayedSection) -> Iterator[BarPart]:
    section, clock = part.section, part.clock
    ramps = {stretch.start: stretch for stretch in clock.stretches if stretch.to != stretch.tempo}
    for pass_ in range(1, section.times + 1):
        for bar in range(1, section.bars + 1):
            meter = section.meter_of(bar)
            beats = _beats(clock, ramps.values(), pass_, bar, meter)
            _lay_groove(section, bar, beats)
            _stand_still(section, bar, beats)
            ramp = ramps.get(clock.bar_start(pass_, bar))
            yield BarPart(part, pass_, bar, meter, beats, ramp.to if ramp else None)


def _beats(
    clock: Clock, ramps: Iterable[Stretch], pass_: int, bar: int, meter: Meter
) -> tuple[BeatPart, ...]:
    units, quarters, found = clock.bar_start(pass_, bar), Fraction(0), []
    for beat in meter.beats:
        ramping = any(ramp.start < units < ramp.start + ramp.length for ramp in ramps)
        found.append(BeatPart(beat, quarters, clock.tempo_at(units), ramping=ramping))
        units += beat.units
        quarters += beat.quarters
    return tuple(found)


def _lay_groove(section: Section, bar: int, beats: tuple[BeatPart, ...]) -> None:
    """The groove as it lies over the bar; where the chart names none that fits, the time is free."""
    groove = section.groove_pattern
    usual = section.meter.beats[0].ternary
    if groove is None or not fills_bars(groove, section.meter):
        groove = None
    for number, part in enumerate(beats, start=1):
        if groove is None or (part.beat.ternary != usual and not section.meter.groups):
            part.free = True
        else:
            under = groove.by_beat[groove_beat(groove, section, bar, number)]
            part.groove = [replace(stroke, beat=0) for stroke in under]


def _stand_still(section: Section, bar: int, beats: tuple[BeatPart, ...]) -> None:
    """Note the holds; take the groove out where the band stops."""
    for number, part in enumerate(beats, start=1):
        part.holds = tuple(
            hold.place.nominal(part.beat, section.feel)
            for hold in section.holds
            if (hold.place.bar, hold.place.beat) == (bar, number)
        )
        for stop in section.stops:
            at = _silent_from(section, stop, bar, number, part.beat)
            if at is not None:
                part.free = part.free and bool(at)
                part.groove = [stroke for stroke in part.groove if stroke.at < at]


def _silent_from(section: Section, stop: Stop, bar: int, number: int, beat: Beat) -> Fraction | None:
    """Where in a beat a stop begins; None where the beat is no part of it."""
    start, end = stop.start, stop.end or stop.start
    if (start.bar, start.beat) == (bar, number):
        return start.nominal(beat, section.feel)
    inside = (start.bar, start.beat) < (bar, number) <= (end.bar, end.beat)
    return Fraction(0) if inside else None
