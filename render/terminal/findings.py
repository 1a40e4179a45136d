"""Findings on the screen and as JSON: one look for every message."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from typing import Any, TextIO

from charts.source import ERROR, NOTE, WARNING, FeelmapError, Finding, Span
from render.terminal.ink import BOLD, CYAN, RED, YELLOW, Ink, cells, columns, cut, ink_for, write

PLAIN = Ink()
_COLOURS = {ERROR: RED, WARNING: YELLOW, NOTE: CYAN}
_DETAILS = ("fill", "feel", "tempo", "verdict", "offset_ms", "beats", "instead", "on_purpose", "also")


def finding_lines(finding: Finding, width: int, ink: Ink = PLAIN, fold: bool = False) -> Iterator[str]:
    """One finding: its place and message, the line with a caret, then what helps.

    ``fold`` breaks a long first line at words, for eyes; without it a program finds it on one line.
    """

    span = finding.span
    place = f"{span.source.name}:{span.line}:{span.column}: " if span else ""
    level = f"{finding.level}[{finding.rule}]"
    first = f"{place}{level}: {finding.message}"
    painted = ink(level, BOLD, _COLOURS[finding.level])
    for line in _wrapped("", first, width, 4) if fold else (first,):
        yield line.replace(level, painted, 1)
    gutter = max(5, len(str(span.line)) + 1 if span else 5)
    if span is not None and span.line <= len(span.source.lines) and span.source.lines[span.line - 1].strip():
        yield from _excerpt(span, finding.caption, gutter, width, ink, _COLOURS[finding.level])
    rows = finding.lines or ((("", finding.hint),) if finding.hint else ())
    label_width = max((len(label) for label, _ in rows), default=0)
    for label, text in rows:
        padded = f"{label:<{label_width}}   {text}" if label else text
        yield from _wrapped(f"{'':{gutter}} = ", padded, width, label_width + 3 if label else 0)


def head_line(finding: Finding, width: int) -> str:
    """A finding's place and message, cut to so many columns."""
    place = f"{finding.span.source.name}:{finding.span.line}: " if finding.span else ""
    return cut(f"{place}{finding.message}", width, ink_for(sys.stderr))


def _excerpt(span: Span, caption: str, gutter: int, width: int, ink: Ink, colour: str) -> Iterator[str]:
    """The source line and the caret under it; a long line is cut to a window around the place."""
    line = span.source.lines[span.line - 1].replace("\t", " ")
    room = max(20, width - gutter - 3)
    start = 0
    if len(line) > room and span.column - 1 > room // 2:
        start = min(span.column - 1 - room // 3, len(line) - room)
    shown = line[start : start + room]
    if start:
        shown = "…" + shown[1:]
    carets = min(max(1, span.end_column - span.column), max(1, len(shown) - (span.column - 1 - start)))
    yield f"{span.line:>{gutter}} | {shown}"
    before = " " * cells(shown[: span.column - 1 - start])
    beside = len(before) + carets + 1 + len(caption) <= room
    yield f"{'':{gutter}} | {before}{ink('^' * carets, colour)}{' ' + caption if caption and beside else ''}"
    if caption and not beside:
        yield f"{'':{gutter}} | {caption}"


_AT_SPACES: Any = {"break_long_words": False, "break_on_hyphens": False}
_COUNTS, _BEFORE_OFFSETS = " . ", " " * 5  # a row of counts, and what parts it from its offsets


def _wrapped(lead: str, text: str, width: int, indent: int) -> Iterator[str]:
    """A help line folded at words, its counts and rows left as they stand."""
    room = max(20, width - len(lead))
    if len(text) <= room or _COUNTS in text.rpartition(_BEFORE_OFFSETS)[2]:
        yield lead + text
        return
    import textwrap

    counts, gap, offsets = text.rpartition(_BEFORE_OFFSETS)
    parts = textwrap.wrap(text, room, subsequent_indent=" " * indent, **_AT_SPACES)
    if gap and _COUNTS in counts and _COUNTS not in offsets:
        parts = [counts, " " * indent + offsets]
    for number, part in enumerate(parts):
        yield (lead if not number else " " * len(lead)) + part


def findings_lines(findings: Iterable[Finding], stream: TextIO) -> Iterator[str]:
    """All findings as a stream shows them, an empty line between two."""
    width, ink = columns(stream), ink_for(stream)
    for number, finding in enumerate(findings):
        if number:
            yield ""
        yield from finding_lines(finding, width, ink, stream.isatty())


def tell_error(error: FeelmapError) -> None:
    """Say on standard error why a command could not do its work."""
    stream = sys.stderr
    width = columns(stream)
    said = f"feelmap: {error.message}"
    lines = list(_wrapped("", said, width, 2)) if stream.isatty() and "\n" not in said else [said]
    lines[0] = lines[0].replace("feelmap:", ink_for(stream)("feelmap:", BOLD), 1)
    hint = _wrapped("  ", error.hint, width, 0) if error.hint else ()
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
