"""What stands in a section's bars: hits, stops, holds and fills at their exact places.

Places in a bar run from 0 to 1 of its length, as they sound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from charts.played import PlayedSection
from charts.song import Place
from charts.timing import Meter
from render.page.fills import UsedFill

MOST_LETTERS = 2  # fills lettered inside one bar; more stand below it


@dataclass
class BarMarks:
    """The marks of one bar."""

    hits: list[float] = field(default_factory=list)
    stops: list[tuple[float, float | None]] = field(default_factory=list)  # a stop, or a span of the bar
    holds: list[float] = field(default_factory=list)
    bands: list[tuple[float, float, bool]] = field(default_factory=list)  # fills: from, to, reaches back
    letters: list[str] = field(default_factory=list)
    beats: tuple[float, ...] = ()

    @property
    def timed(self) -> bool:
        """True where something stands at a place that must be read exactly."""
        return bool(self.hits or self.stops or self.holds)


def beat_places(meter: Meter) -> tuple[float, ...]:
    """Where each beat starts, 0 to 1 of the bar."""
    found, at = [], Fraction(0)
    for beat in meter.beats:
        found.append(float(at / meter.units))
        at += beat.units
    return tuple(found)


def place_in_bar(part: PlayedSection, place: Place) -> float:
    """Where a place sounds, 0 to 1 of its bar, in the section's last pass."""
    section = part.section
    meter = section.meter_of(place.bar)
    beat = meter.beats[place.beat - 1]
    before = sum((b.units for b in meter.beats[: place.beat - 1]), Fraction(0))
    tempo = section.tempo
    if place.offset and section.feel.swings:
        tempo = part.clock.tempo_at(part.clock.beat_start(section.times, place.bar, place.beat))
    return float((before + place.at(beat, section.feel, tempo) * beat.units) / meter.units)


def bar_marks(part: PlayedSection, fills: Sequence[UsedFill]) -> dict[int, BarMarks]:
    """The marks of every bar that has any."""
    section = part.section
    found: dict[int, BarMarks] = {}

    def bar(number_: int) -> BarMarks:
        if number_ not in found:
            found[number_] = BarMarks(beats=beat_places(section.meter_of(number_)))
        return found[number_]

    for hit in section.hits:
        bar(hit.bar).hits.append(place_in_bar(part, hit))
    for stop in section.stops:
        for number_, start, end in _stretch(part, stop.start, stop.end):
            bar(number_).stops.append((start, end))
    for hold in section.holds:
        bar(hold.place.bar).holds.append(place_in_bar(part, hold.place))
    for fill in fills:
        for number_, start, end, back in _fill_stretch(part, fill):
            bar(number_).bands.append((start, end, back))
        named = bar(fill.use.bar).letters
        if fill.number not in named:
            named.append(fill.number)
    for marks in found.values():
        marks.hits = sorted(set(marks.hits))
        marks.bands = _merged(marks.bands)
    return found


def _stretch(
    part: PlayedSection, start: Place, end: Place | None
) -> Iterator[tuple[int, float, float | None]]:
    """A stop, bar by bar; the end of a span counts whole."""
    first = place_in_bar(part, start)
    if end is None:
        yield start.bar, first, None
        return
    for number_ in range(start.bar, end.bar + 1):
        last = 1.0
        if number_ == end.bar:
            beats = (*beat_places(part.section.meter_of(end.bar)), 1.0)
            last = beats[end.beat]
        yield number_, first if number_ == start.bar else 0.0, last


def _fill_stretch(part: PlayedSection, fill: UsedFill) -> list[tuple[int, float, float, bool]]:
    """Where a fill is played, bar by bar of the section: from, to, and whether it began before bar 1."""
    section, use = part.section, fill.use
    end_bar, end = use.bar, 1.0
    if use.landing is not None:
        end_bar, end = use.landing.bar, place_in_bar(part, use.landing)
        if end == 0.0 and end_bar > 1:
            end_bar, end = end_bar - 1, 1.0
    if fill.placed is None:
        return [(end_bar, max(0.0, end - 0.25), end, False)]
    first = fill.placed.beats[0]
    back = first.bar < 1
    start = 0.0 if back else beat_places(section.meter_of(first.bar))[first.number - 1]
    found = []
    for number_ in range(max(1, first.bar), end_bar + 1):
        left = start if number_ == max(1, first.bar) else 0.0
        right = end if number_ == end_bar else 1.0
        if right > left:
            found.append((number_, left, right, back and number_ == 1))
    return found


def _merged(bands: Sequence[tuple[float, float, bool]]) -> list[tuple[float, float, bool]]:
    merged: list[tuple[float, float, bool]] = []
    for start, end, back in sorted(bands):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]), merged[-1][2] or back)
        else:
            merged.append((start, end, back))
    return merged
