"""Tempos of a section: one number, an even change, or marks at bars."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from charts.timing import FASTEST, SLOWEST
from charts.wording import figure
from render.importing.joining import Played
from render.importing.passes import Values, by_place
from render.importing.score import Score

LEAST, MOST = Fraction(SLOWEST), Fraction(FASTEST)  # beats per minute that a chart can say
USUAL = Fraction(100)  # where a score has none
FEWEST = 3  # steps of an even change that show how it goes on
LONGEST = 64  # bars of an even change inside a section
CLOSE = Fraction(1, 20_000)  # a tempo rounded to whole microseconds is taken for the round number
Change = tuple[Fraction, Fraction]  # from one tempo to another


@dataclass(frozen=True)
class BarTempo:
    """Beats per minute at a bar's start and at each step inside it: (beats from the barline, tempo).

    ``before`` was in force before the bar, None where nothing was; ``length`` is the bar's, in beats.
    """

    number: str
    start: Fraction
    steps: tuple[tuple[Fraction, Fraction], ...]
    length: Fraction
    before: Fraction | None

    @property
    def moves(self) -> bool:
        """True where the tempo is another one inside the bar."""
        return any(tempo != self.start for _, tempo in self.steps)


class TempoReader:
    """Follows the tempo through the score."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self.quarters: Fraction | None = None  # per minute, in force

    def bar(self, played: Played) -> BarTempo:
        """The tempo of a bar in its own felt beat."""
        bar, unit = played.bar, played.bar.meter.unit_quarters
        marks = sorted(bar.tempos, key=lambda tempo: tempo.at)
        before = self._said(self.quarters / unit) if self.quarters is not None else None
        first = [mark.quarters for mark in marks if mark.at == 0 or self.quarters is None]
        if self.quarters is None and not first:
            self.score.guess(f"tempo {USUAL}: the score gives none")
        started = first[-1 if self.quarters is not None else 0] if first else self.quarters or USUAL * unit
        steps = tuple((mark.at / unit, self._said(mark.quarters / unit)) for mark in marks if mark.at > 0)
        self.quarters = marks[-1].quarters if marks else started
        return BarTempo(bar.number, self._said(started / unit), steps, bar.quarters / unit, before)

    def _said(self, bpm: Fraction) -> Fraction:
        held = min(MOST, max(LEAST, bpm))
        if held != bpm:
            self.score.lose(f"a tempo of {float(bpm):.6g}: {held} written")
        return round_number(held)


def round_number(bpm: Fraction) -> Fraction:
    """The nearest tempo that a person would write.

    >>> round_number(Fraction(60_000_000, 652_174)), round_number(Fraction(133, 2))
    (Fraction(92, 1), Fraction(133, 2))
    """
    for places in (0, 1, 2):
        near = Fraction(round(bpm, places))
        if abs(near - bpm) <= bpm * CLOSE:
            return near
    return Fraction(round(bpm, 3))


def tempo_text(*tempos: Fraction) -> str:
    """
    >>> tempo_text(Fraction(133, 2)), tempo_text(Fraction(100), Fraction(80))
    ('66.5', '100 to 80')
    """
    return " to ".join(figure(bpm, 3) for bpm in tempos)


def section_tempo(passes: Sequence[Sequence[BarTempo]], score: Score) -> tuple[str, Values]:
    """A section's tempo, with the end of an even change over all of it; and marks at bars.

    :raises CannotJoin: passes whose tempos differ in a way that one key cannot say.
    """
    flat = [each for every in passes for each in every]
    change = _change(flat, score)
    if change is not None:
        return tempo_text(*change), {}
    marks = by_place([dict(_pass_marks(every, flat[0].start, score)) for every in passes])
    times = len(passes)
    return tempo_text(flat[0].start), {
        str(bar): said if which == "last" or times == 1 else {"tempo": said, "pass": which}
        for bar, (said, which) in sorted(marks.items())
    }


def _pass_marks(bars: Sequence[BarTempo], now: Fraction, score: Score) -> Iterator[tuple[int, str]]:
    """Marks of one pass: (bar, tempo as written)."""
    for number, bar in enumerate(bars, start=1):
        rest = bars[number - 1 :] if bar.moves and len(bars) - number < LONGEST else ()
        change = _change(rest, score)
        if change is not None:
            yield number, tempo_text(*change)
            return  # an even change goes on to the end of the pass
        if bar.moves:
            kept = "not kept" if bar.steps[-1][1] == bar.start else "taken from the next one on"
            score.lose(f"bar {bar.number}: a tempo inside the bar, {kept}")
        if bar.start != now:
            now = bar.start
            yield number, tempo_text(now)


def _change(bars: Sequence[BarTempo], score: Score) -> Change | None:
    """From where to where a tempo goes that moves through every bar in one direction, else None."""
    if not bars or not all(each.moves for each in bars):
        return None
    steps = list(_steps(bars))
    values = [tempo for _, tempo in steps]
    rising = all(a <= b for a, b in pairwise(values))
    falling = all(a >= b for a, b in pairwise(values))
    if values[0] == values[-1] or not (rising or falling):
        return None
    change = _even(steps, sum((each.length for each in bars), Fraction(0)), bars[0].before)
    score.guess(f"bar {bars[0].number}: an even change of tempo to {figure(change[1], 3)}")
    return change


def _even(steps: Sequence[tuple[Fraction, Fraction]], length: Fraction, before: Fraction | None) -> Change:
    """Where an even change begins and ends, from its steps: (beats from its start, tempo).

    A step is written where it begins, or as what it comes to on average: the tempo before it shows which,
    else rounder numbers do.
    """
    start, last = steps[0][1], steps[-1][1]
    if len(steps) < FEWEST:
        return start, last
    slope = (last - start) / steps[-1][0]
    half = slope * (steps[1][0] - steps[0][0]) / 2
    end = last + slope * (length - steps[-1][0])
    begun, meant = (start, end), (start - half, end - half)
    if before is not None and abs(half) / 2 < abs(before - start) <= abs(half) * 2:
        return before, _whole(meant[1])
    if before != start and _off_whole(meant) < _off_whole(begun) / 2:
        return _whole(meant[0]), _whole(meant[1])
    return start, _whole(begun[1])


def _steps(bars: Sequence[BarTempo]) -> Iterator[tuple[Fraction, Fraction]]:
    """Each tempo with its place, in beats from the first bar's start."""
    start = Fraction(0)
    for bar in bars:
        yield start, bar.start
        yield from ((start + at, tempo) for at, tempo in bar.steps)
        start += bar.length


def _off_whole(change: Change) -> Fraction:
    return sum((abs(tempo - round(tempo)) for tempo in change), Fraction(0))


def _whole(bpm: Fraction) -> Fraction:
    return min(MOST, max(LEAST, Fraction(round(bpm))))
