"""What is said over the staff: rehearsal marks, tempo, feel, cues, dynamics, hits, stops."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element

from charts.song import DYNAMICS, Place, Section, Song
from charts.wording import nth_time
from render.musicxml.bars import BarPart, BeatPart
from render.musicxml.element import add, decimal
from render.musicxml.folding import WrittenBar
from render.musicxml.swing import Swing, swing_of

UNIT_NOTES = {Fraction(2): ("half", 0), Fraction(1): ("quarter", 0), Fraction(3, 2): ("quarter", 1)}
START = Fraction(0)
Ticks = Callable[[Fraction], int]


@dataclass
class State:
    """What is in force where the next bar is written."""

    section: Section | None = None
    tempo: Fraction | None = None  # quarters per minute, as last sounded
    shown: tuple[Fraction, Fraction] | None = None  # beats per minute and the beat in quarters, as last shown
    swing: Swing | None = None


class DirectionWriter:
    """Writes one bar's directions at its start, each with its offset."""

    def __init__(self, measure: Element, ticks: Ticks, state: State) -> None:
        self.measure, self.ticks, self.state = measure, ticks, state

    def write(self, written: WrittenBar, said: Iterable[tuple[Fraction, str]]) -> None:
        """Everything said over a bar."""
        bar = written.bar
        heads = bar.bar == 1 and bar.pass_ == 1
        if heads:
            self._rehearsal(bar.section.name)
        if written.nth:
            self._words(nth_time(written.nth))
        self._tempos(bar)
        if heads:
            self._head(written, bar.section)
        self._swings(bar, self.state.swing)
        for at, text in said:
            self._words(text, at)
        self._end(written)

    def _head(self, written: WrittenBar, section: Section) -> None:
        before = self.state.section
        first = written.bar.beats[0]
        swing = swing_of(section.feel, first.beat, first.tempo)
        if before is None or before.feel != section.feel or swing != self.state.swing:
            self._words(section.feel.name)
        self._swung(swing)
        if section.groove != (before.groove if before is not None else ""):
            self._words(f"groove: {section.groove or 'none'}")
        if section.open:
            self._words("open")
        if section.times > 2 and written.opens:
            self._words(f"x{section.times}")
        if section.dynamics:
            self._dynamics(section.dynamics[0])
        if len(section.dynamics) > 1:
            add(self._typed(), "wedge", type=_wedge(section.dynamics))
        self.state.section = section

    def _end(self, written: WrittenBar) -> None:
        """A hairpin ends on the last beat of its section, with the dynamic it reaches."""
        dynamics = written.bar.section.dynamics
        if written.exits and len(dynamics) > 1:
            last = written.bar.beats[-1].start
            add(self._typed(last), "wedge", type="stop")
            self._dynamics(dynamics[1], last)

    def _tempos(self, bar: BarPart) -> None:
        """A metronome mark where the tempo is new, every step of an even change for the ear alone."""
        unit = bar.meter.unit_quarters
        for beat in bar.beats:
            quarters, shown = beat.tempo * unit, (beat.tempo, unit)
            if quarters == self.state.tempo and shown == self.state.shown and (bar.bar > 1 or beat.start):
                continue
            if beat.ramping or shown == self.state.shown:
                self._sound(quarters, beat.start)
            else:
                self._metronome(beat, unit)
            self.state.tempo = quarters
            self.state.shown = None if beat.ramping else shown
        if bar.ramp_to is not None:
            word = "accel." if bar.ramp_to > bar.beats[0].tempo else "rit."
            self._words(f"{word} to {decimal(bar.ramp_to)}")

    def _metronome(self, beat: BeatPart, unit: Fraction) -> None:
        note, dots = UNIT_NOTES[unit]
        kind = self._typed(beat.start)
        mark = add(kind, "metronome")
        add(mark, "beat-unit", note)
        for _ in range(dots):
            add(mark, "beat-unit-dot")
        add(mark, "per-minute", decimal(beat.tempo))
        add(self.measure[-1], "sound", tempo=decimal(beat.tempo * unit))

    def _sound(self, quarters: Fraction, at: Fraction) -> None:
        sound = add(self.measure, "sound", tempo=decimal(quarters))
        if at:
            add(sound, "offset", self.ticks(at), sound="yes")

    def _swings(self, bar: BarPart, home: Swing | None) -> None:
        """Another sign for each beat that needs it; at the end of the bar its section's own is back."""
        for beat in bar.beats:
            if not beat.reads(self.state.swing):
                self._swung(beat.swing, beat.start)
        self._swung(home, bar.meter.quarters)

    def _swung(self, swing: Swing | None, at: Fraction = START) -> None:
        """The sign where it is new."""
        if swing == self.state.swing:
            return
        sound = add(self.measure, "sound")
        element = add(sound, "swing")
        if swing is None:
            add(element, "straight")
        else:
            add(element, "first", swing[0].numerator)
            add(element, "second", swing[0].denominator)
            add(element, "swing-type", swing[1])
        if at:
            add(sound, "offset", self.ticks(at), sound="yes")
        self.state.swing = swing

    def _rehearsal(self, name: str) -> None:
        add(self._typed(), "rehearsal", name, enclosure="square")

    def _words(self, text: str, at: Fraction = START) -> None:
        add(self._typed(at), "words", text)

    def _dynamics(self, name: str, at: Fraction = START) -> None:
        add(add(self._typed(at, "below"), "dynamics"), name)

    def _typed(self, at: Fraction = START, placement: str = "above") -> Element:
        direction = add(self.measure, "direction", placement=placement)
        kind = add(direction, "direction-type")
        if at:
            add(direction, "offset", self.ticks(at), sound="yes")
        return kind


def _wedge(dynamics: tuple[str, ...]) -> str:
    louder = DYNAMICS.index(dynamics[1]) >= DYNAMICS.index(dynamics[0])
    return "crescendo" if louder else "diminuendo"


def said(written: WrittenBar, song: Song) -> Iterator[tuple[Fraction, str]]:
    """Words at places of the bar, in time."""
    bar, section = written.bar, written.bar.section
    found = [(_at(bar, cue.place), cue.text) for cue in section.cues if cue.place.bar == bar.bar]
    found += [(at, f"fill: {name}" if name else "fill") for at, name in bar.fills]
    found += [(_at(bar, place), "hit") for place in section.hits if place.bar == bar.bar]
    found += [
        (_at(bar, stop.start), f"stop to {stop.end.bar}.{stop.end.beat}" if stop.end else "stop")
        for stop in section.stops
        if stop.start.bar == bar.bar
    ]
    found += [
        (_at(bar, hold.place), f"hold {decimal(hold.seconds)} s" if hold.seconds else "hold")
        for hold in section.holds
        if hold.place.bar == bar.bar
    ]
    if written.exits and section.open and section.until:
        found.append((START, f"until {section.until}"))
    if written.exits and song.ending and bar.part.index == len(song.form) - 1:
        found.append((START, f"ending: {song.ending}"))
    if bar.part.index == 0 and bar.pass_ == bar.bar == 1:
        found.append((START, f"count-in: {song.count_in}"))
    yield from sorted(found, key=lambda each: each[0])


def _at(bar: BarPart, place: Place) -> Fraction:
    beat = bar.beats[place.beat - 1]
    return beat.quarters_at(place.nominal(beat.beat, bar.section.feel))
