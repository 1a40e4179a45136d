"""Reading book.yaml: what holds for the whole book."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import yaml

from charts.limits import DEFAULT_LIMITS, LimitError, Limits
from charts.reading.reader import Reader
from charts.reading.values import Bad, number, one_of, words
from charts.verdict import TOLERANCE_MS

BOOK_KEYS = {
    "name": "what the book is called",
    "paper": "A4 or Letter",
    "distance": "metres from the eyes to the stand; 1.0 unless said",
    "kit": "right handed or left handed",
    "tolerance": "milliseconds under which a stroke off the grid is near, not a clash; 20 unless said",
    "player": "the player's own limits, in strokes a second",
    "count": "how triplets are counted aloud: 1 trip let, or 1 & a",
}
PLAYER_KEYS = {
    "hand": "single strokes a second of one hand",
    "hand-double": "speed of the second stroke of a double, in strokes a second",
    "foot": "strokes a second of one foot",
    "foot-double": "speed of a foot's double, in strokes a second",
}
TRIPLET_COUNTS = ("1 trip let", "1 & a", "1 la li")


@dataclass(frozen=True)
class Settings:
    """A book's settings; the defaults where it says nothing."""

    name: str = ""
    paper: str = "A4"
    distance: float = 1.0
    left_handed: bool = False
    tolerance: Fraction = TOLERANCE_MS
    limits: Limits = DEFAULT_LIMITS
    triplet_count: str = TRIPLET_COUNTS[0]


def _distance(text: str) -> float:
    metres = number(text.removesuffix("m").strip())
    if not Fraction(3, 10) <= metres <= 5:
        raise Bad(f"{text} is no distance to a stand", "write metres from 0.3 to 5")
    return float(metres)


def _tolerance(text: str) -> Fraction:
    found = number(text.removesuffix("ms").strip())
    if not 0 <= found <= 200:
        raise Bad(f"a tolerance of {text} is out of range", "write milliseconds, 0 to 200")
    return found


def _kit(text: str) -> bool:
    hand = words(text.replace("-", " ")).casefold().removesuffix(" handed")
    if hand not in ("right", "left"):
        raise Bad(f"“{words(text)}” is no kit", "write right handed or left handed")
    return hand == "left"


def read_settings(reader: Reader, node: yaml.Node) -> Settings:
    """The settings as far as they can be read; problems are noted on the reader."""
    entries = reader.known(node, BOOK_KEYS, "book.yaml") or {}
    given: dict[str, object] = {}
    readers = {
        "name": ("name", words),
        "paper": ("paper", one_of("A4", "Letter")),
        "distance": ("distance", _distance),
        "kit": ("left_handed", _kit),
        "tolerance": ("tolerance", _tolerance),
        "count": ("triplet_count", one_of(*TRIPLET_COUNTS)),
    }
    for key, (field, parse) in readers.items():
        if key in entries:
            found = reader.value(entries[key].value, parse, key)
            if found is not None:
                given[field] = found
    if "player" in entries:
        given["limits"] = _player(reader, entries["player"].value)
    return Settings(**given)  # type: ignore[arg-type]  # each field was read by its own reader


@cache
def _rate(limb: str) -> Callable[[str], Fraction]:
    """A reader of strokes a second, up to what is published of that limb."""

    def read(text: str) -> Fraction:
        found = number(text)
        try:
            Limits.from_rates(**{limb: found})
        except LimitError as error:
            message, _, hint = str(error).partition(": ")
            raise Bad(message, hint) from None
        return found

    return read


def _player(reader: Reader, node: yaml.Node) -> Limits:
    entries = reader.known(node, PLAYER_KEYS, "player") or {}
    rates: dict[str, Fraction] = {}
    for key, entry in entries.items():
        limb = key.replace("-", "_")
        rate = reader.value(entry.value, _rate(limb), key)
        if rate is not None:
            rates[limb] = rate
    return Limits.from_rates(**rates)
