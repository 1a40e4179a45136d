"""Reading the songs of a set: a title, or a title with what changes for this gig."""

from __future__ import annotations

import re
from fractions import Fraction

import yaml

from charts.reading.doctor import second_key, unbraced
from charts.reading.feels import FEEL_USE
from charts.reading.keys import BPM, COUNT_IN, TEXT, YES_NO, read_fields, row, single, table, texts
from charts.reading.nodes import kind_of
from charts.reading.reader import Entry, Reader
from charts.reading.values import Bad, playable_tempo, words
from charts.wording import HOUR
from setlists.names import SongNames, changed
from setlists.setlist import Changes, SongItem
from setlists.times import LENGTH, a_duration, duration

LONGEST_SONG, LONGEST_BETWEEN = 3 * HOUR, HOUR  # seconds

_length = duration(LONGEST_SONG, "3:30", colons=True)


def _tempo(text: str) -> Fraction:
    """A gig's tempo: one number, 20 to 400 beats per minute."""
    if " to " in text:
        raise Bad(
            f"“{words(text)[:40]}” is a change of tempo",
            "write one number: the chart's changes are scaled with it",
        )
    return playable_tempo(text)


def _a_length(text: str) -> Fraction:
    found = _length(text)
    if not found:
        raise Bad("a song of no length", "write minutes and seconds: 3:30")
    return found


class SongKeys(Changes):
    """The keys of a song of a set list."""

    tempo = row(
        single(_tempo, BPM.shape, BPM.meant),
        "beats per minute tonight; every tempo in the chart is scaled by new/old",
    )
    key = row(TEXT, "the key tonight")
    feel = row(
        FEEL_USE,
        "the feel tonight, in place of the song's own; a section that has its own keeps it",
    )
    notes = row(TEXT, "what to keep in mind tonight: capo 3", "note, comment")
    segue = row(YES_NO, "yes: the next song follows without a gap")
    between = row(a_duration(LONGEST_BETWEEN, "20 s"), "talk and changeover after this song: 60 s")
    count_in = row(COUNT_IN, "1 bar, 2 bars, 3 beats or none, tonight")
    skip = row(
        texts("a section, or a list of them", "write skip: Bridge, or skip: [Bridge, Solo]"),
        "a section to leave out tonight, or a list of them; Chorus#2 is the second one alone",
        "leave-out, leave out, without, omit, cut",
    )
    length = row(
        single(_a_length, LENGTH), "how long the song is on the clock: 3:30; needed where it has no chart"
    )


SONG = table(SongKeys)


class SongReader:
    """Reads the list under ``songs``."""

    def __init__(self, reader: Reader, names: SongNames) -> None:
        self.reader, self.names = reader, names

    def read(self, node: yaml.Node) -> tuple[SongItem, ...]:
        """Every song that can be read; what is wrong is noted on the reader."""
        if isinstance(node, yaml.ScalarNode) and node.value:
            self.reader.say(
                node,
                "songs is one title, not a list",
                "write a title a line, each after “- ”, or [one title, another]",
            )
            return ()
        if not isinstance(node, yaml.SequenceNode) or not node.value:
            self.reader.say(node, "this set has no songs", "write a title a line, each after “- ”")
            return ()
        return tuple(found for item in node.value if (found := self._song(item)))

    def _song(self, item: yaml.Node) -> SongItem | None:
        if isinstance(item, yaml.ScalarNode):
            name = self.reader.value(item, words, "a song")
            return None if name is None else self._named(name, item, Changes(), {})
        if (
            not isinstance(item, yaml.MappingNode)
            or not item.value
            or not isinstance(item.value[0][0], yaml.ScalarNode)
        ):
            self.reader.say(item, f"a song is {kind_of(item)}", "write - TITLE, or - TITLE: {tempo: 118}")
            return None
        key, value = item.value[0]
        if key.value == "break":
            self.reader.say(
                key,
                "a break is between sets",
                "end this set, then write - break: 20 min level with - name:",
            )
            return None
        if len(item.value) > 1:
            self._told_apart(item, key)
            return None
        if isinstance(value, yaml.ScalarNode):
            self._colon_in_title(key, value)
            return None
        return self._changed(key, value)

    def _changed(self, key: yaml.ScalarNode, value: yaml.Node) -> SongItem | None:
        name = self.reader.key_value(key, words)
        entries = self.reader.known(value, SONG, "a song of a set list")
        if name is None or entries is None:
            return None
        return self._named(name, key, self._changes(entries), entries)

    def _named(self, name: str, at: yaml.ScalarNode, changes: Changes, entries: dict[str, Entry]) -> SongItem:
        path, problem = self.names.find(name)
        if changes.length is not None and (path is None or problem):
            path = problem = None  # a song without a chart: its length says so
        return SongItem(
            name, self.reader.span(at), changes, path, problem,
            self.reader.spans_of(entries),
        )  # fmt: skip

    def _told_apart(self, item: yaml.MappingNode, key: yaml.ScalarNode) -> None:
        second = item.value[1][0]
        name = second.value if isinstance(second, yaml.ScalarNode) else ""
        self.reader.say(second, *second_key("song", key.value, name, SONG, bool(item.flow_style)))

    def _colon_in_title(self, key: yaml.ScalarNode, value: yaml.ScalarNode) -> None:
        text = words(value.value)
        meant = unbraced(key.value, text, SONG)
        if meant:
            self.reader.say(key, *meant)
        elif not text:
            self.reader.say(
                key,
                f"nothing is after {key.value}:",
                "leave the colon out, or write {tempo: 118} after it",
            )
        elif number := re.fullmatch(r"(\d{1,3}(?:\.\d+)?)(?: ?bpm)?", text, re.ASCII | re.IGNORECASE):
            self.reader.say(
                value,
                f"{text} after {key.value} does not say what it is",
                f"write - {key.value}: {{tempo: {number[1]}}}",
            )
        elif re.fullmatch(r"(\d{1,2}:)?\d{1,3}:\d{2}", text, re.ASCII):
            self.reader.say(
                value,
                f"{text} after {key.value} does not say what it is",
                f"write - {key.value}: {{length: {text}}}",
            )
        else:
            both = f"{key.value}: {value.value}"
            self.reader.say(
                key,
                f"“{both}” has a colon, so it reads as a title and a value",
                f'put the title in quotes: - "{both}"; or, for tonight: - {changed(key.value, text)}',
            )

    def _changes(self, entries: dict[str, Entry]) -> Changes:
        changes = Changes(**read_fields(self.reader, SONG, entries))
        if changes.segue and changes.between:
            self.reader.say(
                entries["between"].key, "a segue has no gap, and between gives one", "keep one of the two"
            )
        return changes
