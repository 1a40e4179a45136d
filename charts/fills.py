"""The fills of a song: which is which, and the feel that each is played in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.feel import Feel, plain_name
from charts.landing import struck_after
from charts.pattern import Pattern
from charts.placing import PlacedFill, place_fill
from charts.played import PlayedSection
from charts.song import FillUse, Section, Song
from charts.verdict import BeatVerdict, judge, worst


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
    section = form[index]
    leads_on = use.sets_up_next and pass_ == section.times and index + 1 < len(form)
    return form[index + 1].feel if leads_on else section.feel


@dataclass(frozen=True)
class PlayedFill:
    """A fill at one place on one pass, over its beats, and the feel that it is played in there."""

    placed: PlacedFill
    feel: Feel
    lands: Fraction | None  # where in its last beat the stroke after it falls; 1 is the next beat

    @property
    def use(self) -> FillUse:
        return self.placed.use

    def judged(self, tolerance: Fraction) -> tuple[BeatVerdict, ...]:
        """How each beat of the fill sits on that feel's grid; the tolerance is in ms."""
        under = [(beat.beat, beat.tempo) for beat in self.placed.beats]
        return judge(self.placed.pattern, self.feel, under, tolerance, self.lands)

    def verdict(self, tolerance: Fraction) -> str:
        """The worst of the beats' verdicts."""
        return worst(self.judged(tolerance))


def played_fills(parts: Sequence[PlayedSection], index: int, use: FillUse) -> list[PlayedFill]:
    """A section's fill on every pass that plays it; nothing where its pattern does not exist."""
    part, form = parts[index], [each.section for each in parts]
    passes = use.passes(part.section.times)
    placed = [(pass_, fill) for pass_ in passes if (fill := place_fill(part, use, pass_)) is not None]
    return [
        PlayedFill(
            fill,
            fill_feel(form, index, use, pass_),
            struck_after(form, index, pass_, use, fill.beats[-1].beat),
        )
        for pass_, fill in placed
    ]
