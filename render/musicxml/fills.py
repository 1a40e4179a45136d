"""Fills laid over the bars of a song, and what lands where they end.

The groove goes on to a fill's first stroke and gives way from there to where the fill lands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.fitting.landing import landing_voices
from charts.pattern import Stroke
from charts.placing import PlacedFill, place_fill
from charts.played import PlayedSection
from charts.song import FillUse, Song
from render.musicxml.bars import BarPart, BeatPart


@dataclass(frozen=True)
class Spot:
    """A beat of the song in its bar."""

    bar: BarPart
    beat: BeatPart


def lay_fills(song: Song, bars: list[BarPart]) -> None:
    """Put every fill over the beats it takes, then every landing that no fill has taken."""
    spots = [Spot(bar, beat) for bar in bars for beat in bar.beats]
    first: dict[tuple[int, int, int], int] = {}  # section, pass, bar -> index of its first beat
    index = 0
    for bar in bars:
        first[bar.part.index, bar.pass_, bar.bar] = index
        index += len(bar.beats)
    landings = []
    for part, pass_, use in _uses(bars):
        placed = place_fill(part, use, pass_)
        if placed is None or not placed.pattern.strokes:
            continue
        last = placed.beats[-1]  # a bar under 1 is one before the section
        start = first[part.index, pass_, max(1, last.bar)]
        end = start + last.number - 1 if last.bar >= 1 else start - 1
        landings.append((*_lay(placed, spots, end), landing_voices(song, part.index, pass_, use)))
    for place, at, voices in landings:
        if place < len(spots) and not any(stroke.at == at for stroke in spots[place].beat.fill):
            spots[place].beat.landing = [Stroke(0, at, voice, accent=True) for voice in voices]


def _uses(bars: list[BarPart]) -> Iterator[tuple[PlayedSection, int, FillUse]]:
    for bar in bars:
        if bar.bar == 1:
            for use in bar.section.fills:
                if use.on_pass(bar.pass_, bar.section.times):
                    yield bar.part, bar.pass_, use


def _lay(placed: PlacedFill, spots: list[Spot], last: int) -> tuple[int, Fraction]:
    """Put a fill over the beats that end with ``last``; returns the beat it lands on, and where in it."""
    pattern, at = placed.pattern, _offset(placed)
    start = last - pattern.beats + 1
    opening = pattern.strokes[0]
    for place in range(max(opening.beat, -start), pattern.beats):  # nothing is played before the song
        begin = opening.at if place == opening.beat else Fraction(0)
        end = at if at and place == pattern.beats - 1 else Fraction(1)
        beat = spots[start + place].beat
        beat.groove = [stroke for stroke in beat.groove if not begin <= stroke.at < end]
        beat.fill = [stroke for stroke in beat.fill if not begin <= stroke.at < end]
        beat.fill += [replace(stroke, beat=0) for stroke in pattern.by_beat[place]]
        beat.free = False
    if start + opening.beat >= 0:
        spot = spots[start + opening.beat]
        spot.bar.fills.append((spot.beat.quarters_at(opening.at), placed.use.name))
    return (last, at) if at else (last + 1, at)


def _offset(placed: PlacedFill) -> Fraction:
    """Where in its beat a fill begins and lands; 0 unless it lands inside a beat."""
    landing = placed.use.landing
    if landing is None or not landing.offset:
        return Fraction(0)
    return landing.nominal(placed.beats[-1].beat, placed.part.section.feel)
