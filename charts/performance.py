"""Every bar and every beat of a song as it sounds, from the first beat of the count-in to the last barline.

Each beat has its exact place twice: in seconds (for WAV) and in written quarters (for MIDI and scores).
:mod:`charts.strokes` lays the drums over it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate

from charts.feel import Feel
from charts.played import PlayedSection, played
from charts.song import Song
from charts.timing import Beat, Meter

COUNT_IN, PICKUP, BAR = "count-in", "pickup", "bar"
NOUGHT = Fraction(0)


@dataclass(frozen=True, slots=True)
class PlayedBeat:
    """One felt beat. ``skip`` is the part of it that is left out at its start (a pickup inside a beat).

    ``part`` and ``units`` say where it lies in its section; before bar 1 ``part`` is None, and units count
    from the first beat of the count-in.
    """

    number: int  # in its bar, from 1
    beat: Beat
    feel: Feel
    tempo: Fraction  # beats per minute where it starts
    tempo_end: Fraction
    quarters: Fraction
    seconds: float
    units: Fraction
    skip: Fraction = NOUGHT
    part: PlayedSection | None = None
    lead: float = 0.0  # seconds before the section starts

    def seconds_at(self, at: Fraction) -> float:
        """Seconds from the start to a place in the beat, 0 to 1; at 1 a hold on the beat is over."""
        if self.part is None:
            return self.seconds + float((at - self.skip) * 60 * self.beat.units / self.tempo)
        return self.lead + self.part.clock.seconds_at(self.units + at * self.beat.units)

    def quarters_at(self, at: Fraction) -> Fraction:
        """Written quarters from the start to a place in the beat."""
        return self.quarters + (at - self.skip) * self.beat.quarters

    @property
    def length(self) -> float:
        """Seconds, a hold on the beat included."""
        return self.seconds_at(Fraction(1)) - self.seconds

    @property
    def unit_quarters(self) -> Fraction:
        """Quarters in the unit that the tempo counts."""
        return self.beat.quarters / self.beat.units

    @property
    def holds(self) -> list[Fraction]:
        """Where in the beat time stands still."""
        if self.part is None or not self.part.section.holds:
            return []
        places = ((hold.at - self.units) / self.beat.units for hold in self.part.clock.holds)
        return sorted({at for at in places if 0 <= at < 1})


@dataclass(frozen=True, slots=True)
class PlayedBar:
    """One bar, or a part of one before bar 1. ``number`` counts through the song, 0 before bar 1."""

    kind: str
    meter: Meter
    beats: tuple[PlayedBeat, ...]
    number: int = 0
    bar: int = 0  # in its section
    pass_: int = 0
    index: int = 0  # of its section in the form

    @property
    def part(self) -> PlayedSection | None:
        """The section it is a bar of; None before bar 1."""
        return self.beats[0].part

    @property
    def quarters(self) -> Fraction:
        return self.beats[0].quarters

    @property
    def seconds(self) -> float:
        return self.beats[0].seconds

    @property
    def length(self) -> Fraction:
        """Length in quarters."""
        return sum(((1 - beat.skip) * beat.beat.quarters for beat in self.beats), NOUGHT)


@dataclass(frozen=True, slots=True)
class Words:
    """Words at a place: a section's name or a cue."""

    quarters: Fraction
    seconds: float
    text: str


@dataclass(frozen=True)
class Performance:
    """All bars of a song with its count-in; ``lead`` is the count-in's length in seconds."""

    song: Song
    parts: tuple[PlayedSection, ...]
    bars: tuple[PlayedBar, ...]
    lead: float
    seconds: float
    quarters: Fraction

    @cached_property
    def beats(self) -> tuple[PlayedBeat, ...]:
        """Every beat in order."""
        return tuple(beat for bar in self.bars for beat in bar.beats)

    @cached_property
    def by_place(self) -> dict[tuple[int, int, int], PlayedBar]:
        """Bars by section, pass and bar; sections from 0, the others from 1."""
        return {(bar.index, bar.pass_, bar.bar): bar for bar in self.bars if bar.kind == BAR}

    @cached_property
    def first_beats(self) -> dict[tuple[int, int, int], int]:
        """Which beat of the performance each bar begins with; keys as in ``by_place``."""
        starts = accumulate((len(bar.beats) for bar in self.bars), initial=0)
        return {
            (bar.index, bar.pass_, bar.bar): start
            for bar, start in zip(self.bars, starts, strict=False)
            if bar.kind == BAR
        }

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


def perform(song: Song) -> Performance:
    """Lay a song out."""
    parts = played(song)
    lead = count_in_seconds(song)
    bars = tuple(played_bars(song))
    seconds = lead + (parts[-1].seconds + parts[-1].length if parts else 0.0)
    quarters = bars[-1].quarters + bars[-1].length if bars else NOUGHT
    return Performance(song, parts, bars, lead, seconds, quarters)


def played_bars(song: Song) -> Iterator[PlayedBar]:
    """Every bar in order, one after the other: the count-in, the pickup, each pass of each section."""
    quarters = NOUGHT
    for bar in lead_in(song):
        yield bar
        quarters = bar.quarters + bar.length
    lead = count_in_seconds(song)
    for part in played(song):
        for bar in _section_bars(part, lead, quarters):
            yield bar
            quarters = bar.quarters + bar.length


def _section_bars(part: PlayedSection, lead: float, quarters: Fraction) -> Iterator[PlayedBar]:
    section, clock, number, units = part.section, part.clock, part.first_bar, NOUGHT
    before = lead + part.seconds
    for pass_ in range(1, section.times + 1):
        for bar in range(1, section.bars + 1):
            meter = section.meter_of(bar)
            beats = []
            for place, beat in enumerate(meter.beats, start=1):
                tempo, end = clock.tempo_over(units, beat.units)
                seconds = before + clock.seconds_at(units)
                beats.append(
                    PlayedBeat(
                        place, beat, section.feel, tempo, end, quarters, seconds, units, NOUGHT, part, before
                    )
                )
                quarters += beat.quarters
                units += beat.units
            yield PlayedBar(BAR, meter, tuple(beats), number, bar, pass_, part.index)
            number += 1


def lead_in(song: Song) -> Iterator[PlayedBar]:
    """The count-in's bars, its single beats, and the pickup: the bar's last beats, at the first tempo."""
    if not song.form:
        return
    first = song.form[0]
    quarters = units = NOUGHT
    for kind, shapes in [*((COUNT_IN, bar) for bar in _counted(song)), (PICKUP, _pickup(song))]:
        beats = []
        for number, beat, skip in shapes:
            seconds = float(60 * units / first.tempo)
            beats.append(
                PlayedBeat(number, beat, first.feel, first.tempo, first.tempo, quarters, seconds, units, skip)
            )
            quarters += (1 - skip) * beat.quarters
            units += (1 - skip) * beat.units
        if beats:
            yield PlayedBar(kind, first.meter_of(1), tuple(beats))


Shape = tuple[int, Beat, Fraction]  # number in the bar, the beat, the part of it that is left out


def _counted(song: Song) -> Iterator[list[Shape]]:
    """The count-in: whole bars of the first section's meter, then single beats from one on."""
    whole = [(place, beat, NOUGHT) for place, beat in enumerate(song.form[0].meter_of(1).beats, start=1)]
    for _ in range(song.count_in.bars):
        yield whole
    yield [whole[place % len(whole)] for place in range(song.count_in.beats)]


def _pickup(song: Song) -> list[Shape]:
    """The beats of the pickup, counted back from bar 1."""
    beats = song.form[0].meter_of(1).beats
    left, place, found = song.pickup, len(beats), []
    while left > 0:
        beat = beats[(place - 1) % len(beats)]
        part = min(left, beat.units)
        found.append(((place - 1) % len(beats) + 1, beat, 1 - part / beat.units))
        left -= part
        place -= 1
    return found[::-1]


def count_in_seconds(song: Song) -> float:
    """Length of the count-in.

    >>> from charts.song import CountIn, Section
    >>> seven = Section("A", (4,), Feel("straight", (2,)), Meter.read("7/8 (3+2+2)"), Fraction(60))
    >>> count_in_seconds(Song("T", (seven,), seven.feel, seven.tempo, seven.meter, count_in=CountIn(beats=2)))
    2.5
    """
    if not song.form:
        return 0.0
    units = sum((beat.units for bar in _counted(song) for _, beat, _ in bar), NOUGHT)
    return float(60 * units / song.form[0].tempo)
