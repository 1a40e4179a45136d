"""Emphasis on a terminal, and nothing at all where there is none; widths of text in columns."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TextIO

from render.terminal.width import in_colour
from render.terminal.words import printable, prints

BOLD, DIM, RED, GREEN, YELLOW, CYAN = "1", "2", "31", "32", "33", "36"


@dataclass(frozen=True, slots=True)
class Ink:
    """What may be used: escape codes (``colour``), and signs beyond the plain ones (``signs``)."""

    colour: bool = False
    signs: bool = True

    def __call__(self, text: str, *codes: str) -> str:
        """The text in some style; plain where there is no terminal.

        >>> Ink()("Chorus", BOLD), Ink(colour=True)("Chorus", BOLD)
        ('Chorus', '\\x1b[1mChorus\\x1b[0m')
        """
        return f"\x1b[{';'.join(codes)}m{text}\x1b[0m" if self.colour and text.strip() and codes else text

    def sign(self, sign: str, plain: str) -> str:
        """A sign, or what stands for it where it cannot be printed."""
        return sign if self.signs else plain


def ink_for(stream: TextIO) -> Ink:
    """What a stream can show."""
    return Ink(in_colour(stream), prints(stream, "♩…–×│"))


def cells(text: str) -> int:
    """Columns that a text takes: wide letters count two, combining marks none.

    >>> cells("cafe\\u0301"), cells("鼓")
    (4, 2)
    """
    if text.isascii():
        return len(text)
    return sum(map(_cells_of, text))


def _cells_of(sign: str) -> int:
    return 0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def _fitting(text: str, width: int) -> int:
    """How many letters from the start take at most so many columns.

    >>> _fitting("鼓鼓鼓", 5), _fitting("cafe\\u0301s", 4)
    (2, 5)
    """
    taken = 0
    for number, sign in enumerate(text):
        taken += _cells_of(sign)
        if taken > width:
            return number
    return len(text)


def padded(text: str, width: int) -> str:
    """The text filled with spaces to so many columns."""
    return text + " " * (width - cells(text))


def cut(text: str, width: int, ink: Ink) -> str:
    """The text, shortened with a sign where it is too long for so many columns.

    >>> cut("Harbour Lights", 8, Ink()), cut("Harbour Lights", 8, Ink(signs=False))
    ('Harbour…', 'Harbou..')
    """
    if cells(text) <= width:
        return text
    mark = ink.sign("…", "..")
    kept = text[: _fitting(text, width - len(mark))]
    return kept.rstrip() + mark if width >= len(mark) else kept


def folded_words(text: str, width: int, indent: str = "") -> list[str]:
    """The text folded at spaces to lines of so many columns, all but the first indented.

    >>> folded_words("bass drops out, then everybody", 12, "  ")
    ['bass drops', '  out, then', '  everybody']
    """
    lines: list[str] = []
    line = ""
    for word in _broken(text, max(1, width - len(indent))):
        lead = indent if lines else ""
        joined = f"{line} {word}" if line else lead + word
        if line and cells(joined) > width:
            lines.append(line)
            line = indent + word
        else:
            line = joined
    return [*lines, line] if line else lines


def _broken(text: str, width: int) -> Iterator[str]:
    """The words, one that is wider than a line in pieces."""
    for word in text.split():
        while cells(word) > width:
            size = max(1, _fitting(word, width))
            yield word[:size]
            word = word[size:]
        if word:
            yield word


def write(lines: Iterable[str], stream: TextIO) -> None:
    """Print lines; what the encoding lacks is spelled as well as it can be, never an error."""
    for line in lines:
        stream.write(printable(line.rstrip(), stream) + "\n")
