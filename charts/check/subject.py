"""What a chart's rules look at: the song, and every fill at every place where it is played."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from charts.book import Book
from charts.check.registry import Registry
from charts.feel import Feel
from charts.fills import fill_feel, heard_at
from charts.fitting.hands import Playing, playable
from charts.fitting.known import plays
from charts.hearing import Heard
from charts.landing import CRASH_VOICES, landing_strokes, landing_voices
from charts.pattern import FILL, Stroke
from charts.placing import LaidFill, PlacedFill, lay_fill, place_fill
from charts.played import PlayedSection, played
from charts.song import FillUse, Section, Song
from charts.source import Finding, Span, Where
from charts.timing import Beat

RULES: Registry[Subject] = Registry("charts.check")
rule = RULES.rule


def where_written(use: FillUse) -> Hashable:
    """What tells the fills of a file apart, whichever sections inherit them."""
    return (use.span.line, use.span.column) if use.span else (use.owner, use.bar, use.name, use.pass_)


class Tune:
    """A song in its book, with the time it takes."""

    def __init__(self, book: Book, song: Song) -> None:
        self.book, self.song = book, song

    @cached_property
    def parts(self) -> tuple[PlayedSection, ...]:
        return played(self.song)


@dataclass(eq=False)
class Spot:
    """One place where a fill is played: which appearance, which pass."""

    tune: Tune
    index: int
    use: FillUse
    pass_: int

    @cached_property
    def section(self) -> Section:
        return self.tune.song.form[self.index]

    @cached_property
    def laid(self) -> LaidFill:
        """The fill over its beats, without time."""
        found = lay_fill(self.section, self.use, self.pass_)
        assert found is not None  # only fills whose pattern exists have spots
        return found

    @property
    def feel(self) -> Feel:
        """The feel that the fill is played in."""
        return fill_feel(self.tune.song.form, self.index, self.use, self.pass_)

    @cached_property
    def placed(self) -> PlacedFill:
        """The fill over its beats with their tempos and times."""
        found = place_fill(self.tune.parts[self.index], self.use, self.pass_)
        assert found is not None  # only fills whose pattern exists have spots
        return found

    @cached_property
    def under(self) -> tuple[tuple[Beat, Fraction], ...]:
        """Each beat's shape and its tempo where it starts; at one steady tempo no clock is needed."""
        if self.section.steady:
            return tuple((shape, self.section.tempo) for _, _, shape in self.laid.slots)
        return tuple((beat.beat, beat.tempo) for beat in self.placed.beats)

    @property
    def voices(self) -> tuple[str, ...]:
        """What is struck where the fill ends."""
        return landing_voices(self.tune.song.form, self.index, self.pass_, self.use)

    @cached_property
    def heard(self) -> Heard:
        """How the fill is heard there."""
        return self.heard_as(self.use)

    def heard_as(self, use: FillUse) -> Heard:
        """How the fill would be heard, were its use another one."""
        form, tolerance = self.tune.song.form, self.tune.book.settings.tolerance
        return heard_at(form, self.index, use, self.pass_, self.laid.pattern, self.under, tolerance)

    @cached_property
    def easy(self) -> bool:
        """True where hands and feet can play the fill and reach the most that it may have to land on."""
        if self.laid.pattern.kind != FILL:
            return False  # a groove taken for a fill runs into itself: to be looked at closely
        settings = self.tune.book.settings
        strokes = self.landing(self.voices if self.use.land_given else CRASH_VOICES)
        player = (settings.limits, settings.left_handed)
        return plays(self.laid.pattern, self.feel, self.under, *player, strokes)

    def landing(self, voices: tuple[str, ...]) -> tuple[Stroke, ...]:
        """Strokes on these voices where the fill ends."""
        return landing_strokes(self.use.landing, self.section.feel, self.under, voices)

    def playing(self, landing: tuple[Stroke, ...] = ()) -> Playing:
        """How hands and feet play the fill and what follows."""
        settings = self.tune.book.settings
        player = (settings.limits, settings.left_handed)
        return playable(self.laid.pattern, self.feel, self.under, *player, landing)

    @property
    def where(self) -> Where:
        bar, beat, _ = self.laid.slots[0]
        return Where(self.tune.song.title, None, self.section.name, self.pass_, bar, beat)

    def also(self) -> dict[str, object]:
        """The place in brief, for findings told at another one."""
        first_bar = 1 + sum(part.bars * part.times for part in self.tune.song.form[: self.index])
        bar = self.laid.slots[0][0]
        return {"section": self.section.name, "first_bar": first_bar, "pass": self.pass_, "bar": bar}


@dataclass(eq=False)
class WrittenFill:
    """A fill as it is in the file once, with every pass of every appearance that plays it."""

    spots: list[Spot]

    @property
    def use(self) -> FillUse:
        return self.spots[0].use


class Subject:
    """A song under check, in its book."""

    def __init__(self, book: Book, song: Song) -> None:
        self.book, self.song = book, song

    def after(self, index: int) -> Section | None:
        """The section that follows an appearance, if any."""
        form = self.song.form
        return form[index + 1] if index + 1 < len(form) else None

    @property
    def uses(self) -> list[FillUse]:
        """Every fill that is in the file, once."""
        found: dict[Hashable, FillUse] = {}
        for section in self.song.form:
            for use in section.fills:
                found.setdefault(where_written(use), use)
        return list(found.values())

    @cached_property
    def fills(self) -> list[WrittenFill]:
        """Every written fill that is played and whose pattern exists.

        They hold a tune of their own: did they lead back here, whole charts would wait to be collected.
        """
        tune = Tune(self.book, self.song)
        found: dict[Hashable, list[Spot]] = {}
        for index, section in enumerate(self.song.form):
            for use in section.fills:
                if use.pattern is not None:
                    spots = [Spot(tune, index, use, number) for number in use.passes(section.times)]
                    found.setdefault(where_written(use), []).extend(spots)
        return [WrittenFill(spots) for spots in found.values() if spots]

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
