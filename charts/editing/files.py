"""A chart on the disk, pencilled in place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from charts.book import Book
from charts.editing.pencil import Pencilled, pencil
from charts.editing.wish import Wish
from charts.reading.nodes import file_bytes, read_source
from charts.source import FeelmapError, Finding
from charts.writing import atomic_write

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
    source = read_source(path, name)
    if isinstance(source, Finding):
        raise FeelmapError(f"{name} cannot be read", "mend what is told above", (source,))
    done = pencil(source, mark, book)
    if write and done.text != source.text:
        atomic_write(path, _start(path) + done.text.encode("utf-8"))
    return Marked(name, source.text, done.text, done)


def _start(path: Path) -> bytes:
    return _MARK if file_bytes(path, len(_MARK)) == _MARK else b""
