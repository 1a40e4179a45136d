"""What a stream can print, and a tempo with its note."""

from __future__ import annotations

from fractions import Fraction
from typing import TextIO

from charts.timing import Meter
from charts.wording import tempo_change

_NOTES = {Fraction(1): "♩", Fraction(3, 2): "♩."}
_NOTE_WORDS = {Fraction(1): "quarter", Fraction(3, 2): "dotted quarter", Fraction(2): "half"}


def prints(stream: TextIO, text: str) -> bool:
    """True where the stream's encoding has all the characters of a text."""
    try:
        text.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def spelled_out(text: str, stream: TextIO) -> str:
    r"""The text; what the stream's encoding lacks is spelled as well as it can be.

    >>> import io
    >>> spelled_out("Café „Łódź“, 鼓", io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    'Cafe "Lodz", \\u9f13'
    """
    if text.isascii() or prints(stream, text):
        return text
    from render.plain_text import spelled

    return "".join(sign if sign.isascii() or prints(stream, sign) else spelled(sign) for sign in text)


def tempo_words(meter: Meter, tempo: Fraction, signs: bool = True, to: Fraction | None = None) -> str:
    """A tempo with the note that it counts; plain words where there is no note sign.

    >>> tempo_words(Meter.read("12/8"), Fraction(60))
    '♩. = 60'
    >>> tempo_words(Meter.read("4/4"), Fraction(96), signs=False, to=Fraction(72))
    'quarter = 96 to 72'
    """
    unit = meter.unit_quarters
    note = _NOTES.get(unit) if signs else None
    return f"{note or _NOTE_WORDS[unit]} = {tempo_change(tempo, to)}"
