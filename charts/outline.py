"""The form as it is read on stage: a row for what is played alike, and what changes where a row begins."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from charts.equations import Equation, equation
from charts.feel import Feel
from charts.played import PlayedSection
from charts.song import EACH, Section, Song
from charts.timing import Meter

TEMPO, FEEL, METER, GROOVE = "tempo", "feel", "meter", "groove"
DEPARTS, RETURNS = "departs", "returns"  # from the song's own, and to it


@dataclass(frozen=True)
class Row:
    """Neighbors that are played alike, and what is new where they begin: it departs or returns."""

    parts: tuple[PlayedSection, ...]
    changes: Mapping[str, str]
    equation: Equation | None = None  # of the notes of the tempo before and of this one

    @property
    def part(self) -> PlayedSection:
        """The first of them, which stands for all."""
        return self.parts[0]

    @property
    def section(self) -> Section:
        return self.part.section

    @property
    def times(self) -> int:
        """How often the bars are played."""
        return sum(part.section.times for part in self.parts)

    @property
    def name(self) -> str:
        """The section's name; where several share the row, each once."""
        return " · ".join(dict.fromkeys(part.section.name for part in self.parts))


def outline(song: Song, parts: Sequence[PlayedSection]) -> list[Row]:
    """A row for each section as played, equal neighbors in one.

    ``Tag (2) x2, Tag`` is one row of four times: a player counts how often the bars come, not how the chart
    writes it. Neighbors stay apart where one time through differs from another: by a fill on the last time,
    an open end, a tempo that changes on the way.
    """
    return _rows(song, groupby(parts, lambda part: (part.section.name, _alike(part))))


def condensed(song: Song, parts: Sequence[PlayedSection]) -> list[Row]:
    """The same with neighbors that differ only in their names in one row too."""
    return _rows(song, groupby(parts, _alike))


def _alike(part: PlayedSection) -> object:
    """What is equal in two sections that can share a row; for one that is alone, its place."""
    section = part.section
    differs = any(len(use.passes(section.times)) < section.times for use in section.fills)
    if section.open or section.tempo_to is not None or section.tempos or differs:
        return part.index
    fills = tuple(replace(use, pass_=EACH) for use in section.fills)
    return replace(section, name="", like="", times=1, tempo_given=False, feel_given=False, fills=fills)


def _rows(song: Song, groups: Iterable[tuple[object, Iterable[PlayedSection]]]) -> list[Row]:
    home = before = _facts(song.feel, song.meter, song.tempo, song.groove)
    rows: list[Row] = []
    for _, group in groups:
        first, *others = group
        section = first.section
        here = _facts(section.feel, section.meter, section.tempo, section.groove)
        equal = equation_into(rows[-1].parts[-1], section) if rows else None
        rows.append(Row((first, *others), _changes(section, here, before, home), equal))
        before = _facts(section.feel, section.meter, first.clock.last_tempo, section.groove)
    return rows


def equation_into(before: PlayedSection, section: Section) -> Equation | None:
    """The equation of notes from the end of one section to the next, where their tempos are related."""
    return equation(before.section, before.clock.last_tempo, section)


def _facts(feel: Feel, meter: Meter, tempo: Fraction, groove: str) -> dict[str, object]:
    """What is in force, by its name; a tempo of another note is another one."""
    return {TEMPO: (tempo, meter.unit_quarters), FEEL: feel, METER: meter, GROOVE: groove}


def _changes(
    section: Section, here: dict[str, object], before: dict[str, object], home: dict[str, object]
) -> dict[str, str]:
    """What is not as it was; a groove that the chart does not name is not news."""
    new = {what for what in here if here[what] != before[what] and (what != GROOVE or section.groove)}
    found = {what: RETURNS if here[what] == home[what] else DEPARTS for what in here if what in new}
    return found if section.tempo_to is None else {**found, TEMPO: DEPARTS}
