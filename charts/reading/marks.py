"""What is at the bars and places of a section: cues, hits, stops, holds, odd bars, tempos."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeVar, cast

import yaml

from charts.reading.given import EVERY_PLACE, Laid
from charts.reading.keys import BPM, METER, PASS, Kind, read_fields, row, single, table
from charts.reading.nodes import is_plain, span_of
from charts.reading.places import in_time, right_way_round
from charts.reading.reader import KEYED, Entry, Reader
from charts.reading.shapes import NUMBER, PLACE, WORDS, Shape, a, a_number, by_place, written
from charts.reading.values import (
    MOST_BARS,
    NONE,
    Bad,
    TempoChange,
    hold_seconds,
    meter,
    place,
    tempo_change,
    whole,
    words,
)
from charts.song import Cue, Hold, Place, Stop, TempoMark
from charts.source import Span
from charts.timing import FASTEST, SLOWEST, Meter

Item = TypeVar("Item")
_BY_BAR = {  # keys whose values are at bars -> how
    "cues": "write each at its bar: cues: {2: drums in}",
    "fills": "write each at its bar: fills: {8: short pickup}; the section's last one is fill: NAME",
    "tempos": "write each at its bar: tempos: {3: 92}",
    "odd-bars": "write each at its bar: odd-bars: {7: 3/8}",
}
_BAR, _BARS = whole(1, MOST_BARS, "bar"), r"\d{1,5}"
_PLACES = written(rf"{PLACE}(\s+{PLACE})*", "number")
_STOPS = written(rf"{PLACE}(-{PLACE})?(\s+{PLACE}(-{PLACE})?)*", "number")
_CHANGE = written(rf"{NUMBER}( to {NUMBER})?", "number", minimum=SLOWEST, maximum=FASTEST)
TEMPO = single(tempo_change, _CHANGE, BPM.meant)


class TempoMarkKeys(TempoMark):
    """The keys of a tempo mark that says more than its tempo."""

    change = row(TEMPO, "beats per minute, or 56 to 40", name="tempo", needed="tempo: 96")
    pass_ = row(PASS, "each, last, or a pass's number", name="pass")


TEMPO_MARK = table(TempoMarkKeys)


def laid(shape: Shape, read: Callable[[Reader, yaml.Node, str], Laid[Item]]) -> Kind[tuple[Item, ...]]:
    """What lines lay over each other place by place: a section has all of it, in order."""
    return Kind(shape, cast(Any, read))


def is_none(node: yaml.Node) -> bool:
    """True where what is inherited is taken away."""
    return len(node.value) == len(NONE) and is_plain(node) and node.value.casefold() == NONE


def entries_at(reader: Reader, node: yaml.Node, key: str) -> Iterator[tuple[Place, Entry]]:
    """What is under a key, place by place; the place spans its own words."""
    for entry in (reader.entries(node, key, _BY_BAR.get(key, KEYED)) or {}).values():
        at = reader.key_value(entry.key, place)
        if at is not None:
            yield Place(at.bar, at.beat, at.offset, reader.span(entry.key)), entry


def has_beat(entry: Entry) -> bool:
    """True where a place is written BAR.BEAT."""
    return "." in entry.key.value


def _by_bar(reader: Reader, node: yaml.Node, key: str) -> Iterator[tuple[int, yaml.Node]]:
    """What is under a key, bar by bar."""
    for entry in (reader.entries(node, key, _BY_BAR[key]) or {}).values():
        bar = reader.key_value(entry.key, _BAR)
        if bar is not None:
            yield bar, entry.value


def _cue(reader: Reader, node: yaml.Node, _what: str) -> Laid[Cue]:
    return _cue_at(reader, Place(1), node, has_beat=False)


def _cues(reader: Reader, node: yaml.Node, what: str) -> Laid[Cue]:
    if is_none(node):
        return [(EVERY_PLACE, None)]
    found = entries_at(reader, node, what)
    return [cue for at, entry in found for cue in _cue_at(reader, at, entry.value, has_beat(entry))]


def _cue_at(reader: Reader, at: Place, node: yaml.Node, has_beat: bool) -> Laid[Cue]:
    key = Place(at.bar, at.beat, at.offset, reader.span(node))
    if is_none(node):
        return [(key, None)]
    text = reader.value(node, words, "a cue")
    return [] if text is None else [(key, Cue(at, text, has_beat))]


def _parts(reader: Reader, node: yaml.Node, what: str) -> Iterator[tuple[str, Span]]:
    """The words of a single, each with its own span."""
    if isinstance(node, yaml.SequenceNode):
        hint = "write places separated by spaces, without brackets: 3.1 4.1"
        reader.say(node, f"{what} is a list, not places", hint)
        return
    text, column = reader.text(node, what) or "", 0
    for part in text.split():
        column = text.index(part, column)
        yield part, span_of(reader.source, node, column, len(part))
        column += len(part)


def _place(reader: Reader, text: str, span: Span) -> Place | None:
    try:
        at = place(text)
        return Place(at.bar, at.beat, at.offset, span)
    except Bad as bad:
        hint = "part places by spaces, without commas" if text.endswith(",") else bad.hint
        reader.say(span, bad.message, hint)
        return None


def _hits(reader: Reader, node: yaml.Node, what: str) -> tuple[Place, ...]:
    found = [_place(reader, part, span) for part, span in _parts(reader, node, what)]
    return tuple(sorted(filter(None, found), key=in_time))


def _stops(reader: Reader, node: yaml.Node, what: str) -> tuple[Stop, ...]:
    found = []
    for text, span in _parts(reader, node, what):
        first, dash, last = text.partition("-")
        if dash and not (first and last):
            reader.say(span, "a stop without its two ends", "write 7.3-8.4, without spaces")
            continue
        start, end = _place(reader, first, span), _place(reader, last, span) if dash else None
        if start and end and in_time(end) < in_time(start):
            hint = f"write {right_way_round(first, last)}"
            reader.say(span, f"the stop {text} ends before it starts", hint)
        elif start and (end or not dash):
            found.append(Stop(start, end))
    return tuple(sorted(found, key=lambda stop: in_time(stop.start)))


def _holds(reader: Reader, node: yaml.Node, what: str) -> tuple[Hold, ...]:
    if isinstance(node, yaml.ScalarNode):
        return tuple(Hold(at) for at in _hits(reader, node, what))
    found = []
    for at, entry in entries_at(reader, node, what):
        seconds = reader.value(entry.value, hold_seconds, "a hold")
        if seconds is not None:
            found.append(Hold(at, seconds))
    return tuple(sorted(found, key=lambda hold: in_time(hold.place)))


def _odd_bars(reader: Reader, node: yaml.Node, what: str) -> dict[int, Meter]:
    read = {
        bar: reader.value(value, meter, "the meter of an odd bar")
        for bar, value in _by_bar(reader, node, what)
    }
    return {bar: of for bar, of in read.items() if of is not None}


def _tempos(reader: Reader, node: yaml.Node, what: str) -> tuple[TempoMark, ...]:
    marks = [_tempo_mark(reader, bar, value) for bar, value in _by_bar(reader, node, what)]
    return tuple(sorted(filter(None, marks), key=lambda mark: mark.bar))


def _tempo_mark(reader: Reader, bar: int, node: yaml.Node) -> TempoMark | None:
    more: dict[str, Any] = {}
    if isinstance(node, yaml.MappingNode):
        entries = reader.known(node, TEMPO_MARK, "a tempo mark") or {}
        if "tempo" not in entries:
            reader.say(node, "this tempo mark says no tempo", "write {tempo: 96, pass: each}")
            return None
        more = read_fields(reader, TEMPO_MARK, entries)
        if len(more) < len(entries):
            return None
        node = entries["tempo"].value
    change: TempoChange | None = more.pop("change", None) or reader.value(node, tempo_change, "tempo")
    if change is None:
        return None
    return TempoMark(bar, tempo=change.tempo, to=change.to, span=reader.span(node), **more)


CUE = laid(WORDS, _cue)
CUES = laid(by_place(WORDS), _cues)
HITS = Kind(_PLACES, _hits)
STOPS = Kind(_STOPS, _stops)
HOLDS = Kind({"anyOf": [_PLACES, by_place(a_number(0, 600, "s"))]}, _holds)
ODD_BARS = Kind(by_place(METER.shape, _BARS), _odd_bars)
TEMPOS = Kind(by_place({"anyOf": [TEMPO.shape, a("tempo-mark")]}, _BARS), _tempos)
