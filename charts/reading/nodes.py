"""YAML nodes with their places: read and compose a file, refuse what has no use here.

Only PyYAML's ``compose`` is used, without resolvers: every scalar stays the text that stands there.
"""

from __future__ import annotations

import errno
import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from charts.reading.doctor import diagnosed
from charts.source import ERROR, Finding, Source, Span
from charts.wording import control_in

MOST_BYTES = 1 << 20
MOST_LEVELS = 64
_READ = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
# composes without what a loader has for making values
_COMPOSER: Any = yaml.cyaml.CParser if yaml.__with_libyaml__ else yaml.SafeLoader  # type: ignore[attr-defined]


# a text without these can hold no anchor, alias, tag or escape, and is not nested too deep
_MARKS = {sign: re.compile(rf"\{sign}(?:(?<=^.)|(?<=[\s,\[{{:-].))", re.MULTILINE) for sign in "&*!"}
_DEEP = " " * 30
_MOST_BRACKETS = 30


class _Loader(_COMPOSER):  # type: ignore[misc]  # PyYAML's composer is chosen at run time
    """Resolves nothing: every scalar is a text. Without the resolver's look-ups composing is faster too."""

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:
        return _PLAIN

    def descend_resolver(self, current_node: Any, current_index: Any) -> None:
        """Paths mean nothing here."""

    def ascend_resolver(self) -> None:
        """Paths mean nothing here."""


_PLAIN = "tag:yaml.org,2002:str"


class Document(NamedTuple):
    """A composed file: its root node (None where it could not be composed) and what was wrong."""

    source: Source
    root: yaml.Node | None
    findings: list[Finding]


def read_source(path: Path, name: str) -> Source | Finding:
    """The file's text, or a finding that says why there is none."""
    try:
        data = file_bytes(path, MOST_BYTES + 1)
    except OSError as error:
        return _unread(
            name,
            f"cannot be read: {(error.strerror or 'unknown reason').lower()}",
            "see whether it is a file, and who may read it",
        )
    if len(data) > MOST_BYTES:
        return _unread(name, "is larger than 1 MiB", "one song, or one set list, a file; split it")
    return decode(data, name)


def file_bytes(path: Path, most: int) -> bytes:
    """The first bytes of a file; a pipe, which could keep us waiting for ever, is refused.

    :raises OSError: as ``open`` does, and where it is no file.
    """
    handle = os.open(path, _READ)
    try:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode):
            if stat.S_ISDIR(status.st_mode):
                raise OSError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
            raise OSError(errno.EINVAL, "it is a pipe or a device", str(path))
        return os.read(handle, min(status.st_size + 1, most) if status.st_size else most)
    finally:
        os.close(handle)


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
            "file",
            ERROR,
            f"byte {data[error.start]:#04x} is not UTF-8",
            Span(shown, line, column, column + 1),
            hint="save the file as UTF-8",
        )
    return Source(name, text.removeprefix("\ufeff"))


def _unread(name: str, message: str, hint: str) -> Finding:
    return Finding("file", ERROR, f"{name} {message}", Span(Source(name, ""), 1, 1, 1), hint=hint)


def compose(source: Source, wanted: str = "title, tempo, feel and form") -> Document:
    """Compose a text; syntax errors, aliases, tags, too many levels and empty files become findings.

    ``wanted`` is what an empty file should have.
    """
    try:
        loader = _Loader(source.text)
        try:
            root = loader.get_single_node()
        finally:
            loader.dispose()
    except (yaml.YAMLError, RecursionError, ValueError, OverflowError) as error:  # "\\UFFFFFFFF" is no sign
        return Document(source, None, [diagnosed(source, error)])
    if root is None:
        span = Span(source, 1, 1, 1)
        hint = f"write {wanted}, or remove the file"
        return Document(source, None, [Finding("file", ERROR, "this file is empty", span, hint)])
    findings = list(_refused(source, root)) if _may_be_refused(source.text) else []
    return Document(source, None if findings else root, findings)


def _may_be_refused(text: str) -> bool:
    """False where a glance at the text shows that there is nothing to refuse."""
    if "- - " in text or "-  " in text or _DEEP in text:
        return True
    if text.count("{") + text.count("[") > _MOST_BRACKETS:
        return True
    return "\\" in text or any(sign in text and mark.search(text) for sign, mark in _MARKS.items())


def _refused(source: Source, root: yaml.Node) -> Iterator[Finding]:
    """Aliases, anchors, tags and over-deep nesting."""
    seen: set[int] = set()
    level: list[yaml.Node] = [root]
    depth = 0
    while level:
        depth += 1
        if depth > MOST_LEVELS:
            yield Finding(
                "file",
                ERROR,
                f"nested more than {MOST_LEVELS} levels deep",
                NodeSpan(source, level[0]),
                hint="a chart needs five; look for a stray bracket or indent",
            )
            return
        below: list[yaml.Node] = []
        for node in level:
            yield from _marks(source, node, seen)
            if isinstance(node, yaml.MappingNode):
                for key, value in node.value:
                    below += (key, value)
            elif isinstance(node, yaml.SequenceNode):
                below += node.value
        level = list({id(node): node for node in below if id(node) not in seen}.values())


def _marks(source: Source, node: yaml.Node, seen: set[int]) -> Iterator[Finding]:
    first = source.text[node.start_mark.index : node.start_mark.index + 1]
    quoted = getattr(node, "style", None) in ("'", '"')
    seen.add(id(node))
    if first == "&" and not quoted:
        yield Finding(
            "file",
            ERROR,
            "anchors and aliases (& and *) have no use here",
            _first_line(source, node),
            hint="write the words out, in quotes where they begin with & or *",
        )
    elif first == "!" and not quoted:
        yield Finding(
            "file",
            ERROR,
            "tags (!) have no use here",
            _first_line(source, node),
            hint="put words that begin with ! in quotes",
        )
    control = control_in(node.value, "\t\n\r\x85") if quoted else None
    if control is not None:  # written as an escape: a terminal would obey it
        message = f"control character {control} in the text"
        yield Finding("file", ERROR, message, _first_line(source, node), hint="leave it out")


class NodeSpan(Span):
    """Where a node stands, worked out when somebody asks: most spans are only kept for an error.

    A node that runs over several lines is cut to its first. With a length it is a word of the node, which
    begins so far into its text.
    """

    __slots__ = ("_begin", "_length", "_node")

    def __init__(self, source: Source, node: yaml.Node, begin: int = 0, length: int = 0) -> None:
        self.source, self._node, self._begin, self._length = source, node, begin, length

    def __getattr__(self, name: str) -> Any:
        if name not in ("line", "column", "end_column"):
            raise AttributeError(name)
        found, node = _place_of(self.source, self._node), self._node
        self.line, self.column, self.end_column = found.line, found.column, found.end_column
        if self._length and node.start_mark.line == node.end_mark.line:
            self.column += self._begin + (1 if getattr(node, "style", None) else 0)  # behind its quote
            self.end_column = self.column + self._length
        return getattr(self, name)


def _place_of(source: Source, node: yaml.Node) -> Span:
    if source.has_odd_breaks:
        return _by_index(source, node.start_mark.index, node.end_mark.index)
    return _first_line(source, node)


def _first_line(source: Source, node: yaml.Node) -> Span:
    start, end = node.start_mark, node.end_mark
    stop = end.column if end.line == start.line else _length(source, start.line)
    return Span(source, start.line + 1, start.column + 1, max(stop, start.column + 1) + 1)


def _length(source: Source, line: int) -> int:
    return len(source.lines[line].rstrip()) if line < len(source.lines) else 0


def _by_index(source: Source, start: int, end: int) -> Span:
    line, column = source.place(start)
    stop = min(column + end - start, len(source.lines[line - 1]) + 1)
    return Span(source, line, column, max(stop, column + 1))


def is_plain(node: yaml.Node) -> bool:
    """True for a scalar without quotes that is no block of lines."""
    return isinstance(node, yaml.ScalarNode) and not node.style


def kind_of(node: yaml.Node) -> str:
    """What a node is, in words."""
    if isinstance(node, yaml.MappingNode):
        return "a group of keys"
    return "a list" if isinstance(node, yaml.SequenceNode) else "a value"
