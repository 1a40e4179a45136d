"""Text for a terminal: emphasis, what a stream can show, widths in columns; without rich, for ``show``.

Emphasis is marked inside a line with noncharacters of Unicode, which no text has, and becomes escape codes
only where the line is written. So every escape code in a text is somebody else's and goes.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TextIO

from charts.wording import unobeyed
from render.terminal.printable import prints, spelled_out

CODES = {"bold": "1", "dim": "2", "reverse": "7", "red": "31", "green": "32", "yellow": "33", "cyan": "36"}
BOLD, DIM, REVERSE, RED, GREEN, YELLOW, CYAN = CODES
_OPEN, _END, _CLOSE = "\ufdd0", "\ufdd1", "\ufdd2"
_STYLE = re.compile(f"{_OPEN}((?:(?:{'|'.join(CODES)}) ?)+){_END}([^{_CLOSE}]*){_CLOSE}")
NARROWEST, PIPED, WIDEST = 40, 100, 500  # columns


@dataclass(frozen=True, slots=True)
class Ink:
    """What may be used: emphasis (``colour``), and signs beyond the plain ones (``signs``)."""

    colour: bool = False
    signs: bool = True

    def __call__(self, text: str, *styles: str) -> str:
        """The text in some styles; plain where there is no terminal.

        >>> Ink()("Chorus", BOLD), escaped(Ink(colour=True)("Chorus", BOLD))
        ('Chorus', '\\x1b[1mChorus\\x1b[0m')
        """
        seen = text.strip() or REVERSE in styles
        if not (self.colour and styles and seen):
            return text
        return f"{_OPEN}{' '.join(styles)}{_END}{text}{_CLOSE}"

    def sign(self, sign: str, plain: str) -> str:
        """A sign, or what is written for it where it cannot be printed."""
        return sign if self.signs else plain


def ink_for(stream: TextIO) -> Ink:
    """What a stream can show: emphasis on a terminal that has it, unless NO_COLOR is set."""
    plain = os.environ.get("NO_COLOR") or not draws(stream)
    return Ink(not plain, prints(stream, "♩…–×│"))


def draws(stream: TextIO) -> bool:
    """True for a terminal that obeys codes."""
    return os.environ.get("TERM") != "dumb" and stream.isatty()


def pieces(line: str) -> Iterator[tuple[str, str]]:
    r"""The pieces of a line, each with its styles, without what a terminal would obey.

    >>> list(pieces(Ink(colour=True)("Chorus", BOLD, RED) + " \x1b[31mx"))
    [('Chorus', 'bold red'), (' ?[31mx', '')]
    """
    done = 0
    for found in _STYLE.finditer(line):
        if found.start() > done:
            yield unobeyed(line[done : found.start()]), ""
        yield unobeyed(found[2]), found[1]
        done = found.end()
    if done < len(line):
        yield unobeyed(line[done:]), ""


def escaped(line: str) -> str:
    """A line with its styles as escape codes, and no others."""
    if line.isascii() and line.isprintable():
        return line
    return "".join(
        f"\x1b[{';'.join(CODES[style] for style in styles.split())}m{text}\x1b[0m" if styles else text
        for text, styles in pieces(line)
    )


def write(lines: Iterable[str], stream: TextIO) -> None:
    """Print lines; what the encoding lacks is spelled as well as it can be, never an error."""
    for line in lines:
        stream.write(spelled_out(escaped(line.rstrip()), stream) + "\n")


def columns(stream: TextIO) -> int:
    """Columns of a stream's terminal; COLUMNS goes before it.

    What is piped is laid out for the terminal it was started from, where that is narrower than a page.
    """
    given = os.environ.get("COLUMNS", "").lstrip("0")
    own, from_ = _size(stream), _size(sys.__stderr__)
    if given.isascii() and given.isdigit():
        found = int(given[:9])
    elif own is not None:
        found = own.columns
    else:
        found = min(from_.columns, PIPED) if from_ is not None else PIPED
    return min(max(NARROWEST, found), WIDEST)


def height(stream: TextIO) -> int | None:
    """Lines of a stream's terminal; None where there is none."""
    size = _size(stream) if stream.isatty() else None
    return None if size is None else size.lines


def _size(stream: TextIO | None) -> os.terminal_size | None:
    try:
        return os.get_terminal_size(stream.fileno()) if stream is not None else None
    except (OSError, ValueError):
        return None


def cells(text: str) -> int:
    """Columns that a text takes: wide letters count two, combining marks none.

    >>> cells("cafe\\u0301"), cells("鼓")
    (4, 2)
    """
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def padded(text: str, width: int) -> str:
    """The text filled with spaces to that many columns."""
    return text + " " * (width - cells(text))


def cut(text: str, width: int, ink: Ink) -> str:
    """The text, shortened with a sign where it is too long for that many columns.

    >>> cut("Harbour Lights", 8, Ink()), cut("Harbour Lights", 8, Ink(signs=False))
    ('Harbour…', 'Harbou..')
    """
    if cells(text) <= width:
        return text
    from rich.cells import set_cell_size

    mark = ink.sign("…", "..")
    return set_cell_size(text, width - len(mark)).rstrip() + mark if width >= len(mark) else text[:width]


def folded_words(text: str, width: int, indent: str = "") -> list[str]:
    """The text folded at spaces to lines of that many columns, all but the first indented.

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
        if cells(word) <= width:
            yield word
        else:
            from rich.cells import chop_cells

            yield from chop_cells(word, width)
