"""Bars in lines: where each bar of a section lies in its strip. All lengths in points.

A bar of the section's meter has the page's one width; another is as much wider or narrower as it lasts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from charts.song import Section
from charts.timing import Meter

PHRASE_GAP = 3.5  # points at one metre
LEAST = 0.3  # of the page's width of a bar: what a bar of one eighth still has
OVER = 1.2  # a line with longer bars may hold so much more than its share


@dataclass(frozen=True)
class Bar:
    """One bar on the page."""

    number: int
    left: float
    width: float
    starts: bool  # a phrase, or a line
    ends: bool
    strong: bool  # the line after it comes after every fourth bar
    meter: Meter | None  # where it is not the section's

    @property
    def right(self) -> float:
        return self.left + self.width

    def x(self, at: float) -> float:
        """Where a place in the bar lies."""
        return self.left + at * self.width


@dataclass(frozen=True)
class Slot:
    """A bar before the page's width is found: its share of a width."""

    number: int
    share: float
    starts: bool
    ends: bool
    strong: bool


@lru_cache(maxsize=4096)
def _slots(
    phrases: tuple[int, ...], shares: tuple[tuple[int, float], ...], across: int
) -> tuple[tuple[Slot, ...], ...]:
    known = dict(shares)
    lines = []
    for line in lines_of(phrases, across):
        held: list[Slot] = []
        used = 0.0
        for first, count, done in line:
            for bar in range(first, first + count):
                share = min(float(across), max(LEAST, known.get(bar, 1.0)))
                if held and used + share > across * OVER:
                    lines.append(_closed(held))
                    held, used = [], 0.0
                last = bar == first + count - 1
                held.append(
                    Slot(bar, share, bar == first or not held, last, (bar - first + done + 1) % 4 == 0)
                )
                used += share
        lines.append(_closed(held))
    return tuple(lines)


def _closed(line: Sequence[Slot]) -> tuple[Slot, ...]:
    last = line[-1]
    return (*line[:-1], Slot(last.number, last.share, last.starts, True, last.strong))


def slots_of(section: Section, across: int) -> tuple[tuple[Slot, ...], ...]:
    """A section's bars in lines."""
    usual = section.meter.quarters
    odd = tuple((bar, float(meter.quarters / usual)) for bar, meter in sorted(section.odd_bars.items()))
    return _slots(section.phrases, odd, across)


def lines_of(phrases: tuple[int, ...], across: int) -> list[list[tuple[int, int, int]]]:
    """Phrases in lines of at most ``across`` bars: of each part its first bar, its bars, and those before it.

    A longer phrase is broken, in fours if it can be.

    >>> [[count for _, count, _ in line] for line in lines_of((4, 4, 3), 8)]
    [[4, 4], [3]]
    >>> [[count for _, count, _ in line] for line in lines_of((9,), 8)]
    [[4], [5]]
    """
    lines: list[list[tuple[int, int, int]]] = [[]]
    bar, used = 1, 0
    for phrase in phrases:
        done = 0
        while done < phrase:
            take = _take(phrase - done, across)
            if lines[-1] and (used + take > across or done):
                lines.append([])
                used = 0
            lines[-1].append((bar, take, done))
            bar, used, done = bar + take, used + take, done + take
            if done < phrase:
                used = across
    return lines


def _take(left: int, across: int) -> int:
    if left <= across:
        return left
    return across // 2 if across >= 4 and left - across < across // 4 + 1 else across


def width_of_bar(sections: Sequence[Section], across: int, width: float, gap: float) -> float:
    """The width of a bar with which every line of the page keeps inside a width."""
    found = width / 4
    for section in sections:
        for line in slots_of(section, across):
            gaps = sum(slot.ends for slot in line[:-1]) * gap
            found = min(found, (width - gaps) / sum(slot.share for slot in line))
    return found


def bars_of(section: Section, across: int, width: float, gap: float) -> Iterator[list[Bar]]:
    """The lines of a section's strip; ``width`` is that of a bar, ``gap`` what parts phrases."""
    for line in slots_of(section, across):
        bars, x = [], 0.0
        for slot in line:
            wide = slot.share * width
            bars.append(
                Bar(
                    slot.number,
                    x,
                    wide,
                    slot.starts,
                    slot.ends,
                    slot.strong,
                    section.odd_bars.get(slot.number),
                )
            )
            x += wide + (gap if slot.ends else 0.0)
        yield bars
