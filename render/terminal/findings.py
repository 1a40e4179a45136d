"""Findings on the screen and as JSON: the music first, then the line of the file, then what to try."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator
from typing import Any, TextIO

from charts.source import ERROR, NOTE, WARNING, FeelmapError, Finding, Span
from render.terminal.ink import BOLD, CYAN, RED, YELLOW, Ink, columns, cut, folded_words, ink_for, write

PLAIN = Ink()
_COLORS = {ERROR: RED, WARNING: YELLOW, NOTE: CYAN}
_MARKS = {ERROR: ("✗", "x"), WARNING: ("!", "!"), NOTE: ("-", "-")}  # each with its plain letter
_DETAILS = ("fill", "feel", "tempo", "verdict", "offset_ms", "beats", "instead", "on_purpose", "also")
_COUNTS = " . "  # what only a row of counts has
_LEAST_ROOM = 20  # columns


def finding_lines(finding: Finding, width: int, ink: Ink = PLAIN, lines: bool = False) -> Iterator[str]:
    """One finding: the song, the place and what is wrong; the counts; the line of the file; what to try.

    With ``lines`` it begins with ``file:line:column:`` on one line, for editors and other programs.
    """
    span, message = finding.span, f"{_place(finding)}{finding.message}"
    if lines:
        where = f"{span.source.name}:{span.line}:{span.column}: " if span else ""
        yield f"{where}{ink(finding.level, BOLD, _COLORS[finding.level])}: {message}"
    else:
        mark = ink(ink.sign(*_MARKS[finding.level]), BOLD, _COLORS[finding.level])
        for number, line in enumerate(folded_words(message, width - 2)):
            yield f"  {line}" if number else f"{mark} {ink(line, BOLD)}"
    rows = finding.lines or ((("", finding.hint),) if finding.hint else ())
    counts = [row for row in rows if _COUNTS in row[1]]
    yield from _rows(counts, width)
    if span is not None:
        yield from _file_line(span, width, ink)
    yield from _rows([row for row in rows if row not in counts], width)


def _place(finding: Finding) -> str:
    """Where in the music, unless the message says so itself; of a file that is not a song yet, nothing."""
    where = finding.where
    if finding.caption:
        named = [where.song or where.setlist, where.section, finding.caption]
        return f"{', '.join(filter(None, named))}: "
    if not where.song or re.search(rf"(?<!\w){re.escape(where.song)}(?!\w)", finding.message):
        return ""
    return f"{where.song}: "


def _rows(rows: Iterable[tuple[str, str]], width: int) -> Iterator[str]:
    """Labels and words, folded under one another; a row of counts and a command to paste stay whole."""
    rows = list(rows)
    label_width = max((len(label) + 2 for label, _ in rows if label), default=0)
    indent = " " * (label_width + 4)
    room = max(_LEAST_ROOM, width - len(indent))
    for label, text in rows:
        counts, _, offsets = text.rpartition(" " * 5)
        first, *more = (
            [text] if text.startswith("feelmap ") or len(text) <= room else folded_words(text, room)
        )
        if len(text) > room and _COUNTS in text:
            first, more = (text, []) if not counts or _COUNTS in offsets else (counts, [])
        yield f"    {label:<{label_width}}{first}"
        yield from (indent + part for part in more)
        if first == counts:
            yield f"      {offsets}"


def _file_line(span: Span, width: int, ink: Ink) -> Iterator[str]:
    """The line of the file with its number, the words concerned in bold; a long line around them."""
    where = f"    {span.source.name}, line {span.line}"
    line = span.source.lines[span.line - 1] if span.line <= len(span.source.lines) else ""
    shown = line.replace("\t", " ").strip()
    if not shown:
        yield where
        return
    start = span.column - 1 - (len(line) - len(line.lstrip()))
    room = max(_LEAST_ROOM, width - 6)
    if len(shown) > room:
        left = max(0, min(start - room // 3, len(shown) - room))
        shown, start = shown[left : left + room], start - left
        shown = f"…{shown[1:]}" if left else shown
    end = start + max(1, span.end_column - span.column)
    if ink.colour and 0 <= start < len(shown):
        shown = shown[:start] + ink(shown[start:end], BOLD) + shown[end:]
    if len(where) + len(shown) + 3 <= width:
        yield f"{where}:  {shown}"
    else:
        yield from (f"{where}:", f"      {shown}")


def head_line(finding: Finding, width: int) -> str:
    """A finding's file, line and message, cut to that many columns."""
    place = f"{finding.span.source.name}:{finding.span.line}: " if finding.span else ""
    return cut(f"{place}{finding.message}", width, ink_for(sys.stderr))


def findings_lines(findings: Iterable[Finding], stream: TextIO, lines: bool | None = None) -> Iterator[str]:
    """All findings as a stream shows them, an empty line between two; ``lines`` by default in a pipe."""
    width, ink = columns(stream), ink_for(stream)
    for number, finding in enumerate(findings):
        if number:
            yield ""
        yield from finding_lines(finding, width, ink, not stream.isatty() if lines is None else lines)


def tell_error(error: FeelmapError) -> None:
    """Report on standard error why a command could not do its work."""
    stream = sys.stderr
    width = columns(stream)
    said = f"feelmap: {error.message}"
    lines = folded_words(said, width, "  ") if stream.isatty() and "\n" not in said else [said]
    lines[0] = lines[0].replace("feelmap:", ink_for(stream)("feelmap:", BOLD), 1)
    hint = [f"  {line}" for line in folded_words(error.hint, max(_LEAST_ROOM, width - 2))]
    write([*findings_lines(error.findings, stream), *lines, *hint], stream)


def finding_json(finding: Finding) -> dict[str, Any]:
    """One finding as ``check --json`` gives it; every key is there, null where it does not apply."""
    span, where = finding.span, finding.where
    return {
        "rule": finding.rule,
        "level": finding.level,
        "file": span.source.name if span else None,
        "line": span.line if span else None,
        "column": span.column if span else None,
        "end_column": span.end_column if span else None,
        "song": where.song,
        "setlist": where.setlist,
        "section": where.section,
        "pass": where.pass_,
        "bar": where.bar,
        "beat": where.beat,
        "message": finding.message,
        "hint": finding.hint or None,
        **{key: finding.detail.get(key) for key in _DETAILS},
    }
