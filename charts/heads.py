"""What a song is found by: title, feel, tempo, key and meter of every chart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from charts.book import Book
from charts.feel import Feel
from charts.timing import Meter


@dataclass(frozen=True)
class Head:
    """A chart's own values; None where it cannot be read whole. ``feels`` holds its sections' feels too."""

    path: Path
    title: str
    by: str = ""
    key: str = ""
    meter: Meter | None = None
    tempo: Fraction | None = None
    feel: Feel | None = None
    feels: tuple[Feel, ...] = ()


def read_heads(book: Book) -> Iterator[Head]:
    """The head of every chart of a book."""
    return (read_head(book, path) for path in book.chart_paths())


def read_head(book: Book, path: Path) -> Head:
    """The head of one chart; no more than its title where it cannot be read whole."""
    song = book.read_chart(path).song
    if song is None:
        return Head(path, book.title_of(path))
    feels = dict.fromkeys([song.feel, *(section.feel for section in song.form)])
    return Head(path, song.title, song.by, song.key, song.meter, song.tempo, song.feel, tuple(feels))
