"""A message to the person, beside the data."""

from __future__ import annotations

import sys

from render.terminal.ink import columns, folded_words, write


def say(message: str) -> None:
    """Say it on standard error; folded at words where that is a terminal, indented as it was given."""
    text = message.lstrip()
    indent = message[: len(message) - len(text)]
    room = columns(sys.stderr) - len(indent)
    lines = folded_words(text, room, "  ") if sys.stderr.isatty() else [text]
    write((indent + line for line in lines), sys.stderr)
