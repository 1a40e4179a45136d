"""The click of a song: what sounds when.

The one, the beat and, where asked for, the feel's own subdivision as it is counted, swung where the feel
swings; a warning before a new section. Through a hold the click is silent, as time stands still.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from charts.counting import spoken_grid
from charts.performance import BAR, Performance, PlayedBar, PlayedBeat

ONE, BEAT, SUB, WARN = "one", "beat", "subdivision", "warning"


@dataclass(frozen=True, slots=True)
class Click:
    """One sound of the click, in written quarters and seconds from the start of the line."""

    quarters: Fraction
    seconds: float
    kind: str


def clicks(line: Performance, subdivide: bool = False, warn: int = 0) -> tuple[Click, ...]:
    """Every click in time; ``warn`` asks for a warning that many bars before each new section."""
    warned = warned_bars(line, warn)
    return tuple(click for bar in line.bars for click in _bar(bar, subdivide, bar.number in warned))


def warned_bars(line: Performance, warn: int) -> frozenset[int]:
    """Bars of the song on whose one the warning sounds; never before bar 1."""
    if warn < 1:
        return frozenset()
    return frozenset(max(1, part.first_bar - warn) for part in line.parts[1:])


def _bar(bar: PlayedBar, subdivide: bool, warned: bool) -> Iterator[Click]:
    for beat in bar.beats:
        if not beat.skip:
            kind = BEAT if beat.number > 1 else WARN if warned and bar.kind == BAR else ONE
            yield Click(beat.quarters, beat.seconds, kind)
        if subdivide:
            yield from _subdivision(beat)


def _subdivision(beat: PlayedBeat) -> Iterable[Click]:
    for at, _ in spoken_grid(beat.feel, beat.beat, beat.tempo):
        if at and at >= beat.skip:
            yield Click(beat.quarters_at(at), beat.seconds_at(at), SUB)
