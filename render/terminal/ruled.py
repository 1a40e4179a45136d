"""Rows of a pattern under one another on a common ruler: counts, voices, sticking, offsets.

One drawing for ``fit``, ``fills NAME`` and ``show NAME SECTION``; equal places are in equal columns, and
as many beats stand in a line as fit with words whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from charts.ruler import Mark, Ruler, ruler_for, ruler_within
from render.terminal.ink import Ink

BETWEEN = 3  # columns between two beats, at most


@dataclass(frozen=True)
class RuledRow:
    """One line of the drawing: its label, the marks of each beat, what is drawn where there is none."""

    label: str
    beats: tuple[tuple[Mark, ...], ...]
    empty: str = " "
    codes: tuple[str, ...] = ()


def ruled(rows: Sequence[RuledRow], width: int, bar: int, ink: Ink, indent: int = 2) -> Iterator[str]:
    """The rows drawn within ``width`` columns, broken between beats; ``bar`` beats make a bar."""
    if not rows or not rows[0].beats:
        return
    label = max(len(row.label) for row in rows) + 2
    beats = [[row.beats[beat] for row in rows] for beat in range(len(rows[0].beats))]
    across, ruler = layout(beats, width - indent - label, bar)
    for start in range(0, len(beats), across):
        if start:
            yield ""
        here = beats[start : start + across]
        drawn = [_beat(rows, beat, ruler) for beat in here]
        for place, row in enumerate(rows):
            if not any(beat[place] for beat in here):
                continue  # nothing in this row here
            line = ruler.gap.join(lines[place] for lines in drawn)
            yield f"{'':{indent}}{row.label:<{label}}{ink(line.rstrip(), *row.codes)}"


def layout(beats: Sequence[Sequence[Sequence[Mark]]], room: int, bar: int) -> tuple[int, Ruler]:
    """How many beats stand in a line, and on what ruler: words whole first, then as many beats as can be."""
    best: tuple[int, Ruler] | None = None
    for across in _across(len(beats), bar):
        ruler = ruler_within(beats, (room + BETWEEN) // across - BETWEEN)
        if ruler is not None and not ruler.short:
            return across, ruler
        if ruler is not None and best is None:
            best = across, ruler
    return best or (1, ruler_for(beats, step=1))


def _across(count: int, bar: int) -> Iterator[int]:
    """Beats a line worth trying: all, whole bars, then even parts of a bar."""
    yield count
    yield from (n for n in range(count - count % bar, 0, -bar) if n < count)
    yield from (n for n in range(min(bar, count) - 1, 0, -1) if bar % n == 0)


def _beat(rows: Sequence[RuledRow], beat: Sequence[Sequence[Mark]], ruler: Ruler) -> list[str]:
    return ruler.lines(*beat, empty=[row.empty for row in rows])
