"""Small wordings that every view shares: tempo with its note, lengths, places, what an encoding can print."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TextIO

from charts.timing import Meter

_NOTES = {Fraction(1): "♩", Fraction(3, 2): "♩."}
_NOTE_WORDS = {Fraction(1): "quarter", Fraction(3, 2): "dotted quarter", Fraction(2): "half"}
_OBEYED = re.compile(r"[\x00-\x08\x0b-\x1a\x1c-\x1f\x7f-\x9f]|\x1b(?!\[[0-9;]*m)")


def prints(stream: TextIO, text: str) -> bool:
    """True where the stream's encoding has all the characters of a text."""
    try:
        text.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def printable(text: str, stream: TextIO) -> str:
    r"""What may go to a stream: no sign that a terminal would obey but our own colours, none that it lacks.

    >>> import io
    >>> plain = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    >>> printable("\x1b[1mring\x1b[0m\x1b[2J\a", plain), printable("Café „Łódź“, 鼓", plain)
    ('\x1b[1mring\x1b[0m?[2J?', 'Cafe "Lodz", \\u9f13')
    """
    if not text.isprintable():
        text = _OBEYED.sub("?", text)
    return spelled_out(text, stream)


def spelled_out(text: str, stream: TextIO) -> str:
    """The text; what the stream's encoding lacks is spelled as well as it can be."""
    if text.isascii() or prints(stream, text):
        return text
    from render.plain_text import spelled

    return "".join(sign if sign.isascii() or prints(stream, sign) else spelled(sign) for sign in text)


def number(value: Fraction | float) -> str:
    """A figure with at most one decimal.

    >>> number(Fraction(133, 2)), number(Fraction(92))
    ('66.5', '92')
    """
    return f"{float(value):.1f}".removesuffix(".0")


def tempo_words(meter: Meter, tempo: Fraction, signs: bool = True, to: Fraction | None = None) -> str:
    """A tempo with the note that it counts; plain words where there is no note sign.

    >>> tempo_words(Meter.read("12/8"), Fraction(60))
    '♩. = 60'
    >>> tempo_words(Meter.read("4/4"), Fraction(96), signs=False, to=Fraction(72))
    'quarter = 96 to 72'
    """
    unit = meter.unit_quarters
    note = _NOTES.get(unit) if signs else None
    return f"{note or _NOTE_WORDS[unit]} = {number(tempo)}" + (f" to {number(to)}" if to is not None else "")


def clock(seconds: float) -> str:
    """Minutes and seconds, to the nearest second.

    >>> clock(184.6), clock(3725)
    ('3:05', '1:02:05')
    """
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def many(count: int, noun: str) -> str:
    """A number and its noun.

    >>> many(1, "bar"), many(7, "bar")
    ('1 bar', '7 bars')
    """
    return f"{count} {noun}" + ("" if count == 1 else "s")


def many_beats(beats: Fraction) -> str:
    """A length in beats.

    >>> many_beats(Fraction(3, 2)), many_beats(Fraction(1)), many_beats(Fraction(1, 3))
    ('1.5 beats', '1 beat', '1/3 beats')
    """
    return f"{number(beats) if beats.denominator in (1, 2, 5) else beats} beat{'' if beats == 1 else 's'}"
