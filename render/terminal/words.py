"""What a stream can print, and a tempo with its note."""

from __future__ import annotations

from fractions import Fraction
from typing import TextIO

from charts.timing import Meter
from charts.wording import tempo_change, unobeyed

_NOTES = {Fraction(1): "♩", Fraction(3, 2): "♩."}
_NOTE_WORDS = {Fraction(1): "quarter", Fraction(3, 2): "dotted quarter", Fraction(2): "half"}


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
    return spelled_out(unobeyed(text), stream)


def spelled_out(text: str, stream: TextIO) -> str:
    """The text; what the stream's encoding lacks is spelled as well as it can be."""
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
