"""Tempi of a section: one number, an even change, or marks at bars."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import pairwise

from charts.pattern import Pattern
from charts.wording import figure
from render.importing.draft import CannotJoin, Maps, Pass, on_passes
from render.importing.facts import LEAST, MOST, Facts
from render.importing.score import Score

USUAL = Fraction(100)  # where a score says none
FEWEST = 3  # steps of an even change that say how it goes on
number = partial(figure, places=3)  # a tempo as a chart has it
CLOSE = Fraction(1, 20_000)  # a tempo rounded to whole microseconds is taken for the round number


@dataclass(frozen=True)
class BarTempo:
    """Beats a minute at a bar's start and at each step inside it: (beats from the barline, tempo).

    ``before`` was in force before the bar, None where nothing was; ``length`` is the bar's, in beats; a bar
    that is ``held`` stands still in some place.
    """

    start: Fraction
    steps: tuple[tuple[Fraction, Fraction], ...]
    length: Fraction
    before: Fraction | None
    held: bool = False

    @property
    def moves(self) -> bool:
        """True where the tempo is another one inside the bar."""
        return any(tempo != self.start for _, tempo in self.steps)

    @property
    def last(self) -> Fraction:
        return self.steps[-1][1] if self.steps else self.start


@dataclass(frozen=True)
class SectionTempo:
    """What a section says: its tempo, the end of an even change over all of it, marks at bars."""

    tempo: Fraction
    to: Fraction | None
    marks: Maps

    def __str__(self) -> str:
        return f"{number(self.tempo)} to {number(self.to)}" if self.to is not None else number(self.tempo)


class TempoReader:
    """Follows the tempo through the score."""

    def __init__(self, sheet: Score) -> None:
        self.sheet = sheet
        self.quarters: Fraction | None = None  # a minute, in force

    def bars(self, facts: Sequence[Facts]) -> list[BarTempo]:
        """The tempo of each bar in its own felt beat."""
        return [self._bar(each) for each in facts]

    def _bar(self, facts: Facts) -> BarTempo:
        unit = facts.meter.unit_quarters
        before = self._said(self.quarters / unit) if self.quarters is not None else None
        marks = sorted(facts.bar.tempos, key=lambda tempo: tempo.at)
        for mark in marks:
            if mark.at == 0:
                self.quarters = mark.quarters
        if self.quarters is None:
            first = next((mark for mark in marks), None)
            self.quarters = first.quarters if first else USUAL * unit
            if first is None:
                self.sheet.guess(f"tempo {USUAL}: the score says none")
        start = self._said(self.quarters / unit)
        later = [mark for mark in marks if mark.at > 0]
        if later:
            self.quarters = later[-1].quarters
        steps = tuple((mark.at / unit, self._said(mark.quarters / unit)) for mark in later)
        return BarTempo(start, steps, facts.bar.sheet.quarters / unit, before, bool(facts.holds))

    def _said(self, bpm: Fraction) -> Fraction:
        held = min(MOST, max(LEAST, bpm))
        if held != bpm:
            self.sheet.lose(f"a tempo of {number(bpm)}: {held} written")
        return round_number(held)


def round_number(bpm: Fraction) -> Fraction:
    """The nearest tempo that a person would write.

    >>> round_number(Fraction(60_000_000, 652_174)), round_number(Fraction(133, 2))
    (Fraction(92, 1), Fraction(133, 2))
    """
    for places in (0, 1, 2):
        near = round(bpm, places) if places else Fraction(round(bpm))
        if abs(near - bpm) <= bpm * CLOSE:
            return Fraction(near)
    return Fraction(round(bpm, 3))


def section_tempo(passes: Sequence[Pass], tempi: Sequence[Sequence[BarTempo]], sheet: Score) -> SectionTempo:
    """What a section says of its tempo.

    :raises CannotJoin: passes whose tempi differ in a way that one key cannot say.
    """
    flat = [each for every in tempi for each in every]
    first, start = passes[0].facts[0], flat[0].start
    if first.ramp_to is not None:
        return SectionTempo(start, first.ramp_to, {})
    if not any(each.ramp_to is not None for every in passes for each in every.facts):
        change = _even_change(flat)
        if change is not None:
            sheet.guess(f"bar {first.bar.sheet.number}: an even change of tempo to {number(change[1])}")
            return SectionTempo(*change, {})
    marks: dict[int, dict[int, str]] = {}
    for place, (every, tempo) in enumerate(zip(passes, tempi, strict=True), start=1):
        for bar, said in _pass_marks(every, tempo, start, sheet):
            marks.setdefault(bar, {})[place] = said
    return SectionTempo(start, None, dict(_mark(bar, on, len(passes)) for bar, on in sorted(marks.items())))


Change = tuple[Fraction, Fraction]  # from one tempo to another


def _even_change(flat: Sequence[BarTempo]) -> Change | None:
    """From where to where a tempo goes that moves through every bar in one direction; None where it does not.

    The steps of such a change are written where they begin, or each at what it comes to on average: the
    tempo that was left says which, else rounder numbers do.
    """
    if not all(each.moves or (each.held and each is flat[-1]) for each in flat):
        return None
    steps = list(_steps(flat))
    values = [tempo for _, tempo in steps]
    rising = all(a <= b for a, b in pairwise(values))
    falling = all(a >= b for a, b in pairwise(values))
    if values[0] == values[-1] or not (rising or falling):
        return None
    start, last, before = values[0], values[-1], flat[0].before
    if len(steps) < FEWEST:
        return start, last
    slope = (last - start) / steps[-1][0]
    half = slope * (steps[1][0] - steps[0][0]) / 2
    end = last + slope * (sum(each.length for each in flat) - steps[-1][0])
    begun, meant = (start, end), (start - half, end - half)
    if before is not None and abs(half) / 2 < abs(before - start) <= abs(half) * 2:
        return before, _whole(meant[1])
    if before != start and _off_whole(meant) < _off_whole(begun) / 2:
        return _whole(meant[0]), _whole(meant[1])
    return start, _whole(begun[1])


def _steps(flat: Sequence[BarTempo]) -> Iterator[tuple[Fraction, Fraction]]:
    """Each tempo with its place, in beats from the first bar's start."""
    start = Fraction(0)
    for bar in flat:
        yield start, bar.start
        yield from ((start + at, tempo) for at, tempo in bar.steps)
        start += bar.length


def _off_whole(change: Change) -> Fraction:
    return sum((abs(tempo - round(tempo)) for tempo in change), Fraction(0))


def _whole(bpm: Fraction) -> Fraction:
    return min(MOST, max(LEAST, Fraction(round(bpm))))


def _pass_marks(
    every: Pass, tempi: Sequence[BarTempo], start: Fraction, sheet: Score
) -> list[tuple[int, str]]:
    """Marks of one pass: (bar, tempo as written)."""
    found: list[tuple[int, str]] = []
    now = start
    for bar, (facts, tempo) in enumerate(zip(every.facts, tempi, strict=True), start=1):
        if facts.ramp_to is not None:
            found.append((bar, f"{number(tempo.start)} to {number(facts.ramp_to)}"))
            break  # an even change goes on to the end of the pass
        rest = tempi[bar - 1 :]
        change = _even_change(rest) if tempo.moves else None
        if change is not None:
            sheet.guess(f"bar {facts.bar.sheet.number}: an even change of tempo to {number(change[1])}")
            found.append((bar, " to ".join(map(number, change))))
            break
        if tempo.moves:
            kept = "not kept" if tempo.last == tempo.start else "taken from the next one on"
            sheet.lose(f"bar {facts.bar.sheet.number}: a tempo inside the bar, {kept}")
        if tempo.start != now:
            found.append((bar, number(tempo.start)))
            now = tempo.start
    return found


def _mark(bar: int, on: dict[int, str], times: int) -> tuple[str, str | dict[str, str | Pattern]]:
    said = next(iter(on.values()))
    if any(other != said for other in on.values()):
        raise CannotJoin
    which = on_passes(list(on), times)
    return str(bar), said if which == "last" or times == 1 else {"tempo": said, "pass": which}
