"""The songs of a book by the names that a set list calls them; charts are scanned for it, not read."""

from __future__ import annotations

import re
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from charts.book import Book
from charts.check.key import is_key
from charts.quoting import scalar
from charts.source import ERROR, WARNING
from charts.spelling import nearest
from charts.titles import folded
from setlists.setlist import NameProblem

# what is written beside a title: (words), in KEY, or an arrow and perhaps the next title
_ASIDE = re.compile(r"([^()]+) \(([^()]+)\)|(.+) (in [A-G]\S*(?: m\w+)?)|(.+?) *(?:-+|=)?[>→] *(.*)")
MOST_COMPARED = 50  # misses of one set list that are compared with every title; comparing is slow


class Named(NamedTuple):
    """The chart that a name means, if there is one, and what is wrong with the name, if anything is."""

    path: Path | None
    problem: NameProblem | None = None


class SongNames:
    """Every song of a book by title, file name and path, without regard to case and accents."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._missed = 0

    @cached_property
    def titles(self) -> dict[Path, str]:
        """Every chart's title, by its file, in order of file name."""
        return {path: self._book.title_of(path) for path in self._book.chart_paths()}

    @cached_property
    def _by_title(self) -> dict[str, list[Path]]:
        found: dict[str, list[Path]] = {}
        for path, title in self.titles.items():
            found.setdefault(_plain(title), []).append(path)
        return found

    @cached_property
    def _by_file(self) -> dict[str, Path]:
        found: dict[str, Path] = {}
        for path in self.titles:
            for name in (path.stem, path.name, self._book.name_of(path)):
                found.setdefault(_plain(name), path)
        return found

    def is_title(self, name: str) -> bool:
        """True where a song is called exactly that, in any spelling of case and accents."""
        return _plain(name) in self._by_title

    def find(self, name: str) -> Named:
        """The song of that title or file name; else the only one whose title has these words in it."""
        wanted = _plain(name)
        titled = self._by_title.get(wanted, [])
        if len(titled) > 1:
            files = ", ".join(self._book.name_of(path) for path in titled[:6])
            return Named(
                None,
                NameProblem(
                    ERROR, f"{len(titled)} songs are called “{name}”: {files}", "name the file instead"
                ),
            )
        if titled:
            return Named(titled[0])
        if wanted in self._by_file:
            return Named(self._by_file[wanted])
        return self._by_part(name, wanted)

    def _by_part(self, name: str, wanted: str) -> Named:
        holding = [path for path, title in self.titles.items() if f" {wanted} " in f" {_plain(title)} "]
        if len(holding) == 1:
            title = self.titles[holding[0]]
            return Named(
                holding[0], NameProblem(WARNING, f"“{name}” is only part of a title", f"write {title}")
            )
        if holding:
            listed = "; ".join(self.titles[path] for path in holding[:6])
            return Named(
                None,
                NameProblem(ERROR, f"“{name}” could be several songs: {listed}", "write the whole title"),
            )
        return Named(None, NameProblem(ERROR, f"no song is called “{name}”", self._instead(name)))

    def _instead(self, name: str) -> str:
        aside = _ASIDE.fullmatch(name)
        if aside and self.is_title(title := next(filter(None, aside.group(1, 3, 5)))):
            return f"write {changed(title, aside[2] or aside[4] or 'segue', aside[6] or '')}"
        self._missed += 1
        like = None
        if self._missed <= MOST_COMPARED:
            like = nearest(name, self.titles.values()) or self._holding_letters(name)
        without = f"a song without a chart is written {name}: {{length: 3:30}}"
        return f"did you mean {like}?" if like else f"feelmap find lists every song; {without}"

    def _holding_letters(self, name: str) -> str | None:
        """The only title that has these letters in it, for a name that breaks off in a word."""
        wanted = _plain(name)
        holding = [title for title in self.titles.values() if wanted in _plain(title)]
        return holding[0] if len(holding) == 1 and len(wanted) > 2 else None


def changed(title: str, said: str, following: str = "") -> str:
    """A song's line with what was written beside its title under its key.

    >>> changed("Porch", "in G"), changed("Porch", "brushes"), changed("Porch", "segue", "Ferry")
    ('Porch: {key: G}', 'Porch: {notes: brushes}', 'Porch: {segue: yes}, then Ferry on a line of its own')
    """
    key = re.sub(r"^in ", "", said)
    then = f", then {following} on a line of its own" if following else ""
    given = "segue: yes" if folded(said) == "segue" else f"key: {key}" if is_key(key) else ""
    return f"{title}: {{{given or f'notes: {scalar(said, flow=True)}'}}}{then}"


def _plain(text: str) -> str:
    return " ".join(folded(text).split())
