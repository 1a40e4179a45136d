"""What ``show`` and ``find`` answer, as text: the same for the option parser and for the short way in.

And what a name means where a command takes charts and set lists.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO

from charts.book import CHARTS, SETLISTS, Book
from charts.song import Song
from charts.source import FeelmapError, UnknownName
from charts.titles import folded
from render.terminal.saying import say


def show(name: str, section: str | None, as_json: bool, given: Path | None, stream: TextIO) -> list[str]:
    """The lines of ``show``; of a set list those of ``gig``.

    Raises where the chart, its section or the set list cannot be had.
    """
    book = Book.find(given)
    if section is not None:
        from charts.appearances import chart_of

        song = book.song_at(chart_of(book, name, section))
        return _show_section(book, song, name, section, as_json, stream)
    path, is_setlist = chart_or_setlist(book, name)
    if is_setlist:
        return gig(book, path, as_json, stream)
    song = book.song_at(path)
    if as_json:
        from render.json_text import json_text
        from render.show_answer import show_json

        return [json_text(show_json(song), stream)]
    return _roadmap(song, book, stream)


def gig(book: Book, setlist: Path, as_json: bool, stream: TextIO) -> list[str]:
    """The lines of ``gig`` for the set list in a file."""
    from setlists.book import plan_of

    planned = plan_of(book, setlist)
    if as_json:
        from render.gig_answer import gig_json
        from render.json_text import json_text

        return [json_text(gig_json(planned), stream)]
    from render.terminal.running_order import lines_for

    return lines_for(planned, stream)


def chart_or_setlist(book: Book, text: str) -> tuple[Path, bool]:
    """The chart of that name, else the set list; True for a set list."""
    try:
        path = book.look_up(text)
    except UnknownName as unknown:
        from setlists.book import look_up_setlist

        return _else(lambda: look_up_setlist(book, text), unknown), True
    return path, _is_in(book, SETLISTS, path)


def setlist_or_chart(book: Book, text: str) -> tuple[Path, bool]:
    """The set list of that name, else the chart; True for a chart."""
    from setlists.book import look_up_setlist

    try:
        path = look_up_setlist(book, text)
    except UnknownName as unknown:
        return _else(lambda: book.look_up(text), unknown), True
    return path, _is_in(book, CHARTS, path)


def _else(look_up: Callable[[], Path], unknown: UnknownName) -> Path:
    """What another look-up finds; where that finds nothing either, the first one's error."""
    try:
        return look_up()
    except UnknownName:
        raise unknown from None


def _is_in(book: Book, folder: str, path: Path) -> bool:
    """True for a file directly in one of the book's folders: a path given may be of either kind."""
    return book.root is not None and os.path.dirname(os.path.realpath(path)) == os.path.realpath(
        book.root / folder
    )


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
