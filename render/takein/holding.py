"""Holds as a MIDI file plays them: the tempo falls for a moment and comes back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.timing import Meter
from render.takein.facts import LEAST, MOST_HOLD
from render.takein.sheet import Sheet, SheetBar, Tempo

HALF = Fraction(1, 2)  # a dip falls below this share of the tempo before it, and lasts no longer than this
TENTHS = 10  # a hold is told to a tenth of a second


@dataclass(frozen=True)
class _Mark:
    """A tempo with its bar, the bar's number in the sheet, and its place in the whole file, in quarters."""

    bar: SheetBar
    number: int
    tempo: Tempo
    at: Fraction


def holds_played(sheet: Sheet) -> None:
    """Write every dip of the tempo as a hold with its seconds, and take the dip's tempi away."""
    marks = list(_marks(sheet))
    end = sum((bar.quarters for bar in sheet.bars), Fraction(0))
    before: Fraction | None = None  # quarters a minute
    longer: list[tuple[SheetBar, Fraction, Fraction, Meter]] = []
    for place, mark in enumerate(marks):
        after = marks[place + 1] if place + 1 < len(marks) else None
        until = after.at if after is not None else end
        if before is None or not _is_dip(mark, before, after, until):
            before = mark.tempo.quarters
            continue
        put_in = _put_in(sheet, mark, until - mark.at)
        if put_in:
            longer.append((mark.bar, mark.tempo.at, put_in, _neighbour(sheet, mark).meter))
        _hold(sheet, mark, before, until - mark.at, put_in)
        if after is not None and after.tempo.quarters == before:
            after.bar.tempos.remove(after.tempo)
    for bar, at, put_in, meter in reversed(longer):
        _take_out(bar, at, put_in, meter)


def _marks(sheet: Sheet) -> Iterator[_Mark]:
    start = Fraction(0)
    for number, bar in enumerate(sheet.bars):
        for tempo in sorted(bar.tempos, key=lambda tempo: tempo.at):
            yield _Mark(bar, number, tempo, start + tempo.at)
        start += bar.quarters


def _is_dip(mark: _Mark, before: Fraction, after: _Mark | None, until: Fraction) -> bool:
    """True for half a bar at most below half the tempo that is left and come back to.

    What is slower than any tempo that a chart can say may last a bar, and to the end of the file.
    """
    slow, length, bar = mark.tempo.quarters, until - mark.at, mark.bar
    if slow >= before:
        return False
    if slow < LEAST * bar.meter.unit_quarters and length <= bar.quarters:
        return True
    back = after is not None and after.tempo.quarters * HALF > slow
    return back and slow < before * HALF and length <= bar.quarters * HALF


def _put_in(sheet: Sheet, mark: _Mark, length: Fraction) -> Fraction:
    """Quarters by which the dip's bar is longer than the next: so a file says a hold that no tempo can."""
    like, bar = _neighbour(sheet, mark), mark.bar
    more = bar.quarters - like.quarters
    slow = mark.tempo.quarters < LEAST * bar.meter.unit_quarters
    return more if slow and 0 < more < length and bar.meter != like.meter else Fraction(0)


def _neighbour(sheet: Sheet, mark: _Mark) -> SheetBar:
    """The bar before it; the one after it where a section, or the song, begins."""
    begins = not mark.number or bool(mark.bar.mark)
    return sheet.bars[min(mark.number + 1, len(sheet.bars) - 1) if begins else mark.number - 1]


def _hold(sheet: Sheet, mark: _Mark, before: Fraction, length: Fraction, put_in: Fraction) -> None:
    """The hold in the words that an export of ours has."""
    more = 60 * (length / mark.tempo.quarters - (length - put_in) / before)
    seconds = min(round(more * TENTHS), MOST_HOLD * TENTHS) / TENTHS
    mark.bar.tempos.remove(mark.tempo)
    mark.bar.words.append((mark.tempo.at, f"hold {seconds:g} s"))
    sheet.guess(f"bar {mark.bar.number}: the tempo stands still for a moment: a hold of {seconds:g} s")


def _take_out(bar: SheetBar, at: Fraction, put_in: Fraction, meter: Meter) -> None:
    """The bar without what was put in after a place."""

    def moved(place: Fraction) -> Fraction:
        return max(at, place - put_in) if place > at else place

    bar.meter, bar.quarters = meter, bar.quarters - put_in
    bar.words = [(moved(place), text) for place, text in bar.words]
    bar.tempos = [replace(tempo, at=moved(tempo.at)) for tempo in bar.tempos]
    if bar.strokes is not None:
        bar.strokes = [replace(struck, at=moved(struck.at)) for struck in bar.strokes]
