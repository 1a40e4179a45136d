"""How far a beat's strokes are from the feel's grid: the cheapest match that keeps their order."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from charts.feel import Grid


class Measured(NamedTuple):
    """The level of the chain that a beat is measured on, and each stroke's point of it, 0 to 1."""

    level: int
    points: tuple[Fraction, ...]


def measure(sounding: Sequence[Fraction], grid: Grid, next_taken: bool) -> Measured:
    """Match strokes, where they sound in the beat, to points of the grid; no point is taken twice.

    The points are those of the coarsest level, the home grid or finer, that has one for each stroke; in a
    feel whose beat holds several swung pairs those of S where they are enough. The start of the next beat is
    a point too where nothing else takes it.

    >>> shuffle = Grid((3,), 3, Fraction(2))
    >>> [str(at) for at in measure([Fraction(n, 4) for n in range(4)], shuffle, True).points]
    ['0', '1/3', '1/2', '2/3']
    """
    level = grid.level_of(max(grid.home, len(sounding)))
    pairs = grid.in_pairs and len(sounding) <= len(grid.swung_sounding)
    points = sorted(grid.swung_sounding) if pairs else list(grid.points(level))
    return Measured(level, _cheapest(sounding, points if next_taken else [*points, Fraction(1)], grid))


class _Cost(NamedTuple):
    """What a match costs: the whole distance; points outside S; points off the home grid; the later ones."""

    away: Fraction
    outside: int
    off_home: int
    points: tuple[Fraction, ...]

    def with_pair(self, at: Fraction, point: Fraction, grid: Grid) -> _Cost:
        start = point % 1
        return _Cost(
            self.away + abs(at - point),
            self.outside + (start not in grid.swung_sounding),
            self.off_home + (start not in grid.home_points),
            (*self.points, point),
        )


def _cheapest(sounding: Sequence[Fraction], points: Sequence[Fraction], grid: Grid) -> tuple[Fraction, ...]:
    """The point of each stroke in the least match; there are at least as many points as strokes."""
    best: list[_Cost | None] = [_Cost(Fraction(0), 0, 0, ())] + [None] * len(sounding)
    for point in points:
        for count in range(len(sounding), 0, -1):
            before, kept = best[count - 1], best[count]
            if before is not None:
                taken = before.with_pair(sounding[count - 1], point, grid)
                best[count] = taken if kept is None else min(kept, taken)
    least = best[-1]
    assert least is not None  # the level has a point for each stroke
    return least.points
