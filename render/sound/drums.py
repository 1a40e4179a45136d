"""The drums of a song: groove under every bar, fills where they are played, and their landings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from charts.fitting.landing import landing_voices
from charts.kit import ORDER, VOICES
from charts.pattern import Pattern, Stroke
from charts.placing import place_fill
from charts.played import PlayedSection
from charts.song import FillUse, Section
from render.sound.grooves import groove_beat, sounding
from render.sound.striking import Hit
from render.sound.timeline import BAR, TimedBeat, Timeline

Grooves = Callable[[Section], Pattern | None]  # which groove a section is played with; None for silence


@dataclass(frozen=True)
class LaidFill:
    """A fill on the line. ``start`` and ``end`` count beats of the line: the first stroke, the landing."""

    pattern: Pattern
    first: int  # the line's beat under the pattern's first one; under 0 where it starts before the line
    start: Fraction
    end: Fraction
    section: Section
    landing: tuple[str, ...]


def drum_hits(line: Timeline, grooves: Grooves) -> tuple[Hit, ...]:
    """Every stroke of the song in time, swung as each section's feel swings."""
    fills = sorted(laid_fills(line), key=lambda fill: fill.start)
    hits = [*_grooves(line, grooves, fills), *(hit for fill in fills for hit in _fill(line, fill))]
    return tuple(sorted(hits, key=lambda hit: (hit.quarters, ORDER[hit.stroke.voice])))


def laid_fills(line: Timeline) -> Iterator[LaidFill]:
    """Every fill on every pass that plays it."""
    numbers = {id(beat): place for place, beat in enumerate(line.beats)}
    for part in line.parts:
        section = part.section
        for pass_ in range(1, section.times + 1):
            for use in section.fills:
                if use.on_pass(pass_, section.times):
                    fill = _laid(line, numbers, part, use, pass_)
                    if fill:
                        yield fill


def _laid(
    line: Timeline, numbers: dict[int, int], part: PlayedSection, use: FillUse, pass_: int
) -> LaidFill | None:
    placed = place_fill(part, use, pass_)
    if placed is None or not placed.pattern.strokes:
        return None
    section = part.section
    if use.landing is None:
        last = line.by_place[part.index, pass_, use.bar].beats[-1]
        first = numbers[id(last)] + 1 - placed.pattern.beats
        end = Fraction(numbers[id(last)] + 1)
    else:
        under = line.by_place[part.index, pass_, use.landing.bar].beats[use.landing.beat - 1]
        at = use.landing.at(under.beat, under.feel, under.tempo)
        first = numbers[id(under)] + (1 if at else 0) - placed.pattern.beats
        end = numbers[id(under)] + at
    start = first + min(stroke.beat + stroke.at for stroke in _sounding(line, placed.pattern, first, section))
    landing = landing_voices(line.song, part.index, pass_, use)
    return LaidFill(placed.pattern, first, start, end, section, landing)


def _sounding(line: Timeline, pattern: Pattern, first: int, section: Section) -> Iterator[Stroke]:
    """The fill's strokes as they sound over the line's own beats; before the line its first one goes on."""
    for beat in range(pattern.beats):
        under = line.beats[max(0, first + beat)]
        yield from sounding(pattern, beat, section.feel, under.beat, under.tempo)


def _fill(line: Timeline, fill: LaidFill) -> Iterator[Hit]:
    for stroke in _sounding(line, fill.pattern, fill.first, fill.section):
        under = line.beats[max(0, fill.first + stroke.beat)]
        if fill.first + stroke.beat >= 0 and stroke.at >= under.skip:
            yield _hit(under, stroke)
    beat, at = divmod(fill.end, 1)
    if beat < len(line.beats):
        for voice in fill.landing:
            yield _hit(line.beats[int(beat)], Stroke(int(beat), at, voice, accent=True))


def _hit(beat: TimedBeat, stroke: Stroke) -> Hit:
    return Hit(beat.quarters_at(stroke.at), beat.seconds_at(stroke.at), stroke)


def _grooves(line: Timeline, grooves: Grooves, fills: list[LaidFill]) -> Iterator[Hit]:
    number = 0
    chosen = [grooves(part.section) for part in line.parts]
    silent = _Silence(fills)
    for bar in line.bars:
        groove = chosen[bar.index] if bar.kind == BAR else None
        for beat in bar.beats:
            if groove is not None:
                section = line.parts[bar.index].section
                under = groove_beat(groove, section, bar.bar, beat.number)
                for stroke in sounding(groove, under, beat.feel, beat.beat, beat.tempo):
                    if silent.lets(number + stroke.at, stroke.voice):
                        yield _hit(beat, stroke)
            number += 1


class _Silence:
    """Where the groove gives way: under a fill from its first stroke, and where the landing needs the hands.

    Places are asked for in order.
    """

    def __init__(self, fills: list[LaidFill]) -> None:
        self._fills = fills
        self._next = 0

    def lets(self, place: Fraction, voice: str) -> bool:
        """True where the groove's stroke is played."""
        while self._next < len(self._fills) and self._fills[self._next].end < place:
            self._next += 1
        for fill in self._fills[self._next :]:
            if fill.start > place:
                break
            if fill.start <= place < fill.end or (place == fill.end and _in_the_way(fill.landing, voice)):
                return False
        return True


def _in_the_way(landing: tuple[str, ...], voice: str) -> bool:
    """True where the landing strikes that voice itself, or takes the hand that plays time on a cymbal."""
    return voice in landing or (_by_hand(voice) and any(map(_by_hand, landing)))


def _by_hand(voice: str) -> bool:
    return VOICES[voice].family == "cymbal" and VOICES[voice].limb == "hand"
