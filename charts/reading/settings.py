"""Reading book.yaml: what holds for the whole book."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import yaml

from charts.limits import DEFAULT_LIMITS, LimitError, Limits
from charts.reading.keys import TEXT, Kind, keyed, one_word, read_fields, row, single, table
from charts.reading.reader import Reader
from charts.reading.shapes import a_number, any_case, written
from charts.reading.values import Bad, number, words
from charts.verdict import TOLERANCE_MS

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
        raise Bad(f"{text} is not a distance to the music stand", "write metres from 0.3 to 5")
    return float(metres)


def _tolerance(text: str) -> Fraction:
    found = number(text.removesuffix("ms").strip())
    if not 0 <= found <= 200:
        raise Bad(f"a tolerance of {text} is out of range", "write milliseconds, 0 to 200")
    return found


def _kit(text: str) -> bool:
    hand = words(text.replace("-", " ")).casefold().removesuffix(" handed")
    if hand not in ("right", "left"):
        raise Bad(f"“{words(text)}” is not a kit", "write right handed or left handed")
    return hand == "left"


def _rate(limb: str) -> Kind[Fraction]:
    """A reader of strokes per second, up to what is published of that limb."""

    def read(text: str) -> Fraction:
        found = number(text)
        try:
            Limits.from_rates(**{limb: found})
        except LimitError as error:
            message, _, hint = str(error).partition(": ")
            raise Bad(message, hint) from None
        return found

    return single(read, a_number(1, 30))


class PlayerKeys:
    """The keys of the player's own limits, each an argument of Limits.from_rates."""

    hand = row(_rate("hand"), "single strokes per second of one hand")
    hand_double = row(_rate("hand_double"), "speed of the second stroke of a double, in strokes per second")
    foot = row(_rate("foot"), "strokes per second of one foot")
    foot_double = row(_rate("foot_double"), "speed of a foot's double, in strokes per second")


PLAYER = table(PlayerKeys)


def _player(reader: Reader, node: yaml.Node, what: str) -> Limits:
    return Limits.from_rates(**read_fields(reader, PLAYER, reader.known(node, PLAYER, what) or {}))


_KIT = written(f"({any_case('right', 'left')})([ -]{any_case('handed')})?")


class BookKeys(Settings):
    """The keys of book.yaml."""

    name = row(TEXT, "what the book is called")
    paper = row(one_word("A4", "Letter"), "A4 or Letter")
    distance = row(
        single(_distance, a_number(0.3, 5, "m")), "metres from the eyes to the stand; 1.0 by default"
    )
    left_handed = row(single(_kit, _KIT), "right handed or left handed", name="kit")
    tolerance = row(
        single(_tolerance, a_number(0, 200, "ms")),
        "milliseconds under which a stroke off the grid is near, not a clash; 20 by default",
    )
    limits = row(Kind(keyed(PLAYER), _player), "the player's limits, in strokes per second", name="player")
    triplet_count = row(
        one_word(*TRIPLET_COUNTS), "how triplets are counted aloud: 1 trip let, or 1 & a", name="count"
    )


BOOK = table(BookKeys)


def read_settings(reader: Reader, node: yaml.Node) -> Settings:
    """The settings as far as they can be read; problems are noted on the reader."""
    return Settings(**read_fields(reader, BOOK, reader.known(node, BOOK, "book.yaml") or {}))
