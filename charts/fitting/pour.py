"""A fill poured into another rate: the same strokes, drums and hands in the same order, faster or slower.

Sixteenths in groups of three keep their groups when they become triplets. What does not go in before the
last accent is cut there, what is wanting is filled by going round once more, and the last accent lands
where it did.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from charts.pattern import Pattern, Stroke, division

SLOWEST, FASTEST = Fraction(2, 3), Fraction(4, 3)  # how much a rate may change
MOST_CELLS = 6  # strokes to the beat of a fill that was poured
FIGURES = range(2, 7)  # cells of a figure that goes round
LEAST = 3  # strokes

Atom = tuple[int, Fraction]  # beat and place as written


class Poured(NamedTuple):
    """The strokes at their new places, what was cut, and how far in beats the rest moves at the most."""

    strokes: list[Stroke]
    cut: list[Atom]
    moved: Fraction


def pour(pattern: Pattern, grids: Sequence[Sequence[tuple[Fraction, ...]]]) -> Poured | None:
    """Pour a fill into slots; ``grids`` are the choices, each with the slots of every beat.

    None where the fill is not a stream of one rate, or no grid's rate is near enough.

    >>> from charts.notation import read_rows
    >>> from charts.rows import write_rows
    >>> threes = Pattern("", "fill", 2, read_rows("SD oo.o|o.oO\\nBD ..o.|.o..").strokes)
    >>> triplets = [(Fraction(0), Fraction(1, 3), Fraction(2, 3))] * 2
    >>> print(write_rows(threes.with_strokes(pour(threes, [triplets]).strokes)), end="")
    SD oo.|ooO
    BD ..o|...
    """
    cells = division(at for onsets in pattern.onsets for at in onsets)
    atoms = {int((beat + at) * cells): (beat, at) for beat, row in enumerate(pattern.onsets) for at in row}
    slots = _chosen(grids, cells)
    if slots is None or not _streams(pattern, atoms, cells):
        return None
    places = [(beat, slot) for beat, row in enumerate(slots) for slot in row]
    laid = {cell: (atom, first) for cell, atom, first in _laid(pattern, atoms, cells, places)}
    strokes = [
        replace(stroke, beat=places[cell][0], at=places[cell][1], accent=stroke.accent and first)
        for cell, (atom, first) in laid.items()
        for stroke in pattern.by_beat[atom[0]]
        if stroke.at == atom[1]
    ]
    kept = {atom: _sum(places[cell]) for cell, (atom, first) in laid.items() if first}
    moved = max(abs(place - _sum(atom)) for atom, place in kept.items())
    return Poured(strokes, [atom for atom in atoms.values() if atom not in kept], moved)


def _sum(place: Atom) -> Fraction:
    return place[0] + place[1]


def _laid(
    pattern: Pattern, atoms: dict[int, Atom], cells: int, places: Sequence[Atom]
) -> Iterator[tuple[int, Atom, bool]]:
    """Which atom is struck in which of the new cells, in order, and whether it is for the first time."""
    accented = {(stroke.beat, stroke.at) for stroke in pattern.strokes if stroke.accent}
    last = max((cell for cell, atom in atoms.items() if atom in accented), default=max(atoms))
    target = _nearest(places, Fraction(last, cells))
    start = min(atoms) * len(places) // (cells * pattern.beats)
    head = [atoms.get(cell) for cell in range(min(atoms), last)]
    tail = [atoms.get(cell) for cell in range(last, cells * pattern.beats)]
    ends = tail[-1] is not None and len(tail) > 1  # up to the landing
    room = len(places) - target if ends else min(len(tail), len(places) - target)
    for first, row, length in ((start, head, target - start), (target, tail, room)):
        again = row[-cells:] if row is head else row[1:]
        for number in range(length):
            atom = row[number] if number < len(row) else again[(number - len(row)) % len(again)]
            if atom is not None:
                yield first + number, atom, number < len(row)


def _chosen(
    grids: Sequence[Sequence[tuple[Fraction, ...]]], cells: int
) -> Sequence[tuple[Fraction, ...]] | None:
    """The slots whose rate is nearest to the fill's own, where one is near enough."""
    near = []
    for slots in grids:
        rate = max(map(len, slots))
        change = Fraction(rate, cells)
        if rate <= MOST_CELLS and SLOWEST <= change <= FASTEST:
            near.append((max(change, 1 / change), slots))
    return min(near, key=lambda each: each[0])[1] if near else None


def _streams(pattern: Pattern, atoms: dict[int, Atom], cells: int) -> bool:
    """True for a stream without holes whose beat no foot marks: a pickup, or a figure that goes round."""
    full = LEAST <= len(atoms) == max(atoms) - min(atoms) + 1
    feet = {stroke.place for stroke in pattern.strokes if not stroke.by_hand}
    marked = feet & {stroke.place for stroke in pattern.strokes if stroke.by_hand}
    figures = [figure for figure in FIGURES if figure % cells or feet]  # a plain run goes round by itself
    goes_round = pattern.beats == 1 or any(_repeats(pattern, atoms, cells, figure) for figure in figures)
    return full and not marked and goes_round


def _repeats(pattern: Pattern, atoms: dict[int, Atom], cells: int, figure: int) -> bool:
    """True where accents and feet come round after that many cells; the fill's last quarter is free."""
    loud = {(stroke.beat, stroke.at) for stroke in pattern.strokes if stroke.accent}
    feet = {(stroke.beat, stroke.at) for stroke in pattern.strokes if not stroke.by_hand}
    end = max(cells * pattern.beats * 3 // 4, 2 * figure)
    kinds = [(atoms.get(cell) in loud, atoms.get(cell) in feet) for cell in range(end)]
    again = all(kind == kinds[number + figure] for number, kind in enumerate(kinds[:-figure]))
    return again and len(set(kinds)) > 1 and end <= cells * pattern.beats


def _nearest(places: Sequence[Atom], place: Fraction) -> int:
    """The number of the slot nearest to a place in beats; of two the later."""
    return min(range(len(places)), key=lambda number: (abs(_sum(places[number]) - place), -number))
