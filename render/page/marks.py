"""What lies in a section's bars: stops, holds and fills, each with its place, 0 to 1 of its bar.

Places are those on the even grid, as a part writes them, whatever the swing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.played import PlayedSection
from charts.song import LAST, Place, Section, which_time
from charts.timing import Meter
from render.page.fills import UsedFill

Span = tuple[int, float, float]  # a bar, and from where to where in it


@dataclass(frozen=True)
class FillMark:
    """A fill in the strip: its number, the bars that it covers, and which time through, in words."""

    number: str
    spans: tuple[Span, ...]
    back: bool  # it began before the section
    when: str

    @property
    def bar(self) -> int:
        return self.spans[0][0]

    @property
    def at(self) -> float:
        return self.spans[0][1]


def beat_places(meter: Meter) -> tuple[float, ...]:
    """Where each beat starts, 0 to 1 of the bar.

    >>> beat_places(Meter.read("4/4"))
    (0.0, 0.25, 0.5, 0.75)
    """
    found, at = [], Fraction(0)
    for beat in meter.beats:
        found.append(float(at / meter.units))
        at += beat.units
    return tuple(found)


def written_at(section: Section, place: Place) -> float:
    """Where a place is written in its bar."""
    meter = section.meter_of(place.bar)
    beat = meter.beats[place.beat - 1]
    before = sum((b.units for b in meter.beats[: place.beat - 1]), Fraction(0))
    return float((before + place.nominal(beat, section.feel) * beat.units) / meter.units)


def stop_spans(section: Section) -> list[Span]:
    """Where the band is silent, bar by bar; a stop without an end lasts to the end of its beat."""
    found: list[Span] = []
    for stop in section.stops:
        end = stop.end or stop.start
        for bar in range(stop.start.bar, end.bar + 1):
            first = written_at(section, stop.start) if bar == stop.start.bar else 0.0
            last = (*beat_places(section.meter_of(bar)), 1.0)[end.beat] if bar == end.bar else 1.0
            if last > first:
                found.append((bar, first, last))
    return _merged(found)


def _merged(spans: Sequence[Span]) -> list[Span]:
    merged: list[Span] = []
    for bar, start, end in sorted(spans):
        if merged and merged[-1][0] == bar and start <= merged[-1][2]:
            merged[-1] = (bar, merged[-1][1], max(end, merged[-1][2]))
        else:
            merged.append((bar, start, end))
    return merged


def fill_marks(part: PlayedSection, fills: Sequence[UsedFill]) -> list[FillMark]:
    """The fills of a section in the order in which they begin; equal uses are one mark."""
    times = part.section.times
    found = {
        FillMark(fill.number, *_fill_spans(part, fill), short_time(fill.use.pass_, times)) for fill in fills
    }
    return sorted(found, key=lambda mark: (mark.bar, mark.at, mark.when, int(mark.number)))


def short_time(which: str | int, times: int) -> str:
    """Which time through, as over a bracket.

    >>> short_time(2, 3), short_time(LAST, 3), short_time(3, 3), short_time(1, 1)
    ('2.', 'last time', 'last time', '')
    """
    said = which_time(which, times)
    return f"{which}." if said and said != which_time(LAST, times) else said


def _fill_spans(part: PlayedSection, fill: UsedFill) -> tuple[tuple[Span, ...], bool]:
    """The bars that a fill covers, and whether it began before bar 1."""
    section, use = part.section, fill.use
    end_bar, end = use.bar, 1.0
    if use.landing is not None:
        end_bar, end = use.landing.bar, written_at(section, use.landing)
        if end == 0.0 and end_bar > 1:
            end_bar, end = end_bar - 1, 1.0
    if fill.placed is None:
        return ((end_bar, max(0.0, end - 0.25), end),), False
    return tuple(_bars_under(section, fill, end_bar, end)), fill.placed.beats[0].bar < 1


def _bars_under(section: Section, fill: UsedFill, end_bar: int, end: float) -> Iterator[Span]:
    assert fill.placed is not None
    first = fill.placed.beats[0]
    start = 0.0 if first.bar < 1 else beat_places(section.meter_of(first.bar))[first.number - 1]
    begins = min(max(1, first.bar), end_bar)
    for bar in range(begins, end_bar + 1):
        yield bar, start if bar == begins else 0.0, end if bar == end_bar else 1.0
