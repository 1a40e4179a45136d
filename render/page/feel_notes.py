"""A feel in notes: the eighths or sixteenths that it moves in, and how a swung pair sounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from charts.feel import Feel
from charts.pattern import Stroke
from charts.timing import Beat
from render.page.model import Pen
from render.page.text import Piece
from render.page.voice import HALF_HEAD, Written, beam_level, paint_beat, paint_figure, tops, write

SPACE = 0.2  # of the size of the words: a staff space
STEP, QUARTER = 1.5, 3.4  # least room of a note, and that of a quarter
EQUALS = 2.6  # room of the sign between two groups
FIGURE = 1.1  # from the highest ink to the middle of a tuplet's figure
HEAD = "SD"  # a voice with a plain head


def _line(_: str) -> float:
    return 0.0


@dataclass(frozen=True)
class FeelNotes:
    """Groups of notes with a sign of equality between them; lengths in staff spaces."""

    groups: tuple[Written, ...]
    space: float

    def steps(self, group: Written) -> list[float]:
        return [max(STEP, QUARTER * float(event.quarters)) for event in group.events]

    @property
    def width(self) -> float:
        """In the units of the words."""
        wide = sum(sum(self.steps(group)[:-1]) + 2 * HALF_HEAD + 1.0 for group in self.groups)
        return (wide + EQUALS * (len(self.groups) - 1)) * self.space

    def paint(self, pen: Pen, x: float, baseline: float, role: str, size: float = 1.0) -> None:
        """Draw with the heads on a baseline."""
        pen = pen.at(x, baseline, self.space * size).at(0.0, -0.5)
        left = 0.0
        for group in self.groups:
            if left:
                for y in (-1.4, -0.7):
                    pen.line(left + 0.2, y, left + EQUALS - 1.0, y, 0.25, role)
                left += EQUALS
            xs = [left + HALF_HEAD]
            for step in self.steps(group)[:-1]:
                xs.append(xs[-1] + step)
            self._group(pen, group, xs, role)
            left = xs[-1] + HALF_HEAD + 1.0

    def _group(self, pen: Pen, group: Written, xs: Sequence[float], role: str) -> None:
        level = beam_level([group], _line, -2.9)
        paint_beat(pen, group, xs, _line, level, [role] * len(xs))
        if group.figure:
            top = min(tops(group, _line, level))
            paint_figure(pen, group, xs[0] - HALF_HEAD, xs[-1] + HALF_HEAD, top - FIGURE, role)


@lru_cache(maxsize=256)
def feel_notes(feel: Feel, beat: Beat, size: float) -> Piece:
    """The notes of a feel as one piece beside words of a size."""
    notes = FeelNotes(tuple(_written(beat, places) for places in _places(feel, beat)), SPACE * size)
    return Piece(notes.width, picture=notes, size=size, kind="feel")


def _places(feel: Feel, beat: Beat) -> list[list[Fraction]]:
    """What is written even, and how it sounds where it is swung.

    >>> from charts.timing import Meter
    >>> quarter = Meter.read("4/4").beats[0]
    >>> [list(map(str, places)) for places in _places(Feel("shuffle", (3,), Fraction(2)), quarter)]
    [['0', '1/2'], ['0', '2/3']]
    """
    cells = 3 if beat.ternary else 1
    if not beat.ternary:
        for factor in feel.divides:
            cells *= factor
    if not feel.swings or beat.ternary:
        return [[Fraction(n, cells) for n in range(cells)]]
    pairs = cells // 3
    even = [Fraction(n, 2 * pairs) for n in range(2 * pairs)]
    swung = [Fraction(3 * n + 2 * second, cells) for n in range(pairs) for second in (0, 1)]
    return [even, swung]


def _written(beat: Beat, places: Sequence[Fraction]) -> Written:
    return write(beat, [Stroke(0, at, HEAD) for at in places])
