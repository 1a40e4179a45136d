"""The crossing from one section into the next: its last bars with the fill, then the first that follow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from charts.pattern import Pattern
from charts.placing import lay_fill
from charts.played import PlayedSection, played
from charts.song import EACH, FillUse, Section, Song, Stop, TempoMark
from charts.source import FeelmapError
from charts.wording import figure
from render.sound.grooves import groove_for
from render.sound.practice import Exercise, at_barline, moved

BARS = 2  # on each side of the barline


def crossing_exercise(song: Song, index: int, grooves: Sequence[Pattern]) -> Exercise:
    """The last two bars of a section's last time through, and two of the next, each as the chart has it.

    A fill longer than a bar has the bars that it lies over and one of groove before them.
    """
    section = song.form[index]
    if index + 1 >= len(song.form):
        message = f"{section.name} is the last section of {song.title}, and nothing follows it"
        raise FeelmapError(message, "name a section before it, or leave --across off")
    leaving, entering = played(song)[index : index + 2]
    fills = _fills_at_the_end(section)
    last = section.bars * section.times
    count = min(last, max([BARS, *(_bars_for(section, use) for use in fills)]))
    before = _cut(song, leaving, range(last - count + 1, last + 1), grooves)
    shift = count - section.bars
    before = replace(before, fills=tuple(moved(use, use.bar + shift) for use in fills))
    after = entering.section
    into = _cut(song, entering, range(1, min(BARS, after.bars * after.times) + 1), grooves)
    name = f"{song.title} {section.name} into {after.name}"
    told = f"{song.title}, {section.name} into {after.name}: {_told(before, into)}"
    return Exercise(name, before, before.tempo, told, into.feel, into)


def _fills_at_the_end(section: Section) -> list[FillUse]:
    """The fills of the last time through that end in the last two bars."""
    last = [use for use in section.fills if use.pattern and use.on_pass(section.times, section.times)]
    ending = [use for use in map(at_barline, last) if use.bar > section.bars - BARS]
    return sorted(ending, key=lambda use: use.bar)


def _bars_for(section: Section, use: FillUse) -> int:
    """How many of the last bars a fill needs, with one of groove before it."""
    laid = lay_fill(section, use, section.times)
    under = len(list(groupby(bar for bar, _, _ in laid.slots))) if laid else 1
    return section.bars - use.bar + under + 1


def _cut(song: Song, part: PlayedSection, bars: range, grooves: Sequence[Pattern]) -> Section:
    """Some bars of a section, counted from 1 through all its passes, as a section of their own."""
    section = part.section
    meters = [section.meter_of(_in_pass(section, bar)[1]) for bar in bars]
    marks = tuple(_marks(part, bars))
    tempo = marks[0].tempo if section.steady else Fraction(round(marks[0].tempo * 10), 10)
    return Section(
        section.name, (len(bars),), section.feel, section.meter, tempo,
        tempos=() if section.steady else marks,
        odd_bars={bar: meter for bar, meter in enumerate(meters, start=1) if meter != section.meter},
        stops=tuple(_stops(section, bars)), dynamics=section.dynamics,
        groove_pattern=groove_for(song, section, grooves),
    )  # fmt: skip


def _in_pass(section: Section, bar: int) -> tuple[int, int]:
    """Pass and bar of it, both from 1."""
    before, inside = divmod(bar - 1, section.bars)
    return before + 1, inside + 1


def _marks(part: PlayedSection, bars: range) -> Iterator[TempoMark]:
    """The tempo of each bar, and where it changes the tempo at its end."""
    for number, bar in enumerate(bars, start=1):
        pass_, inside = _in_pass(part.section, bar)
        start = part.clock.bar_start(pass_, inside)
        tempo, end = part.clock.tempo_over(start, part.section.meter_of(inside).units)
        yield TempoMark(number, tempo, end if end != tempo else None, EACH)


def _stops(section: Section, bars: range) -> Iterator[Stop]:
    """The stops that begin and end in these bars."""
    new = {_in_pass(section, bar)[1]: number for number, bar in enumerate(bars, start=1)}
    for stop in section.stops:
        end = stop.end or stop.start
        if stop.start.bar in new and end.bar in new:
            start = replace(stop.start, bar=new[stop.start.bar])
            yield Stop(start, replace(end, bar=new[end.bar]) if stop.end else None)


def _told(before: Section, into: Section) -> str:
    """The fill and both sides, each thing once where it stays.

    >>> from charts.feel import Feel
    >>> from charts.timing import Meter
    >>> shuffle = Feel("shuffle", (2, 3))
    >>> four = Section("A", (2,), shuffle, Meter.read("4/4"), Fraction(96))
    >>> _told(four, replace(four, meter=Meter.read("3/4"), tempo=Fraction(62)))
    'no fill there, shuffle, 4/4 into 3/4, 96 into 62 bpm'
    """
    fills = ", ".join(dict.fromkeys(use.title for use in before.fills)) or "no fill there"
    meters = [f"{before.meter} into {into.meter}"] if before.meter != into.meter else []
    names, tempos = (
        " into ".join(dict.fromkeys(both))
        for both in ((before.feel.name, into.feel.name), (figure(before.tempo), figure(into.tempo)))
    )
    return ", ".join([fills, names, *meters, f"{tempos} bpm"])
