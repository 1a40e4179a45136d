"""What ``show`` and ``find`` answer, as text: the same for the option parser and for the short way in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from charts.book import Book
from charts.song import Song
from charts.source import FeelmapError
from charts.titles import folded
from render.terminal.saying import say


def show(name: str, section: str | None, as_json: bool, given: Path | None, stream: TextIO) -> list[str]:
    """The lines of ``show``; raises where the chart, or its section, cannot be had."""
    book = Book.find(given)
    if section is not None:
        from charts.appearances import chart_of

        song = book.song_at(chart_of(book, name, section))
        return _show_section(book, song, name, section, as_json, stream)
    song = book.song(name)
    if as_json:
        from render.json_text import json_text
        from render.show_answer import show_json

        return [json_text(show_json(song), stream)]
    return _roadmap(song, book, stream)


def _roadmap(song: Song, book: Book, stream: TextIO) -> list[str]:
    """The whole road map; its head again at the end where the terminal has no room for all of it."""
    from render.terminal.ink import columns, height, ink_for
    from render.terminal.roadmap import head_again, roadmap_lines

    width, ink, room = columns(stream), ink_for(stream), height(stream)
    lines = list(roadmap_lines(song, width, ink, book.settings.tolerance))
    if room is not None and len(lines) >= room:  # the prompt takes a line
        lines += ["", *head_again(song, width, ink)]
    return lines


def _show_section(
    book: Book, song: Song, name: str, section: str, as_json: bool, stream: TextIO
) -> list[str]:
    """One section's lines; what else its name could mean is said on standard error."""
    from charts.appearances import named

    try:
        if as_json:
            from render.json_text import json_text
            from render.show_answer import show_json

            lines = [json_text(show_json(song, section), stream)]
        else:
            from render.terminal.ink import columns, ink_for
            from render.terminal.section_view import section_lines

            lines = list(section_lines(song, section, columns(stream), ink_for(stream), book.settings))
    except FeelmapError as error:
        raise _or_the_title(book, f"{name} {section}", error) from None
    others = named(song, section).others
    if others:
        say(f"“{section}” could also be {', '.join(others)}")
    return lines


def _or_the_title(book: Book, words: str, error: FeelmapError) -> FeelmapError:
    """The error; where the words together are part of a title, with the quotes that were left out."""
    if any(folded(words) in folded(book.title_of(path)) for path in book.chart_paths()):
        return FeelmapError(error.message, f'did you mean show "{words}"?')
    return error


def find(
    words: Sequence[str],
    feel: str | None,
    tempo: str | None,
    key: str | None,
    as_json: bool,
    given: Path | None,
    stream: TextIO,
) -> list[str]:
    """The lines of ``find``; none where there is no such chart, which is said on standard error."""
    from render.search import found_charts, heads_json, heads_lines, why_none
    from render.terminal.ink import columns, ink_for

    book = Book.find(given)
    found = found_charts(book, words, feel, tempo, key)
    if as_json:
        from render.json_text import json_text

        return [json_text({"find": heads_json(book, found)}, stream)]
    lines = list(heads_lines(book, found, columns(stream), ink_for(stream)))
    if not lines:
        for line in why_none(book, words, feel, tempo, key):
            say(line)
    return lines
