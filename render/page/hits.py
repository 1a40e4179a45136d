"""Hits over a bar as rhythm: what a band's part prints, in one line of notes without a staff.

``hits_of(section, bar)`` gives a ``HitBar``, or None where the bar has no hits. ``paint(pen, width)`` draws
it over a bar of that width; the pen's unit is a staff space, its corner at the bar's left edge on the line of
the heads. ``above`` and ``below`` say how far ink reaches from that line, ``least`` how wide a bar must be
for its full size: in a narrower one the notes shrink, so that they never touch or leave the bar.

Swung eighths and sixteenths are written even, as a band's parts write them. A beat with a place that has no
name in the count is written as it sounds, with a tuplet's figure wherever the feel would read plain notes as
swung. Beats without a hit are grey dots; rests before a hit are grey.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from charts.feel import Feel
from charts.notevalues import Event
from charts.pattern import Stroke, division
from charts.song import Place, Section
from charts.timing import Beat, Meter
from render.page.model import Pen
from render.page.signs import TUPLET_LINE
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
REST_SIZE, REST_Y = 0.75, -1.3
DOT, DOT_Y, DOT_ROOM = 0.26, 0.24, 0.7  # lower than a note's own dot, and further from it
LOWEST_BEAM = -2.9
FIGURE_ROOM = 1.7


@dataclass(frozen=True)
class HitBeat:
    """One beat: where it starts and how long it is, as parts of the bar; nothing written where silent."""

    start: Fraction
    length: Fraction
    written: Written | None


@dataclass(frozen=True)
class _Mark:
    """A note, a rest or a silent beat's dot at its place in the bar, and its reach to both sides."""

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
        return [beat.written for beat in self.beats if beat.written]

    @property
    def _highest(self) -> float:
        return min(top for beat in self._written for top in tops(beat, _line, self.level))

    @property
    def above(self) -> float:
        """From the heads' line up to the highest ink, in staff spaces."""
        return FIGURE_ROOM * any(beat.figure for beat in self._written) - self._highest

    @property
    def below(self) -> float:
        """From the heads' line down to the lowest ink."""
        rests = [e for beat in self._written for e in beat.events if not e.strokes]
        return max([HALF_HEAD, *(REST_Y + REST_SIZE * rest_extent(rest)[3] for rest in rests)])

    def places(self, width: float) -> list[float]:
        """The middle of each mark in a bar of at least ``least``: as near to its time as the others allow."""
        marks = self.marks
        first, last = INSET + marks[0].before, width - INSET
        scale = last - first - HALF_HEAD
        xs: list[float] = []
        for place, mark in enumerate(marks):
            least = xs[-1] + marks[place - 1].after + APART + mark.before if place else first
            xs.append(max(least, first + float(mark.at) * scale))
        most = last - marks[-1].after
        for place in reversed(range(len(marks))):
            xs[place] = min(xs[place], most)
            if place:
                most = xs[place] - marks[place].before - APART - marks[place - 1].after
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
            if beat.written is None:
                pen.disc(next(xs), DOT_Y, DOT, SOFT)
            else:
                self._paint_beat(pen, beat.written, [next(xs) for _ in beat.written.events])

    def _paint_beat(self, pen: Pen, written: Written, xs: list[float]) -> None:
        paint_beat(pen, written, xs, _line, self.level, [INK] * len(xs))
        for event, x in zip(written.events, xs, strict=True):
            if not event.strokes:
                paint_rest(pen.at(x, REST_Y, REST_SIZE), 0.0, 0.0, event, SOFT)
        if written.figure:
            first, last = written.events[0], written.events[-1]
            left, right = xs[0] - _reach(first) + TUPLET_LINE, xs[-1] + _reach(last)
            paint_figure(pen, written, left, right, self._highest - FIGURE_ROOM / 2)


def _reach(event: Event) -> float:
    """From the middle of a head or a rest to its edge."""
    return HALF_HEAD if event.strokes else REST_SIZE * ink_before(event)


def _marks(beat: HitBeat) -> Iterable[_Mark]:
    if beat.written is None:
        yield _Mark(beat.start, DOT_ROOM, DOT)
        return
    for event, beam in zip(beat.written.events, beat.written.beams, strict=True):
        size = 1.0 if event.strokes else REST_SIZE
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
        here = by_beat.get(number)
        beats.append(HitBeat(start, length, _written(beat, feel, here, tempo) if here else None))
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
    return write(beat, [Stroke(0, at, HIT) for at in places])


def _even(place: Place, beat: Beat) -> Fraction:
    """Where a place of the count is written, whatever the swing."""
    return EVEN[beat.ternary].get(str(place.offset), Fraction(0))
