"""What a chart's rules look at: the song, and every fill at every place where it is played."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from charts.book import Book
from charts.check.registry import Registry
from charts.placing import PlacedFill, place_fill
from charts.played import PlayedSection, played
from charts.song import FillUse, Section, Song
from charts.source import Finding, Span, Where

RULES: Registry[Subject] = Registry("charts.check")
rule = RULES.rule


@dataclass(frozen=True)
class Spot:
    """One place where a fill is played: which appearance, which pass."""

    part: PlayedSection
    use: FillUse
    pass_: int

    @cached_property
    def placed(self) -> PlacedFill:
        """The fill laid over its beats; only for a fill whose pattern exists."""
        found = place_fill(self.part, self.use, self.pass_)
        assert found is not None  # the rules pass over names without a pattern
        return found

    def where(self, song: Song) -> Where:
        first = self.placed.beats[0]
        return Where(song.title, None, self.part.section.name, self.pass_, first.bar, first.number)

    def also(self) -> dict[str, object]:
        """The place in brief, for findings told at another one."""
        return {
            "section": self.part.section.name,
            "first_bar": self.part.first_bar,
            "pass": self.pass_,
            "bar": self.placed.beats[0].bar,
        }


@dataclass(frozen=True)
class WrittenFill:
    """A fill as it stands in the file once, and every spot that plays it."""

    use: FillUse
    spots: tuple[Spot, ...]


class Subject:
    """A song under check, in its book."""

    def __init__(self, book: Book, song: Song) -> None:
        self.book, self.song = book, song

    @cached_property
    def parts(self) -> tuple[PlayedSection, ...]:
        return played(self.song)

    def after(self, part: PlayedSection) -> Section | None:
        """The section that follows, if any."""
        form = self.song.form
        return form[part.index + 1] if part.index + 1 < len(form) else None

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
        """Every fill that exists, with all the places that play it."""
        if not any(section.fills for section in self.song.form):
            return ()
        found: dict[object, list[Spot]] = {}
        for part in self.parts:
            for use in part.section.fills:
                if use.pattern is not None:
                    times = part.section.times
                    spots = [Spot(part, use, n) for n in range(1, times + 1) if use.on_pass(n, times)]
                    found.setdefault(_written_at(use), []).extend(spots)
        return tuple(WrittenFill(spots[0].use, tuple(spots)) for spots in found.values() if spots)

    def where(self, section: Section) -> Where:
        """The place of a finding on a whole section."""
        return Where(self.song.title, None, section.name)

    def finding(
        self,
        rule: str,
        level: str,
        span: Span | None,
        message: str,
        hint: str,
        section: Section | None = None,
        caption: str = "",
    ) -> Finding:
        """A finding on the song or on one of its sections."""
        where = self.where(section) if section else Where(self.song.title)
        return Finding(
            rule, level, message, span or (section.span if section else self.song.span), hint, where, caption
        )


def _written_at(use: FillUse) -> object:
    span = use.span
    return (span.line, span.column) if span else id(use)
