"""The bars of a song as played, their strokes at the places where they are written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction

from charts.pattern import Pattern, Stroke
from charts.performance import PlayedBar, PlayedBeat, perform
from charts.played import PlayedSection
from charts.song import Section, Song
from charts.strokes import BeatStrokes, Struck, play_drums
from charts.timing import Beat, Meter
from render.musicxml.swing import Swing, reads, written
from render.sound.grooves import fills_bars


@dataclass(frozen=True)
class BeatPart:
    """One felt beat of a bar: ``start`` is quarters from the barline; ``holds`` are places in the beat."""

    played: PlayedBeat
    strokes: BeatStrokes
    start: Fraction
    holds: tuple[Fraction, ...]
    ramping: bool  # inside an even change of tempo, after its start
    even: bool  # swung pairs are written even
    swing: Swing | None  # the sign under which the beat is read as it sounds

    @property
    def beat(self) -> Beat:
        return self.played.beat

    @property
    def tempo(self) -> Fraction:
        return self.played.tempo

    @property
    def free(self) -> bool:
        """True where the time is left to the player."""
        return self.strokes.free

    def struck(self, landing: bool = True) -> tuple[Stroke, ...]:
        """All strokes where they are written."""
        return tuple(
            replace(each.stroke, beat=0, at=self.place(each)) for each in self.strokes.struck(landing)
        )

    def place(self, each: Struck) -> Fraction:
        """Where in the beat a stroke is written."""
        return each.stroke.at if self.even else each.nominal

    def reads(self, swing: Swing | None) -> bool:
        """True where the beat is read as it sounds under a sign."""
        return reads(self.strokes.struck(), self.even, self.beat, swing)

    def quarters_at(self, at: Fraction) -> Fraction:
        """Quarters from the barline to a place in this beat."""
        return self.start + at * self.beat.quarters


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
    """Every bar of every pass, from bar 1 on."""
    line = perform(song)
    drums = play_drums(line, _written_groove)
    strokes = iter(drums.beats)
    bars = []
    holders: list[tuple[BarPart, BeatPart] | None] = []  # what is written of each beat of the line
    for played in line.bars:
        under = [next(strokes) for _ in played.beats]
        if played.part is None:
            holders += [None] * len(under)
        else:
            bars.append(_bar(played, played.part, under))
            holders += [(bars[-1], beat) for beat in bars[-1].beats]
    for opening in drums.openings:
        holder = holders[opening.beat]
        if holder is not None:
            bar, beat = holder
            bar.fills.append((beat.quarters_at(beat.place(opening.first)), opening.use.name))
    return bars


def _written_groove(section: Section) -> Pattern | None:
    """The groove that the chart names, where it fills the bars."""
    groove = section.groove_pattern
    return groove if groove is not None and fills_bars(groove, section.meter) else None


def _bar(played: PlayedBar, part: PlayedSection, under: list[BeatStrokes]) -> BarPart:
    stretch = part.clock.stretch_at(played.beats[0].units)
    ramp = stretch.to != stretch.tempo
    beats = []
    for beat, strokes in zip(played.beats, under, strict=True):
        start = beat.quarters - played.quarters
        holds = tuple(_fermatas(part.section, played.bar, beat))
        even, swing = written(strokes, beat.feel, beat.beat, beat.tempo)
        ramping = ramp and beat.units > stretch.start
        beats.append(BeatPart(beat, strokes, start, holds, ramping, even, swing))
    begins = ramp and not beats[0].ramping
    return BarPart(part, played.pass_, played.bar, played.meter, tuple(beats), stretch.to if begins else None)


def _fermatas(section: Section, bar: int, beat: PlayedBeat) -> Iterator[Fraction]:
    for hold in section.holds:
        if (hold.place.bar, hold.place.beat) == (bar, beat.number):
            yield hold.place.nominal(beat.beat, section.feel)
