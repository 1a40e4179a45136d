"""Tables of feels and patterns by name: a book's own first, then what ships."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

from charts.feel import Feel, plain_name
from charts.pattern import FILL, GROOVE, Pattern
from charts.reading.files import PatternEntry, PatternFile, read_feel_file, read_pattern_file
from charts.reading.nodes import read_source
from charts.reading.patterns import read_pattern
from charts.reading.reader import Reader
from charts.source import FeelmapError, Finding, Source, UnknownName
from charts.spelling import nearest
from charts.trade import feel_hint, feel_meant

SHIPPED = Path(__file__).parent / "vocabulary"
SHIPPED_ORIGIN, BOOK_ORIGIN = "vocabulary", "book"
MOST_LISTED = 12  # names that a message lists


class FeelTable:
    """Feels by name and other spelling; the first of two with one name holds."""

    def __init__(self, feels: Iterable[Feel]) -> None:
        self._feels: list[Feel] = []
        self._by_name: dict[str, Feel] = {}
        for feel in feels:
            if plain_name(feel.name) not in self._by_name:
                self._feels.append(feel)
            for name in (feel.name, *feel.also):
                self._by_name.setdefault(plain_name(name), feel)

    def get(self, name: str) -> Feel | None:
        """The feel of that name in any spelling."""
        return self._by_name.get(plain_name(name))

    def named(self, name: str) -> Feel:
        """The feel of that name, else the only one with those words; raises with what to write instead.

        A family, and a word that the trade means otherwise, are not taken for a part of a name.
        """
        found = self.get(name)
        if found is not None:
            return found
        if not self.group(name) and feel_meant(name) is None:
            feels = {feel.name: feel for part in with_words(name, self.names()) if (feel := self.get(part))}
            if feels:
                return feels[only_one("feel", name, list(feels))]
        raise UnknownName("feel", name, None, self.hint(name))

    def group(self, name: str) -> tuple[Feel, ...]:
        """The feel of that name, then its family where one is called that, too; empty where neither is."""
        own, plain = self.get(name), plain_name(name)
        family = (feel for feel in self._feels if plain in map(plain_name, feel.family))
        return tuple(dict.fromkeys([*([own] if own else []), *family]))

    def families(self) -> list[str]:
        """Every family, in the order of the feels."""
        return list(dict.fromkeys(family for feel in self._feels for family in feel.family))

    def hint(self, name: str) -> str:
        """What to write instead of a feel that is not there: one of a family, or what the name may mean."""
        family = [feel.name for feel in self.group(name)]
        return f"choose one: {', '.join(family)}" if family else feel_hint(name, self.names())

    def names(self) -> list[str]:
        """Every name, other spellings too."""
        return [name for feel in self._feels for name in (feel.name, *feel.also)]

    def nearest(self, name: str) -> str | None:
        """The name most like one that is not there."""
        return nearest(name, self.names())

    def __iter__(self) -> Iterator[Feel]:
        return iter(self._feels)


def with_words(text: str, names: Iterable[str]) -> list[str]:
    """The names that have those words, one after another, in any spelling; a word may be cut short.

    >>> with_words("Half-time", ["half time shuffle", "shuffle"]), with_words("-", ["shuffle"])
    (['half time shuffle'], [])
    """
    part = plain_name(text)
    return [name for name in names if part and part in plain_name(name)]


def only_one(noun: str, text: str, names: list[str]) -> str:
    """The only name that a part of one can mean; raises with the list where there are several."""
    if len(names) == 1:
        return names[0]
    more = [f"and {len(names) - MOST_LISTED} more"] if len(names) > MOST_LISTED else []
    listed = "".join(f"\n    {name}" for name in [*names[:MOST_LISTED], *more])
    raise FeelmapError(f"“{text}” could be several {noun}s:{listed}", "write more of the name")


class PatternTable:
    """Patterns by name, read when asked for; ``findings`` grow with what is read.

    What its own files do not have is looked for in ``shared``, a table which a whole program shares.
    """

    def __init__(self, files: Iterable[PatternFile], shared: PatternTable | None = None) -> None:
        self.files, self._shared = list(files), shared
        self.findings: list[Finding] = [finding for file in self.files for finding in file.findings]
        self._entries: dict[str, PatternEntry] = {}
        self._read: dict[str, Pattern | None] = {}
        self._reading: set[str] = set()
        for file in self.files:
            for entry in file.entries:
                self._add(entry)

    def _add(self, entry: PatternEntry) -> None:
        key = plain_name(entry.name)
        known = self._entries.setdefault(key, entry)
        if known is not entry and known.origin == entry.origin:
            self.findings.append(
                Finding(
                    "file",
                    "error",
                    f"a second pattern is called {entry.name}",
                    entry.span,
                    hint="give it a name of its own",
                )
            )

    def get(self, name: str) -> Pattern | None:
        """The pattern of that name; None where there is none, or it cannot be read."""
        key = plain_name(name)
        if key not in self._read:
            entry = self._entries.get(key)
            if entry is not None:
                self._read[key] = self._pattern(key, entry)
            else:
                self._read[key] = self._shared.get(name) if self._shared else None
        return self._read[key]

    def _pattern(self, key: str, entry: PatternEntry) -> Pattern | None:
        reader = Reader(entry.span.source)
        if key in self._reading:
            reader.say(entry.span, f"{entry.name} is like itself", "name another pattern")
            self.findings += reader.findings
            return None
        self._reading.add(key)
        try:
            return read_pattern(
                reader, entry.name, entry.kind, entry.node, self.get, entry.origin, entry.span
            )
        finally:
            self._reading.discard(key)
            self.findings += reader.findings

    def names(self, kind: str | None = None) -> list[str]:
        """Names in order, of one kind or of both; nothing is read for it."""
        own = [entry.name for entry in self._entries.values() if kind in (None, entry.kind)]
        shared = self._shared.names(kind) if self._shared else []
        return own + [name for name in shared if plain_name(name) not in self._entries]

    def nearest(self, name: str) -> str | None:
        """The name most like one that is not there."""
        return nearest(name, self.names())

    def entry(self, name: str) -> PatternEntry | None:
        """Where a name is, whether or not it can be read."""
        found = self._entries.get(plain_name(name))
        return found or (self._shared.entry(name) if self._shared else None)

    def __iter__(self) -> Iterator[Pattern]:
        return (found for name in self.names() if (found := self.get(name)))

    def fills(self) -> tuple[Pattern, ...]:
        """Every fill that can be read."""
        return tuple(found for name in self.names(FILL) if (found := self.get(name)))

    def grooves(self) -> list[Pattern]:
        """Every groove that can be read."""
        return [found for name in self.names(GROOVE) if (found := self.get(name))]


def shipped_source(name: str) -> Source:
    """A file of the shipped vocabulary."""
    found = read_source(SHIPPED / name, name)
    assert isinstance(found, Source), found  # it ships with the program
    return found


@cache
def shipped_feels() -> tuple[Feel, ...]:
    """The feels that ship."""
    return tuple(read_feel_file(shipped_source("feels.yaml"))[0])


@cache
def shipped_patterns() -> PatternTable:
    """The patterns that ship."""
    names = ("fills.yaml", "grooves.yaml")
    return PatternTable(read_pattern_file(shipped_source(name), SHIPPED_ORIGIN) for name in names)
