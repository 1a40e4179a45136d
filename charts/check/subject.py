"""What a chart's rules look at: the song, and every fill at every place where it is played."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from charts.book import Book
from charts.check.registry import Registry
from charts.placing import LaidFill, PlacedFill, lay_fill, place_fill
from charts.played import PlayedSection, played
from charts.song import FillUse, Section, Song
from charts.source import Finding, Span, Where
from charts.timing import Beat

RULES: Registry[Subject] = Registry("charts.check")
rule = RULES.rule


@dataclass(frozen=True)
class Spot:
    """One place where a fill is played: which appearance, which pass."""

    subject: Subject
    index: int
    use: FillUse
    pass_: int

    @property
    def section(self) -> Section:
        return self.subject.song.form[self.index]

    @cached_property
    def laid(self) -> LaidFill:
        """The fill over its beats, without time."""
        found = lay_fill(self.section, self.use, self.pass_)
        assert found is not None  # only fills whose pattern exists have spots
        return found

    @cached_property
    def placed(self) -> PlacedFill:
        """The fill over its beats with their tempi and times."""
        found = place_fill(self.subject.parts[self.index], self.use, self.pass_)
        assert found is not None  # only fills whose pattern exists have spots
        return found

    @cached_property
    def under(self) -> tuple[tuple[Beat, Fraction], ...]:
        """Each beat's shape and its tempo where it starts; at one steady tempo no clock is needed."""
        if self.section.steady:
            return tuple([(shape, self.section.tempo) for _, _, shape in self.laid.slots])
        return tuple((beat.beat, beat.tempo) for beat in self.placed.beats)

    @property
    def where(self) -> Where:
        bar, beat, _ = self.laid.slots[0]
        return Where(self.subject.song.title, None, self.section.name, self.pass_, bar, beat)

    def also(self) -> dict[str, object]:
        """The place in brief, for findings told at another one."""
        first_bar = self.subject.parts[self.index].first_bar
        bar = self.laid.slots[0][0]
        return {"section": self.section.name, "first_bar": first_bar, "pass": self.pass_, "bar": bar}


@dataclass(frozen=True)
class WrittenFill:
    """A fill as it stands in the file once, with every appearance that plays it."""

    subject: Subject
    appearances: tuple[tuple[int, FillUse], ...]

    @property
    def use(self) -> FillUse:
        return self.appearances[0][1]

    @cached_property
    def spots(self) -> tuple[Spot, ...]:
        """Every pass of every appearance."""
        form = self.subject.song.form
        return tuple(
            Spot(self.subject, index, use, number)
            for index, use in self.appearances
            for number in range(1, form[index].times + 1)
            if use.on_pass(number, form[index].times)
        )

    @cached_property
    def distinct(self) -> tuple[Spot, ...]:
        """The spots that can differ: repeats of a section are one, passes at one tempo are one."""
        seen: set[int] = set()
        found: list[Spot] = []
        for index, use in self.appearances:
            section = self.subject.song.form[index]
            if id(section) in seen and not use.sets_up_next:
                continue
            seen.add(id(section))
            passes = [n for n in range(1, section.times + 1) if use.on_pass(n, section.times)]
            some = passes if len(passes) < 3 or not section.steady else [passes[0], passes[-1]]
            found += [Spot(self.subject, index, use, number) for number in some]
        return tuple(found)


class Subject:
    """A song under check, in its book."""

    def __init__(self, book: Book, song: Song) -> None:
        self.book, self.song = book, song

    @cached_property
    def parts(self) -> tuple[PlayedSection, ...]:
        return played(self.song)

    def after(self, index: int) -> Section | None:
        """The section that follows an appearance, if any."""
        form = self.song.form
        return form[index + 1] if index + 1 < len(form) else None

    @cached_property
    def uses(self) -> tuple[FillUse, ...]:
        """Every fill that stands in the file, once."""
        found: dict[object, FillUse] = {}
        for section in self.song.form:
            for use in section.fills:
                found.setdefault(_written_at(use), use)
        return tuple(found.values())

    @cached_property
    def fills(self) -> tuple[WrittenFill, ...]:
        """Every written fill whose pattern exists."""
        found: dict[object, list[tuple[int, FillUse]]] = {}
        for index, section in enumerate(self.song.form):
            for use in section.fills:
                if use.pattern is not None and use.on_any_pass(section.times):
                    found.setdefault(_written_at(use), []).append((index, use))
        return tuple(WrittenFill(self, tuple(appearances)) for appearances in found.values())

    def finding(
        self,
        rule: str,
        level: str,
        span: Span | None,
        message: str,
        hint: str,
        section: Section | None = None,
    ) -> Finding:
        """A finding on the song or on one of its sections."""
        where = Where(self.song.title, None, section.name if section else None)
        return Finding(
            rule, level, message, span or (section.span if section else self.song.span), hint, where
        )


def _written_at(use: FillUse) -> object:
    span = use.span
    return (span.line, span.column) if span else id(use)
