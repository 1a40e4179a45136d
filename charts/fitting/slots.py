"""One beat re-laid: which stroke goes to which place of a grid.

An *atom* is everything struck at one place; it moves as one. A *slot* is a place it may move to. Of all
assignments that keep the order and fit the feel the least is taken, by atoms dropped, weight dropped, slots
off the home grid, how often quick strokes begin, slots that are neither the beat nor its half where the feel
divides the beat in two, the sum of movement, slots outside S, the latest slots; of what is still equal the
earlier atoms stay. So even triplets become 1 & a, not 1 e a.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from charts.feel import HALF, Grid

REACH = Fraction(1, 4)  # of the beat: a stroke moves less than this
FAR = Fraction(1, 2)  # an accent less than this, but not onto the beat
HEAVY = 10  # an atom of this weight is accented
HOME, FINER = "home", "finer"
QUICK = 6  # cells per beat from which strokes off the home grid have to be a shape that hands know
SWUNG_SIXTEENTHS = (2, 3)  # the feel's last factors where the groove itself plays only S

Atom = tuple[Fraction, int]  # its place in the beat as a fraction, and its weight


def slots_of(grid: Grid, which: str) -> tuple[Fraction, ...]:
    """The places that a version may use, in order: nominal, 0 to under 1.

    >>> [str(slot) for slot in slots_of(Grid((2, 3), 6, Fraction(2)), HOME)]
    ['0', '1/3', '1/2', '5/6']
    """
    if which == HOME and grid.swings and grid.divides[-2:] == SWUNG_SIXTEENTHS:
        return tuple(sorted(grid.swung_nominal))
    level = grid.home if which == HOME else grid.finer(grid.home)
    return tuple(Fraction(cell, level) for cell in range(level))


def assign(
    atoms: tuple[Atom, ...], grid: Grid, slots: tuple[Fraction, ...], then_struck: bool = True
) -> tuple[Fraction | None, ...]:
    """The slot of each atom, None for one that is dropped; ``then_struck`` where the next beat is struck.

    >>> four = tuple((Fraction(n, 4), weight) for n, weight in enumerate((6, 2, 4, 2)))
    >>> shuffle = Grid((3,), 3, Fraction(2))
    >>> [str(slot) for slot in assign(four, shuffle, slots_of(shuffle, FINER))]
    ['0', '1/3', '1/2', '2/3']
    >>> [str(slot) for slot in assign(four, shuffle, slots_of(shuffle, HOME))]
    ['0', '1/3', '2/3', 'None']
    """
    unit = lcm(*(place.denominator for place in (*slots, *(at for at, _ in atoms))))
    results = (_Layout(atoms, grid, family, unit, then_struck).best() for family in _families(grid, slots))
    best = min(result for result in results if result is not None)
    return best.placed(len(atoms))


@dataclass(frozen=True, slots=True)
class _Family:
    """Slots of which every choice fits: any where ``division`` is 0, else those that need that division."""

    slots: tuple[Fraction, ...]
    division: int


def _families(grid: Grid, slots: tuple[Fraction, ...]) -> Iterator[_Family]:
    """Together they hold just the sets of slots that the verdict calls fitting."""
    if grid.swings:
        yield _Family(tuple(slot for slot in slots if slot in grid.swung_nominal), 0)
    finest = lcm(*(slot.denominator for slot in slots))
    for division in range(1, finest + 1):
        if finest % division == 0 and grid.admits(division):
            yield _Family(tuple(slot for slot in slots if not division % slot.denominator), division)


class _Cost(NamedTuple):
    """What an assignment costs so far, in the order of comparing; movement in whole units."""

    dropped: int = 0
    weight: int = 0
    off_home: int = 0
    quick: int = 0
    odd: int = 0
    moved: int = 0
    outside: int = 0
    earliness: tuple[Fraction, ...] = ()
    atoms: tuple[int, ...] = ()

    def drop(self, weight: int) -> _Cost:
        return self._replace(dropped=self.dropped + 1, weight=self.weight + weight)

    def placed(self, count: int) -> tuple[Fraction | None, ...]:
        found = {atom: -early for atom, early in zip(self.atoms, self.earliness, strict=True)}
        return tuple(found.get(atom) for atom in range(count))


# last slot's number or -1, division needed so far, has to go on, comes from a quick stroke
_State = tuple[int, int, bool, bool]


class _Layout:
    """The least assignment within one family, atom by atom; few states are left after each."""

    def __init__(
        self, atoms: Sequence[Atom], grid: Grid, family: _Family, unit: int, then_struck: bool
    ) -> None:
        self.atoms, self.slots, self.division, self.unit = atoms, family.slots, family.division, unit
        self.off_home = [bool((slot * grid.home).denominator != 1) for slot in self.slots]
        self.outside = [grid.swings and slot not in grid.swung_nominal for slot in self.slots]
        self.odd = [grid.halves and slot != HALF for slot in self.slots]
        runs = bool(grid.swings and self.division)  # what is off the places of the groove has to go on
        quick = self.division >= QUICK  # off the home grid only from place to place: hertas, diddles
        self.comes_from = [quick and off for off in self.off_home]
        self.goes_on = [
            (runs and not grid.is_place(slot)) or comes
            for slot, comes in zip(self.slots, self.comes_from, strict=True)
        ]
        self.then_struck = then_struck

    def best(self) -> _Cost | None:
        """None where no assignment needs just this division."""
        states: dict[_State, _Cost] = {(-1, 1, False, False): _Cost()}
        for number in range(len(self.atoms)):
            after: dict[_State, _Cost] = {}
            for state, cost in states.items():
                for new_state, new_cost in self._moves(number, state, cost):
                    if new_state not in after or new_cost < after[new_state]:
                        after[new_state] = new_cost
            states = after
        ends = [cost for state, cost in states.items() if self._may_end(state)]
        return min(ends, default=None)

    def _moves(self, number: int, state: _State, cost: _Cost) -> Iterator[tuple[_State, _Cost]]:
        at, weight = self.atoms[number]
        last, needs, owes, ran = state
        yield state, cost.drop(weight)
        for place in range(last + 1, len(self.slots)):
            slot = self.slots[place]
            away = abs(slot - at)
            if away >= (FAR if weight >= HEAVY and slot else REACH):
                continue
            beside = last >= 0 and self._one_cell(self.slots[last], slot)
            if owes and not beside:
                return  # later slots are farther still
            if self.comes_from[place] and not beside:
                continue
            needed = lcm(needs, slot.denominator) if self.division else 1
            begins = self.comes_from[place] and not ran
            runs = self.comes_from[place] or (last >= 0 and self.comes_from[last])
            state = (place, needed, self.goes_on[place], runs)
            yield state, self._placed(number, place, away, cost._replace(quick=cost.quick + begins))

    def _placed(self, number: int, place: int, away: Fraction, cost: _Cost) -> _Cost:
        slot, at = self.slots[place], self.atoms[number][0]
        return _Cost(
            cost.dropped, cost.weight, cost.off_home + self.off_home[place], cost.quick,
            cost.odd + (self.odd[place] and not slot == at == 0), cost.moved + int(away * self.unit),
            cost.outside + self.outside[place], (*cost.earliness, -slot), (*cost.atoms, number),
        )  # fmt: skip

    def _one_cell(self, one: Fraction, other: Fraction) -> bool:
        return (other - one) * self.division == 1

    def _may_end(self, state: _State) -> bool:
        last, needs, owes, _ = state
        if owes and not (self.then_struck and self._one_cell(self.slots[last], Fraction(1))):
            return False
        return needs == self.division or not self.division
