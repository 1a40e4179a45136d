"""Where something is in a file, and what is wrong with it.

Errors are values: readers and rules collect :class:`Finding` objects, one place prints them.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, NamedTuple

ERROR, WARNING, NOTE = "error", "warning", "note"


@dataclass(frozen=True, eq=False)
class Source:
    """A text that was read; ``name`` is what messages call it."""

    name: str
    text: str

    @cached_property
    def lines(self) -> list[str]:
        """Lines as YAML counts them: only CR, LF and CR LF end one in a message."""
        return self.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")

    @cached_property
    def _starts(self) -> list[int]:
        return [0, *(found.end() for found in re.finditer(r"\r\n|\r|\n", self.text))]

    def span(self, start: int, end: int) -> Span:
        """The stretch between two characters, cut to its first line; at least one character."""
        line = bisect_right(self._starts, start)
        column = start - self._starts[line - 1] + 1
        stop = min(column + end - start, len(self.lines[line - 1].rstrip()) + 1)
        return Span(self, line, column, max(stop, column + 1))


class Span(NamedTuple):
    """A stretch of one line, counted from 1; ``end_column`` is one past the last character."""

    source: Source
    line: int
    column: int
    end_column: int

    def __repr__(self) -> str:
        return f"Span({self.source.name}:{self.line}:{self.column}-{self.end_column})"

    @property
    def text(self) -> str:
        """The words that are there."""
        lines = self.source.lines
        return lines[self.line - 1][self.column - 1 : self.end_column - 1] if self.line <= len(lines) else ""


class Where(NamedTuple):
    """The musical place of a finding; None where it does not apply."""

    song: str | None = None
    setlist: str | None = None
    section: str | None = None
    pass_: int | None = None
    bar: int | None = None
    beat: int | None = None


NOWHERE = Where()


@dataclass(slots=True)
class Finding:
    """One thing found wrong or worth knowing.

    ``message`` is lower case without full stop; ``caption`` is after the caret; ``lines`` are pairs
    (label, text) printed beneath; ``hint`` says what to write instead; ``detail`` holds further JSON keys;
    ``short`` says it in a few words where there is no room, as on the set sheet.
    """

    rule: str
    level: str
    message: str
    span: Span | None
    hint: str = ""
    where: Where = NOWHERE
    caption: str = ""
    lines: tuple[tuple[str, str], ...] = ()
    detail: dict[str, Any] = field(default_factory=dict)
    short: str = ""

    @property
    def is_error(self) -> bool:
        return self.level == ERROR

    def at(self, where: Where) -> Finding:
        """The same finding with its musical place."""
        return replace(self, where=where)


class FeelmapError(Exception):
    """The command cannot do its work (exit 2); carries the findings that say why."""

    def __init__(self, message: str, hint: str = "", findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(message)
        self.message, self.hint, self.findings = message, hint, findings


def unreadable(name: str, findings: Iterable[Finding]) -> FeelmapError:
    """The error of a file that cannot be read, with the errors that say why."""
    errors = tuple(finding for finding in findings if finding.is_error)
    return FeelmapError(f"{name} cannot be read", "the messages above say why", errors)


class UnknownName(FeelmapError):
    """Nothing is called that; ``near`` is the nearest name there is, ``otherwise`` what to do without one."""

    def __init__(self, noun: str, name: str, near: str | None, otherwise: str) -> None:
        super().__init__(f"no {noun} is called “{name}”", f"did you mean {near}?" if near else otherwise)
        self.near = near
