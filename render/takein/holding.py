"""Holds as a MIDI file plays them: the tempo falls for a moment and comes back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from render.takein.facts import LEAST, MOST_HOLD
from render.takein.sheet import Sheet, SheetBar, Tempo

HALF = Fraction(1, 2)  # a dip falls below this share of the tempo before it, and lasts no longer than this
TENTHS = 10  # a hold is told to a tenth of a second


@dataclass(frozen=True)
class _Mark:
    """A tempo with its bar and its place in the whole file, in quarters."""

    bar: SheetBar
    tempo: Tempo
    at: Fraction


def holds_played(sheet: Sheet) -> None:
    """Write every dip of the tempo as a hold with its seconds, and take the dip's tempi away."""
    marks = list(_marks(sheet))
    end = sum((bar.quarters for bar in sheet.bars), Fraction(0))
    before: Fraction | None = None  # quarters a minute
    for place, mark in enumerate(marks):
        after = marks[place + 1] if place + 1 < len(marks) else None
        until = after.at if after is not None else end
        if before is not None and _is_dip(mark, before, after, until):
            _hold(sheet, mark, before, until)
            if after is not None and after.tempo.quarters == before:
                after.bar.tempos.remove(after.tempo)
            continue
        before = mark.tempo.quarters


def _marks(sheet: Sheet) -> Iterator[_Mark]:
    start = Fraction(0)
    for bar in sheet.bars:
        for tempo in sorted(bar.tempos, key=lambda tempo: tempo.at):
            yield _Mark(bar, tempo, start + tempo.at)
        start += bar.quarters


def _is_dip(mark: _Mark, before: Fraction, after: _Mark | None, until: Fraction) -> bool:
    """True for half a bar at most below half the tempo that is left and come back to.

    What is slower than any tempo that a chart can say may last a bar, and to the end of the file.
    """
    slow, length, bar = mark.tempo.quarters, until - mark.at, mark.bar
    if slow < LEAST * bar.meter.unit_quarters and length <= bar.quarters:
        return True
    back = after is not None and after.tempo.quarters * HALF > slow
    return back and slow < before * HALF and length <= bar.quarters * HALF


def _hold(sheet: Sheet, mark: _Mark, before: Fraction, until: Fraction) -> None:
    """The hold in the words that an export of ours has."""
    more = (until - mark.at) * 60 * (1 / mark.tempo.quarters - 1 / before)
    seconds = min(round(more * TENTHS), MOST_HOLD * TENTHS) / TENTHS
    mark.bar.tempos.remove(mark.tempo)
    mark.bar.words.append((mark.tempo.at, f"hold {seconds:g} s"))
    sheet.guess(f"bar {mark.bar.number}: the tempo stands still for a moment: a hold of {seconds:g} s")
