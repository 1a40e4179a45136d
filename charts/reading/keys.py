"""The keys of a file: one row for each, from which its parser, its JSON Schema and its synonyms follow.

The rows of a table stand in a class below the one whose fields they fill, each under the name of its field::

    class ChartKeys(Song):
        tempo = row(BPM, "beats per minute (required)", needed="tempo: 92")

So a strict type check holds a row to the type of its field, and two rows that swap places fail it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar, cast

import yaml

from charts.reading.reader import Entry, Reader
from charts.reading.shapes import NUMBER, WORDS, Shape, any_case, written
from charts.reading.values import (
    MOST_TIMES,
    NONE,
    bpm,
    count_in,
    meter,
    one_of,
    pass_of,
    whole,
    words,
    yes_no,
)
from charts.timing import FASTEST, SLOWEST

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Kind(Generic[T]):
    """What may be under a key: its shape, and how a node is read as a T; None where it cannot be."""

    shape: Shape
    read: Callable[[Reader, yaml.Node, str], T | None]
    meant: str = ""  # what people call it, separated by commas


@dataclass(slots=True)
class Key:
    """One row: a key, what it is for, and the field that its value fills."""

    kind: Kind[Any]
    help: str
    meant: tuple[str, ...]  # what people write for it where the nearest spelling is not enough
    needed: str  # what to write where it is missing; empty where it may be
    name: str
    field: str

    def __set_name__(self, owner: type, attribute: str) -> None:
        self.name = self.name or attribute.replace("_", "-")
        self.field = self.field or attribute


Table = dict[str, Key]


def _split(listed: str) -> tuple[str, ...]:
    return tuple(listed.split(", ")) if listed else ()


def row(kind: Kind[T], help: str, meant: str = "", *, name: str = "", field: str = "", needed: str = "") -> T:
    """A row, typed as what it fills; ``name`` and ``field`` only where they differ from the attribute's."""
    return cast(T, Key(kind, help, _split(kind.meant) + _split(meant), needed, name, field))


def table(rows: type) -> Table:
    """The rows of a class by the names of their keys."""
    return {found.name: found for found in vars(rows).values() if isinstance(found, Key)}


def read_fields(reader: Reader, keys: Mapping[str, Key], entries: Mapping[str, Entry]) -> dict[str, Any]:
    """What is under the keys, by the fields that it fills; what cannot be read is noted and left out."""
    found = {}
    for name, entry in entries.items():
        if name in keys:
            value = keys[name].kind.read(reader, entry.value, name)
            if value is not None:
                found[keys[name].field] = value
    return found


def keyed(keys: Mapping[str, Key]) -> Shape:
    """The shape of a mapping with the keys of a table, each with its description."""
    required = [name for name, key in keys.items() if key.needed]
    return {
        "type": "object",
        "properties": {name: {"description": key.help, **key.kind.shape} for name, key in keys.items()},
        "additionalProperties": False,
        **({"required": required} if required else {}),
    }


def single(parse: Callable[[str], T], shape: Shape, meant: str = "") -> Kind[T]:
    """A single value, read from its text."""
    return Kind(shape, lambda reader, node, what: reader.value(node, parse, what), meant)


def a_whole(low: int, high: int, what: str) -> Kind[int]:
    """A whole number in a range."""
    return single(whole(low, high, what), written(r"\d{1,9}", "integer", minimum=low, maximum=high))


def one_word(*allowed: str) -> Kind[str]:
    """One of a few words, in small or large letters."""
    return single(one_of(*allowed), written(any_case(*allowed)))


def apart(shape: Shape) -> Kind[Any]:
    """What is read together with other keys, by the reader of the whole table."""
    return Kind(shape, lambda reader, node, what: None)


def or_none(kind: Kind[T]) -> Kind[T]:
    """The same, or ``none`` to take away what is inherited."""
    return replace(kind, shape={"anyOf": [kind.shape, {"const": NONE}]})


def texts(what_it_is: str, hint: str) -> Kind[tuple[str, ...]]:
    """One or more plain words."""

    def read(reader: Reader, node: yaml.Node, what: str) -> tuple[str, ...] | None:
        if isinstance(node, yaml.MappingNode):
            reader.say(node, f"{what} is {what_it_is}", hint)
            return None
        items = node.value if isinstance(node, yaml.SequenceNode) else [node]
        return tuple(found for item in items if (found := reader.value(item, words, what)))

    return Kind({"anyOf": [WORDS, {"type": "array", "items": WORDS}]}, read)


_PASS = any_case("each", "last") + r"|\d{1,3}"
_METER = r"\d{1,2}/\d{1,2}( *\( *\d+( *\+ *\d+)* *\))?"
_COUNT_IN = r"none|\d{1,2} bars?( ?(and )?\d{1,2} beats?)?|\d{1,2} beats?"

TEXT = single(words, WORDS)
YES_NO = single(yes_no, written(any_case("yes", "no", "true", "false", "on", "off"), "boolean"))
BPM = single(bpm, written(NUMBER, "number", minimum=SLOWEST, maximum=FASTEST), "bpm, speed")
METER = single(meter, written(_METER), "time, time signature, signature, ts")
PASS = single(pass_of, written(_PASS, "integer", minimum=1, maximum=MOST_TIMES))
COUNT_IN = single(count_in, written(_COUNT_IN), "countin, countoff, count-off, count off")
