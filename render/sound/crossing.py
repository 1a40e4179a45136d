"""The crossing from one section into the next: its last bars with the fill, then the first that follow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from charts.pattern import Pattern, in_order
from charts.placing import lay_fill
from charts.played import PlayedSection, played
from charts.song import EACH, FillUse, Place, Section, Song, Stop, TempoMark
from charts.source import FeelmapError
from charts.strokes import groove_beat
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
    fills = _last_fills(section)
    last = section.bars * section.times
    ending = [use for use in fills if use.bar > section.bars - BARS]
    count = min(last, max([BARS, *(section.bars - _first_bar(section, use) + 2 for use in ending)]))
    before = _cut(song, leaving, range(last - count + 1, last + 1), grooves)
    shift = count - section.bars
    heard = [use for use in fills if use in ending or _first_bar(section, use) + shift >= 1]
    before = replace(before, fills=tuple(moved(use, use.bar + shift) for use in heard))
    after = entering.section
    into = _cut(song, entering, range(1, min(BARS, after.bars * after.times) + 1), grooves)
    name = f"{song.title} {section.name} into {after.name}"
    told = f"{song.title}, {section.name} into {after.name}: {_told(before, into)}"
    return Exercise(name, before, before.tempo, told, into.feel, into)


def _last_fills(section: Section) -> list[FillUse]:
    """The fills of the last time through."""
    last = [use for use in section.fills if use.pattern and use.on_pass(section.times, section.times)]
    return sorted(map(at_barline, last), key=lambda use: use.bar)


def _first_bar(section: Section, use: FillUse) -> int:
    """The bar of the last time through that a fill begins in, under 1 where it begins before it."""
    laid = lay_fill(section, use, section.times)
    under = len(list(groupby(bar for bar, _, _ in laid.slots))) if laid else 1
    return use.bar - under + 1


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
        groove_pattern=_groove_over(groove_for(song, section, grooves), section, bars),
    )  # fmt: skip


def _in_pass(section: Section, bar: int) -> tuple[int, int]:
    """Pass and bar of it, both from 1."""
    before, inside = divmod(bar - 1, section.bars)
    return before + 1, inside + 1


def _groove_over(groove: Pattern, section: Section, bars: range) -> Pattern:
    """The groove as these bars have it, where it takes several; over odd bars it begins anew in each."""
    inside = [_in_pass(section, bar)[1] for bar in bars]
    if any(bar in section.odd_bars for bar in inside):
        return groove
    count = len(section.meter.beats)
    order = [groove_beat(groove, section, bar, beat) for bar in inside for beat in range(1, count + 1)]
    strokes = (replace(each, beat=new) for new, old in enumerate(order) for each in groove.by_beat[old])
    return replace(groove, beats=len(order), strokes=in_order(strokes))


def _marks(part: PlayedSection, bars: range) -> Iterator[TempoMark]:
    """The tempo of each bar, and where it changes the tempo at its end."""
    for number, bar in enumerate(bars, start=1):
        pass_, inside = _in_pass(part.section, bar)
        start = part.clock.bar_start(pass_, inside)
        tempo, end = part.clock.tempo_over(start, part.section.meter_of(inside).units)
        yield TempoMark(number, tempo, end if end != tempo else None, EACH)


def _stops(section: Section, bars: range) -> Iterator[Stop]:
    """The stops in these bars, bar by bar; one that lasts longer is cut off at the barlines."""
    for number, (_, inside) in enumerate((_in_pass(section, bar) for bar in bars), start=1):
        for stop in section.stops:
            start, end = stop.start, stop.end or stop.start
            if start.bar <= inside <= end.bar:
                last = Place(number, len(section.meter_of(inside).beats))
                yield Stop(
                    replace(start, bar=number) if inside == start.bar else Place(number),
                    stop.end and (replace(end, bar=number) if inside == end.bar else last),
                )


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
