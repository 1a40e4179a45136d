"""Tempi of a section: one number, an even change, or marks at bars."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from charts.pattern import Pattern
from render.takein.draft import CannotJoin, Maps, Pass, on_passes
from render.takein.facts import LEAST, MOST, Facts
from render.takein.sheet import Sheet

USUAL = Fraction(100)  # where a score says none
CLOSE = Fraction(1, 20_000)  # a tempo rounded to whole microseconds is taken for the round number


@dataclass(frozen=True)
class BarTempo:
    """Beats a minute at a bar's start, and whether it moves inside the bar."""

    start: Fraction
    moves: bool
    last: Fraction


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

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.quarters: Fraction | None = None  # a minute, in force

    def bars(self, facts: Sequence[Facts]) -> list[BarTempo]:
        """The tempo of each bar in its own felt beat."""
        return [self._bar(each) for each in facts]

    def _bar(self, facts: Facts) -> BarTempo:
        unit = facts.meter.unit_quarters
        marks = sorted(facts.bar.tempos, key=lambda tempo: tempo.at)
        for mark in marks:
            if mark.at == 0:
                self.quarters = mark.quarters
        if self.quarters is None:
            first = next((mark for mark in marks), None)
            self.quarters = first.quarters if first else USUAL * unit
            if first is None:
                self.sheet.guess(f"tempo {USUAL}: the score says none")
        start = self.quarters
        later = [mark for mark in marks if mark.at > 0 and mark.quarters != start]
        if later:
            self.quarters = later[-1].quarters
        return BarTempo(self._said(start / unit), bool(later), self._said(self.quarters / unit))

    def _said(self, bpm: Fraction) -> Fraction:
        held = min(MOST, max(LEAST, bpm))
        if held != bpm:
            self.sheet.lose(f"a tempo of {float(bpm):.6g}: {held} written")
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


def number(bpm: Fraction) -> str:
    """
    >>> number(Fraction(133, 2)), number(Fraction(100))
    ('66.5', '100')
    """
    return f"{float(bpm):.3f}".rstrip("0").rstrip(".")


def section_tempo(passes: Sequence[Pass], tempi: Sequence[Sequence[BarTempo]], sheet: Sheet) -> SectionTempo:
    """What a section says of its tempo.

    :raises CannotJoin: passes whose tempi differ in a way that one key cannot say.
    """
    flat = [each for every in tempi for each in every]
    first, start = passes[0].facts[0], flat[0].start
    if first.ramp_to is not None:
        return SectionTempo(start, first.ramp_to, {})
    if not any(each.ramp_to is not None for every in passes for each in every.facts):
        to = _even_change(flat)
        if to is not None:
            sheet.guess(f"bar {first.bar.sheet.number}: an even change of tempo to {number(to)}")
            return SectionTempo(start, to, {})
    marks: dict[int, dict[int, str]] = {}
    for place, (every, tempo) in enumerate(zip(passes, tempi, strict=True), start=1):
        for bar, said in _pass_marks(every, tempo, start, sheet):
            marks.setdefault(bar, {})[place] = said
    return SectionTempo(start, None, dict(_mark(bar, on, len(passes)) for bar, on in sorted(marks.items())))


def _even_change(flat: Sequence[BarTempo]) -> Fraction | None:
    """Where a tempo that moves through every bar in one direction arrives; None where it does not."""
    if not all(each.moves for each in flat):
        return None
    values = [value for each in flat for value in (each.start, each.last)]
    rising = all(a <= b for a, b in pairwise(values))
    falling = all(a >= b for a, b in pairwise(values))
    if values[0] == values[-1] or not (rising or falling):
        return None
    return Fraction(round(_arrival(flat)))


def _arrival(flat: Sequence[BarTempo]) -> Fraction:
    """The tempo at the end of an even change whose last step was heard on the last beat."""
    bar = flat[-1]
    if len(flat) > 1:
        return bar.start + (bar.start - flat[-2].start)
    return bar.last


def _pass_marks(
    every: Pass, tempi: Sequence[BarTempo], start: Fraction, sheet: Sheet
) -> list[tuple[int, str]]:
    """Marks of one pass: (bar, tempo as written)."""
    found: list[tuple[int, str]] = []
    now = start
    for bar, (facts, tempo) in enumerate(zip(every.facts, tempi, strict=True), start=1):
        if facts.ramp_to is not None:
            found.append((bar, f"{number(tempo.start)} to {number(facts.ramp_to)}"))
            break  # an even change goes on to the end of the pass
        rest = tempi[bar - 1 :]
        to = _even_change(rest) if tempo.moves else None
        if to is not None:
            sheet.guess(f"bar {facts.bar.sheet.number}: an even change of tempo to {number(to)}")
            found.append((bar, f"{number(tempo.start)} to {number(to)}"))
            break
        if tempo.moves:
            sheet.lose(f"bar {facts.bar.sheet.number}: a tempo inside the bar, taken from the next one on")
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
