"""Reading the keys of one section into typed values, before anything is inherited."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import yaml

from charts.feel import Feel
from charts.pattern import GROOVE, Pattern
from charts.reading.feels import read_feel
from charts.reading.given import LAST_BARLINE, Given
from charts.reading.nodes import NodeSpan, is_plain
from charts.reading.places import in_time, right_way_round
from charts.reading.reader import KEYED, Entry, Reader
from charts.reading.uses import Names, read_use
from charts.reading.values import (
    MOST_TIMES,
    NONE,
    Bad,
    dynamics,
    hold_seconds,
    meter,
    pass_of,
    phrases,
    place,
    tempo_change,
    whole,
    words,
    yes_no,
)  # fmt: skip
from charts.song import LAST, Cue, FillUse, Hold, Place, Stop, TempoMark
from charts.source import Span
from charts.spelling import nearest
from charts.timing import Meter

SECTION_KEYS = {
    "bars": "bars of one pass: 8, or 4+4 for the phrases",
    "times": "how many passes",
    "open": "yes: the number of passes is decided on stage",
    "like": "a section named before, taken over under this name",
    "feel": "the feel of this section only",
    "meter": "the meter of this section only",
    "groove": "the groove of this section only: a pattern's name, or plain words",
    "tempo": "beats a minute, or 92 to 104 for an even change over the section",
    "tempos": "bar -> tempo from that bar on, or 56 to 40 from that bar to the section's end",
    "until": "what ends an open repeat, in words",
    "odd-bars": "bar -> meter of that one bar",
    "cue": "words for bar 1",
    "cues": "BAR or BAR.BEAT -> words",
    "hits": "places parted by spaces: 3.1 3.2& 4.1",
    "stops": "places where the band stops: 7.3, or a span 7.3-8.4",
    "holds": "places where time stands still: 4.3, or place -> seconds that the clock counts",
    "dynamics": "ppp to fff, or p to f",
    "fill": "a fill that ends at the section's last barline, on its last pass",
    "fills": "bar -> a fill that ends at its last barline, on each pass; BAR.BEAT -> a fill that lands there",
}
TEMPO_KEYS = {"tempo": "beats a minute, or 56 to 40", "pass": "each, last, or a pass's number"}


class SectionReader:
    """Reads one section's keys; what is wrong is noted on the file's reader."""

    def __init__(self, reader: Reader, names: Names) -> None:
        self.reader, self.names = reader, names

    def read(self, section: str, node: yaml.Node) -> Given | None:
        """What the keys under a form line say; None where there are no keys."""
        entries = self.reader.known(node, SECTION_KEYS, "a section")
        if entries is None:
            return None
        self.section, self.given = section, Given({}, {}, {}, entries)
        for key, entry in entries.items():
            parse = _PLAIN.get(key)
            if parse is not None:
                self._plain(key, entry.value, parse)
            else:
                _OTHERS[key](self, entry.value)
        return self.given

    def _plain(self, key: str, node: yaml.Node, parse: Callable[[str], Any]) -> None:
        if key != "bars" and self._none(node):
            self.given.values[key] = None
            return
        found = self.reader.value(node, parse, key)
        if found is not None:
            self.given.values[key] = found

    @staticmethod
    def _none(node: yaml.Node) -> bool:
        return len(node.value) == len(NONE) and is_plain(node) and node.value.casefold() == NONE

    def _by_bar(self, node: yaml.Node, key: str) -> Iterable[Entry]:
        """What stands at each bar or place under a key."""
        return (self.reader.entries(node, key, _BY_BAR.get(key, KEYED)) or {}).values()

    def _feel(self, node: yaml.Node) -> None:
        none = self._none(node)
        feel = None if none else read_feel_use(self.reader, self.names, node)
        if feel is not None or none:
            self.given.values["feel"] = feel

    def _cue(self, node: yaml.Node) -> None:
        self._put_cue(_FIRST, node, has_beat=False)

    def _cues(self, node: yaml.Node) -> None:
        if self._none(node):
            self.given.cues_removed = True
            return
        for entry in self._by_bar(node, "cues"):
            at = self.reader.key_value(entry.key, place)
            if at is not None:
                at = Place(at.bar, at.beat, at.offset, self.reader.span(entry.key))
                self._put_cue(at, entry.value, "." in entry.key.value)

    def _put_cue(self, at: Place, node: yaml.Node, has_beat: bool) -> None:
        none = self._none(node)
        text = None if none else self.reader.value(node, words, "a cue")
        if text is None and not none:
            return
        key = at.key
        if key in self.given.cues:
            self.reader.say(node, f"two cues at {at}", "put the words together, or on two beats")
        self.given.cues[key] = Cue(at, text, has_beat) if text else None

    def _hits(self, node: yaml.Node) -> None:
        self.given.values["hits"] = None if self._none(node) else tuple(self._places(node, "hits"))

    def _places(self, node: yaml.Node, what: str) -> list[Place]:
        found = [self._place(part, span) for part, span in self._parts(node, what)]
        return sorted((at for at in found if at), key=in_time)

    def _parts(self, node: yaml.Node, what: str) -> list[tuple[str, NodeSpan]]:
        """The words of a scalar, each with its own span."""
        if isinstance(node, yaml.SequenceNode):
            hint = "write places parted by spaces, without brackets: 3.1 4.1"
            self.reader.say(node, f"{what} is a list, not places", hint)
            return []
        text = self.reader.text(node, what)
        if text is None:
            return []
        parts, column = [], 0
        for part in text.split():
            column = text.index(part, column)
            parts.append((part, NodeSpan(self.reader.source, node, column, len(part))))
            column += len(part)
        return parts

    def _place(self, text: str, span: Span) -> Place | None:
        try:
            at = place(text)
            return Place(at.bar, at.beat, at.offset, span)
        except Bad as bad:
            hint = "part places by spaces, without commas" if text.endswith(",") else bad.hint
            self.reader.say(span, bad.message, hint)
            return None

    def _stops(self, node: yaml.Node) -> None:
        if self._none(node):
            self.given.values["stops"] = None
            return
        found = []
        for text, span in self._parts(node, "stops"):
            first, dash, last = text.partition("-")
            if dash and not (first and last):
                self.reader.say(span, "a stop without its two ends", "write 7.3-8.4, without spaces")
                continue
            start, end = self._place(first, span), self._place(last, span) if dash else None
            if start and end and in_time(end) < in_time(start):
                hint = f"write {right_way_round(first, last)}"
                self.reader.say(span, f"the stop {text} ends before it starts", hint)
            elif start and (end or not dash):
                found.append(Stop(start, end))
        self.given.values["stops"] = tuple(sorted(found, key=lambda stop: in_time(stop.start)))

    def _holds(self, node: yaml.Node) -> None:
        if self._none(node):
            self.given.values["holds"] = None
        elif isinstance(node, yaml.ScalarNode):
            self.given.values["holds"] = tuple(Hold(at) for at in self._places(node, "holds"))
        else:
            found = []
            for entry in self._by_bar(node, "holds"):
                at = self._place(entry.key.value, self.reader.span(entry.key))
                seconds = self.reader.value(entry.value, hold_seconds, "a hold")
                if at is not None and seconds is not None:
                    found.append(Hold(at, seconds))
            self.given.values["holds"] = tuple(sorted(found, key=lambda hold: in_time(hold.place)))

    def _odd_bars(self, node: yaml.Node) -> None:
        found: dict[int, Meter] | None = None
        if not self._none(node):
            found = {}
            for entry in self._by_bar(node, "odd-bars"):
                bar = self.reader.key_value(entry.key, whole(1, 10_000, "bar"))
                of = self.reader.value(entry.value, meter, "the meter of an odd bar")
                if bar is not None and of is not None:
                    found[bar] = of
        self.given.values["odd-bars"] = found

    def _tempos(self, node: yaml.Node) -> None:
        if self._none(node):
            self.given.values["tempos"] = None
            return
        marks = []
        for entry in self._by_bar(node, "tempos"):
            bar = self.reader.key_value(entry.key, whole(1, 10_000, "bar"))
            mark = self._tempo_mark(bar or 1, entry.value)
            if bar is not None and mark is not None:
                marks.append(mark)
        self.given.values["tempos"] = tuple(sorted(marks, key=lambda mark: mark.bar))

    def _tempo_mark(self, bar: int, node: yaml.Node) -> TempoMark | None:
        on: str | int | None = LAST
        if isinstance(node, yaml.MappingNode):
            entries = self.reader.known(node, TEMPO_KEYS, "a tempo mark") or {}
            if "pass" in entries:
                on = self.reader.value(entries["pass"].value, pass_of, "pass")
            if "tempo" not in entries:
                self.reader.say(node, "this tempo mark says no tempo", "write {tempo: 96, pass: each}")
                return None
            node = entries["tempo"].value
        change = self.reader.value(node, tempo_change, "tempo")
        if change is None or on is None:
            return None
        return TempoMark(bar, change[0], change[1], on, self.reader.span(node))

    def _fill(self, node: yaml.Node) -> None:
        self._put_fill(LAST_BARLINE, FillUse(0, "", pass_=LAST, owner=self.section), node)

    def _fills(self, node: yaml.Node) -> None:
        if self._none(node):
            self.given.fills_removed = True
            return
        for entry in self._by_bar(node, "fills"):
            at = self.reader.key_value(entry.key, place)
            if at is None:
                continue
            lands = "." in entry.key.value
            landing = Place(at.bar, at.beat, at.offset, self.reader.span(entry.key)) if lands else None
            key = at.key if lands else at.bar
            self._put_fill(key, FillUse(at.bar, "", landing=landing, owner=self.section), entry.value)

    def _put_fill(self, key: object, use: FillUse, node: yaml.Node) -> None:
        if self._none(node):
            self.given.fills[key] = None
            return
        found = read_use(self.reader, self.names, use, node)
        if found is not None:
            self.given.fills[key] = found


def read_feel_use(reader: Reader, names: Names, node: yaml.Node) -> Feel | None:
    """A feel by its name, or defined in place."""
    if isinstance(node, yaml.MappingNode):
        return read_feel(reader, None, node)
    name = reader.value(node, words, "feel")
    if name is None:
        return None
    feel = names.feel(name)
    if feel is None:
        like = nearest(name, names.feel_names())
        hint = f"write {like}" if like else "feelmap feels lists them all"
        reader.say(node, f"no feel is called “{name}”", hint, rule="unknown")
    return feel


def groove_pattern(names: Names, text: str) -> Pattern | None:
    """The groove of that name; None for plain words."""
    found = names.pattern(text)
    return found if found is not None and found.kind == GROOVE else None


_FIRST = Place(1)
_BY_BAR = {  # keys whose values stand at bars -> how
    "cues": "write each at its bar: cues: {2: drums in}",
    "fills": "write each at its bar: fills: {8: short pickup}; the section's last one is fill: NAME",
    "tempos": "write each at its bar: tempos: {3: 92}",
    "odd-bars": "write each at its bar: odd-bars: {7: 3/8}",
}
_PLAIN: dict[str, Callable[[str], Any]] = {
    "bars": phrases,
    "times": whole(1, MOST_TIMES, "number of times"),
    "open": yes_no,
    "like": words,
    "meter": meter,
    "groove": words,
    "tempo": tempo_change,
    "until": words,
    "dynamics": dynamics,
}
_OTHERS: dict[str, Callable[[SectionReader, yaml.Node], None]] = {
    key: getattr(SectionReader, "_" + key.replace("-", "_")) for key in SECTION_KEYS if key not in _PLAIN
}
