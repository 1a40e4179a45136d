"""Note values: one voice's strokes in one beat as notes and rests, with dots, tuplets and beams.

Pages and scores are both written from these; the values of a beat add up to its length.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from charts.pattern import Stroke, division
from charts.timing import Beat

TYPES = ("half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th")
BY_QUARTERS = {Fraction(2): 0, Fraction(1): 1, Fraction(3, 2): 1}  # a beat's own note, dotted where ternary


@dataclass(frozen=True)
class Tuplet:
    """A tuplet: how many notes in the time of how many notes of a type."""

    actual: int
    normal: int
    type: str


@dataclass(frozen=True)
class Event:
    """A note, a chord or a rest: ``at`` is a place in the beat, ``quarters`` its length.

    ``type`` is empty where no note value is that fine; such a note has its exact length all the same.
    """

    at: Fraction
    quarters: Fraction
    strokes: tuple[Stroke, ...]
    type: str
    dots: int = 0
    tuplet: Tuplet | None = None
    opens: bool = False  # the tuplet begins here
    closes: bool = False

    @property
    def flags(self) -> int:
        """Flags or beams of the note."""
        return max(0, TYPES.index(self.type) - 1) if self.type else 0

    @property
    def hollow(self) -> bool:
        """True for a half note's head."""
        return self.type == TYPES[0]


def normal_cells(cells: int, quarters: Fraction) -> int:
    """How many plain cells the beat would hold where that many are played: the tuplet's lower figure.

    >>> normal_cells(3, Fraction(1)), normal_cells(6, Fraction(3, 2)), normal_cells(7, Fraction(1))
    (2, 6, 4)
    """
    normal = 3 if quarters == Fraction(3, 2) and cells > 1 else 1
    while normal * 2 <= cells:
        normal *= 2
    return normal


def beat_events(beat: Beat, strokes: tuple[Stroke, ...]) -> tuple[Event, ...]:
    """A voice's strokes in a beat as notes, each lasting to the next, and rests.

    >>> quarter = Beat(Fraction(1), Fraction(1), False)
    >>> two = (Stroke(0, Fraction(0), "SD"), Stroke(0, Fraction(2, 3), "SD"))
    >>> [(event.type, event.tuplet.actual) for event in beat_events(quarter, two)]
    [('quarter', 3), ('eighth', 3)]
    """
    places = sorted({stroke.at for stroke in strokes})
    cells = division(places)
    grid = _Grid(beat, cells)
    bounds = [Fraction(0), *(at for at in places if at), Fraction(1)]
    events: list[Event] = []
    for start, end in pairwise(bounds):
        here = tuple(stroke for stroke in strokes if stroke.at == start)
        for length in grid.lengths(int((end - start) * cells)):
            events.append(grid.event(start, length, here))
            start += Fraction(length, cells)
            here = ()
    return _bracketed(events)


class _Grid:
    """Note values of a beat that is divided into that many cells."""

    def __init__(self, beat: Beat, cells: int) -> None:
        self.quarters, self.cells = beat.quarters, cells
        self.dotted = beat.ternary and cells & (cells - 1) == 0  # the beat's own dotted value, halved
        normal = cells if self.dotted else normal_cells(cells, beat.quarters)
        first = BY_QUARTERS[beat.quarters]
        if beat.ternary and not self.dotted:
            self.rank = first + 1 + (normal // 3).bit_length() - 1
        else:
            self.rank = first + normal.bit_length() - 1
        self.tuplet = None
        if self.named and normal != cells:
            self.tuplet = Tuplet(cells, normal, TYPES[self.rank])

    @property
    def named(self) -> bool:
        """True where there is a note value for one cell."""
        return self.rank < len(TYPES)

    def lengths(self, cells: int) -> Iterator[int]:
        """A length in cells as a note value and the rests that fill it up."""
        if not self.named:
            yield cells
            return
        while cells:
            value = 1 << (cells.bit_length() - 1)
            if not self.dotted and value > 1 and cells >= value * 3 // 2:
                value = value * 3 // 2
            yield value
            cells -= value

    def event(self, at: Fraction, length: int, strokes: tuple[Stroke, ...]) -> Event:
        quarters = self.quarters * length / self.cells
        if not self.named:
            return Event(at, quarters, strokes, "")
        plain = 1 << (length.bit_length() - 1)
        dots = 1 if self.dotted or plain != length else 0
        return Event(at, quarters, strokes, TYPES[self.rank - plain.bit_length() + 1], dots, self.tuplet)


def _bracketed(events: list[Event]) -> tuple[Event, ...]:
    """The first and last event of a tuplet carry its bracket."""
    if events[0].tuplet is not None:
        events[0] = replace(events[0], opens=True)
        events[-1] = replace(events[-1], closes=True)
    return tuple(events)


def beams(events: Sequence[Event]) -> list[list[str]]:
    """Each event's beams, outermost first: begin, continue, end or a hook; none over a rest.

    >>> quarter = Beat(Fraction(1), Fraction(1), False)
    >>> three = tuple(Stroke(0, Fraction(n, 4), "SD") for n in (0, 2, 3))
    >>> beams(beat_events(quarter, three))
    [['begin'], ['continue', 'begin'], ['end', 'end']]
    """
    flags = [event.flags if event.strokes else 0 for event in events]
    return [
        [word for level in range(1, own + 1) if (word := _beam(flags, place, level))]
        for place, own in enumerate(flags)
    ]


def _beam(flags: list[int], place: int, level: int) -> str:
    before = place > 0 and min(flags[place - 1], flags[place]) >= level
    after = place + 1 < len(flags) and min(flags[place + 1], flags[place]) >= level
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    if level == 1:
        return ""
    beamed_before = place > 0 and flags[place - 1] > 0
    beamed_after = place + 1 < len(flags) and flags[place + 1] > 0
    return "backward hook" if beamed_before else "forward hook" if beamed_after else ""
