"""A beat as a line of text: places are where they lie in time, so that two grids compare by eye.

A beat has a number of *cells* of equal length, a cell is ``step`` columns wide.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

Mark = tuple[Fraction, str]  # a place in the beat, 0 to under 1, and the word that is there
FEWEST, MOST = 12, 24  # cells per beat where two columns each leave room for words, and before rounding
EMPTY = "."
_SHORT = {"ta": "x"}  # “t” is the triplet's


@dataclass(frozen=True, slots=True)
class Ruler:
    """That many cells per beat, that many columns a cell; ``short`` cuts words to their first letter."""

    cells: int
    step: int = 2
    short: bool = False

    @property
    def width(self) -> int:
        """Columns of one beat."""
        return self.cells * self.step

    @property
    def gap(self) -> str:
        """What is between two beats of one line."""
        return "| " if self.step > 1 else " | "

    def lines(self, *rows: Sequence[Mark], empty: Sequence[str] | None = None) -> list[str]:
        """One beat's rows, each ``width`` columns, equal places under one another.

        ``empty`` says, row by row, what is in a cell without a word.

        >>> ruler = Ruler(12)
        >>> thirds = [(Fraction(0), "1"), (Fraction(1, 3), "&"), (Fraction(2, 3), "a")]
        >>> ruler.lines(thirds)
        ['1 . . . & . . . a . . . ']
        """
        where = self.cells_of(at for row in rows for at, _ in row)
        signs = empty or [EMPTY] * len(rows)
        return [
            self._line([(where[at], word) for at, word in row], sign)
            for row, sign in zip(rows, signs, strict=True)
        ]

    def cells_of(self, places: Iterable[Fraction]) -> dict[Fraction, int]:
        """The cell of each place; places that differ never share one, though a cell may be rounded."""
        found: dict[Fraction, int] = {}
        ordered = sorted(set(places))
        taken = -1
        for left, at in zip(range(len(ordered) - 1, -1, -1), ordered, strict=True):
            taken = min(max(round(at * self.cells), taken + 1), self.cells - 1 - left)
            found[at] = taken
        return found

    def _line(self, marks: Sequence[tuple[int, str]], empty: str) -> str:
        columns = [" "] * self.width
        for cell in range(self.cells):
            columns[cell * self.step] = empty
        for cell, word in sorted(marks):
            start = cell * self.step
            word = self.said(word)
            columns[start : start + len(word)] = word
            if self.step > 1 and start + len(word) < self.width:
                columns[start + len(word)] = " "
        return "".join(columns[: self.width])

    def said(self, word: str) -> str:
        """The word as it is written on this ruler: beat numbers whole, others short where it is narrow."""
        return word if word.isdigit() or not self.short else _SHORT.get(word, word[:1])

    def holds(self, rows: Iterable[Sequence[Mark]]) -> bool:
        """True where no word of a beat's rows runs into the next."""
        kept = [list(row) for row in rows]
        where = self.cells_of(at for row in kept for at, _ in row)
        for row in kept:
            cells = sorted((where[at], word) for at, word in row)
            ends = [*(cell for cell, _ in cells), self.cells][1:]
            for (cell, word), following in zip(cells, ends, strict=True):
                if (following - cell) * self.step < len(self.said(word)) + (self.step > 1 or not self.short):
                    return False
        return True


def ruler_for(
    beats: Sequence[Sequence[Sequence[Mark]]], step: int = 2, fewest: int = FEWEST, most: int = MOST
) -> Ruler:
    """A ruler for beats of rows of marks: exact up to ``most`` cells, and wide enough for the words.

    >>> pair, thirds = [(Fraction(0), "1"), (Fraction(1, 2), "&")], [(Fraction(1, 3), "trip")]
    >>> ruler_for([[pair, thirds]])
    Ruler(cells=12, step=2, short=False)
    """
    if step < 2:
        return Ruler(_cells(beats, 1, most), step, short=True)
    for cells in _candidates(_cells(beats, fewest, most), most):
        ruler = Ruler(cells, step)
        if all(ruler.holds(rows) for rows in beats):
            return ruler
    return Ruler(_cells(beats, fewest, most), step, short=True)


def ruler_within(
    beats: Sequence[Sequence[Sequence[Mark]]], room: int, step: int = 2, most: int = MOST
) -> Ruler | None:
    """A ruler of at most ``room`` columns a beat that keeps words whole, else cut; None in less room.

    The widest of up to a dozen cells, since more only stretch the eye, else the narrowest that is finer.

    >>> thirds = [(Fraction(0), "1"), (Fraction(1, 3), "trip"), (Fraction(2, 3), "let")]
    >>> ruler_within([[thirds]], 17), ruler_within([[thirds]], 9)
    (Ruler(cells=15, step=1, short=False), Ruler(cells=3, step=2, short=True))
    """
    exact = _cells(beats, 1, most)
    for short in (False, True):
        for columns in range(step, 0, -1):
            fitting = range(exact, min(room // columns, most) + 1, exact)
            for cells in sorted(fitting, key=lambda n: (n > FEWEST, n if n > FEWEST else -n)):
                ruler = Ruler(cells, columns, short)
                if all(ruler.holds(rows) for rows in beats):
                    return ruler
    return None


def _cells(beats: Sequence[Sequence[Sequence[Mark]]], fewest: int, most: int) -> int:
    """The common division of all places, or ``most`` where that is finer than the eye needs."""
    places = {at for rows in beats for row in rows for at, _ in row}
    cells = lcm(*(at.denominator for at in places))
    if cells > most:
        return max(most, *(len({at for row in rows for at, _ in row}) for rows in beats))
    return cells * -(-fewest // cells)


def _candidates(cells: int, most: int) -> Iterable[int]:
    yield from range(cells, max(cells, most) + 1, cells)
