"""Checking a whole book, or what is named in it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from charts.book import (
    CHARTS,
    FEELS,
    FILLS,
    SETLISTS,
    SETTINGS,
    Book,
    is_yaml,
    misnamed_files,
    settings_of,
    yaml_files,
)
from charts.check.run import check_chart
from charts.check.subject import RULES
from charts.families import unknown_feels
from charts.reading.files import read_feel_file, read_pattern_file
from charts.reading.nodes import read_source
from charts.source import WARNING, FeelmapError, Finding, Source, Span, UnknownName
from charts.vocabularies import BOOK_ORIGIN, PatternTable, shipped_patterns
from setlists.book import look_up_setlist
from setlists.check.run import check_setlist
from setlists.check.subject import RULES as SETLIST_RULES

T = TypeVar("T")
Follow = Callable[[Sequence[T]], Iterable[T]]  # watches what is checked go by
FILE_RULE = """file: every file can be read.

Listens for: anything that keeps a file from being read, all of it at once: broken YAML, unknown
keys, values of the wrong kind, names given twice, a file that is empty, too large or not UTF-8. A
warning for a file that is not read because of its ending, such as song.yaml.txt.

Why it matters: Feelmap does not guess. Each message gives the place and what to write instead."""


@dataclass
class Checked:
    """What was checked, and what was found."""

    findings: list[Finding] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=lambda: {"charts": 0, "setlists": 0, "fills": 0})


def check_book(book: Book, follow: Follow[Path] = iter) -> Checked:
    """Everything in the book; ``follow`` watches the charts go by."""
    checked = Checked()
    _check_shared(book, checked)
    for path in follow(book.chart_paths()):
        _check_chart(book, path, checked)
    for path in book.setlist_paths():
        _check_setlist(book, path, checked)
    checked.findings += _misnamed(book)
    return checked


def _misnamed(book: Book) -> Iterator[Finding]:
    """Files that somebody meant for the book and that are not read."""
    for folder in (CHARTS, SETLISTS, FILLS):
        for path, needed in misnamed_files(book.root / folder).items() if book.root else ():
            span = Span(Source(book.name_of(path), ""), 1, 1, 1)
            yield Finding("file", WARNING, "this file is not read", span, f"name it {needed}")


def _check_shared(book: Book, checked: Checked) -> None:
    """book.yaml, feels.yaml and the book's own patterns."""
    _ = book.settings, book.feels
    checked.findings += _by_place(book.findings)
    own = [name for name in book.patterns.names() if _is_own(book, name)]
    read = [found for name in own if (found := book.patterns.get(name))]
    unknown = (finding for pattern in read for finding in unknown_feels(pattern, book.feels))
    checked.findings += _by_place([*book.patterns.findings, *unknown])
    checked.counts["fills"] = len(own)


def _by_place(findings: Iterable[Finding]) -> list[Finding]:
    """By file, line and column, whichever key or pattern was read first."""
    return sorted(
        findings, key=lambda f: (f.span.source.name, f.span.line, f.span.column) if f.span else ("", 0, 0)
    )


def _is_own(book: Book, name: str) -> bool:
    entry = book.patterns.entry(name)
    return entry is not None and entry.origin == BOOK_ORIGIN


def check_named(book: Book, names: Iterable[str], follow: Follow[tuple[str, Path | None]] = iter) -> Checked:
    """Charts, set lists, files and folders by name or path; raises where a name matches nothing."""
    checked = Checked()
    none: list[Path | None] = [None]
    named = [(name, path) for name in names for path in _files_of(Path(name)) or none]
    for name, path in follow(named):
        if path is None:
            _check_by_name(book, name, checked)
        else:
            _check_file(book, path, checked)
    return checked


def _files_of(path: Path) -> list[Path]:
    """A file, or all in a folder that a book would read, below it too where it is a book."""
    try:
        if path.is_dir():
            folders = [path, *(path / name for name in (FILLS, CHARTS, SETLISTS))]
            return [file for folder in folders for file in yaml_files(folder)]
        return [path] if path.is_file() else []
    except (OSError, ValueError):
        return []


def _check_file(book: Book, path: Path, checked: Checked) -> None:
    """A file by what it is: its folder says so, else its own first key."""
    kind = path.resolve().parent.name
    source = read_source(path, book.name_of(path))
    if isinstance(source, Finding):
        checked.findings.append(source)
    elif path.name == SETTINGS:
        checked.findings += _by_place(settings_of(source)[1])
    elif path.name == FEELS:
        checked.findings += _by_place(read_feel_file(source)[1])
    elif kind == FILLS or (kind != CHARTS and source.text.lstrip().startswith(("fills:", "grooves:"))):
        file = read_pattern_file(source, BOOK_ORIGIN)
        table = PatternTable([file, *book.patterns.files], shipped_patterns())
        read = [found for entry in file.entries if (found := table.get(entry.name))]
        unknown = [finding for pattern in read for finding in unknown_feels(pattern, book.feels)]
        checked.findings += _by_place(
            f for f in table.findings + unknown if f.span and f.span.source is source
        )
        checked.counts["fills"] += len(file.entries)
    elif kind == SETLISTS or (kind != CHARTS and source.text.lstrip().startswith(("gig:", "sets:"))):
        _check_setlist(book, path, checked)
    else:
        _check_chart(book, path, checked)


def _check_by_name(book: Book, name: str, checked: Checked) -> None:
    try:
        path = book.look_up(name)
    except FeelmapError as no_chart:
        try:
            path = look_up_setlist(book, name)
        except FeelmapError as no_setlist:
            raise _neither(name, no_chart, no_setlist) from None
        _check_setlist(book, path, checked)
        return
    _check_chart(book, path, checked)


def _neither(name: str, no_chart: FeelmapError, no_setlist: FeelmapError) -> FeelmapError:
    """Why a name is neither a chart's nor a set list's; several that it could be are told as they are."""
    if not isinstance(no_chart, UnknownName):
        return no_chart
    if not isinstance(no_setlist, UnknownName):
        return no_setlist
    if Path(name).is_dir():
        return FeelmapError(f"no file of a book is in “{name}”", "feelmap check alone checks the whole book")
    if "/" in name or is_yaml(name):
        return FeelmapError(f"no file is called {name}", "feelmap check alone checks the whole book")
    return UnknownName("chart or set list", name, no_chart.near or no_setlist.near, no_chart.hint)


def _check_chart(book: Book, path: Path, checked: Checked) -> None:
    checked.findings += check_chart(book, path)
    checked.counts["charts"] += 1


def _check_setlist(book: Book, path: Path, checked: Checked) -> None:
    checked.findings += check_setlist(path, book)
    checked.counts["setlists"] += 1


def all_rules() -> dict[str, str]:
    """Every rule's own words by its name: charts, set lists, and the reading of files."""
    found = {"file": FILE_RULE}
    found.update({name: rule.doc for name, rule in RULES.rules.items()})
    for name, rule in SETLIST_RULES.rules.items():
        found[name] = f"{found[name]}\n\nIn set lists:\n\n{rule.doc}" if name in found else rule.doc
    return dict(sorted(found.items()))
