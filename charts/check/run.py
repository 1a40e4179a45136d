"""Running the rules over a chart."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from charts.book import Book
from charts.check.subject import RULES, Subject
from charts.check.unknown import unknown
from charts.song import Song
from charts.source import ERROR, NOTE, WARNING, Finding
from charts.wording import many

MOST_LISTED = 200  # findings in one file: nobody reads more, and a broken file can hold thousands
_ORDER = {ERROR: 0, WARNING: 1, NOTE: 2}


def check_song(book: Book, song: Song) -> list[Finding]:
    """Everything the rules have to say about a song, by place in the file."""
    return in_order(_found(book, song))


def check_chart(book: Book, path: Path) -> list[Finding]:
    """What reading a chart found, and what the rules found in it; where it cannot be read, unknown names."""
    read = book.read_chart(path)
    if read.song is not None:
        return in_order(read.findings + _found(book, read.song))
    names = unknown(Subject(book, read.part)) if read.part else ()
    return in_order([*read.findings, *names])


def _found(book: Book, song: Song) -> list[Finding]:
    subject = Subject(book, song)
    return [finding for rule in RULES.rules.values() for finding in rule.check(subject)]


def in_order(findings: list[Finding]) -> list[Finding]:
    """By line and column, then the worse first; of very many the worst, with how many are left out."""
    kept = sorted(findings, key=lambda f: _ORDER[f.level])[:MOST_LISTED]
    found = sorted(
        kept, key=lambda f: (*((f.span.line, f.span.column) if f.span else (0, 0)), _ORDER[f.level], f.rule)
    )
    left_out = len(findings) - len(kept)
    if left_out:
        message = (
            f"{many(left_out, 'more finding')} in this file {'is' if left_out == 1 else 'are'} not listed"
        )
        more = replace(found[-1], message=message, hint="fix these first", caption="", lines=(), detail={})
        found.append(more)
    return found
