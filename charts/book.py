"""The book: finding it, its files, its vocabulary, looking a song up."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable
from functools import cached_property
from pathlib import Path

from charts.feel import Feel
from charts.pattern import Pattern
from charts.reading.chart import ChartRead, read_chart
from charts.reading.files import PatternFile, read_feel_file, read_pattern_file
from charts.reading.nodes import compose, read_source
from charts.reading.reader import Reader
from charts.reading.settings import Settings, read_settings
from charts.song import Song
from charts.source import FeelmapError, Finding, Source, UnknownName, unreadable
from charts.titles import GIG, TITLE, folded, look_up, scan_title
from charts.vocabularies import BOOK_ORIGIN, FeelTable, PatternTable, shipped_feels, shipped_patterns

SETTINGS, FEELS = "book.yaml", "feels.yaml"
CHARTS, SETLISTS, FILLS = "charts", "setlists", "fills"
_MISNAMED = re.compile(r"(.*)\.ya?ml(?:\.txt)?", re.IGNORECASE)


class Book:
    """A folder of charts, set lists and fills with the shipped vocabulary after it; read as needed."""

    def __init__(self, root: Path | None) -> None:
        self.root = root
        self.findings: list[Finding] = []  # of book.yaml and feels.yaml, once they were read

    @classmethod
    def find(cls, given: Path | None = None) -> Book:
        """The book given, else FEELMAP_BOOK, else the nearest folder upward that is a book."""
        found = cls.find_or_shipped(given)
        if found.root is None:
            raise FeelmapError(
                "no book in this folder or any above it",
                "name one with --book DIR, make one with feelmap start DIR, or try feelmap demo",
            )
        return found

    @classmethod
    def find_or_shipped(cls, given: Path | None = None) -> Book:
        """As ``find``; where there is no book, the shipped vocabulary alone."""
        named = given or os.environ.get("FEELMAP_BOOK")
        if not named:
            here = Path.cwd()
            return cls(next((folder for folder in (here, *here.parents) if is_book(folder)), None))
        folder = Path(named)
        if not folder.is_dir():
            hint = "name a book's folder, or make one: feelmap start DIR"
            raise FeelmapError(f"no folder is called {folder}", hint)
        if not is_book(folder):
            message = f"{folder} is not a book: it has neither book.yaml nor charts"
            raise FeelmapError(message, f"make one: feelmap start {folder}")
        return cls(folder)

    @classmethod
    def shipped(cls) -> Book:
        """No folder, only what ships."""
        return cls(None)

    def name_of(self, path: Path) -> str:
        """What messages call a file: its path in the book."""
        return str(path).removeprefix(self._prefix)

    @property
    def _prefix(self) -> str:
        return "" if self.root is None else os.path.join(self.root, "")

    @cached_property
    def settings(self) -> Settings:
        """What book.yaml says; its problems go to ``findings``."""
        source = self._source(SETTINGS)
        if source is None:
            return Settings()
        settings, findings = settings_of(source)
        self.findings += findings
        return settings

    @cached_property
    def feels(self) -> FeelTable:
        """The book's feels, then the shipped ones."""
        own: list[Feel] = []
        source = self._source(FEELS)
        if source is not None and _has_content(source.text):
            own, findings = read_feel_file(source)
            self.findings += findings
        return FeelTable([*own, *shipped_feels()])

    @cached_property
    def patterns(self) -> PatternTable:
        """The book's patterns, then the shipped ones."""
        return PatternTable(self._pattern_files(), shipped_patterns())

    def _pattern_files(self) -> Iterable[PatternFile]:
        for path in self.paths(FILLS):
            source = read_source(path, self.name_of(path))
            if isinstance(source, Finding):
                yield PatternFile(Source(self.name_of(path), ""), [], [source])
            elif _has_content(source.text):
                yield read_pattern_file(source, BOOK_ORIGIN)

    def _source(self, name: str) -> Source | None:
        if self.root is None or not (self.root / name).exists():
            return None
        found = read_source(self.root / name, name)
        if isinstance(found, Finding):
            self.findings.append(found)
            return None
        return found

    # what a chart may name
    def feel(self, name: str) -> Feel | None:
        return self.feels.get(name)

    def feel_hint(self, name: str) -> str:
        """What to write instead of a feel that is not there."""
        return self.feels.hint(name)

    def pattern(self, name: str) -> Pattern | None:
        return self.patterns.get(name)

    def paths(self, folder: str) -> list[Path]:
        """The YAML files directly in one of the book's folders, in order of name."""
        return [] if self.root is None else yaml_files(self.root / folder)

    def chart_paths(self) -> list[Path]:
        return self.paths(CHARTS)

    def setlist_paths(self) -> list[Path]:
        return self.paths(SETLISTS)

    def read_chart(self, path: Path) -> ChartRead:
        """Read one chart with this book's names."""
        source = read_source(path, self.name_of(path))
        if isinstance(source, Finding):
            assert source.span is not None  # read_source always gives the file
            return ChartRead(None, [source], source.span.source)
        return read_chart(source, self)

    def look_up(self, text: str) -> Path:
        """The chart of that title, file name, path, or unmistakable part of a title."""
        try:
            return look_up(text, self.chart_paths(), TITLE, "chart", self.name_of)
        except UnknownName as unknown:
            gig = None if unknown.near else self._gig_with(folded(text.strip()))
            if gig is None:
                raise
            raise UnknownName("chart", text, None, f"{gig} is a set list: feelmap gig {text}") from None

    def _gig_with(self, wanted: str) -> str | None:
        gigs = (scan_title(path, GIG) for path in self.setlist_paths())
        return next((gig for gig in gigs if wanted and wanted in folded(gig)), None)

    def song(self, text: str) -> Song:
        """The song of that name, read; raises where it cannot be read whole."""
        return self.song_at(self.look_up(text))

    def song_at(self, path: Path) -> Song:
        """The song in a file; raises where it cannot be read whole."""
        read = self.read_chart(path)
        if read.song is None:
            raise unreadable(self.name_of(path), read.findings)
        return read.song

    def title_of(self, path: Path) -> str:
        """A chart's title by scanning for it; its file name where it has none."""
        return scan_title(path, TITLE)


def settings_of(source: Source) -> tuple[Settings, list[Finding]]:
    """What a book.yaml says, and what is wrong with it."""
    if not _has_content(source.text):
        return Settings(), []
    document = compose(source)
    if document.root is None:
        return Settings(), document.findings
    reader = Reader(source)
    return read_settings(reader, document.root), reader.findings


def yaml_files(folder: Path) -> list[Path]:
    """The YAML files directly in a folder, in order of name; hidden ones are left alone."""
    return _files(folder, is_yaml)


def misnamed_files(folder: Path) -> dict[Path, str]:
    """Those that are not read for their ending alone, Song.YAML or song.yaml.txt, and the names they need."""
    others = _files(folder, lambda name: not is_yaml(name))
    return {path: f"{found[1]}.yaml" for path in others if (found := _MISNAMED.fullmatch(path.name))}


def is_yaml(name: str) -> bool:
    """True for the name of a file that is read."""
    return name.endswith((".yaml", ".yml"))


def _files(folder: Path, wanted: Callable[[str], bool]) -> list[Path]:
    try:
        found = [e.path for e in os.scandir(folder) if wanted(e.name) and not e.name.startswith(".")]
    except OSError:
        return []
    return [Path(path) for path in sorted(found)]


def is_book(folder: Path) -> bool:
    """A folder with book.yaml, or with a YAML file directly in its charts/."""
    if (folder / SETTINGS).is_file():
        return True
    try:
        with os.scandir(folder / CHARTS) as entries:
            return any(is_yaml(entry.name) for entry in entries)
    except OSError:
        return False


def _has_content(text: str) -> bool:
    """False for a file of comments and empty lines only."""
    return any(line.strip() and not line.lstrip().startswith("#") for line in text.splitlines())
