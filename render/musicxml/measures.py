"""Measures: attributes, directions, notes in two voices, barlines."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from xml.etree.ElementTree import Element

from charts.song import Song
from charts.timing import Meter
from render.musicxml.directions import DirectionWriter, State
from render.musicxml.element import add, decimal
from render.musicxml.folding import WrittenBar
from render.musicxml.keys import fifths_and_mode
from render.musicxml.laid import LaidBar, common_divisions, lay
from render.musicxml.notes import FEET, HANDS, NoteWriter


def measures(song: Song, written: list[WrittenBar]) -> Iterator[Element]:
    """Every measure of the part, one after the other."""
    bars = [lay(bar, song) for bar in written]
    writer = MeasureWriter(song, common_divisions(bars))
    if song.pickup and song.form:
        yield from writer.pickup()
    for bar, after in pairwise([*bars, None]):
        assert bar is not None  # only the last one is
        yield writer.write(bar, after)


class MeasureWriter:
    """Writes measures one after the other and remembers what is in force."""

    def __init__(self, song: Song, divisions: int | None) -> None:
        self.song = song
        self.common = divisions  # None where every bar has its own
        self.divisions = 0
        self.meter: Meter | None = None
        self.slashes = False
        self.state = State()
        self.number = 0
        self.measure = Element("measure")

    def ticks(self, quarters: Fraction) -> int:
        """A length in the divisions in force."""
        return int(quarters * self.divisions)

    def pickup(self) -> Iterator[Element]:
        """The silent bars before bar 1: a first one that may be short, then whole ones."""
        section = self.song.form[0]
        meter = section.meter_of(1)
        whole, rest = divmod(self.song.pickup * meter.unit_quarters, meter.quarters)
        lengths = [length for length in (rest, *[meter.quarters] * int(whole)) if length]
        for back, length in zip(range(len(lengths) - 1, -1, -1), lengths, strict=True):
            self.measure = Element("measure", number=f"X{back}" if back else "0", implicit="yes")
            self._attributes(meter, self.common or length.denominator)
            if self.state.tempo is None:
                self.state.tempo = section.tempo * meter.unit_quarters
                add(self.measure, "sound", tempo=decimal(self.state.tempo))
            NoteWriter(self.measure, self.ticks).whole_rest(length)
            yield self.measure

    def write(self, bar: LaidBar, after: LaidBar | None) -> Element:
        """One bar of the song; what comes after it decides its barline."""
        self.number += 1
        self.measure = Element("measure", number=str(self.number))
        self._left(bar.written)
        self._attributes(bar.written.bar.meter, self.common or bar.divisions)
        DirectionWriter(self.measure, self.ticks, self.state).write(bar.written, bar.said)
        notes = NoteWriter(self.measure, self.ticks)
        self._hands(bar, notes)
        if bar.feet:
            self._feet(bar, notes)
        self._right(bar.written, after.written if after else None)
        return self.measure

    def _attributes(self, meter: Meter, divisions: int) -> None:
        opening = self.meter is None
        if not opening and meter == self.meter and divisions == self.divisions:
            return
        attributes = add(self.measure, "attributes")
        if divisions != self.divisions:
            add(attributes, "divisions", divisions)
        if opening and (key := fifths_and_mode(self.song.key)):
            element = add(attributes, "key", print_object="no")  # a drum part shows none
            add(element, "fifths", key[0])
            add(element, "mode", key[1])
        if meter != self.meter:
            time = add(attributes, "time")
            add(time, "beats", "+".join(map(str, meter.groups)) or meter.upper)
            add(time, "beat-type", meter.lower)
        if opening:
            add(add(attributes, "clef"), "sign", "percussion")
        self.divisions, self.meter = divisions, meter

    def _hands(self, bar: LaidBar, notes: NoteWriter) -> None:
        plain = not any(beat.part.holds or any(event.strokes for event in beat.hands) for beat in bar.beats)
        if plain and len({beat.free for beat in bar.beats}) == 1:
            self._slash(bar.beats[0].free)
            notes.whole_rest(bar.written.bar.meter.quarters)
            return
        for beat in bar.beats:
            self._slash(beat.free)
            notes.beat(beat.hands, HANDS, beat.part.holds)

    def _slash(self, free: bool) -> None:
        """Slashes where the time is left to the player."""
        if free != self.slashes:
            style = add(add(self.measure, "attributes"), "measure-style")
            add(style, "slash", type="start" if free else "stop")
            self.slashes = free

    def _feet(self, bar: LaidBar, notes: NoteWriter) -> None:
        add(add(self.measure, "backup"), "duration", self.ticks(bar.written.bar.meter.quarters))
        for beat in bar.beats:
            if beat.free:
                forward = add(self.measure, "forward")
                add(forward, "duration", self.ticks(beat.part.beat.quarters))
                add(forward, "voice", FEET)
            else:
                notes.beat(beat.feet, FEET)

    def _left(self, written: WrittenBar) -> None:
        if not (written.opens or written.ending_starts):
            return
        barline = add(self.measure, "barline", location="left")
        if written.opens:
            add(barline, "bar-style", "heavy-light")
        if written.ending_starts:
            add(barline, "ending", f"{written.ending}.", number=written.ending, type="start")
        if written.opens:
            add(barline, "repeat", direction="forward")

    def _right(self, written: WrittenBar, after: WrittenBar | None) -> None:
        """Repeat signs, brackets, the double bar between phrases and sections, the last bar."""
        style = ""
        if written.times or after is None:
            style = "light-heavy"
        elif written.exits or _ends_phrase(written):
            style = "light-light"
        if not style and not written.ending_stops:
            return
        barline = add(self.measure, "barline", location="right")
        if style:
            add(barline, "bar-style", style)
        if written.ending_stops:
            add(barline, "ending", number=written.ending, type="stop" if written.times else "discontinue")
        if written.times:
            times = {"times": str(written.times)} if written.times > 2 else {}
            add(barline, "repeat", direction="backward", **times)


def _ends_phrase(written: WrittenBar) -> bool:
    phrases = written.bar.section.phrases
    return any(sum(phrases[:count]) == written.bar.bar for count in range(1, len(phrases) + 1))
