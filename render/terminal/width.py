"""How wide the answer may be."""

from __future__ import annotations

import os
from typing import TextIO

NARROWEST, PIPED, WIDEST = 40, 100, 500


def columns(stream: TextIO) -> int:
    """Columns of the terminal behind a stream; COLUMNS, else a fixed width where there is none."""
    given = os.environ.get("COLUMNS", "").lstrip("0")
    if given.isascii() and given.isdigit():
        return min(max(NARROWEST, int(given[:9])), WIDEST)
    try:
        return min(max(NARROWEST, os.get_terminal_size(stream.fileno()).columns), WIDEST)
    except (OSError, ValueError):
        return PIPED


def in_colour(stream: TextIO) -> bool:
    """True on a terminal unless NO_COLOR is set."""
    return not os.environ.get("NO_COLOR") and stream.isatty()
