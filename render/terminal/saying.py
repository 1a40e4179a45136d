"""A message to the person, beside the data."""

from __future__ import annotations

import sys

from render.terminal.ink import folded_words
from render.terminal.width import columns
from render.terminal.words import printable


def say(message: str) -> None:
    """Say it on standard error; folded at words where that is a terminal, indented as it was given."""
    text = message.lstrip()
    indent = message[: len(message) - len(text)]
    room = columns(sys.stderr) - len(indent)
    for line in folded_words(text, room, "  ") if sys.stderr.isatty() else [text]:
        sys.stderr.write(printable(indent + line, sys.stderr) + "\n")
