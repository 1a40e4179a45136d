"""What is inside one line of bars: numbers of fills, stops, cues that fit, what ends a vamp.

Whatever finds no room inside is handed on to the lanes over and under the bars. Lengths in points.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from render.page.fonts import BOLD, width_of
from render.page.marks import FillMark, Span
from render.page.plan import Sizes
from render.page.strips import Bar
from render.page.text import Piece, natural_width

BORDER = 1.2  # the line of a box, in points at one metre
REPEAT, DOTS = 3.2, 5.5  # a repeat's bar and the room of its dots
END = 3.2  # the bar line at the end of the song
PAD = 4.0  # around words
DISC_GAP, STOP_GAP = 1.5, 1.2  # between two discs; between a disc and a silence
PILL, TIME_GAP = 0.36, 0.12  # of a disc: beside a number that is wide; from it to which time
STOP = "STOP"
Edges = tuple[float, float]  # left and right


@dataclass(frozen=True)
class NumberDisc:
    """A fill's number where it starts, and which time through where that has room beside it."""

    mark: FillMark
    bar: Bar
    left: float
    right: float
    timed: bool


@dataclass
class Inside:
    """One line of bars; ``opens`` and ``closes`` are its repeat signs, ``ends`` is the end of the song."""

    bars: Sequence[Bar]
    sizes: Sizes
    opens: bool = False
    closes: bool = False
    ends: bool = False
    discs: list[NumberDisc] = field(default_factory=list)
    bands: list[tuple[float, float, bool]] = field(default_factory=list)  # from, to, began before the section
    stops: list[Edges] = field(default_factory=list)
    words: list[tuple[float, float, Sequence[Piece]]] = field(default_factory=list)  # from, to, what
    stop_words: list[Edges] = field(default_factory=list)  # where, and their size

    @property
    def unit(self) -> float:
        return self.sizes.unit

    @property
    def right(self) -> float:
        return self.bars[-1].right

    def bar(self, number: int) -> Bar | None:
        """A bar that is on this line."""
        first = self.bars[0].number
        return self.bars[number - first] if first <= number <= self.bars[-1].number else None

    def room(self, bar: Bar) -> Edges:
        """What repeat signs and the end of the song leave of a bar."""
        sign, border = (REPEAT + DOTS) * self.unit, BORDER * self.unit
        last = bar is self.bars[-1]
        left = sign if self.opens and bar is self.bars[0] else border
        right = sign if self.closes and last else END * self.unit if self.ends and last else border
        return bar.left + left, bar.right - right

    def put_fills(self, marks: Sequence[FillMark]) -> tuple[list[FillMark], list[FillMark]]:
        """Put fills into their bars; returns discs without room, and times without room beside a disc."""
        homeless, untimed = [], []
        for mark in marks:
            for place, (number, start, end) in enumerate(mark.spans):
                if bar := self.bar(number):
                    self.bands.append((bar.x(start), bar.x(end), mark.back and not place))
        for bar in self.bars:
            out, late = self._put_discs(bar, [mark for mark in marks if mark.bar == bar.number])
            homeless += out
            untimed += late
        return homeless, untimed

    def _put_discs(self, bar: Bar, marks: list[FillMark]) -> tuple[list[FillMark], list[FillMark]]:
        """As many as the bar holds, in order, each as near to its start as can be."""
        left, right = self.room(bar)
        gap = DISC_GAP * self.unit
        room = right - left - gap
        timed = self._width(marks, True) <= room
        kept = marks if timed or len(marks) == 1 else [mark for mark in marks if not mark.when]
        while kept and self._width(kept, timed) > room + 1e-6:
            kept = kept[:-1]
        widths = [disc_width(mark, self.sizes, timed) for mark in kept]
        lefts: list[float] = []
        for mark in kept:
            after = lefts[-1] + widths[len(lefts) - 1] + gap if lefts else left + gap / 2
            lefts.append(max(after, bar.x(mark.at)))
        most = right - gap / 2
        for place in reversed(range(len(kept))):
            lefts[place] = min(lefts[place], most - widths[place])
            most = lefts[place] - gap
        for mark, at, wide in zip(kept, lefts, widths, strict=True):
            self.discs.append(NumberDisc(mark, bar, at, at + wide, timed and bool(mark.when)))
        return [mark for mark in marks if mark not in kept], [m for m in kept if m.when and not timed]

    def _width(self, marks: Sequence[FillMark], timed: bool) -> float:
        gaps = DISC_GAP * self.unit * (len(marks) - 1)
        return sum(disc_width(mark, self.sizes, timed) for mark in marks) + gaps

    def put_stops(self, spans: Sequence[Span]) -> float | None:
        """Put silences, with their word in each that is wide enough; else returns where the first begins."""
        for number, start, end in spans:
            if bar := self.bar(number):
                left, right = self.room(bar)
                parted = bar.ends or bar.meter or self.bars[number + 1 - self.bars[0].number].meter
                right = bar.right if end == 1 and not parted else min(right, bar.x(end))
                left = bar.left if not start and not (bar.starts or bar.meter) else max(left, bar.x(start))
                self._put_stop(left, right)
        wide = width_of(STOP, BOLD)
        for left, right in self.stops:
            size = min(self.sizes.cue, (right - left - 2 * STOP_GAP * self.unit) / wide)
            if size >= self.sizes.least:
                at = min((left + right - size * wide) / 2, left + PAD * self.unit)
                self.stop_words.append((at, size))
        return self.stops[0][0] if self.stops and not self.stop_words else None

    def _put_stop(self, left: float, right: float) -> None:
        """A silence goes on over a bar line, and is broken where a disc lies on it."""
        gap = STOP_GAP * self.unit
        parts: list[Edges] = []
        for disc in sorted(self.discs, key=lambda disc: disc.left):
            if disc.left - gap < right and disc.right + gap > left:
                parts.append((left, disc.left - gap))
                left = disc.right + gap
        for start, end in [*parts, (left, right)]:
            if self.stops and start - self.stops[-1][1] < 0.1 * gap:
                self.stops[-1] = (self.stops[-1][0], end)
            elif end - start > gap:
                self.stops.append((start, end))

    def taken(self) -> list[Edges]:
        """What words must keep off: discs, silences, words, repeat signs, frames of bars."""
        border, sign = BORDER * self.unit, (REPEAT + DOTS - PAD / 2) * self.unit
        found = [(disc.left, disc.right) for disc in self.discs]
        found += [*self.stops, *((left, right) for left, right, _ in self.words)]
        for bar in self.bars:
            if bar.ends or bar.meter:
                closes = self.closes and bar is self.bars[-1]
                found.append((bar.right - (sign if closes else border), bar.right))
            if bar.starts or bar.meter:
                opens = self.opens and bar is self.bars[0]
                found.append((bar.left, bar.left + (sign if opens else border)))
        return found

    def put_words(self, bar: Bar, x: float, pieces: Sequence[Piece], until: float, chained: bool) -> bool:
        """Words at their place, where they fit before what comes next; ``until`` where other words start.

        ``chained`` words may follow others on the line: they belong to the section, not to the bar.
        """
        pad = PAD * self.unit
        taken = self.taken()
        x += pad
        for left, right in sorted(taken):
            near = right + pad <= bar.left + 0.55 * bar.width
            if left - pad < x < right + pad and (near or chained):
                x = right + pad
        end = x + natural_width(pieces)
        fits = end + pad <= until and (chained or x < bar.right - pad)
        if not fits or any(left < end + 0.6 * pad and x - 0.6 * pad < right for left, right in taken):
            return False
        self.words.append((x, end, pieces))
        return True

    def put_until(self, pieces: Sequence[Piece]) -> bool:
        """What ends a vamp, as far right as there is room."""
        pad, wide, taken = PAD * self.unit, natural_width(pieces), self.taken()
        for edge in sorted({left for left, _ in taken}, reverse=True):
            left, right = edge - pad - wide, edge - pad
            blocked = any(a < right + pad and left - pad < b for a, b in taken if a != edge)
            if left > 0 and not blocked:
                self.words.append((left, right, pieces))
                return True
        return False


def disc_width(mark: FillMark, sizes: Sizes, timed: bool) -> float:
    """Width of a number's disc, with which time through beside it."""
    number = max(sizes.disc, width_of(mark.number, BOLD) * sizes.essential + PILL * sizes.disc)
    when = width_of(mark.when, BOLD) * sizes.least + TIME_GAP * sizes.disc if timed and mark.when else 0.0
    return number + when
