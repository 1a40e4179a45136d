"""YAML nodes with their places: read and compose a file, refuse what has no use here.

Only PyYAML's ``compose`` is used, without resolvers: every scalar stays the text that is there.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from charts.reading.doctor import Slip, diagnosed
from charts.source import ERROR, Finding, Source, Span
from charts.wording import control_in

MOST_BYTES = 1 << 20
MOST_LEVELS = 64
_TOO_DEEP = (
    f"nested more than {MOST_LEVELS} levels deep",
    "a chart needs five; look for a stray bracket or indent",
)
_READ = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
# composes without what a loader has for making values
_COMPOSER: Any = yaml.cyaml.CParser if yaml.__with_libyaml__ else yaml.SafeLoader  # type: ignore[attr-defined]


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

    :raises OSError: as ``open`` does, and where it is not a file.
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
    findings = list(_refused(source))
    return Document(source, None if findings else root, findings)


def _refused(source: Source) -> Iterator[Finding]:
    """Anchors with their aliases, tags, escaped control characters and over-deep nesting."""
    depth = 0
    event: Any  # what an event has varies by its kind
    for event in yaml.parse(source.text, Loader=_Loader):
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        slip = _TOO_DEEP if depth > MOST_LEVELS else _slip_of(event)
        if slip is not None:
            start, end = event.start_mark, event.end_mark
            yield Finding("file", ERROR, slip[0], source.span(start.index, end.index), slip[1])
        if slip is _TOO_DEEP:
            return


def _slip_of(event: Any) -> Slip | None:
    if getattr(event, "anchor", None) and not isinstance(event, yaml.AliasEvent):
        hint = "write the words out, in quotes where they begin with & or *"
        return "anchors and aliases (& and *) have no use here", hint
    if getattr(event, "tag", None):
        return "tags (!) have no use here", "put words that begin with ! in quotes"
    if isinstance(event, yaml.ScalarEvent) and event.style in ("'", '"'):  # a terminal would obey an escape
        control = control_in(event.value, "\t\n\r\x85")
        return (f"control character {control} in the text", "leave it out") if control else None
    return None


def span_of(source: Source, node: yaml.Node, begin: int = 0, length: int = 0) -> Span:
    """Where a node is; with a length, a word of it that begins so far into its text."""
    start, end = node.start_mark, node.end_mark
    if not length or start.line != end.line:
        return source.span(start.index, end.index)
    first = start.index + begin + (1 if getattr(node, "style", None) else 0)  # after its quote
    return source.span(first, first + length)


def is_plain(node: yaml.Node) -> bool:
    """True for a scalar without quotes that is not a block of lines."""
    return isinstance(node, yaml.ScalarNode) and not node.style


def kind_of(node: yaml.Node) -> str:
    """What a node is, in words."""
    if isinstance(node, yaml.MappingNode):
        return "a group of keys"
    return "a list" if isinstance(node, yaml.SequenceNode) else "a value"
