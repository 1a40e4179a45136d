"""Meters, felt beats and tempo.

Inside a bar everything is an exact ``Fraction``. Two units of length occur:

* a *unit* is what the tempo counts: the felt beat, or the quarter in an additive meter;
* a *quarter* is the written quarter note.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

SLOWEST, FASTEST = 20, 400  # beats per minute that the check accepts
ANY_TEMPO = Fraction(100)  # for what is the same at every tempo
MOST_BEATS = 32  # largest upper figure of a meter


@dataclass(eq=False)
class Beat:
    """One felt beat: its length in tempo units and in quarters, and whether it holds three eighths.

    There are a handful, made below and told apart by identity.
    """

    units: Fraction
    quarters: Fraction
    ternary: bool


_HALF = Beat(Fraction(1), Fraction(2), False)
_QUARTER = Beat(Fraction(1), Fraction(1), False)
_DOTTED = Beat(Fraction(1), Fraction(3, 2), True)
_GROUPS = {
    2: Beat(Fraction(1), Fraction(1), False),
    3: Beat(Fraction(3, 2), Fraction(3, 2), True),
    4: Beat(Fraction(2), Fraction(2), False),
}


class MeterError(ValueError):
    """A meter that cannot be read; the message says what to write instead."""


@dataclass(frozen=True)
class Meter:
    """A meter and its felt beats.

    >>> [beat.ternary for beat in Meter.read("6/8").beats]
    [True, True]
    >>> Meter.read("7/8 (2+2+3)").units
    Fraction(7, 2)
    >>> Meter.read("7/8")
    Traceback (most recent call last):
    charts.timing.MeterError: 7/8 needs its groups: write 7/8 (2+2+3) or another order
    """

    upper: int
    lower: int
    groups: tuple[int, ...] = ()

    @staticmethod
    @lru_cache(maxsize=512)
    def read(text: str) -> Meter:
        """Read ``4/4`` or ``7/8 (2+2+3)``; raise MeterError with a hint otherwise."""
        plain = " ".join(text.split())
        found = re.fullmatch(r"(\d{1,3}) ?/ ?(\d{1,3})(?: ?\(([\d +]{0,99})\))?", plain, re.ASCII)
        groups = tuple(map(int, re.findall(r"\d+", found[3] or ""))) if found else ()
        if not found:
            raise MeterError(f"“{plain[:40]}” is not a meter: write it as 4/4, 6/8 or 7/8 (2+2+3)")
        upper, lower = int(found[1]), int(found[2])
        return _checked(upper, lower, groups)

    @property
    def beats(self) -> tuple[Beat, ...]:
        """The felt beats in order."""
        if self.groups:
            return tuple(_GROUPS[group] for group in self.groups)
        if self.lower == 8:
            return (_DOTTED,) * (self.upper // 3)
        return (_HALF if self.lower == 2 else _QUARTER,) * self.upper

    @cached_property
    def units(self) -> Fraction:
        """Length of a bar in tempo units."""
        return sum((beat.units for beat in self.beats), Fraction(0))

    @property
    def quarters(self) -> Fraction:
        """Length of a bar in quarters."""
        return sum((beat.quarters for beat in self.beats), Fraction(0))

    @property
    def compound(self) -> bool:
        """True where every beat is a dotted quarter."""
        return self.lower == 8 and not self.groups

    @property
    def unit_quarters(self) -> Fraction:
        """Length in quarters of the unit that the tempo counts."""
        return Fraction(1) if self.groups else self.beats[0].quarters

    def __str__(self) -> str:
        figure = f"{self.upper}/{self.lower}"
        return f"{figure} ({'+'.join(map(str, self.groups))})" if self.groups else figure


COMMON = Meter(4, 4)


def _checked(upper: int, lower: int, groups: tuple[int, ...]) -> Meter:
    figure = f"{upper}/{lower}"
    if lower not in (2, 4, 8):
        raise MeterError(
            f"{figure} is not a meter Feelmap counts: use halves, quarters or eighths, like 4/4 or 6/8"
        )
    if not 1 <= upper <= MOST_BEATS:
        raise MeterError(f"{figure} has {upper} beats: write 1 to {MOST_BEATS}")
    if upper == 1 and lower == 8:
        raise MeterError("1/8 is not a beat: write 2/8 (2), 3/8 or 1/4")
    if not groups:
        if lower == 8 and upper % 3:
            raise MeterError(
                f"{figure} needs its groups: write {figure} ({_usual_groups(upper)}) or another order"
            )
        return Meter(upper, lower)
    if lower != 8:
        raise MeterError(f"{figure} counts in its own beats: leave the groups off and write {figure}")
    if sum(groups) != upper:
        raise MeterError(
            f"the groups of {figure} add up to {sum(groups)}: write {figure} ({_usual_groups(upper)})"
        )
    if any(group not in _GROUPS for group in groups):
        raise MeterError(f"a group has 2, 3 or 4 eighths: write {figure} ({_usual_groups(upper)})")
    return Meter(upper, lower) if set(groups) == {3} else Meter(upper, lower, groups)


def _usual_groups(upper: int) -> str:
    twos, threes = divmod(upper, 2)
    return "+".join(["2"] * (twos - threes) + ["3"] * threes)


def countable(bpm: Fraction) -> bool:
    """True for a tempo that is felt as beats.

    >>> countable(Fraction(20)), countable(Fraction(801, 2))
    (True, False)
    """
    return SLOWEST <= bpm <= FASTEST


def ramp_seconds(start: Fraction, end: Fraction, length: Fraction, upto: Fraction) -> float:
    """Seconds from the start of an even change of tempo to ``upto`` units into it.

    The tempo runs from ``start`` to ``end`` beats per minute, linear in beats, over ``length`` units:
    60 L ln(b2/b1) / (b2 - b1) in full.

    >>> round(ramp_seconds(Fraction(120), Fraction(120), Fraction(4), Fraction(4)), 6)
    2.0
    """
    if start == end or not length:
        return float(60 * upto / start)
    slope = (end - start) / length
    return float(60 / slope) * math.log1p(float(slope * upto / start))


def tempo_after(start: Fraction, end: Fraction, length: Fraction, upto: Fraction) -> Fraction:
    """Tempo in beats per minute at ``upto`` units into an even change of tempo."""
    return start + (end - start) * upto / length if length else start
