"""What stands at the head of a chart, read without its form: enough to find a song by.

A book of a thousand charts is looked through in a fraction of the time that reading them whole takes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Protocol

import yaml

from charts.feel import Feel
from charts.reading.chart import ChartRead
from charts.reading.feels import read_feel_use
from charts.reading.nodes import compose, read_source
from charts.reading.reader import Names, Reader
from charts.reading.values import Bad, bpm, words
from charts.source import Finding, Source
from charts.timing import Meter, MeterError

_FORM = re.compile(r"^form[ ]*:", re.MULTILINE)
_MORE = re.compile(r"\bfeel\b|^(?:title|by|key|meter|tempo)[ ]*:", re.MULTILINE)  # worth a look past the form
# a key with words that hold no sign of YAML's, and perhaps a comment
_LINE = re.compile(r"([a-z-]+): +([^\W_][^:#'\"\[\]{}\\\t]*?) *(?: #.*)?")


class Shelf(Names, Protocol):
    """What a head is read from: a book."""

    def name_of(self, path: Path) -> str: ...

    def chart_paths(self) -> list[Path]: ...

    def title_of(self, path: Path) -> str: ...

    def read_chart(self, path: Path) -> ChartRead: ...


@dataclass(frozen=True)
class Head:
    """A chart's own values; None where they cannot be read. ``feels`` holds its sections' feels too."""

    path: Path
    title: str
    by: str = ""
    key: str = ""
    meter: Meter | None = None
    tempo: Fraction | None = None
    feel: Feel | None = None
    feels: tuple[Feel, ...] = ()

    @property
    def whole(self) -> bool:
        """True where what every chart has is there."""
        return self.tempo is not None and self.feel is not None and self.meter is not None


def read_heads(book: Shelf) -> Iterator[Head]:
    """The head of every chart of a book."""
    return (read_head(book, path) for path in book.chart_paths())


def read_head(book: Shelf, path: Path) -> Head:
    """The head of one chart; the whole chart is read only where its head does not stand first."""
    source = read_source(path, book.name_of(path))
    if isinstance(source, Finding):
        return Head(path, path.stem)
    text = source.text
    form = _FORM.search(text)
    if form is None or _MORE.search(text, form.end()):
        return _whole_head(book, path)
    head = _top(book, path, Source(source.name, text[: form.start()]))
    return head if head.whole else _whole_head(book, path)


def _top(book: Shelf, path: Path, source: Source) -> Head:
    """The head from the keys before the form."""
    plain = _plain_lines(source.text)
    if plain is not None:
        return _head(book, path, plain, book.feel(plain["feel"]) if "feel" in plain else None)
    document = compose(source)
    if not isinstance(document.root, yaml.MappingNode):
        return Head(path, path.stem)
    nodes = {key.value: value for key, value in document.root.value if isinstance(key, yaml.ScalarNode)}
    plain = {key: words(node.value) for key, node in nodes.items() if isinstance(node, yaml.ScalarNode)}
    feel = read_feel_use(Reader(source, book), nodes["feel"]) if "feel" in nodes else None
    return _head(book, path, plain, feel)


def _plain_lines(text: str) -> dict[str, str] | None:
    """Keys and values of lines that mean the same with and without YAML; None where a line may not."""
    found: dict[str, str] = {}
    for line in text.splitlines():
        if not line or line.startswith("#"):
            continue
        match = _LINE.fullmatch(line)
        if match is None or match[1] in found:
            return None
        found[match[1]] = match[2]
    return found


def _head(book: Shelf, path: Path, plain: dict[str, str], feel: Feel | None) -> Head:
    try:
        tempo = bpm(plain["tempo"]) if "tempo" in plain else None
        meter = Meter.read(plain.get("meter", "4/4"))
    except (Bad, MeterError):
        tempo = meter = None
    title, by, key = plain.get("title", path.stem), plain.get("by", ""), plain.get("key", "")
    return Head(path, title, by, key, meter, tempo, feel, (feel,) if feel else ())


def _whole_head(book: Shelf, path: Path) -> Head:
    song = book.read_chart(path).song
    if song is None:
        return Head(path, book.title_of(path))
    feels = dict.fromkeys([song.feel, *(section.feel for section in song.form)])
    return Head(path, song.title, song.by, song.key, song.meter, song.tempo, song.feel, tuple(feels))
