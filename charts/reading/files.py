"""Reading the files that hold many things by name: pattern files and feels.yaml."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import yaml

from charts.feel import Feel
from charts.reading.feels import FEEL_FILE, read_feel
from charts.reading.nodes import compose
from charts.reading.patterns import KIND_OF, PATTERN_FILE
from charts.reading.reader import Reader
from charts.reading.values import words
from charts.source import Finding, Source, Span


class PatternEntry(NamedTuple):
    """A pattern that a file holds, not yet read: its rows are read when it is asked for."""

    name: str
    kind: str
    node: yaml.Node
    span: Span
    origin: str


@dataclass(frozen=True)
class PatternFile:
    """What a pattern file holds, by name, and what was wrong with the file as a whole."""

    source: Source
    entries: list[PatternEntry] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def read_pattern_file(source: Source, origin: str) -> PatternFile:
    """The entries of a file with ``fills:`` and ``grooves:``."""
    document = compose(source)
    if document.root is None:
        return PatternFile(source, [], document.findings)
    reader = Reader(source)
    found: list[PatternEntry] = []
    if alone := _without_fills(document.root):
        message = f"{alone.value} is below neither fills nor grooves"
        reader.say(alone, message, "write fills: above it, and indent everything below that by two")
        return PatternFile(source, found, reader.findings)
    for key, entry in (reader.known(document.root, PATTERN_FILE, "a pattern file") or {}).items():
        for named in (reader.entries(entry.value, f"what is below {key}") or {}).values():
            name = reader.key_value(named.key, words)
            if name:
                found.append(PatternEntry(name, KIND_OF[key], named.value, reader.span(named.key), origin))
    return PatternFile(source, found, reader.findings)


def _without_fills(root: yaml.Node) -> yaml.ScalarNode | None:
    """The first name of a file that has patterns and no ``fills:`` over them."""
    if not isinstance(root, yaml.MappingNode):
        return None
    keys = [key for key, _ in root.value if isinstance(key, yaml.ScalarNode)]
    named = (value.value for _, value in root.value if isinstance(value, yaml.MappingNode))
    patterns = sum(any(key.value in ("rows", "like") for key, _ in value) for value in named)
    return keys[0] if keys and patterns == len(root.value) else None


def read_feel_file(source: Source) -> tuple[list[Feel], list[Finding]]:
    """The feels of a feels.yaml."""
    document = compose(source)
    if document.root is None:
        return [], document.findings
    reader = Reader(source)
    feels = []
    root = reader.known(document.root, FEEL_FILE, "feels.yaml") or {}
    if "feels" in root:
        for name, entry in (reader.entries(root["feels"].value, "feels") or {}).items():
            feel = read_feel(reader, words(name), entry.value)
            if feel is not None:
                feels.append(feel)
    return feels, reader.findings
