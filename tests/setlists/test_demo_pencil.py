"""The pencil on every line of the demo book."""

from __future__ import annotations

from collections import Counter
from difflib import unified_diff
from pathlib import Path

import pytest

from charts.book import Book
from charts.editing.pencil import pencil
from charts.editing.wish import wish
from charts.reading.nodes import read_source
from charts.source import Source
from setlists.demo import ROOT

BOOK = Book(ROOT)
MARKS = [("cue", "go: now, #1", None), ("fill", "stairs in threes", 2), ("tempo", "99 to 101", None)]


@pytest.mark.parametrize("path", BOOK.chart_paths(), ids=lambda path: path.stem)
def test_every_appearance(path: Path) -> None:
    """Every appearance of every section takes a cue, a fill at a bar and a tempo, in one line each."""
    source = read_source(path, BOOK.name_of(path))
    assert isinstance(source, Source)
    seen: Counter[str] = Counter()
    for section in BOOK.song_at(path).form:
        seen[section.name] += 1
        for key, value, bar in MARKS:
            mark = wish(key, value, f"{section.name}#{seen[section.name]}", bar, BOOK)
            new = pencil(source, mark, BOOK).text
            lines = list(unified_diff(source.text.split("\n"), new.split("\n"), n=0, lineterm=""))[2:]
            assert sum(line.startswith("+") for line in lines) == 1
            assert sum(line.startswith("-") for line in lines) <= 1
