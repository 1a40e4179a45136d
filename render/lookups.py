"""What ``show`` and ``find`` answer, as text: the same for the option parser and for the short way in."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from charts.book import Book


def show(name: str, section: str | None, as_json: bool, given: Path | None, stream: TextIO) -> list[str]:
    """The lines of ``show``; raises where the chart, or its section, cannot be had."""
    book = Book.find(given)
    song = book.song(name)
    if as_json:
        from render.answers import show_json
        from render.json_text import json_text

        return [json_text(show_json(song, section), stream)]
    from render.terminal.ink import ink_for
    from render.terminal.width import columns

    width, ink = columns(stream), ink_for(stream)
    if section is None:
        from render.terminal.roadmap import roadmap_lines

        return list(roadmap_lines(song, width, ink, book.settings.tolerance))
    from render.terminal.section_view import section_lines

    return list(section_lines(song, section, width, ink, book.settings))


def find(
    words: Sequence[str],
    feel: str | None,
    tempo: str | None,
    key: str | None,
    as_json: bool,
    given: Path | None,
    stream: TextIO,
) -> list[str]:
    """The lines of ``find``; none where no chart is all of that, which is said on standard error."""
    from render.finding import found_charts, heads_json, heads_lines
    from render.terminal.ink import ink_for
    from render.terminal.width import columns

    book = Book.find(given)
    found = found_charts(book, words, feel, tempo, key)
    if as_json:
        from render.json_text import json_text

        return [json_text({"find": heads_json(book, found)}, stream)]
    lines = list(heads_lines(book, found, columns(stream), ink_for(stream)))
    if not lines:
        sys.stderr.write("no chart is all of that\n")
    return lines
