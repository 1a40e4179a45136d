"""A chart on the disk, pencilled in place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from charts.book import Book
from charts.editing.pencil import Pencilled, pencil
from charts.editing.wish import Wish
from charts.reading.nodes import file_bytes, read_source
from charts.source import Finding, Source, unreadable
from charts.writing import write_over

_MARK = b"\xef\xbb\xbf"  # a byte-order mark: kept, and no part of the text


@dataclass(frozen=True)
class Marked:
    """A chart before and after a pencil mark: its name as messages call it, both whole texts."""

    file: str
    old: str
    new: str
    done: Pencilled


def mark_chart(book: Book, path: Path, mark: Wish, *, write: bool = True) -> Marked:
    """Make one mark in a chart's file; with ``write=False`` only say what would change.

    :raises FeelmapError: the mark is refused or the file cannot be written; the file is as it was.
    """
    name = book.name_of(path)
    source = read_whole(path, name)
    done = pencil(source, mark, book)
    if write and done.text != source.text:
        write_over(path, as_bytes(path, source.text), as_bytes(path, done.text))
    return Marked(name, source.text, done.text, done)


def read_whole(path: Path, name: str) -> Source:
    """A file's text; raises where there is none."""
    found = read_source(path, name)
    if isinstance(found, Finding):
        raise unreadable(name, [found])
    return found


def as_bytes(path: Path, text: str) -> bytes:
    """A new text for a file, with the byte-order mark that the file begins with, if any."""
    marked = path.exists() and file_bytes(path, len(_MARK)) == _MARK
    return (_MARK if marked else b"") + text.encode("utf-8")
