"""The fills of a song: which is which, and the feel that each is played in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.feel import Feel, plain_name
from charts.hearing import Heard, Under, hear, hear_next
from charts.landing import struck_after
from charts.pattern import Pattern
from charts.placing import PlacedFill, place_fill
from charts.played import PlayedSection
from charts.song import FillUse, Section, Song


@dataclass(frozen=True)
class Fill:
    """A fill of a song, however often it is used.

    ``number`` counts from 1 by first appearance in the form; ``pattern`` is None where there is no such one.
    """

    number: int
    title: str
    pattern: Pattern | None

    @property
    def numbered(self) -> str:
        """Number and title, for lists and messages: two fills may share a title, never a number."""
        return f"fill {self.number} {self.title}"


class Fills:
    """A song's fills in order of first appearance; ``fills[use]`` is the fill of one use of it.

    Fills are the same where they have one name, in any spelling; those written in place, where they have the
    same strokes. The title is the name as it is written first; written in place, the section's that holds it.
    """

    def __init__(self, song: Song) -> None:
        self._found: dict[object, Fill] = {}
        for section in song.form:
            for use in section.fills:
                fill = Fill(len(self._found) + 1, use.title, use.pattern)
                self._found.setdefault(_same(use), fill)

    def __getitem__(self, use: FillUse) -> Fill:
        return self._found[_same(use)]

    def __iter__(self) -> Iterator[Fill]:
        return iter(self._found.values())

    def __len__(self) -> int:
        return len(self._found)


def _same(use: FillUse) -> object:
    """What the uses of one fill share."""
    if use.pattern is None:
        return plain_name(use.name)
    return use.pattern.name, use.pattern


def fill_feel(form: Sequence[Section], index: int, use: FillUse, pass_: int) -> Feel:
    """The feel that a fill of a section is played and judged in on one pass, both counted as elsewhere.

    A fill that sets up the next section is in the feel of what comes next: on the last time through that is
    the next section; on every time before it, this section once more. After the last section comes nothing,
    so a fill there is in its own section's feel.
    """
    return form[index + leads_on(form, index, use, pass_)].feel


def leads_on(form: Sequence[Section], index: int, use: FillUse, pass_: int) -> bool:
    """True where a fill leads into the next section: on the last time through, where there is one."""
    return use.sets_up_next and pass_ == form[index].times and index + 1 < len(form)


def heard_at(
    form: Sequence[Section], index: int, use: FillUse, pass_: int, pattern: Pattern, under: Under,
    tolerance: Fraction,
) -> Heard:  # fmt: skip
    """A section's fill as it is heard on one pass, laid over the beats ``under`` it; the tolerance is in ms.

    One that ends a section and sets up the next is heard in the next one's beats.
    """
    section, feel = form[index], fill_feel(form, index, use, pass_)
    lands = struck_after(form, index, pass_, use, under[-1][0])
    if leads_on(form, index, use, pass_) and ends_section(section, use):
        return hear_next(pattern, under, lands, tolerance, section, form[index + 1])
    return hear(pattern, feel, under, lands, tolerance)


def ends_section(section: Section, use: FillUse) -> bool:
    """True for a fill that ends with its section's last bar."""
    return use.landing is None and use.bar == section.bars


@dataclass(frozen=True)
class PlayedFill:
    """A fill at one place on one pass of a form, over its beats, and the feel that it is played in there."""

    placed: PlacedFill
    feel: Feel
    form: Sequence[Section]

    @property
    def use(self) -> FillUse:
        return self.placed.use

    def heard(self, tolerance: Fraction) -> Heard:
        """How it is heard there; the tolerance is in ms."""
        placed, under = self.placed, tuple((beat.beat, beat.tempo) for beat in self.placed.beats)
        index = placed.part.index
        return heard_at(self.form, index, self.use, placed.pass_, placed.pattern, under, tolerance)


def played_fills(parts: Sequence[PlayedSection], index: int, use: FillUse) -> list[PlayedFill]:
    """A section's fill on every pass that plays it; nothing where its pattern does not exist."""
    part, form = parts[index], [each.section for each in parts]
    passes = use.passes(part.section.times)
    placed = [(place_fill(part, use, pass_), fill_feel(form, index, use, pass_)) for pass_ in passes]
    return [PlayedFill(fill, feel, form) for fill, feel in placed if fill is not None]
