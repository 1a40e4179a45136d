"""Lengths, times of day and dates, as a set list writes them.

Every reader takes the text and returns the value, or raises ``Bad`` with what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from fractions import Fraction

from charts.reading.keys import Kind, single
from charts.reading.shapes import NUMBER, any_case, written
from charts.reading.values import NONE, Bad, words
from charts.wording import HOUR, MINUTE, length

FIRST_YEAR, LAST_YEAR = 1900, 2999
_PARTS = re.compile(
    r"(?:(\d{1,3}(?:\.\d{1,3})?) ?(?:h|hr|hrs|hours?))?"
    r"(?: ?(?:and )?(\d{1,4}(?:\.\d{1,3})?) ?(?:min|mins|minutes?|m|'|’|′))?"
    r"(?: ?(?:and )?(\d{1,5}(?:\.\d{1,3})?) ?(?:s|sec|secs|seconds?|\"|”|″))?",
    re.ASCII | re.IGNORECASE,
)
_COLONS = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{2})", re.ASCII)
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))? ?(am|pm|a\.m\.|p\.m\.)?", re.ASCII | re.IGNORECASE)

# the same as JSON shapes; a parser that counts in sixties makes a number of 20:30
_HOURS = rf"{NUMBER} ?({any_case('h', 'hr', 'hrs', 'hour', 'hours')})"
_MINUTES = rf"{NUMBER} ?({any_case('m', 'min', 'mins', 'minute', 'minutes')}|['’′])"
_SECONDS = rf"{NUMBER} ?({any_case('s', 'sec', 'secs', 'second', 'seconds')}|[\"”″])"
_UNITS = rf"(?=\d)({_HOURS})?( ?(and )?{_MINUTES})?( ?(and )?{_SECONDS})?"
_HALF = f"({any_case('am', 'pm', 'a[.]m[.]', 'p[.]m[.]')})"
_DURATION = written(f"{_UNITS}|0|{any_case('none')}", "number", maximum=0)
LENGTH = written(rf"{_UNITS}|(\d{{1,2}}:)?\d{{1,3}}:\d{{2}}", "number")
_TIME = written(rf"\d{{1,2}}[:.hH]\d{{2}}( ?{_HALF})?|\d{{1,2}} ?{_HALF}", "number")


def duration(most: int, example: str, colons: bool = False) -> Callable[[str], Fraction]:
    """A reader of lengths up to ``most`` seconds: ``20 s``, ``1 h 15 min``; ``3:30`` with ``colons``.

    >>> duration(HOUR, "20 s")("1 min 30 s")
    Fraction(90, 1)
    >>> duration(HOUR, "3:30", colons=True)("3:30")
    Fraction(210, 1)
    """

    def read(text: str) -> Fraction:
        plain = words(text)
        seconds = Fraction(0) if plain.casefold() == NONE else _seconds(plain, example, colons)
        if seconds > most:
            raise Bad(f"{plain} is too long", f"write at most {length(most)}")
        return seconds

    return read


def a_duration(most: int, example: str) -> Kind[Fraction]:
    """A length up to ``most`` seconds, by its units."""
    return single(duration(most, example), _DURATION)


def _seconds(plain: str, example: str, colons: bool) -> Fraction:
    found = _COLONS.fullmatch(plain)
    if found and colons:
        hours, minutes, seconds = (int(part or 0) for part in found.groups())
        if seconds < 60 and (minutes < 60 or not hours):
            return Fraction(hours * HOUR + minutes * MINUTE + seconds)
        raise Bad(f"“{plain}” is not a length", f"write it like {example}: seconds run to 59")
    if found:
        raise Bad(f"“{plain}” could be hours or minutes", "write it like 45 min or 1 h 15 min")
    if re.fullmatch(r"\d+(\.\d+)?", plain, re.ASCII):
        if not float(plain):
            return Fraction(0)
        colon = re.fullmatch(r"(\d{1,2})\.([0-5]\d)", plain, re.ASCII)
        if colon and colons:
            raise Bad(f"“{plain}” needs a colon", f"write {colon[1]}:{colon[2]}")
        raise Bad(f"“{plain[:12]}” has no unit", f"write {plain[:12]} s or {plain[:12]} min")
    parts = _PARTS.fullmatch(plain)
    if not parts or not plain:
        raise Bad(f"“{plain[:40]}” is not a length of time", f"write it like {example}")
    hours_, minutes_, seconds_ = (Fraction(part or 0) for part in parts.groups())
    return hours_ * HOUR + minutes_ * MINUTE + seconds_


def time_of_day(text: str) -> time:
    """``20:30``, ``20.30``, ``8:30 pm``.

    >>> time_of_day("8:30 pm").isoformat("minutes"), time_of_day("0:15").isoformat("minutes")
    ('20:30', '00:15')
    """
    plain = words(text)
    found = _CLOCK.fullmatch(plain)
    half = found[3][0].casefold() if found and found[3] else ""
    if not found or not (found[2] or half):
        raise Bad(f"“{plain[:40]}” is not a time of day", "write it like 20:30")
    hour, minute = int(found[1]), int(found[2] or 0)
    if half and not 1 <= hour <= 12:
        raise Bad(f"“{plain}” is not a time of day", f"write {hour:02}:{minute:02} without {found[3]}")
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour == 24 and not minute:
        raise Bad("24:00 is the next day", "write 0:00")
    if hour > 23 or minute > 59:
        raise Bad(f"“{plain}” is not a time of day", "write 0:00 to 23:59")
    return time(hour, minute)


def day(text: str) -> date:
    """``2026-12-04``.

    >>> day("2026-12-04").isoformat()
    '2026-12-04'
    """
    plain = words(text)
    found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", plain, re.ASCII)
    if not found:
        raise Bad(f"“{plain[:40]}” is not a date", "write year, month and day: 2026-12-04")
    year, month, number = (int(part) for part in found.groups())
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise Bad(f"the year {year} is out of range", f"write {FIRST_YEAR} to {LAST_YEAR}")
    try:
        return date(year, month, number)
    except ValueError:
        raise Bad(f"there is no {plain}", "write year, month and day: 2026-12-04") from None


TIME = single(time_of_day, _TIME)
DAY = single(day, written(r"\d{4}-\d{2}-\d{2}"))
