"""What every command shares: the book, printing, patterns named on the command line."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from charts.source import FeelmapError, UnknownName

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from charts.book import Book
    from charts.pattern import Pattern
    from charts.source import Source


def open_book(given: Path | None) -> Book:
    """The book that a command works on; raises FeelmapError where there is none."""
    from charts.book import Book

    return Book.find(given)


def open_book_or_shipped(given: Path | None) -> Book:
    """The same; where there is no book, the shipped vocabulary alone."""
    from charts.book import Book

    return Book.find_or_shipped(given)


def print_json(value: Any) -> None:
    """Print JSON on standard output, keys in the order given."""
    from render.json_text import json_text

    sys.stdout.write(json_text(value, sys.stdout) + "\n")


def print_lines(lines: Iterable[str]) -> None:
    """Print lines on standard output, as far as its encoding goes."""
    from render.terminal.console import print_styled

    print_styled(lines, sys.stdout)


def pattern_named(book: Book, text: str) -> Pattern:
    """As ``whole_pattern_named``; else the only pattern with those words in its name."""
    from charts.vocabularies import only_one, with_words

    try:
        return whole_pattern_named(book, text)
    except UnknownName:
        names = with_words(text, book.patterns.names())
        if not names:
            raise
    return whole_pattern_named(book, only_one("pattern", text, names))


def whole_pattern_named(book: Book, text: str) -> Pattern:
    """A pattern by its whole name, a file of rows, or ``-`` for rows on standard input."""
    if text == "-":
        return _pattern_of_rows(_standard_input())
    found = book.patterns.get(text)
    if found is not None:
        return found
    if ("/" in text or "." in text) and _is_there(text):
        from charts.reading.nodes import read_source
        from charts.source import Finding

        source = read_source(Path(text), text)
        if isinstance(source, Finding):
            raise FeelmapError(source.message, source.hint)
        return _pattern_of_rows(source)
    if book.patterns.entry(text) is not None:
        raise FeelmapError(
            f"the pattern “{text}” cannot be read", "fix the errors above", tuple(book.patterns.findings)
        )
    raise UnknownName("pattern", text, book.patterns.nearest(text), "feelmap fills lists them all")


def _is_there(path: str) -> bool:
    """True for what a file system has; words that it could not even look for are not a path."""
    try:
        return Path(path).exists()
    except (OSError, ValueError):
        return False


def _standard_input() -> Source:
    from charts.reading.nodes import MOST_BYTES, decode
    from charts.source import Finding

    data = sys.stdin.buffer.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise FeelmapError("standard input is larger than 1 MiB", "give the rows of one pattern")
    source = decode(data, "standard input")
    if isinstance(source, Finding):
        raise FeelmapError(f"standard input cannot be read: {source.message}", source.hint)
    return source


def _pattern_of_rows(source: Source) -> Pattern:
    from dataclasses import replace

    from charts.reading.patterns import rows_or_bad
    from charts.reading.values import Bad

    try:
        return replace(rows_or_bad(source.text), name=source.name)
    except Bad as bad:
        raise FeelmapError(f"{source.name}, {bad.message}", bad.hint) from None


def in_meter(pattern: Pattern, text: str | None) -> Pattern:
    """The pattern over the beats of another meter; as it is where none is given."""
    if text is None:
        return pattern
    from dataclasses import replace

    from charts.reading.values import Bad, meter

    try:
        return replace(pattern, meter=meter(text))
    except Bad as bad:
        raise FeelmapError(bad.message, bad.hint) from None


def tempo_given(text: str) -> Fraction:
    """A tempo option as beats per minute, 20 to 400; raises with what to write instead."""
    from charts.reading.values import Bad, playable_tempo

    try:
        return playable_tempo(text)
    except Bad as bad:
        raise FeelmapError(bad.message, bad.hint) from None


def shown_path(path: Path) -> str:
    """A path as a person would write it from the current folder."""
    try:
        return str(path.resolve().relative_to(Path.cwd()))
    except (OSError, ValueError):
        return str(path)


def shell_word(text: str) -> str:
    """One word of a command line, quoted where the shell needs it.

    >>> shell_word("set lists/quay.yaml") in ("'set lists/quay.yaml'", '"set lists/quay.yaml"')
    True
    """
    import shlex
    import subprocess

    return subprocess.list2cmdline([text]) if sys.platform == "win32" else shlex.quote(text)
