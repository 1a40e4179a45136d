"""Every stroke of the drums: the groove under each bar, fills, their landings, silence where the band stops.

The groove goes on to a fill's first stroke and gives way from there to where the fill lands. Where fills lie
over one another the later one is played.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from charts.feel import Feel
from charts.fills import fill_feel
from charts.kit import HAND, VOICES
from charts.landing import landing_voices
from charts.pattern import Pattern, Stroke
from charts.performance import Performance, PlayedBar, PlayedBeat
from charts.placing import lay_fill
from charts.played import PlayedSection
from charts.song import FillUse, Section, Stop
from charts.timing import Beat
from charts.verdict import sounding_places

Grooves = Callable[[Section], Pattern | None]  # which groove a section is played with; None for silence
FeelOf = Callable[[Sequence[Section], int, FillUse, int], Feel]  # form, section, fill, pass -> its feel


class Struck(NamedTuple):
    """One stroke in its beat: as the pattern writes it, on the feel's even grid, and where it sounds."""

    stroke: Stroke
    nominal: Fraction
    at: Fraction


@dataclass(slots=True)
class BeatStrokes:
    """What is struck in one beat; ``free`` where the chart leaves the time to the player."""

    groove: list[Struck] = field(default_factory=list)
    fill: list[Struck] = field(default_factory=list)
    landing: list[Struck] = field(default_factory=list)
    free: bool = False

    def struck(self, landing: bool = True) -> list[Struck]:
        """All strokes; a landing takes its own drums, and the hand that keeps time on a cymbal."""
        if not (landing and self.landing):
            return self.groove + self.fill
        kept = [each for each in self.groove if not any(in_the_way(each, landed) for landed in self.landing)]
        return kept + self.fill + self.landing

    def clear(self, start: Fraction, end: Fraction) -> None:
        """Make room for a fill from one place of the beat to another."""
        self.groove = [each for each in self.groove if not start <= each.at < end]
        self.fill = [each for each in self.fill if not start <= each.at < end]
        self.free = False


def in_the_way(groove: Struck, landing: Struck) -> bool:
    """True where a landing strikes that voice itself, or takes the hand that keeps time on a cymbal."""
    ours, theirs = groove.stroke.voice, landing.stroke.voice
    return groove.at == landing.at and (ours == theirs or (_on_cymbal(ours) and _on_cymbal(theirs)))


def _on_cymbal(voice: str) -> bool:
    return VOICES[voice].family == "cymbal" and VOICES[voice].limb == HAND


class Opening(NamedTuple):
    """Where a fill begins: its beat in the performance, and its first stroke."""

    beat: int
    first: Struck
    use: FillUse


class Drums(NamedTuple):
    """The strokes of each beat of a performance, and where its fills begin."""

    beats: list[BeatStrokes]
    openings: list[Opening]


def play_drums(line: Performance, grooves: Grooves, feel_of: FeelOf = fill_feel) -> Drums:
    """The drums of a whole song, in every beat from the first of the count-in."""
    chosen = [grooves(part.section) for part in line.parts]
    beats = [laid for bar in line.bars for laid in _groove_bar(bar, chosen)]
    fills = list(_fills(line, feel_of))
    openings = [opening for fill in fills if (opening := _lay(line, beats, fill))]
    for fill in fills:
        _land(beats, fill)
    return Drums(beats, openings)


def _groove_bar(bar: PlayedBar, chosen: Sequence[Pattern | None]) -> Iterator[BeatStrokes]:
    """The groove in each beat of a bar, with the stops; before bar 1 nothing is played."""
    part = bar.part
    groove = chosen[bar.index] if part else None
    for beat in bar.beats:
        laid = BeatStrokes()
        if part is not None:
            laid = _under(part.section, groove, bar.bar, beat)
            _stop(laid, part.section, bar.bar, beat)
        yield laid


def _under(section: Section, groove: Pattern | None, bar: int, beat: PlayedBeat) -> BeatStrokes:
    """The groove in one beat; in an odd bar of other beats the time is left to the player."""
    usual = section.meter.beats[0].ternary
    if groove is None or (beat.beat.ternary != usual and not section.meter.groups):
        return BeatStrokes(free=True)
    place = groove_beat(groove, section, bar, beat.number)
    return BeatStrokes(sounding(groove, place, section.feel, beat.beat, beat.tempo))


def groove_beat(groove: Pattern, section: Section, bar: int, beat: int) -> int:
    """Which beat of a groove, from 0, falls on a beat (from 1) of a bar (from 1).

    A groove of several bars goes on through the section; where it does not fill
    whole bars, or the section has odd ones, each bar starts it anew.

    >>> from charts.timing import Meter
    >>> two = Pattern("two bars", "groove", 8, ())
    >>> verse = Section("Verse", (8,), Feel("straight", (2,)), Meter(4, 4), Fraction(100))
    >>> [groove_beat(two, verse, bar, beat) for bar, beat in ((1, 1), (2, 1), (2, 4), (3, 1))]
    [0, 4, 7, 0]
    """
    count = len(section.meter.beats)
    anew = bool(section.odd_bars) or groove.beats % count > 0
    return ((0 if anew else bar - 1) * count + beat - 1) % groove.beats


def _stop(laid: BeatStrokes, section: Section, bar: int, beat: PlayedBeat) -> None:
    """Take the groove out where the band stops."""
    for stop in section.stops:
        at = silent_from(section.feel, stop, bar, beat.number, beat.beat)
        if at is not None:
            laid.free = laid.free and bool(at)
            laid.groove = [each for each in laid.groove if each.nominal < at]


def silent_from(feel: Feel, stop: Stop, bar: int, number: int, beat: Beat) -> Fraction | None:
    """Where in a beat a stop begins, on the even grid; None where the beat is not a part of it."""
    start, end = stop.start, stop.end or stop.start
    if (start.bar, start.beat) == (bar, number):
        return start.nominal(beat, feel)
    inside = (start.bar, start.beat) < (bar, number) <= (end.bar, end.beat)
    return Fraction(0) if inside else None


@dataclass(frozen=True)
class _Fill:
    """A fill over the beats of a performance; ``first`` is under 0 where it begins before them."""

    use: FillUse
    pattern: Pattern
    feel: Feel
    first: int
    end: int  # the beat in which it lands
    landing: tuple[Struck, ...]
    lands_at: Fraction  # in that beat, as it sounds


def _fills(line: Performance, feel_of: FeelOf) -> Iterator[_Fill]:
    """Every fill on every pass that plays it."""
    for part in line.parts:
        for pass_ in range(1, part.section.times + 1):
            for use in part.section.fills:
                if use.on_pass(pass_, part.section.times):
                    feel = feel_of(line.song.form, part.index, use, pass_)
                    yield from _placed(line, part, use, pass_, feel)


def _placed(line: Performance, part: PlayedSection, use: FillUse, pass_: int, feel: Feel) -> Iterator[_Fill]:
    """A fill over the beats before its barline, or before the place where it lands."""
    laid = lay_fill(part.section, use, pass_)
    if laid is None or not laid.pattern.strokes:
        return
    end, nominal, at = line.first_beats[part.index, pass_, use.bar], Fraction(0), Fraction(0)
    if use.landing is None:
        end += len(part.section.meter_of(use.bar).beats)
    else:
        end += use.landing.beat - 1
        under = line.beats[end]
        nominal = use.landing.nominal(under.beat, under.feel)
        at = use.landing.at(under.beat, under.feel, under.tempo)
    voices = landing_voices(line.song.form, part.index, pass_, use)
    landing = tuple(Struck(Stroke(0, nominal, voice, accent=True), nominal, at) for voice in voices)
    yield _Fill(use, laid.pattern, feel, end + bool(at) - laid.pattern.beats, end, landing, at)


def _lay(line: Performance, beats: list[BeatStrokes], fill: _Fill) -> Opening | None:
    """Put a fill over the beats that it takes; None where its first stroke is before them all."""
    first = fill.pattern.strokes[0].beat
    opening: Opening | None = None
    for place in range(max(first, -fill.first), fill.pattern.beats):
        index = fill.first + place
        under = line.beats[index]
        strokes = sounding(fill.pattern, place, fill.feel, under.beat, under.tempo)
        if place == first:
            opening = Opening(index, strokes[0], fill.use)
        start = strokes[0].at if place == first else Fraction(0)
        beats[index].clear(start, fill.lands_at if index == fill.end else Fraction(1))
        beats[index].fill += [each for each in strokes if each.at >= under.skip]
    return opening


def _land(beats: list[BeatStrokes], fill: _Fill) -> None:
    """Put what lands where a fill ends, unless another fill strikes there."""
    if fill.end < len(beats):
        under = beats[fill.end]
        if not any(each.at == fill.lands_at for each in under.fill):
            kept = [each for each in under.landing if each.at != fill.lands_at]
            under.landing = [*kept, *fill.landing]


def sounding(pattern: Pattern, beat: int, feel: Feel, shape: Beat, tempo: Fraction) -> list[Struck]:
    """The strokes of one beat of a pattern where they sound, swung by the feel's ratio at that tempo."""
    places = sounding_places(pattern.onsets[beat], pattern.swung, feel.grid(shape, tempo))
    return [Struck(stroke, *places[stroke.at]) for stroke in pattern.by_beat[beat]]
