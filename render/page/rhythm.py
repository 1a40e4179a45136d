"""Note values: how one voice's strokes in a beat are written, with flags, dots and tuplets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from charts.pattern import Stroke, division

ONE = Fraction(1)
_THIRDS = {Fraction(1, 3), Fraction(2, 3)}
MOST_FLAGS = 5


@dataclass(frozen=True)
class Written:
    """What one voice plays at one moment: ``at`` in the beat, ``flags``, ``dots``, ``hollow`` for a half."""

    at: Fraction
    strokes: tuple[Stroke, ...]
    flags: int
    dots: int
    hollow: bool


@dataclass(frozen=True)
class VoiceBeat:
    """One voice in one beat: its notes, its beams (first and last note of each), the tuplet it stands in."""

    notes: tuple[Written, ...]
    beams: tuple[tuple[int, int], ...]
    tuplet: int = 0


def normal_cells(cells: int, quarters: Fraction) -> int:
    """How many plain cells the beat would hold where so many are played: the tuplet's lower figure.

    >>> normal_cells(3, Fraction(1)), normal_cells(6, Fraction(3, 2)), normal_cells(2, Fraction(3, 2))
    (2, 6, 3)
    """
    normal = 3 if quarters == Fraction(3, 2) else 1
    while normal * 2 <= cells:
        normal *= 2
    if quarters == Fraction(3, 2) and cells == 1:
        return 1
    return normal


def value_of(length: Fraction) -> tuple[int, int, bool]:
    """Flags, dots and whether hollow, of the longest single note not longer than ``length`` quarters.

    >>> value_of(Fraction(3, 4)), value_of(Fraction(5, 4)), value_of(Fraction(2))
    ((1, 1, False), (0, 0, False), (0, 0, True))
    """
    value, flags = Fraction(2), 0
    while value > length and flags < MOST_FLAGS:
        value /= 2
        if value < 1:
            flags += 1
    return flags, 1 if value * 3 / 2 <= length else 0, value == 2


def tuplet_of(onsets: Sequence[Fraction], cells: int, quarters: Fraction) -> int:
    """The figure over the beat; 0 where the division is plain.

    >>> tuplet_of([Fraction(0), Fraction(1, 3), Fraction(1, 2), Fraction(2, 3)], 6, Fraction(1))
    3
    """
    if cells == normal_cells(cells, quarters):
        return 0
    if cells in (6, 12) and quarters != Fraction(3, 2):
        return 3 if _THIRDS.issubset(onsets) and len(onsets) < 5 else 6
    return cells


def write_voice(
    strokes: Sequence[Stroke], cells: int, quarters: Fraction, onsets: Sequence[Fraction]
) -> VoiceBeat:
    """One voice's strokes of a beat of so many quarters, written on ``cells``; a note lasts to the next."""
    places = sorted({stroke.at for stroke in strokes})
    normal = normal_cells(cells, quarters)
    notes = []
    for at, until in pairwise([*places, ONE]):
        share = until - at
        length = quarters if share == 1 else share * cells * quarters / normal
        flags, dots, hollow = value_of(length)
        notes.append(Written(at, tuple(s for s in strokes if s.at == at), flags, dots, hollow))
    return VoiceBeat(tuple(notes), _beams(notes), tuplet_of(onsets, cells, quarters))


def _beams(notes: Sequence[Written]) -> tuple[tuple[int, int], ...]:
    """Neighbours with flags share a beam."""
    found: list[tuple[int, int]] = []
    start = None
    for place in range(len(notes) + 1):
        flagged = place < len(notes) and notes[place].flags > 0
        if flagged and start is None:
            start = place
        elif not flagged and start is not None:
            if place - start > 1:
                found.append((start, place - 1))
            start = None
    return tuple(found)


def write_beat(strokes: Sequence[Stroke], quarters: Fraction) -> tuple[VoiceBeat, VoiceBeat]:
    """Hands and feet of one beat; they share a division where one holds the other."""
    hands = [stroke for stroke in strokes if stroke.by_hand]
    feet = [stroke for stroke in strokes if not stroke.by_hand]
    all_onsets = sorted({stroke.at for stroke in strokes})
    own = [division(s.at for s in voice) for voice in (hands, feet)]
    together = division(all_onsets)
    shared = together == max(own)
    written = []
    for voice, cells in zip((hands, feet), own, strict=True):
        onsets = all_onsets if shared else sorted({stroke.at for stroke in voice})
        written.append(write_voice(voice, together if shared else cells, quarters, onsets))
    above, below = written
    one_bracket = shared and above.notes  # stands for both
    return (
        VoiceBeat(above.notes, above.beams, above.tuplet if above.notes else 0),
        VoiceBeat(below.notes, below.beams, below.tuplet if below.notes and not one_bracket else 0),
    )


def rest_before(strokes: Sequence[Stroke], quarters: Fraction) -> tuple[int, int] | None:
    """Flags and dots of the rest that starts a beat, None where a stroke does; an empty beat rests whole."""
    first = min((stroke.at for stroke in strokes), default=ONE)
    if not first:
        return None
    cells = division(stroke.at for stroke in strokes)
    length = quarters if first == 1 else first * cells * quarters / normal_cells(cells, quarters)
    flags, dots, _ = value_of(min(length, Fraction(3, 2)))
    return flags, dots
