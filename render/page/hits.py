"""Hits over a bar as rhythm: what a band's part prints, in one line of notes without a staff.

``hits_of(section, bar)`` gives a ``HitBar``, or None where the bar has no hits. ``paint(pen, width)`` draws
it over a bar of that width; the pen's unit is a staff space, its corner at the bar's left edge on the line of
the heads. ``above`` and ``below`` say how far ink reaches from that line, ``least`` how wide a bar must be
for its full size: in a narrower one the notes shrink, so that they never touch or leave the bar.

Swung eighths and sixteenths are written even, as a band's parts write them. A beat with a place that has no
name in the count is written as it sounds, with a tuplet's figure wherever the feel would read plain notes as
swung. Rests are grey; that of a beat without a hit is smaller. In beats of two halves only a note on the
beat has a dot; other threes are two values, so that what is silent around a sixteenth is counted at sight.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import chain

from charts.feel import Feel
from charts.notevalues import TYPES, Event
from charts.pattern import Stroke, division
from charts.song import Place, Section
from charts.timing import Beat, Meter
from render.page.fonts import Extent
from render.page.model import Pen
from render.page.signs import STAFF_LINE, TUPLET_LINE
from render.page.theme import INK, SOFT
from render.page.voice import (
    HALF_HEAD,
    Written,
    beam_level,
    ink_after,
    ink_before,
    paint_beat,
    paint_figure,
    paint_rest,
    rest_extent,
    tops,
    write,
)  # fmt: skip

HIT = "SD"  # a voice with a plain head
EVEN = {  # places of the count in a beat of two halves and in one of three eighths
    False: {"e": Fraction(1, 4), "&": Fraction(1, 2), "a": Fraction(3, 4)},
    True: {"&": Fraction(1, 3), "a": Fraction(2, 3)},
}
INSET = 0.25  # from the bar lines to the ink
APART = 0.25  # least room between signs
SPARE = 0.35  # more of both where there is room
SILENT = 0.75  # size of the rest of a beat without a hit
REST_Y = -1.1  # their middle, from the heads' line
LOWEST_BEAM = -2.9
FIGURE_ROOM = 1.7


@dataclass(frozen=True)
class HitBeat:
    """One beat: where it starts and how long it is, as parts of the bar."""

    start: Fraction
    length: Fraction
    written: Written

    @property
    def silent(self) -> bool:
        return not any(event.strokes for event in self.written.events)

    @property
    def rest_size(self) -> float:
        return SILENT if self.silent else 1.0


@dataclass(frozen=True)
class _Mark:
    """A note or a rest at its place in the bar, and its reach to both sides."""

    at: Fraction
    before: float
    after: float


def _line(_: str) -> float:
    """All heads are on one line."""
    return 0.0


@dataclass(frozen=True)
class HitBar:
    """The hits of one bar."""

    beats: tuple[HitBeat, ...]

    @cached_property
    def marks(self) -> tuple[_Mark, ...]:
        """All that is drawn side by side, in order."""
        return tuple(mark for beat in self.beats for mark in _marks(beat))

    @property
    def least(self) -> float:
        """The least width in staff spaces at which the notes have their full size."""
        return (
            2 * INSET + sum(mark.before + mark.after for mark in self.marks) + APART * (len(self.marks) - 1)
        )

    @cached_property
    def level(self) -> float:
        return beam_level(self._written, _line, LOWEST_BEAM)

    @property
    def _written(self) -> list[Written]:
        return [beat.written for beat in self.beats if not beat.silent]

    @property
    def _highest(self) -> float:
        notes = (top for beat in self._written for top in tops(beat, _line, self.level))
        return min([*notes, *(REST_Y + rest[1] for rest in self._rests)])

    @property
    def _rests(self) -> list[Extent]:
        """What rests cover; those of silent beats are smaller."""
        events = (event for beat in self.beats for event in beat.written.events)
        return [rest_extent(event) for event in events if not event.strokes]

    @property
    def above(self) -> float:
        """From the heads' line up to the highest ink, in staff spaces."""
        return FIGURE_ROOM * any(beat.figure for beat in self._written) - self._highest

    @property
    def below(self) -> float:
        """From the heads' line down to the lowest ink."""
        return max([HALF_HEAD, *(REST_Y + rest[3] for rest in self._rests)])

    def places(self, width: float) -> list[float]:
        """The middle of each mark in a bar of at least ``least``: as near to its time as the others allow."""
        marks = self.marks
        spare = min(SPARE, (width - self.least) / (len(marks) + 1))
        apart, inset = APART + spare, INSET + spare
        first, last = inset + marks[0].before, width - inset
        scale = last - first - HALF_HEAD
        xs: list[float] = []
        for place, mark in enumerate(marks):
            least = xs[-1] + marks[place - 1].after + apart + mark.before if place else first
            xs.append(max(least, first + float(mark.at) * scale))
        most = last - marks[-1].after
        for place in reversed(range(len(marks))):
            xs[place] = min(xs[place], most)
            if place:
                most = xs[place] - marks[place].before - apart - marks[place - 1].after
        return xs

    def paint(self, pen: Pen, width: float) -> None:
        """Draw over a bar of a width."""
        shrunk = min(1.0, width / self.least)
        pen = pen.at(0.0, 0.0, shrunk)
        places = self.places(width / shrunk)
        for x in places:
            pen.mark("hit", None, x, 0.0, width / shrunk)
        xs = iter(places)
        for beat in self.beats:
            self._paint_beat(pen, beat, [next(xs) for _ in beat.written.events])

    def _paint_beat(self, pen: Pen, beat: HitBeat, xs: list[float]) -> None:
        written = beat.written
        paint_beat(pen, written, xs, _line, self.level, [INK] * len(xs))
        for event, x in zip(written.events, xs, strict=True):
            if not event.strokes:
                _paint_rest(pen.at(x, REST_Y, beat.rest_size), event)
        if written.figure:
            first, last = written.events[0], written.events[-1]
            left, right = xs[0] - _reach(first) + TUPLET_LINE, xs[-1] + _reach(last)
            paint_figure(pen, written, left, right, self._highest - FIGURE_ROOM / 2)


def _paint_rest(pen: Pen, event: Event) -> None:
    """A rest round the pen's corner; a half rest lies on a line, as one out of a staff does."""
    paint_rest(pen, 0.0, 0.0, event, SOFT)
    if event.hollow:
        half = ink_before(event)
        pen.line(-half, 0.0, half, 0.0, STAFF_LINE, SOFT)


def _reach(event: Event) -> float:
    """From the middle of a head or a rest to its edge."""
    return HALF_HEAD if event.strokes else ink_before(event)


def _marks(beat: HitBeat) -> Iterable[_Mark]:
    for event, beam in zip(beat.written.events, beat.written.beams, strict=True):
        size = 1.0 if event.strokes else beat.rest_size
        at = beat.start + event.at * beat.length
        yield _Mark(at, ink_before(event) * size, ink_after(event, bool(beam)) * size)


def hits_of(section: Section, bar: int) -> HitBar | None:
    """The hits of one bar of a section, counted from 1."""
    places = [hit for hit in section.hits if hit.bar == bar]
    return hit_bar(section.meter_of(bar), section.feel, places, section.tempo) if places else None


def hit_bar(meter: Meter, feel: Feel, places: Iterable[Place], tempo: Fraction) -> HitBar:
    """The hits at some places of a bar.

    >>> from charts.feel import Feel
    >>> one = hit_bar(Meter.read("4/4"), Feel("rock", (2,)), [Place(1, 1), Place(1, 3, "&")], Fraction(100))
    >>> [mark.at for mark in one.marks]
    [Fraction(0, 1), Fraction(1, 4), Fraction(1, 2), Fraction(5, 8), Fraction(3, 4)]
    """
    by_beat: dict[int, list[Place]] = {}
    for place in places:
        by_beat.setdefault(place.beat, []).append(place)
    beats, start = [], Fraction(0)
    for number, beat in enumerate(meter.beats, start=1):
        length = beat.units / meter.units
        beats.append(HitBeat(start, length, _written(beat, feel, by_beat.get(number, []), tempo)))
        start += length
    return HitBar(tuple(beats))


def _written(beat: Beat, feel: Feel, places: list[Place], tempo: Fraction) -> Written:
    if all(isinstance(place.offset, str) or not place.offset for place in places):
        return _notes(beat, {_even(place, beat) for place in places})
    written = _notes(beat, {place.at(beat, feel, tempo) for place in places})
    spoken = [Place(1, 1, word) for word in EVEN[beat.ternary]]
    bent = any(place.at(beat, feel, tempo) != _even(place, beat) for place in spoken)
    return Written(written.events, written.figure or bent * division(e.at for e in written.events))


def _notes(beat: Beat, places: set[Fraction]) -> Written:
    written = write(beat, [Stroke(0, at, HIT) for at in places])
    if beat.ternary:
        return written
    events = chain.from_iterable(_undotted(event, beat.quarters) for event in written.events)
    return Written(tuple(events), written.figure)


def _undotted(event: Event, quarters: Fraction) -> tuple[Event, ...]:
    """An event of a beat so long, as two without dots where it has one and is not a note on the beat.

    The longer is first where it begins on a multiple of its length, as in counting.
    """
    if not event.dots or (event.strokes and not event.at):
        return (event,)
    short, finer = event.quarters / 3, TYPES[TYPES.index(event.type) + 1]
    values = [(2 * short, event.type), (short, finer)]
    if event.at * quarters % (2 * short):
        values.reverse()
    (first, kind), (second, other) = values
    return (
        replace(event, quarters=first, type=kind, dots=0, closes=False),
        Event(event.at + first / quarters, second, (), other, 0, event.tuplet, closes=event.closes),
    )


def _even(place: Place, beat: Beat) -> Fraction:
    """Where a place of the count is written, whatever the swing."""
    return EVEN[beat.ternary].get(str(place.offset), Fraction(0))
