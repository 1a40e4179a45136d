"""How wide the answer may be, and how high."""

from __future__ import annotations

import os
import sys
from typing import TextIO

NARROWEST, PIPED, WIDEST = 40, 100, 500


def columns(stream: TextIO) -> int:
    """Columns of the terminal behind a stream; COLUMNS goes before it.

    What is piped is laid out for the terminal it was started from, where that is narrower than a page.
    """
    given = os.environ.get("COLUMNS", "").lstrip("0")
    if given.isascii() and given.isdigit():
        return min(max(NARROWEST, int(given[:9])), WIDEST)
    own = _terminal(stream)
    if own is not None:
        return min(max(NARROWEST, own), WIDEST)
    behind = _terminal(sys.__stderr__)
    return PIPED if behind is None else min(max(NARROWEST, behind), PIPED)


def _terminal(stream: TextIO | None) -> int | None:
    """Columns of a stream that is a terminal."""
    try:
        return os.get_terminal_size(stream.fileno()).columns if stream is not None else None
    except (OSError, ValueError):
        return None


def rows(stream: TextIO) -> int | None:
    """Lines of the terminal behind a stream; None where there is none."""
    try:
        return os.get_terminal_size(stream.fileno()).lines if stream.isatty() else None
    except (OSError, ValueError):
        return None


def in_colour(stream: TextIO) -> bool:
    """True on a terminal that knows colours, unless NO_COLOR is set."""
    return not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb" and stream.isatty()
