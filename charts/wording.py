r"""How figures, lengths, times, keys and lists are written, on screen, on paper and in messages alike."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time
from fractions import Fraction

MINUTE, HOUR = 60, 3600  # seconds
_ACCIDENTAL = re.compile(r"\b([A-G])([b#])(?=(?:m|maj|min|dim|aug|sus)?\d*(?![A-Za-z]))")
_SIGNS = {"b": "♭", "#": "♯"}
_PLAIN_SIGNS = str.maketrans({"♭": "b", "♯": "#"})
# control characters but tab and line end; marks and orders of writing direction; noncharacters
OBEYED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufdd0-\ufdef]")
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def figure(value: Fraction | float, places: int = 1) -> str:
    """A number with at most that many decimals, at least one allowed.

    >>> figure(Fraction(133, 2)), figure(92), figure(Fraction(200, 3), 3)
    ('66.5', '92', '66.667')
    """
    return f"{float(value):.{places}f}".rstrip("0").rstrip(".")


def per_minute(tempo: Fraction | float) -> str:
    """A tempo in running text.

    >>> per_minute(Fraction(133, 2))
    '66.5 bpm'
    """
    return f"{figure(tempo)} bpm"


def tempo_change(tempo: Fraction, to: Fraction | None = None) -> str:
    """A tempo with what it changes to, where it does.

    >>> tempo_change(Fraction(96), Fraction(72)), tempo_change(Fraction(96))
    ('96 to 72', '96')
    """
    return figure(tempo) if to is None else f"{figure(tempo)} to {figure(to)}"


def clock(seconds: float | Fraction) -> str:
    """A length as musicians write it, to the nearest second.

    >>> clock(184.6), clock(3725)
    ('3:05', '1:02:05')
    """
    minutes, rest = divmod(round(seconds), MINUTE)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def length(seconds: float | Fraction) -> str:
    """A length in words, to the nearest second.

    >>> length(1200), length(4530), length(20), length(0)
    ('20 min', '1 h 15 min 30 s', '20 s', '0 s')
    """
    hours, rest = divmod(round(seconds), HOUR)
    minutes, rest = divmod(rest, MINUTE)
    parts = [f"{n} {unit}" for n, unit in ((hours, "h"), (minutes, "min"), (rest, "s")) if n]
    return " ".join(parts) or "0 s"


def time_words(when: datetime | time) -> str:
    """A time of day: the minute that a clock shows.

    >>> time_words(time(20, 30)), time_words(datetime(2026, 12, 4, 0, 5, 59))
    ('20:30', '00:05')
    """
    return f"{when:%H:%M}"


def day_words(when: date) -> str:
    """A date in full.

    >>> day_words(date(2026, 12, 4))
    'Friday 4 December 2026'
    """
    return f"{when:%A} {when.day} {when:%B %Y}"


def ordinal(number: int) -> str:
    """A number as it is read in a row.

    >>> ordinal(1), ordinal(2), ordinal(11), ordinal(23)
    ('1st', '2nd', '11th', '23rd')
    """
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def nth_time(number: int) -> str:
    """Which time through, in words.

    >>> nth_time(2)
    '2nd time'
    """
    return f"{ordinal(number)} time"


def many(count: int, noun: str) -> str:
    """A number and its noun.

    >>> many(1, "bar"), many(7, "bar"), many(0, "bar")
    ('1 bar', '7 bars', '0 bars')
    """
    return f"{count} {noun}" + ("" if count == 1 else "s")


def many_beats(beats: Fraction) -> str:
    """A length in beats.

    >>> many_beats(Fraction(3, 2)), many_beats(Fraction(1)), many_beats(Fraction(1, 3))
    ('1.5 beats', '1 beat', '1/3 beats')
    """
    return f"{figure(beats) if beats.denominator in (2, 5) else beats} beat{'' if beats == 1 else 's'}"


def listed(names: Sequence[str], joint: str = "and") -> str:
    """Names in a sentence.

    >>> listed(["A"]), listed(["A", "B"]), listed(["A", "B", "C"], "or")
    ('A', 'A and B', 'A, B or C')
    """
    return f" {joint} ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def key_in_signs(key: str) -> str:
    """A key with its flat or sharp as a sign.

    >>> key_in_signs("Bb"), key_in_signs("F#m, then F# minor"), key_in_signs("Abba in B")
    ('B♭', 'F♯m, then F♯ minor', 'Abba in B')
    """
    return _ACCIDENTAL.sub(lambda found: found[1] + _SIGNS[found[2]], key)


def short_key(key: str) -> str:
    """A key as it is read from afar.

    >>> short_key("F# minor"), short_key("Bb major")
    ('F♯m', 'B♭')
    """
    return key_in_signs(key).replace(" minor", "m").replace(" major", "")


def plain_key(text: str) -> str:
    """A key in one spelling, for comparing.

    >>> plain_key("B♭ minor") == plain_key("bbm"), plain_key("A") == plain_key("A minor")
    (True, False)
    """
    plain = text.casefold().translate(_PLAIN_SIGNS).replace(" major", "").replace("flat", "b")
    plain = re.sub(r"[\s-]*sharp", "#", plain)
    return re.sub(r"[\s-]*(minor|min|m)$", "m", re.sub(r"[\s-]+b", "b", plain)).replace(" ", "")


def control_in(text: str, allowed: str = "") -> str | None:
    r"""The first control character or lone surrogate in a text, as U+0007; None where there is none.

    >>> control_in("ring\a"), control_in("one\ttwo"), control_in("one\ttwo", allowed="\t")
    ('U+0007', 'U+0009', None)
    """
    found = next((sign for sign in _CONTROL.findall(text) if sign not in allowed), None)
    return None if found is None else f"U+{ord(found):04X}"


def unobeyed(text: str) -> str:
    r"""A text with a question mark for all that a terminal would obey but line ends and tabs.

    >>> unobeyed("\x1b[1mring\x1b[2J\a\u202egnir")
    '?[1mring?[2J??gnir'
    """
    return text if text.isprintable() else OBEYED.sub("?", text)


def one_line(text: str) -> str:
    r"""Words on one line, without what nobody sees.

    >>> one_line("  Grey\x00 Harbor\n")
    'Grey Harbor'
    """
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
