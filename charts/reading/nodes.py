"""YAML nodes with their places: compose a file, refuse what has no use here, hand out typed values.

Only PyYAML's ``compose`` is used, without resolvers: every scalar stays the text that stands there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import yaml

from charts.reading.traps import syntax_findings
from charts.reading.values import Bad
from charts.source import ERROR, Finding, Source, Span

MOST_BYTES = 1 << 20
MOST_LEVELS = 64
_SAFE: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
Value = TypeVar("Value")


class _Loader(_SAFE):  # type: ignore[misc]  # PyYAML's loader is chosen at run time
    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012  # PyYAML reads it from the class


@dataclass(frozen=True)
class Document:
    """A composed file: its root node (None where it could not be composed) and what was wrong."""

    source: Source
    root: yaml.Node | None
    findings: list[Finding]


def read_source(path: Path, name: str) -> Source | Finding:
    """The file's text, or a finding that says why there is none."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        return _unread(name, f"cannot be read: {(error.strerror or 'unknown reason').lower()}", "check the file and its permissions")
    if len(data) > MOST_BYTES:
        return _unread(name, "is larger than 1 MiB", "one song, or one set list, a file; split it")
    return decode(data, name)


def decode(data: bytes, name: str) -> Source | Finding:
    """Strict UTF-8; a byte-order mark at the start is passed over."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        line = before.count("\n") + 1
        column = len(before) - (before.rfind("\n") + 1) + 1
        shown = Source(name, data.decode("utf-8", "replace"))
        return Finding(
            "file", ERROR, f"byte {data[error.start]:#04x} is not UTF-8", Span(shown, line, column, column + 1),
            hint="save the file as UTF-8",
        )  # fmt: skip
    return Source(name, text.removeprefix("\ufeff"))


def _unread(name: str, message: str, hint: str) -> Finding:
    return Finding("file", ERROR, f"{name} {message}", Span(Source(name, ""), 1, 1, 1), hint=hint)


def compose(source: Source) -> Document:
    """Compose a text; syntax errors, aliases, tags, too many levels and empty files become findings."""
    try:
        loader = _Loader(source.text)
        try:
            root = loader.get_single_node()
        finally:
            loader.dispose()
    except (yaml.YAMLError, RecursionError) as error:
        return Document(source, None, syntax_findings(source, error))
    if root is None:
        span = Span(source, 1, 1, 1)
        return Document(source, None, [Finding("file", ERROR, "this file is empty", span, hint="write title, tempo, feel and form, or remove the file")])
    findings = list(_refused(source, root))
    return Document(source, None if findings else root, findings)


def _refused(source: Source, root: yaml.Node) -> Iterator[Finding]:
    """Aliases, anchors, tags and over-deep nesting."""
    marked = any(sign in source.text for sign in "&*!")
    seen: set[int] = set()
    level: list[yaml.Node] = [root]
    depth = 0
    while level:
        depth += 1
        if depth > MOST_LEVELS:
            yield Finding("file", ERROR, f"nested more than {MOST_LEVELS} levels deep", span_of(source, level[0]), hint="a chart needs five; look for a stray bracket or indent")
            return
        below: list[yaml.Node] = []
        for node in level:
            if marked:
                yield from _marks(source, node, seen)
            if isinstance(node, yaml.MappingNode):
                for key, value in node.value:
                    below += (key, value)
            elif isinstance(node, yaml.SequenceNode):
                below += node.value
        if marked:
            below = [node for node in below if id(node) not in seen or _again(source, node)]
        level = below


def _again(source: Source, node: yaml.Node) -> bool:
    return isinstance(node, yaml.ScalarNode)


def _marks(source: Source, node: yaml.Node, seen: set[int]) -> Iterator[Finding]:
    first = source.text[node.start_mark.index : node.start_mark.index + 1]
    quoted = getattr(node, "style", None) in ("'", '"')
    if id(node) in seen:
        return
    seen.add(id(node))
    if first == "&" and not quoted:
        yield Finding("file", ERROR, "anchors and aliases (& and *) have no use here", _first_line(source, node), hint="write the words out, in quotes where they begin with & or *")
    elif first == "!" and not quoted:
        yield Finding("file", ERROR, "tags (!) have no use here", _first_line(source, node), hint="put words that begin with ! in quotes")


def span_of(source: Source, node: yaml.Node) -> Span:
    """Where a node stands; one that runs over several lines is cut to its first."""
    start, end = node.start_mark, node.end_mark
    if source.has_odd_breaks:
        return _by_index(source, start.index, end.index)
    if isinstance(node, yaml.ScalarNode) and start.line == end.line:
        return Span(source, start.line + 1, start.column + 1, max(end.column, start.column + 1) + 1)
    return _first_line(source, node)


def _first_line(source: Source, node: yaml.Node) -> Span:
    start = node.start_mark
    lines = source.lines
    length = len(lines[start.line].rstrip()) if start.line < len(lines) else 0
    end = node.end_mark
    stop = end.column if end.line == start.line else length
    return Span(source, start.line + 1, start.column + 1, max(stop, start.column + 1) + 1)


def _by_index(source: Source, start: int, end: int) -> Span:
    line, column = source.place(start)
    stop = min(column + end - start, len(source.lines[line - 1]) + 1)
    return Span(source, line, column, max(stop, column + 1))


@dataclass(frozen=True, slots=True)
class Entry:
    """One key of a mapping with its value."""

    key: yaml.ScalarNode
    value: yaml.Node


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The name that is most like a misspelt one, if any is.

    >>> nearest("tempoo", ["tempo", "title"])
    'tempo'
    """
    from difflib import get_close_matches

    by_fold = {each.casefold(): each for each in names}
    found = get_close_matches(name.casefold(), by_fold, n=1, cutoff=0.6)
    return by_fold[found[0]] if found else None


class Reader:
    """Hands out typed values of nodes and collects every problem on the way."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.findings: list[Finding] = []

    @property
    def failed(self) -> bool:
        """True where something was wrong that leaves no whole value."""
        return any(finding.is_error for finding in self.findings)

    def span(self, node: yaml.Node) -> Span:
        return span_of(self.source, node)

    def say(
        self, at: yaml.Node | Span, message: str, hint: str = "", rule: str = "file", level: str = ERROR
    ) -> None:
        """Note a problem at a node or a span."""
        span = at if isinstance(at, Span) else self.span(at)
        self.findings.append(Finding(rule, level, message, span, hint=hint))

    def entries(self, node: yaml.Node, what: str) -> dict[str, Entry] | None:
        """A mapping's entries by key text; duplicates are told, None where it is no mapping."""
        if not isinstance(node, yaml.MappingNode):
            self.say(node, f"{what} is {kind_of(node)}, not keys with values", "write key: value, a line each")
            return None
        found: dict[str, Entry] = {}
        before: Entry | None = None
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                self.say(key, "a key is one or a few words", "write key: value")
                continue
            name = key.value
            if name in found:
                self.say(key, f"{name} is given twice", "keep one of the two")
            elif node.flow_style and _is_bare(value) and self._fell_apart(key, before):
                continue
            else:
                before = found[name] = Entry(key, value)
        return found

    def _fell_apart(self, key: yaml.ScalarNode, before: Entry | None) -> bool:
        """Tell the traps of braces: a comma in plain words, a key written without its space."""
        text: str = key.value
        if ":" in text:
            name, _, rest = text.partition(":")
            self.say(key, f"“{text}” has no space after its colon", f"write {name}: {rest}")
            return True
        if before is not None and is_plain(before.value) and before.value.value:
            words = f"{before.value.value}, {text}"
            self.say(key, f"“{text}” stands alone: the comma before it ended the words", f"quote words that contain a comma: {before.key.value}: \"{words}\"")
            return True
        return False

    def known(
        self, node: yaml.Node, keys: Mapping[str, object], what: str
    ) -> dict[str, Entry] | None:
        """Entries of a mapping whose keys must be among ``keys``; others are told with the nearest."""
        found = self.entries(node, what)
        if found is None:
            return None
        for name in [name for name in found if name not in keys]:
            like = nearest(name, keys)
            hint = f"write {like}" if like else f"{what} knows {', '.join(keys)}"
            self.say(found.pop(name).key, f"{what} has no key “{name}”", hint)
        return found

    def text(self, node: yaml.Node, what: str) -> str | None:
        """A scalar's text; None, told, for anything else or nothing."""
        if not isinstance(node, yaml.ScalarNode):
            starts = {"[": "words that begin with [ need quotes", "{": "words that begin with { need quotes"}
            sign = self.source.text[node.start_mark.index : node.start_mark.index + 1]
            self.say(node, f"{what} is {kind_of(node)}, not a value", starts.get(sign, "write one value behind the colon"))
            return None
        if not node.value.strip():
            self.say(node, f"{what} has no value", self._empty_hint(node))
            return None
        self._warn_comment(node, what)
        return str(node.value)

    def _empty_hint(self, node: yaml.ScalarNode) -> str:
        line = self.source.lines[min(node.start_mark.line, len(self.source.lines) - 1)]
        if "#" in line[node.start_mark.column :] or " #" in line:
            return "what follows # is a comment: put the words in quotes"
        return "write a value, or leave the key out"

    def _warn_comment(self, node: yaml.ScalarNode, what: str) -> None:
        """Words cut by a # that was meant as a sign."""
        if "#" not in self.source.text or not is_plain(node):
            return
        line = self.source.lines[min(node.end_mark.line, len(self.source.lines) - 1)]
        rest = line[node.end_mark.column :].lstrip()
        if len(rest) > 1 and rest[0] == "#" and rest[1].isalnum():
            self.say(node, f"{what} ends before “{rest[:20]}”: # starts a comment", "quote words that contain #, or put a space behind it", level="warning")

    def value(self, node: yaml.Node, parse: Callable[[str], Value], what: str) -> Value | None:
        """A scalar read by ``parse``, whose Bad becomes a finding at the node."""
        text = self.text(node, what)
        if text is None:
            return None
        try:
            return parse(text)
        except Bad as bad:
            self.say(node, bad.message, bad.hint, rule=bad.rule)
            return None

    def key_value(self, key: yaml.ScalarNode, parse: Callable[[str], Value]) -> Value | None:
        """A key's own text read by ``parse``."""
        return self.value(key, parse, "a key")


def is_plain(node: yaml.Node) -> bool:
    """True for a scalar without quotes that is no block of lines."""
    return isinstance(node, yaml.ScalarNode) and not node.style


def _is_bare(node: yaml.Node) -> bool:
    return is_plain(node) and node.value == ""


def kind_of(node: yaml.Node) -> str:
    """What a node is, in words."""
    if isinstance(node, yaml.MappingNode):
        return "a group of keys"
    return "a list" if isinstance(node, yaml.SequenceNode) else "a value"
