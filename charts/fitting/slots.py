"""One beat re-laid: which stroke goes to which place of a grid, by the order of costs in design terms.

An *atom* is everything struck at one place; it moves as one. A *slot* is a place it may move to. Of all
assignments that keep the order and fit the feel the least is taken, by atoms dropped, weight dropped, the sum
of movement, slots outside S (outside the home grid where nothing swings), slots off the home grid, the
earliest slots; of what is still equal the earlier atoms stay.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from charts.feel import Grid

REACH = Fraction(1, 4)  # of the beat: a stroke moves less than this
HOME, FINER = "home", "finer"
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
        yield _Family(tuple(slot for slot in slots if slot in grid.swung_sounding), 0)
    finest = lcm(*(slot.denominator for slot in slots))
    for division in range(1, finest + 1):
        if finest % division == 0 and grid.admits(division):
            yield _Family(tuple(slot for slot in slots if not division % slot.denominator), division)


class _Cost(NamedTuple):
    """What an assignment costs so far, in the order of comparing; movement in whole units."""

    dropped: int = 0
    weight: int = 0
    moved: int = 0
    outside: int = 0
    off_home: int = 0
    slots: tuple[Fraction, ...] = ()
    atoms: tuple[int, ...] = ()

    def drop(self, weight: int) -> _Cost:
        rest = (self.moved, self.outside, self.off_home, self.slots, self.atoms)
        return _Cost(self.dropped + 1, self.weight + weight, *rest)

    def place(self, moved: int, outside: bool, off_home: bool, slot: Fraction, atom: int) -> _Cost:
        return _Cost(
            self.dropped, self.weight, self.moved + moved, self.outside + outside, self.off_home + off_home,
            (*self.slots, slot), (*self.atoms, atom),
        )  # fmt: skip

    def placed(self, count: int) -> tuple[Fraction | None, ...]:
        found = dict(zip(self.atoms, self.slots, strict=True))
        return tuple(found.get(atom) for atom in range(count))


_State = tuple[int, int, bool]  # last slot's number or -1, division needed so far, has to go on


class _Layout:
    """The least assignment within one family, atom by atom; few states are left after each."""

    def __init__(
        self, atoms: Sequence[Atom], grid: Grid, family: _Family, unit: int, then_struck: bool
    ) -> None:
        self.atoms, self.slots, self.division, self.unit = atoms, family.slots, family.division, unit
        inside = grid.swung_nominal if grid.swings else None
        self.off_home = [bool((slot * grid.home).denominator != 1) for slot in self.slots]
        self.outside = [slot not in inside for slot in self.slots] if inside is not None else self.off_home
        runs = bool(grid.swings and self.division)  # what is off the places of the groove has to go on
        self.goes_on = [runs and not grid.is_place(slot) for slot in self.slots]
        self.then_struck = then_struck

    def best(self) -> _Cost | None:
        """None where no assignment needs just this division."""
        states: dict[_State, _Cost] = {(-1, 1, False): _Cost()}
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
        last, needs, owes = state
        yield state, cost.drop(weight)
        for place in range(last + 1, len(self.slots)):
            slot = self.slots[place]
            away = abs(slot - at)
            if away >= REACH:
                continue
            beside = last >= 0 and self._one_cell(self.slots[last], slot)
            if owes and not beside:
                return  # later slots are farther still
            needed = lcm(needs, slot.denominator) if self.division else 1
            flags = (self.outside[place], self.off_home[place])
            yield (
                (place, needed, self.goes_on[place]),
                cost.place(int(away * self.unit), *flags, slot, number),
            )

    def _one_cell(self, one: Fraction, other: Fraction) -> bool:
        return (other - one) * self.division == 1

    def _may_end(self, state: _State) -> bool:
        last, needs, owes = state
        if owes and not (self.then_struck and self._one_cell(self.slots[last], Fraction(1))):
            return False
        return needs == self.division or not self.division
