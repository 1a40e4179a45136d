"""Feels: how a beat divides, and whether it swings.

A :class:`Feel` is data. :meth:`Feel.grid` gives the grid of one beat at one tempo; all exact.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from math import prod

from charts.timing import Beat

BY_TEMPO = "by tempo"
HALF = Fraction(1, 2)
THIRD = Fraction(1, 3)
TWO_THIRDS = Fraction(2, 3)
SWING_AT_180 = Fraction(172, 100)
SWING_LOSS = Fraction(46, 100) / 110  # of the ratio, for each beat per minute more


@lru_cache(maxsize=16384)
def plain_name(text: str) -> str:
    """A name without case, hyphens or spelling of eighths and sixteenths, for comparing.

    >>> plain_name("Half-Time  Shuffle") == plain_name("half time shuffle")
    True
    >>> plain_name("straight 8ths") == plain_name("Straight Eighths")
    True
    """
    words = re.sub(r"[-‐‑–_\s]+", " ", text.casefold()).strip()
    words = re.sub(r"\b8ths?\b", "eighth", re.sub(r"\b16ths?\b", "sixteenth", words))
    return re.sub(r"\beighths\b", "eighth", re.sub(r"\bsixteenths\b", "sixteenth", words))


def ratio_by_tempo(bpm: Fraction) -> Fraction:
    """Swing ratio as drummers were measured to play it, held between 1 and 2.

    The line through 1.72 at 180 and 1.26 at 290 bpm: jazz takes of the Groove MIDI Dataset (Gillick et al.
    2019, CC BY 4.0), ride cymbal, measured. Published ratios at slow tempos are higher still.

    >>> [float(ratio_by_tempo(Fraction(bpm))) for bpm in (100, 180, 290, 360)]
    [2.0, 1.72, 1.26, 1.0]
    """
    return min(Fraction(2), max(Fraction(1), SWING_AT_180 - (bpm - 180) * SWING_LOSS))


@dataclass(frozen=True)
class Feel:
    """How a beat divides; see design 2. ``swing`` is a ratio, ``"by tempo"`` or None."""

    name: str
    divides: tuple[int, ...]
    swing: Fraction | str | None = None
    home_cells: int | None = None
    pulse: str = "normal"
    count: str = ""
    also: tuple[str, ...] = ()
    groove: str = ""
    about: str = field(default="", compare=False)
    family: tuple[str, ...] = field(default=(), compare=False)

    def __hash__(self) -> int:
        return hash((self.name, self.divides, self.swing))

    @property
    def home(self) -> int:
        """Cells a beat that the groove itself plays."""
        return self.home_cells or prod(self.divides)

    @property
    def swings(self) -> bool:
        """True where the feel has a swung pair."""
        return self.swing is not None

    @property
    def swings_by_tempo(self) -> bool:
        """True where the ratio of the swung pair changes with the tempo."""
        return isinstance(self.swing, str)

    def grid_admits(self, cells: int) -> bool:
        """True where that many cells are a division of the plain beat."""
        return _grid(self.divides, self.home, None, False).admits(cells)

    def ratio(self, bpm: Fraction) -> Fraction | None:
        """Long-short ratio of the swung pair at a tempo; None for a feel that does not swing."""
        return ratio_by_tempo(bpm) if isinstance(self.swing, str) else self.swing

    def grid(self, beat: Beat, bpm: Fraction) -> Grid:
        """The grid of one beat at a tempo."""
        return _grid(self.divides, self.home, self.ratio(bpm), beat.ternary)


@lru_cache(maxsize=4096)
def _grid(divides: tuple[int, ...], home: int, ratio: Fraction | None, ternary: bool) -> Grid:
    """The same grid object for the same musical facts, so that verdicts can be kept by it."""
    if not ternary:
        return Grid(divides, home, ratio)
    if divides[0] == 2:
        return Grid((3, *divides[1:]), home * 3 // 2, ratio if len(divides) > 1 else None)
    return Grid(divides, home, ratio if len(divides) > 1 else None)


@dataclass(frozen=True)
class Grid:
    """One beat's grid: the chain of divisions, and the swung positions.

    Positions are fractions of the beat. *Nominal* positions are as written on the even grid,
    *sounding* ones as bent by the swing ratio.
    """

    divides: tuple[int, ...]
    home: int
    ratio: Fraction | None

    @property
    def swings(self) -> bool:
        return self.ratio is not None

    def admits(self, division: int) -> bool:
        """True where the division is in the feel's chain: 1, the running products, then doublings.

        >>> shuffle = Grid((3,), 3, Fraction(2))
        >>> [m for m in range(1, 25) if shuffle.admits(m)]
        [1, 3, 6, 12, 24]
        """
        if division in self._products:
            return True
        last = self._products[-1]
        times, rest = divmod(division, last)
        return not rest and times & (times - 1) == 0

    @property
    def _products(self) -> tuple[int, ...]:
        products = [1]
        for factor in self.divides:
            products.append(products[-1] * factor)
        return tuple(products)

    def level_of(self, cells: int) -> int:
        """The smallest division of the chain with at least that many cells."""
        for level in self._products:
            if level >= cells:
                return level
        level = self._products[-1]
        while level < cells:
            level *= 2
        return level

    def finer(self, level: int) -> int:
        """The next division of the chain after ``level``."""
        return self.level_of(level + 1)

    @property
    def pairs(self) -> int:
        """How many swung pairs a beat holds."""
        return prod(self.divides[:-1])

    @property
    def in_pairs(self) -> bool:
        """True where a beat holds several swung pairs, so that the groove itself plays only these."""
        return self.swings and self.pairs > 1

    @property
    def halves(self) -> bool:
        """True where nothing swings and the half beat is a place of the feel."""
        return not self.swings and self.divides[0] == 2

    def is_place(self, at: Fraction) -> bool:
        """True for a nominal place that the groove itself plays: of S where a beat holds several pairs."""
        return at in self.swung_nominal if self.in_pairs else (at * self.home).denominator == 1

    @property
    def upbeat(self) -> Fraction:
        """Where the upbeat of a pair sounds, as a fraction of the pair: u = r / (1 + r)."""
        return TWO_THIRDS if self.ratio is None else self.ratio / (1 + self.ratio)

    def bend(self, at: Fraction) -> Fraction:
        """Where a nominal position sounds: the pair's 2/3 falls on u, linear between.

        >>> Grid((3,), 3, Fraction(3, 2)).bend(Fraction(2, 3))
        Fraction(3, 5)
        """
        if self.ratio is None or self.ratio == 2:
            return at
        pair, inside = divmod(at * self.pairs, 1)
        u = self.upbeat
        bent = inside * u / TWO_THIRDS if inside <= TWO_THIRDS else u + (inside - TWO_THIRDS) * (1 - u) * 3
        return (pair + bent) / self.pairs

    def points(self, level: int) -> tuple[Fraction, ...]:
        """Sounding positions of a level of the chain, 0 to under 1."""
        return tuple(self.bend(Fraction(cell, level)) for cell in range(level))

    @property
    def home_points(self) -> frozenset[Fraction]:
        """Sounding positions of the home grid."""
        return frozenset(self.points(self.home))

    @cached_property
    def swung_nominal(self) -> frozenset[Fraction]:
        """S as written: the start and the upbeat of each swung pair; empty where nothing swings."""
        if self.ratio is None:
            return frozenset()
        return frozenset((k + at) / self.pairs for k in range(self.pairs) for at in (Fraction(0), TWO_THIRDS))

    @cached_property
    def swung_sounding(self) -> frozenset[Fraction]:
        """S as it sounds."""
        return frozenset(self.bend(at) for at in self.swung_nominal)

    def upbeat_eighth(self, ternary: bool) -> Fraction:
        """Where ``&`` sounds in this beat."""
        if ternary:
            return THIRD
        if self.divides[0] == 3:
            return self.bend(TWO_THIRDS)
        return HALF

    def sixteenth(self, letter: str, ternary: bool) -> Fraction | None:
        """Where ``e`` or ``a`` sounds in this beat; None where the feel has no such place."""
        if ternary:
            return TWO_THIRDS if letter == "a" else None
        if self.divides[0] == 3:
            return None
        inside = self.upbeat if self.swings else HALF
        return inside / 2 if letter == "e" else HALF + inside / 2
