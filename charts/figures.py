"""What the ear makes of a fill's strokes: runs, ornaments, and rhythms that cross the beat.

All voices together, followed from beat to beat. Places are tempo units from the fill's start, all exact.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, pairwise
from typing import NamedTuple

from charts.feel import HALF, THIRD, TWO_THIRDS, Grid
from charts.pattern import division

ORNAMENT_STROKES = range(2, 5)  # before the stroke that they lead to
ORNAMENT_CELL = Fraction(1, 6)  # of a beat: their widest spacing
FOUR_OVER_THREE = Fraction(3, 4)  # of a beat, from one downbeat of a waltz to the next
CROSSING_STROKES = 3  # at the least, the landing counts


class StruckBeat(NamedTuple):
    """What is struck in one beat, as fractions of it; its grid, its length in tempo units and in ms.

    ``cell`` is the fill's own smallest step, as a fraction of the beat, where it was written in other beats.
    """

    onsets: tuple[Fraction, ...]
    grid: Grid
    units: Fraction
    ms: Fraction
    cell: Fraction | None = None


class Run(NamedTuple):
    """Strokes at equal spacing that start on one beat and end on another, across the beats between.

    ``first`` and ``last`` are those beats, from 0; ``parts`` strokes take the time of ``over`` beats.
    """

    first: int
    last: int
    parts: int
    over: int

    @property
    def beats(self) -> int:
        return self.last - self.first


class Line:
    """A fill's strokes in a row; ``then_struck`` where the beat after the last is struck too."""

    def __init__(self, beats: Sequence[StruckBeat], then_struck: bool) -> None:
        self.beats = beats
        self.starts = list(accumulate((beat.units for beat in beats), initial=Fraction(0)))
        placed = zip(beats, self.starts, strict=False)
        self.struck = [start + at * beat.units for beat, start in placed for at in beat.onsets]
        self.struck += [self.starts[-1]] * then_struck
        self.heard = frozenset(self.struck)

    def place(self, number: int, at: Fraction) -> Fraction:
        """Where a fraction of a beat is in the whole fill; 1 is where the next beat starts."""
        return self.starts[number] + at * self.beats[number].units

    def on_grid(self, number: int) -> bool:
        """True where a beat's strokes are on the feel's grid.

        In a feel that swings a stroke off the places that the groove plays is on it only in a run that ends
        on such a place: it goes on to the next cell of its division, and so does that one where it is off.
        """
        return self._holds(number, self.beats[number].onsets)

    def _holds(self, number: int, onsets: Sequence[Fraction]) -> bool:
        grid, cells = self.beats[number].grid, division(onsets)
        if not onsets:
            return True
        if not _at_a_rate_of(grid, self.beats[number].cell):
            return False
        if grid.swings and (grid.swung_nominal.issuperset(onsets) or grid.swung_sounding.issuperset(onsets)):
            return True
        if not grid.admits(cells):
            return False
        return not grid.swings or all(
            grid.is_place(at) or self._goes_on(number, at, Fraction(1, cells)) for at in onsets
        )

    def _goes_on(self, number: int, at: Fraction, cell: Fraction) -> bool:
        """True where a stroke is followed by another, so much of its beat later."""
        return self.place(number, at + cell) in self.heard

    def ornamented(self, number: int) -> bool:
        """True where a beat is on the grid but for a few quick strokes into a struck beat or half beat."""
        onsets = self.beats[number].onsets
        grace = {at for target in self._targets(number) for at in self._leading_to(number, target)}
        return bool(grace) and self._holds(number, [at for at in onsets if at not in grace])

    def _targets(self, number: int) -> Iterator[Fraction]:
        """What an ornament may lead to: the next beat, in a straight feel the half beat too."""
        beat = self.beats[number]
        if self.starts[number + 1] in self.heard:
            yield Fraction(1)
        if beat.grid.halves and HALF in beat.onsets:
            yield HALF

    def _leading_to(self, number: int, target: Fraction) -> list[Fraction]:
        """The strokes of the longest series that ends on a target, where they are an ornament of it."""
        before = [at for at in self.beats[number].onsets if at < target]
        if not before:
            return []
        cell, found = target - before[-1], [target]
        while found[-1] - cell in before:
            found.append(found[-1] - cell)
        found.remove(target)
        small = cell <= ORNAMENT_CELL and target - found[-1] <= HALF
        if small and len(found) in ORNAMENT_STROKES and not self._goes_on(number, target, cell):
            return found
        return []

    def crossings(self) -> list[Run]:
        """Every run that crosses the beat and holds a beat that is not on the grid by itself, in order."""
        found: list[Run] = []
        first = 0
        while first < len(self.beats):
            run = self._crossing_from(first)
            if run and not all(map(self.on_grid, range(run.first, run.last))):
                found.append(run)
            first = run.last if run else first + 1
        return found

    def _crossing_from(self, first: int) -> Run | None:
        """The longest run that starts on a beat, spaced as a rhythm across that beat is."""
        units = self.beats[first].units
        rest = self.struck[bisect_right(self.struck, self.starts[first]) - 1 :]
        if len(rest) < CROSSING_STROKES or rest[0] != self.starts[first]:
            return None
        step = rest[1] - rest[0]
        if not _crosses(step / units, self.beats[first].grid):
            return None
        last = None
        for count, (before, after) in enumerate(pairwise(rest), start=2):
            ends = bisect_right(self.starts, after) - 1
            if after - before != step or any(beat.units != units for beat in self.beats[first:ends]):
                break
            if after == self.starts[ends] and count >= CROSSING_STROKES:
                last = ends
        return None if last is None else Run(first, last, *_ratio(step / units))


def _at_a_rate_of(grid: Grid, cell: Fraction | None) -> bool:
    """True where strokes that many beats apart come at a rate of the grid; any do in the fill's own beats.

    >>> straight = Grid((2,), 2, None)
    >>> [_at_a_rate_of(straight, Fraction(cell)) for cell in ("1/4", "1/2", "2", "3/4", "3/2", "1/3")]
    [True, True, True, False, False, False]
    """
    if cell is None or cell.denominator == 1:
        return True
    return cell.numerator == 1 and grid.admits(cell.denominator)


def _crosses(step: Fraction, grid: Grid) -> bool:
    """True for the spacing, in beats, of a rhythm that players set against a grid.

    >>> straight, shuffle = Grid((2, 2), 4, None), Grid((3,), 3, Fraction(2))
    >>> [_crosses(Fraction(2, 3), grid) for grid in (straight, shuffle)]
    [True, False]
    """
    if step > 1:
        return True
    if grid.swings:
        return step in ((THIRD, TWO_THIRDS) if grid.in_pairs else (FOUR_OVER_THREE,))
    thirds = step * 3
    return all(part & (part - 1) == 0 for part in (thirds.numerator, thirds.denominator))


def _ratio(step: Fraction) -> tuple[int, int]:
    """How many strokes take the time of how many beats: 3 and 2 for quarter-note triplets."""
    return step.denominator, step.numerator
