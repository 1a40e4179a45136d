"""Bars in lines: where each bar of a section lies in its strip. All lengths in points.

A bar of the section's meter has the page's one width; another is as much wider or narrower as it lasts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from charts.song import Section
from charts.timing import Meter

PHRASE_GAP = 3.5  # points at one metre
LEAST = 0.3  # of the page's width of a bar: what a bar of one eighth still has
GROUP = 4  # bars that are heard together
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


def bars_of(section: Section, across: int, width: float, gap: float) -> list[list[Bar]]:
    """The lines of a section's strip; ``width`` is that of a bar, ``gap`` what parts phrases."""
    lines: list[list[Bar]] = []
    for line in lines_of(section.phrases, across):
        lines.append([])
        used = 0.0
        for first, count, done in line:
            for bar in range(first, first + count):
                share = _share(section, bar, across)
                if lines[-1] and used + share > across * OVER:
                    lines[-1][-1] = replace(lines[-1][-1], ends=True)
                    lines.append([])
                    used = 0.0
                here, last = lines[-1], bar == first + count - 1
                left = here[-1].right + (gap if here[-1].ends else 0.0) if here else 0.0
                strong = (bar - first + done + 1) % GROUP == 0
                starts, meter = not here or bar == first, section.odd_bars.get(bar)
                here.append(Bar(bar, left, share * width, starts, last, strong, meter))
                used += share
    return lines


def _share(section: Section, bar: int, across: int) -> float:
    """How many usual bars a bar is as wide as."""
    if bar not in section.odd_bars:
        return 1.0
    share = float(section.odd_bars[bar].quarters / section.meter.quarters)
    return min(float(across), max(LEAST, share))


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
        for line in bars_of(section, across, 1.0, 0.0):
            gaps = sum(bar.ends for bar in line[:-1]) * gap
            found = min(found, (width - gaps) / line[-1].right)
    return found
