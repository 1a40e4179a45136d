"""Reading a set list: its own keys, its sets and breaks, and every song with what changes for this gig."""

from __future__ import annotations

from datetime import time
from pathlib import PurePath

import yaml

from charts.book import Book
from charts.reading.keys import TEXT, apart, read_fields, row, table
from charts.reading.nodes import compose
from charts.reading.reader import Entry, Reader
from charts.reading.shapes import a, a_list
from charts.source import WARNING, Finding, Source, Span, Where
from charts.wording import HOUR, MINUTE, time_words
from setlists.names import SongNames
from setlists.setlist import Break, SetList, SongSet
from setlists.songs import SongReader
from setlists.times import DAY, TIME, a_duration

MOST_SONGS, MOST_PARTS = 1_000, 200
LONGEST_SET, LONGEST_BETWEEN = 12 * HOUR, HOUR  # seconds
LONGEST_GIG, LONGEST_WAIT = 18 * HOUR, 12 * HOUR  # beyond that a time of day is a slip of the pen


class SetListKeys(SetList):
    """The keys of a set list."""

    gig = row(TEXT, "where or what the gig is; the file's name by default")
    date = row(DAY, "the day: 2026-12-04")
    start = row(TIME, "when the first set starts: 20:30")
    ends = row(TIME, "the venue's curfew: 23:00")
    between = row(
        a_duration(LONGEST_BETWEEN, "20 s"), "talk and changeover after each song: 20 s by default"
    )
    parts = row(
        apart(a_list(a("set"))),
        "a list of sets and breaks (required)",
        name="sets",
        needed="sets: and below it - songs: with the titles",
    )


class SetKeys(SongSet):
    """The keys of a set."""

    name = row(TEXT, "what the set is called")
    length = row(a_duration(LONGEST_SET, "45 min"), "the slot: 45 min")
    start = row(TIME, "when this set starts, where it does not just follow: 22:00")
    items = row(
        apart(a_list(a("song"))),
        "a list of songs in order (required)",
        name="songs",
        needed="songs: and the titles below it",
    )


class BreakKeys(Break):
    """The key of a break."""

    seconds = row(a_duration(LONGEST_SET, "20 min"), "how long: 20 min", name="break", needed="break: 20 min")


SETLIST, SET, BREAK = table(SetListKeys), table(SetKeys), table(BreakKeys)


def read_setlist(source: Source, book: Book) -> tuple[SetList | None, list[Finding]]:
    """Read a set list; every problem is told, and no set list comes back where one leaves no whole."""
    document = compose(source, "gig, date, start and sets")
    if document.root is None:
        return None, document.findings
    reader = Reader(source, book)
    found = _SetListReader(reader, book).read(document.root)
    if reader.failed and found is not None:
        _tell_names(reader, found)  # no rule will: there is no whole set list
    where = Where(setlist=found.gig if found else None)
    findings = sorted(reader.findings, key=lambda f: (f.span.line, f.span.column) if f.span else (0, 0))
    return None if reader.failed else found, [finding.at(where) for finding in findings]


def _tell_names(reader: Reader, setlist: SetList) -> None:
    for item in setlist.items():
        if item.problem is not None:
            reader.say(item.span, item.problem.message, item.problem.hint, "unknown", item.problem.level)


class _SetListReader:
    def __init__(self, reader: Reader, book: Book) -> None:
        self.reader = reader
        self.songs = SongReader(reader, SongNames(book))

    def read(self, root: yaml.Node) -> SetList | None:
        if self._flat(root):
            return None
        entries = self.reader.known(root, SETLIST, "a set list")
        if entries is None:
            return None
        top = Span(self.reader.source, 1, 1, 2)
        if "sets" not in entries:
            self.reader.say(top, "this set list has no sets", f"write {SETLIST['sets'].needed}")
        given = {"gig": PurePath(self.reader.source.name).stem, **read_fields(self.reader, SETLIST, entries)}
        parts = self._parts(entries["sets"].value) if "sets" in entries else ()
        setlist = SetList(
            **given,
            parts=parts,
            span=top,
            file=self.reader.source.name,
            span_of=self.reader.spans_of(entries),
        )
        _check_times(self.reader, setlist)
        return setlist

    def _flat(self, root: yaml.Node) -> bool:
        """Tell songs that are at the top, in no set."""
        if isinstance(root, yaml.MappingNode):
            for key, _ in root.value:
                if isinstance(key, yaml.ScalarNode) and key.value == "songs":
                    self.reader.say(
                        key, "songs are in a set", "write sets: and below it - songs: with the titles"
                    )
                    return True
        return False

    def _parts(self, node: yaml.Node) -> tuple[SongSet | Break, ...]:
        if not isinstance(node, yaml.SequenceNode) or not node.value:
            self.reader.say(
                node, "sets has no set", "write a set a line, each after “- ”: - songs: [one title, another]"
            )
            return ()
        if len(node.value) > MOST_PARTS:
            self.reader.say(
                node.value[MOST_PARTS], f"more than {MOST_PARTS} sets and breaks", "one gig a file"
            )
            return ()
        parts: list[SongSet | Break] = []
        for item in node.value:
            part = self._part(item, sum(isinstance(each, SongSet) for each in parts) + 1)
            if part is not None:
                parts.append(part)
        self._check_count(node, parts)
        self._check_segues(parts)
        return tuple(parts)

    def _part(self, item: yaml.Node, number: int) -> SongSet | Break | None:
        if isinstance(item, yaml.ScalarNode):
            self.reader.say(
                item,
                f"“{item.value[:40]}” is a set without its songs",
                "write - songs: and the titles below it, or - break: 20 min",
            )
            return None
        if named := _set_named_by_key(item):
            hint = f"write - name: {named.value}, and below it songs: with the titles"
            self.reader.say(named, f"a set has no key “{named.value}”", hint)
            return None
        entries = self.reader.known(item, {**SET, **BREAK}, "a set")
        if entries is None:
            return None
        if "break" in entries:
            return self._a_break(entries)
        if "songs" not in entries:
            self.reader.say(item, "this set has no songs", f"write {SET['songs'].needed}")
            return None
        given = {"name": f"Set {number}", **read_fields(self.reader, SET, entries)}
        span = self.reader.span(entries["name" if "name" in entries else "songs"].key)
        items, span_of = self.songs.read(entries["songs"].value), self.reader.spans_of(entries)
        return SongSet(**given, items=items, span=span, span_of=span_of)

    def _a_break(self, entries: dict[str, Entry]) -> Break | None:
        for key, entry in entries.items():
            if key != "break":
                self.reader.say(
                    entry.key, f"a break has no {key}", "start the set on a line of its own: - songs:"
                )
                return None
        given = read_fields(self.reader, BREAK, entries)
        return Break(**given, span=self.reader.span(entries["break"].value)) if given else None

    def _check_count(self, node: yaml.Node, parts: list[SongSet | Break]) -> None:
        if sum(len(part.items) for part in parts if isinstance(part, SongSet)) > MOST_SONGS:
            self.reader.say(node, f"more than {MOST_SONGS} songs", "one gig a file")
        if not self.reader.failed and not any(isinstance(part, SongSet) for part in parts):
            self.reader.say(node, "nothing but breaks", "write - songs: and the titles below it")

    def _check_segues(self, parts: list[SongSet | Break]) -> None:
        """A segue needs a song to lead into."""
        for place, part in enumerate(parts):
            if not isinstance(part, SongSet) or not part.items or not part.items[-1].changes.segue:
                continue
            last = part.items[-1]
            if place + 1 == len(parts) or isinstance(parts[place + 1], Break):
                at = last.span_of("segue") or last.span
                self.reader.say(
                    at, f"no song follows {last.name} to segue into", "leave segue out", level=WARNING
                )


def _check_times(reader: Reader, setlist: SetList) -> None:
    """Times of day follow one another within a night; one without a start cannot be placed."""
    start = setlist.start or (setlist.sets[0].start if setlist.sets else None)
    whole = _check_curfew(reader, setlist, start)
    before, passed = start, 0
    for part in setlist.sets:
        if part.start is None:
            continue
        at = part.span_of("start") or part.span
        if before is None:
            reader.say(at, f"{part.name} has a time and the gig has none", "write start: above sets, too")
            return
        wait = _wait(before, part.start)
        passed += wait
        starts = f"{part.name} starts at {time_words(part.start)}"
        if wait > LONGEST_WAIT:
            reader.say(
                at,
                f"{starts}, before what is above it ({time_words(before)})",
                "put the sets in order of time",
            )
        elif whole is not None and passed >= whole and setlist.ends is not None:
            reader.say(
                at,
                f"{starts}, when the gig has ended ({time_words(setlist.ends)})",
                f"write a start before {time_words(setlist.ends)}, or a later ends",
            )
        before = part.start


def _check_curfew(reader: Reader, setlist: SetList, start: time | None) -> int | None:
    """Seconds from the start to the curfew, where both can be placed."""
    if setlist.ends is None:
        return None
    at = setlist.span_of("ends") or setlist.span
    if start is None:
        reader.say(at, "ends needs a start to count from", "write start: 20:30 or the gig's own time")
        return None
    whole = _wait(start, setlist.ends)
    if not 0 < whole <= LONGEST_GIG:
        reader.say(
            at,
            f"the gig ends at {time_words(setlist.ends)} and starts at {time_words(start)}",
            f"write an end at most {LONGEST_GIG // HOUR} hours after the start",
        )
        return None
    return whole


def _wait(start: time, end: time) -> int:
    """Seconds from one time of day to the next occurrence of another."""
    return ((end.hour - start.hour) * HOUR + (end.minute - start.minute) * MINUTE) % (24 * HOUR)


def _set_named_by_key(item: yaml.Node) -> yaml.ScalarNode | None:
    """The name of a set that is where its keys belong: ``- encore:`` with the titles below."""
    if not isinstance(item, yaml.MappingNode) or len(item.value) != 1:
        return None
    key, value = item.value[0]
    named = isinstance(key, yaml.ScalarNode) and isinstance(value, yaml.SequenceNode) and key.value != "songs"
    return key if named else None
