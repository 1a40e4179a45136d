"""A set list as read: songs in order, breaks, times, and what a song does differently at this gig."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, time
from fractions import Fraction
from pathlib import Path

from charts.feel import Feel
from charts.song import CountIn, nowhere
from charts.source import Span

BETWEEN = Fraction(20)  # seconds of talk and changeover unless the set list says otherwise


@dataclass(frozen=True)
class Changes:
    """What one song does differently at this gig; lengths in seconds, None where the chart holds."""

    tempo: Fraction | None = None
    key: str = ""
    feel: Feel | None = None
    notes: str = ""
    segue: bool = False
    between: Fraction | None = None
    count_in: CountIn | None = None
    skip: tuple[str, ...] = ()
    length: Fraction | None = None


@dataclass(frozen=True)
class NameProblem:
    """What is wrong with the name of a song, and what to write instead."""

    level: str
    message: str
    hint: str


@dataclass(frozen=True)
class SongItem:
    """One song of a set, by the name that is there; ``path`` is its chart, if it has one."""

    name: str
    span: Span
    changes: Changes = Changes()
    path: Path | None = None
    problem: NameProblem | None = None
    span_of: Callable[[str], Span | None] = field(default=nowhere, compare=False, repr=False)


@dataclass(frozen=True)
class SongSet:
    """A set: its songs, its slot in seconds, and its own start where it has one."""

    name: str
    items: tuple[SongItem, ...]
    span: Span
    length: Fraction | None = None
    start: time | None = None
    span_of: Callable[[str], Span | None] = field(default=nowhere, compare=False, repr=False)


@dataclass(frozen=True)
class Break:
    """A break between two sets."""

    seconds: Fraction
    span: Span


@dataclass(frozen=True)
class SetList:
    """One gig: sets and breaks in order, and what holds for all of them."""

    gig: str
    parts: tuple[SongSet | Break, ...]
    span: Span
    date: date | None = None
    start: time | None = None
    ends: time | None = None
    between: Fraction = BETWEEN
    file: str = field(default="", compare=False)
    span_of: Callable[[str], Span | None] = field(default=nowhere, compare=False, repr=False)

    @property
    def sets(self) -> tuple[SongSet, ...]:
        """The sets without the breaks."""
        return tuple(part for part in self.parts if isinstance(part, SongSet))

    def items(self) -> Iterator[SongItem]:
        """Every song in order."""
        return (item for part in self.sets for item in part.items)
