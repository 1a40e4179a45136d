"""Scalars: the text that is there, typed by what its key expects.

Every function takes the text and returns the value, or raises :class:`Bad` with what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from charts.song import DYNAMICS, NOUGHT, CountIn, Place
from charts.timing import FASTEST, SLOWEST, Meter, MeterError

MOST_BARS, MOST_TIMES = 10_000, 999
NONE = "none"


class Bad(ValueError):
    """A value that cannot be read, and what to write instead."""

    def __init__(self, message: str, hint: str, rule: str = "file") -> None:
        super().__init__(message)
        self.message, self.hint, self.rule = message, hint, rule


class Backwards(Bad):
    """A range whose end is first."""


def words(text: str) -> str:
    """Plain words, spaces folded."""
    return " ".join(text.split())


def whole(lowest: int, highest: int, what: str) -> Callable[[str], int]:
    """A reader of whole numbers in a range."""

    def read(text: str) -> int:
        plain = text.strip()
        if not (plain.isascii() and plain.isdigit()) or len(plain) > 9:
            raise Bad(f"“{short(text)}” is not a {what}", f"write a whole number, {lowest} to {highest}")
        number = int(plain)
        if not lowest <= number <= highest:
            raise Bad(f"{what} {number} is out of range", f"write {lowest} to {highest}")
        return number

    return read


def number(text: str) -> Fraction:
    """A decimal number as it is: ``66.5``.

    >>> number("66.5")
    Fraction(133, 2)
    """
    plain = text.strip()
    if not re.fullmatch(r"\d{1,6}(\.\d{1,6})?", plain, re.ASCII):
        raise Bad(f"“{short(text)}” is not a number", "write it like 92 or 66.5")
    return Fraction(plain)


def bpm(text: str, hint: str = "write beats per minute: 92, or 66.5") -> Fraction:
    """Beats per minute; the rule ``tempo`` judges whether it can be played."""
    try:
        found = number(text)
    except Bad:
        alone = re.fullmatch(r"(\d{2,3}(?:\.\d+)?) ?[a-zA-Z.]*", words(text))
        if " to " in text:
            hint = "write one number here: an even change belongs to a section"
        raise Bad(f"“{short(text)}” is not a tempo", f"write {alone[1]}" if alone else hint) from None
    if not 1 <= found <= 1000:
        raise Bad(f"tempo {short(text)} is out of range", "write beats per minute, 20 to 400", "tempo")
    return found


def hold_seconds(text: str) -> Fraction:
    """Seconds that the clock counts for a hold: 4, or 2.5 s."""
    found = number(re.sub(r"(?<=\d) ?s$", "", text.strip()))
    if found > 600:
        raise Bad(f"a hold of {text} is too long", "write seconds, at most 600")
    return found


class TempoChange(NamedTuple):
    """A tempo, and the one that an even change ends on."""

    tempo: Fraction
    to: Fraction | None = None


def tempo_change(text: str) -> TempoChange:
    """``92``, or ``92 to 104`` for an even change.

    >>> tempo_change("96 to 72")
    TempoChange(tempo=Fraction(96, 1), to=Fraction(72, 1))
    """
    start, to, end = text.partition(" to ")
    hint = "write beats per minute: 92, 66.5, or 92 to 104"
    return TempoChange(bpm(start, hint), bpm(end, hint) if to else None)


def playable_tempo(text: str) -> Fraction:
    """One tempo at which a beat is felt."""
    found = bpm(text, "write beats per minute, 20 to 400: 92, or 66.5")
    if not SLOWEST <= found <= FASTEST:
        raise Bad(f"{words(text)} beats per minute is out of range", f"write {SLOWEST} to {FASTEST}", "tempo")
    return found


def tempo_range(text: str) -> tuple[Fraction, Fraction]:
    """``60-120``."""
    found = re.fullmatch(r"(\d+(?:\.\d+)?) ?[-–] ?(\d+(?:\.\d+)?)", words(text), re.ASCII)
    if not found:
        raise Bad(f"“{short(text)}” is not a range of tempos", "write it like 60-120")
    low, high = bpm(found[1]), bpm(found[2])
    if low > high:
        raise Backwards("this range runs backwards", f"write {found[2]}-{found[1]}")
    return low, high


def meter(text: str) -> Meter:
    """``4/4``, ``7/8 (2+2+3)``."""
    try:
        return Meter.read(text)
    except MeterError as error:
        message, _, hint = str(error).partition(": ")
        raise Bad(message, hint) from None


def yes_no(text: str) -> bool:
    """yes or no; true and false as well."""
    plain = text.strip().casefold()
    if plain in ("yes", "true", "on"):
        return True
    if plain in ("no", "false", "off"):
        return False
    raise Bad(f"“{short(text)}” is neither yes nor no", "write yes or no")


def one_of(*allowed: str) -> Callable[[str], str]:
    """A reader of one word out of a few."""

    def read(text: str) -> str:
        plain = words(text).casefold()
        for each in allowed:
            if plain == each.casefold():
                return each
        raise Bad(f"“{short(text)}” is not possible here", f"write {' or '.join(allowed)}")

    return read


def count_in(text: str) -> CountIn:
    """``1 bar``, ``2 bars``, ``3 beats``, ``1 bar 2 beats``, ``none``."""
    plain = words(text).casefold()
    if plain == NONE:
        return CountIn()
    found = re.fullmatch(r"(?:(\d{1,2}) bars?)?(?: ?(?:and )?(\d{1,2}) beats?)?", plain)
    if not found or not plain:
        raise Bad(f"“{short(text)}” is not a count-in", "write 1 bar, 2 bars, 3 beats or none")
    bars, beats = int(found[1] or 0), int(found[2] or 0)
    if bars > 8 or beats > MOST_COUNTED:
        raise Bad("nobody counts that long", f"write at most 8 bars or {MOST_COUNTED} beats")
    return CountIn(bars, beats)


MOST_COUNTED = 32


_PICKUP = re.compile(r"(\d{1,4}(?:\.\d{1,4})?|(?:\d{1,4} )?\d{1,4}/[1-9]\d{0,3}) beats?", re.ASCII)


def pickup(text: str) -> Fraction:
    """``1 beat``, ``1.5 beats``, ``1/2 beat``, ``none``: beats that sound before bar 1."""
    plain = words(text).casefold()
    if plain == NONE:
        return Fraction(0)
    found = _PICKUP.fullmatch(plain)
    if not found:
        raise Bad(f"“{short(text)}” is not a pickup", "write 1 beat, 2 beats or 1/2 beat")
    beats = sum((Fraction(part) for part in found[1].split()), Fraction(0))
    if beats > MOST_COUNTED:
        raise Bad("this pickup is too long", f"write at most {MOST_COUNTED} beats")
    return beats


def dynamics(text: str) -> tuple[str, ...]:
    """``mf``, or ``p to f``."""
    parts = [part.strip() for part in words(text).split(" to ")]
    if len(parts) > 2 or any(part not in DYNAMICS for part in parts):
        raise Bad(f"“{short(text)}” is not a dynamic", "write ppp pp p mp mf f ff fff, or p to f")
    return tuple(parts)


_PLACE = re.compile(r"(\d{1,5})(?:\.(\d{1,3})(?:([&ea])|\+(\d{1,3})/(\d{1,3}))?)?", re.ASCII)


def place(text: str) -> Place:
    """``3``, ``3.2``, ``3.2&``, ``3.2+1/3``: bar, beat, and where in the beat.

    >>> str(place("3.2&"))
    '3.2&'
    """
    found = _PLACE.fullmatch(text.strip())
    if not found:
        raise Bad(f"“{short(text)}” is not a place", "write BAR, BAR.BEAT, BAR.BEAT& (or e, a), BAR.BEAT+1/3")
    offset: Fraction | str = found[3] or NOUGHT
    if found[4]:
        if int(found[5]) == 0 or int(found[4]) >= int(found[5]):
            raise Bad(f"{found[4]}/{found[5]} is not inside the beat", "write a fraction from 0 to under 1")
        offset = Fraction(int(found[4]), int(found[5]))
    bar, beat = int(found[1]), int(found[2] or 1)
    if not bar or not beat:
        raise Bad(f"“{short(text)}”: bars and beats count from 1", "write 1 for the first")
    return Place(bar, beat, offset)


def pass_of(text: str) -> str | int:
    """``each``, ``last``, or a pass's number."""
    plain = text.strip().casefold()
    if plain in ("each", "last"):
        return plain
    if plain.isascii() and plain.isdigit() and 0 < int(plain[:9]) <= MOST_TIMES:
        return int(plain)
    raise Bad(f"“{short(text)}” is not a pass", "write each, last or a number")


def phrases(text: str) -> tuple[int, ...]:
    """``8``, ``4+4+3``: bars in phrases."""
    parts = [part.strip() for part in text.split("+")]
    if not all(part.isascii() and part.isdigit() and 0 < int(part[:9]) for part in parts):
        raise Bad(f"“{short(text)}” is not a number of bars", "write 8, or 4+4 for the phrases")
    found = tuple(int(part[:9]) for part in parts)
    if sum(found) > MOST_BARS:
        raise Bad(f"{sum(found)} bars are too many", f"a song has at most {MOST_BARS}")
    return found


def short(text: str) -> str:
    """A text as a message says it again: on one line, cut where it is long."""
    plain = " ".join(text.split())
    return plain if len(plain) <= 40 else plain[:39] + "…"
