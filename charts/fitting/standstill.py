"""A fill that goes on where the band stops, or where time stands still."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from charts.placing import LaidFill
from charts.song import Place, Section

Moment = tuple[int, int, Fraction]  # bar and beat from 1, place in the beat as written


def stop_under(section: Section, laid: LaidFill) -> Place | None:
    """The first stop of the band that the fill runs into or out of; one that it keeps within is its own."""
    struck = list(_struck(laid)) if section.stops else []
    for stop in section.stops:
        start, last = _moment(section, stop.start), stop.end or stop.start
        inside = [start <= at and at[:2] <= (last.bar, last.beat) for at in struck]
        if any(inside) and not all(inside):
            return stop.start
    return None


def hold_under(section: Section, laid: LaidFill) -> Place | None:
    """The first hold that the fill runs through: strokes before it, strokes after it."""
    struck = list(_struck(laid)) if section.holds else []
    for hold in section.holds:
        at = _moment(section, hold.place)
        if struck and min(struck) < at < max(struck):
            return hold.place
    return None


def _struck(laid: LaidFill) -> Iterator[Moment]:
    """Where the fill's strokes are in the section; its stops do not concern those before it."""
    for stroke in laid.pattern.strokes:
        bar, beat, _ = laid.slots[stroke.beat]
        if bar >= 1:
            yield bar, beat, stroke.at


def _moment(section: Section, place: Place) -> Moment:
    beat = section.meter_of(place.bar).beats[place.beat - 1]
    return place.bar, place.beat, place.nominal(beat, section.feel)
