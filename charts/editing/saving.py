"""A new fill put into a book's fills file: one piece of text goes in, every other character stays."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path

import yaml

from charts.book import FILLS, Book
from charts.editing.files import as_bytes, read_whole
from charts.editing.layout import tree_of
from charts.pattern import Pattern
from charts.quoting import scalar
from charts.reading.files import read_pattern_file
from charts.reading.nodes import compose
from charts.reading.patterns import KIND_OF
from charts.rows import write_rows
from charts.source import FeelmapError, Source
from charts.vocabularies import BOOK_ORIGIN, PatternTable
from charts.wording import control_in
from charts.writing import write_over

NEW_FILE = "fills.yaml"
KEYS = {kind: key for key, kind in KIND_OF.items()}
_HEADER = re.compile(r"[ \t]*:[ \t]*(?:#[^\n\r]*)?(?=[\n\r]|\Z)")
_BREAK = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True)
class Saved:
    """Where a fill now is: the file as messages call it, and its line from 1."""

    file: str
    line: int


def save_fill(book: Book, pattern: Pattern, name: str) -> Saved:
    """Put a fill under a new name into the file it came from, else the book's first, else a new one.

    :raises FeelmapError: there is no book, the name is taken or cannot be one, the file cannot take it.
    """
    assert book.root is not None  # the command has asked for a book
    name = " ".join(name.split())
    if not name or control_in(name):
        raise FeelmapError("a fill needs a name in plain words", 'write --save "stairs in pairs"')
    taken = book.patterns.entry(name)
    if taken is not None:
        where = taken.span.source.name
        raise FeelmapError(f"{taken.name} is already there, in {where}", "choose another name")
    path = _file(book, pattern)
    was_there = path.exists()
    old = read_whole(path, book.name_of(path)) if was_there else Source(book.name_of(path), "")
    new = replace(pattern, name=name, tempo=None)
    text, start = with_fill(old, new)
    write_over(path, as_bytes(path, old.text) if was_there else None, as_bytes(path, text))
    return Saved(old.name, len(_BREAK.findall(text[:start])) + 1)


def _file(book: Book, pattern: Pattern) -> Path:
    paths = book.paths(FILLS)
    if pattern.origin == BOOK_ORIGIN and pattern.span is not None:
        own = next((path for path in paths if book.name_of(path) == pattern.span.source.name), None)
        if own is not None:
            return own
    assert book.root is not None  # asked above
    usual = book.root / FILLS / NEW_FILE
    return usual if usual in paths or not paths else paths[0]


def with_fill(source: Source, pattern: Pattern) -> tuple[str, int]:
    """The file's text with one more fill, and where that begins.

    >>> print(with_fill(Source("fills.yaml", ""), Pattern("two", "fill", 1, ()))[0], end="")
    fills:
      two:
        rows: |
          SD .
    """
    start, before, entry, after = _insertion(source, pattern)
    text = source.text[:start] + before + entry + after + source.text[start:]
    _check(source, text, pattern)
    return text, start + len(before)


_Insertion = tuple[int, str, str, str]  # where, what is before the fill, the fill, what is after it


def _insertion(source: Source, pattern: Pattern) -> _Insertion:
    text, top = source.text, KEYS[pattern.kind]
    newline = (_BREAK.search(text) or ["\n"])[0]
    if not any(line.strip() and not line.lstrip().startswith("#") for line in source.lines):
        lead = newline if text and not text.endswith(("\n", "\r")) else ""
        return len(text), f"{lead}{top}:{newline}  ", _block(pattern, "  ", newline), newline
    root = _root(source)
    pair = next(((key, value) for key, value in root.value if key.value == top), None)
    if pair is None:
        return _new_key(root, pattern, newline)
    key, value = pair
    if getattr(value, "flow_style", False):
        return value.start_mark.index + 1, "", _flow(pattern), ", " if value.value else ""
    header = _HEADER.match(text, key.end_mark.index)
    if header is None or root.flow_style:
        raise FeelmapError(f"{source.name} leaves no safe place for a fill", "write it into the file by hand")
    first = value.value[0][0].start_mark if isinstance(value, yaml.MappingNode) else None
    indent = " " * (first.column if first else key.start_mark.column + 2)
    return header.end(), newline + indent, _block(pattern, indent, newline), ""


def _new_key(root: yaml.MappingNode, pattern: Pattern, newline: str) -> _Insertion:
    """A file that has no fills yet gets them before its first key."""
    if root.flow_style:
        return root.start_mark.index + 1, f"{KEYS[pattern.kind]}: {{", _flow(pattern), "}, "
    first = root.value[0][0].start_mark
    margin = " " * first.column
    indent = margin + "  "
    before = f"{KEYS[pattern.kind]}:{newline}{indent}"
    return first.index, before, _block(pattern, indent, newline), newline + margin


def _root(source: Source) -> yaml.MappingNode:
    document = compose(source)
    errors = tuple(finding for finding in document.findings if finding.is_error)
    if not isinstance(document.root, yaml.MappingNode) or not document.root.value:
        hint = "the messages above say why" if errors else "it has to begin with fills: and the fills by name"
        raise FeelmapError(f"{source.name} cannot be read", hint, errors)
    return document.root


def _key(pattern: Pattern, flow: bool) -> str:
    return f"{scalar(pattern.name, flow=flow)}:"


def _facts(pattern: Pattern, flow: bool) -> list[str]:
    """The keys besides the rows, as the file writes them."""
    facts = [("suits", pattern.suits)] if pattern.suits else []
    facts += [("place", pattern.place)] if pattern.place else []
    if pattern.meter is not None:
        facts.append(("meter", str(pattern.meter)))
    facts += [("written", "straight"), ("played", "swung")] if pattern.swung else []
    written = [f"{key}: {scalar(value, flow=flow, typed=True)}" for key, value in facts]
    feels = ", ".join(scalar(feel, flow=True, typed=True) for feel in pattern.feels)
    return [*written, f"feels: [{feels}]"] if feels else written


def _block(pattern: Pattern, indent: str, newline: str) -> str:
    """The fill on lines of its own, all but the first indented."""
    lines = [_key(pattern, flow=False)]
    lines += [f"  {fact}" for fact in _facts(pattern, flow=False)]
    lines += ["  rows: |", *(f"    {row}" for row in write_rows(pattern).splitlines())]
    return (newline + indent).join(lines)


def _flow(pattern: Pattern) -> str:
    rows = write_rows(pattern).rstrip("\n").replace("\n", "\\n")
    keys = [*_facts(pattern, flow=True), f'rows: "{rows}"']
    return f"{_key(pattern, flow=True)} {{{', '.join(keys)}}}"


def _check(old: Source, text: str, pattern: Pattern) -> None:
    """The new text says what the old one said, and the fill."""
    new = read_pattern_file(Source(old.name, text), BOOK_ORIGIN)
    was = read_pattern_file(old, BOOK_ORIGIN).entries if old.text.strip() else []
    said = {(entry.kind, entry.name): tree_of(entry.node) for entry in was}
    now = {(entry.kind, entry.name): tree_of(entry.node) for entry in new.entries}
    added = now.pop((pattern.kind, pattern.name), None)
    if added is None or now != said or PatternTable([new]).get(pattern.name) != pattern:
        raise FeelmapError(f"{old.name} would not read back as meant", "write the fill into the file by hand")
