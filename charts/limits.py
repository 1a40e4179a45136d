"""How fast one hand and one foot can go: the limits that every search and rule of hands keeps.

Milliseconds between two strokes of one limb. The defaults are ours, chosen from published rates:

* one hand plays 5 to 7 strokes per second in general, the record holder 10 (S. Fujii et al., Neuroscience
  Letters 459 (2009) 69-73);
* one foot, four strokes in a row: 5 % of takes are faster than 107 ms, the median double is 131 ms
  (measured on the Groove MIDI Dataset, Gillick et al. 2019).
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from fractions import Fraction

# No player's setting goes past these (ms): the record of one hand, the fastest twentieth of measured feet.
# Nothing published is faster for a double than the default, so the default is where a setting ends.
FASTEST_MS = {
    "hand_ms": Fraction(100),
    "hand_double_ms": Fraction(70),
    "foot_ms": Fraction(107),
    "foot_double_ms": Fraction(90),
}
SLOWEST_MS = Fraction(2000)  # under a stroke in two seconds is a slip of the pen


class LimitError(ValueError):
    """A player's limit that no published rate bears out; the message says what to write instead."""


@dataclass(frozen=True)
class Limits:
    """Least time in ms between two strokes of one limb, and for the second stroke of a double.

    >>> Limits().hand_ms
    Fraction(140, 1)
    >>> Limits(hand_ms=Fraction(1000, 12))
    Traceback (most recent call last):
    charts.limits.LimitError: hand 12 is past the fastest published: write 10 strokes per second or less
    """

    hand_ms: Fraction = Fraction(140)
    hand_double_ms: Fraction = Fraction(70)
    foot_ms: Fraction = Fraction(150)
    foot_double_ms: Fraction = Fraction(90)

    def __post_init__(self) -> None:
        for limit in fields(self):
            _check(limit.name, getattr(self, limit.name))

    @classmethod
    def from_rates(
        cls,
        hand: Fraction | None = None,
        hand_double: Fraction | None = None,
        foot: Fraction | None = None,
        foot_double: Fraction | None = None,
    ) -> Limits:
        """Limits from strokes per second; what is not given stays as it is by default.

        A double is never slower than single strokes. Raises LimitError past the published rates.

        >>> Limits.from_rates(hand=Fraction(8)).hand_ms
        Fraction(125, 1)
        """
        rates = dict(zip(FASTEST_MS, (hand, hand_double, foot, foot_double), strict=True))
        given = {name: _ms(name, rate) for name, rate in rates.items() if rate is not None}
        for limb in ("hand", "foot"):
            single = given.get(f"{limb}_ms", getattr(cls, f"{limb}_ms"))
            double = given.get(f"{limb}_double_ms", getattr(cls, f"{limb}_double_ms"))
            given[f"{limb}_double_ms"] = min(single, double)
        return cls(**given)


def _word(name: str) -> str:
    return name.removesuffix("_ms").replace("_", " ")


def _rate(ms: Fraction) -> str:
    """Strokes a second, to a tenth at most, rounded so that the figure itself is allowed."""
    tenths = int(10000 / ms)
    return f"{tenths / 10:g}"


def _ms(name: str, rate: Fraction) -> Fraction:
    if rate <= 0:
        raise LimitError(f"{_word(name)} {float(rate):g} is not a speed: write strokes per second, like 7")
    return 1000 / Fraction(rate)


def _check(name: str, ms: Fraction) -> None:
    if ms < FASTEST_MS[name]:
        raise LimitError(
            f"{_word(name)} {_rate(ms)} is past the fastest published: "
            f"write {_rate(FASTEST_MS[name])} strokes per second or less"
        )
    if ms > SLOWEST_MS:
        raise LimitError(f"{_word(name)} {_rate(ms)} is too slow: write 0.5 strokes per second or more")


DEFAULT_LIMITS = Limits()
