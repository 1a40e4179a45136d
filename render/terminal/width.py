"""How wide the answer may be."""

from __future__ import annotations

import os
from typing import TextIO

NARROWEST, PIPED = 40, 100


def columns(stream: TextIO) -> int:
    """Columns of the terminal behind a stream; COLUMNS, else a fixed width where there is none."""
    given = os.environ.get("COLUMNS", "")
    if given.isdigit() and int(given) > 0:
        return max(NARROWEST, int(given))
    try:
        return max(NARROWEST, os.get_terminal_size(stream.fileno()).columns)
    except (OSError, ValueError):
        return PIPED


def in_colour(stream: TextIO) -> bool:
    """True on a terminal unless NO_COLOR is set."""
    return not os.environ.get("NO_COLOR") and stream.isatty()
