"""The picture of one beat's grid: a cell for every place, filled where the groove sounds.

Twos, threes and fours are told apart by shape before a word is read; cells are as wide as they last.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from charts.feel import Feel
from charts.timing import Beat
from render.page.model import Pen

WIDTH, CELL = 2.3, 0.52  # units: least width of a beat, and of one of its cells
HEIGHT = 0.668  # as tall as the capitals beside it
GAP, GROUP_GAP, LINE = 0.13, 0.28, 0.075


@dataclass(frozen=True, slots=True)
class Picture:
    """Cells of one beat: where each starts and ends (0 to 1), its group, and whether it sounds."""

    cells: tuple[tuple[float, float, int, bool], ...]
    width: float

    def paint(self, pen: Pen, x: float, baseline: float, role: str, size: float = 1.0) -> None:
        """Draw it on a baseline."""
        pen = pen.at(x, baseline, size)
        groups = self.cells[-1][2]
        room = self.width - groups * (GROUP_GAP - GAP)
        for start, end, group, sounds in self.cells:
            left = start * room + group * (GROUP_GAP - GAP)
            wide = (end - start) * room - (GAP if end < 1 else 0.0)
            pen.rect(left, -HEIGHT, wide, HEIGHT, role, 0.0 if sounds else LINE)


def picture_of(feel: Feel, beat: Beat, tempo: Fraction) -> Picture:
    """The picture of a feel's home grid in a beat, at a tempo.

    >>> from charts.timing import Meter
    >>> quarter = Meter.read("4/4").beats[0]
    >>> [sounds for *_, sounds in picture_of(Feel("shuffle", (3,), Fraction(2)), quarter, Fraction(92)).cells]
    [True, False, True]
    """
    grid = feel.grid(beat, tempo)
    places = [Fraction(n, grid.home) for n in range(grid.home)]
    bounds = [*(grid.bend(at) for at in places), Fraction(1)]
    groups = grid.divides[0] if len(grid.divides) > 1 or grid.home > grid.divides[0] else 1
    cells = []
    for at, (start, end) in zip(places, pairwise(bounds), strict=True):
        sounds = not grid.swings or at in grid.swung_nominal
        cells.append((float(start), float(end), int(at * groups), sounds))
    return Picture(tuple(cells), max(WIDTH, CELL * grid.home))
