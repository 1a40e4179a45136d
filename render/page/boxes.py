"""The inside of one line of bars: discs and bands of fills, stops, cues that fit, what ends a vamp.

Whatever finds no room inside is handed on to the lanes over and under the bars. Lengths in points.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from charts.song import Section
from render.page.fonts import BOLD, REGULAR, capital_height, width_of
from render.page.marks import FillMark, Span
from render.page.model import Pen
from render.page.plan import Sizes
from render.page.strips import Bar
from render.page.text import Piece, flow, natural_width, paint_line
from render.page.theme import ACCENT, INK, ON_SIGN, PAPER, SIGN

BORDER, DIVIDER, STRONG, ODD, END = 1.2, 0.7, 1.5, 2.2, 3.2  # widths of lines, in units of a point at one metre
REPEAT, DOTS, DOT = 3.2, 5.5, 2.3  # a repeat's bar, the room of its dots, a dot
PAD = 4.0  # around words
DISC_GAP = 1.5
TICK = 0.13  # of a box: what is left of a bar line that words cross
STOP_WORD = "STOP"
INFINITY = float("inf")


@dataclass(frozen=True)
class Said:
    """Words at a bar: they start at ``x``."""

    bar: int
    x: float
    pieces: tuple[Piece, ...]
    kind: str

    @property
    def width(self) -> float:
        return natural_width(self.pieces)


@dataclass(frozen=True)
class Disc:
    """A fill's number where it starts, and which time through where that has room beside it."""

    mark: FillMark
    bar: Bar
    x: float
    width: float
    when: bool = False

    @property
    def right(self) -> float:
        return self.x + self.width


@dataclass
class Inside:
    """One line of bars, laid out."""

    bars: Sequence[Bar]
    sizes: Sizes
    opens: bool = False
    closes: bool = False
    ends: bool = False  # the song
    discs: list[Disc] = field(default_factory=list)
    bands: list[tuple[float, float, bool]] = field(default_factory=list)
    stops: list[tuple[float, float]] = field(default_factory=list)
    words: list[tuple[float, float, tuple[Piece, ...]]] = field(default_factory=list)  # from, to, what
    stop_words: list[tuple[float, float]] = field(default_factory=list)  # where, size

    @property
    def unit(self) -> float:
        return self.sizes.pen

    @property
    def right(self) -> float:
        return self.bars[-1].right

    def bar(self, number: int) -> Bar | None:
        """A bar that is on this line."""
        first = self.bars[0].number
        return self.bars[number - first] if first <= number <= self.bars[-1].number else None

    def room(self, bar: Bar) -> tuple[float, float]:
        """What signs of repeats leave of a bar."""
        taken = (REPEAT + DOTS) * self.unit
        left = bar.left + (taken if self.opens and bar is self.bars[0] else BORDER * self.unit)
        right = bar.right - (taken if self.closes and bar is self.bars[-1] else BORDER * self.unit)
        return left, right

    def put_fills(self, marks: Sequence[FillMark]) -> tuple[list[FillMark], list[FillMark]]:
        """Fills into their bars; returned are discs without room, and times without room beside their disc."""
        for mark in marks:
            for place, (number, start, end) in enumerate(mark.spans):
                if bar := self.bar(number):
                    self.bands.append((bar.x(start), bar.x(end), mark.back and not place))
        homeless, untimed = [], []
        for bar in self.bars:
            here = [mark for mark in marks if mark.bar == bar.number]
            out, late = self._discs(bar, here)
            homeless += out
            untimed += late
        return homeless, untimed

    def _discs(self, bar: Bar, marks: Sequence[FillMark]) -> tuple[list[FillMark], list[FillMark]]:
        """As many as the bar holds, in order, each as near to its start as can be."""
        left, right = self.room(bar)
        gap = DISC_GAP * self.unit
        left, right = left + gap / 2, right - gap / 2
        kept: list[FillMark] = []
        for mark in marks:
            if sum(disc_width(each, self.sizes) + gap for each in (*kept, mark)) - gap <= right - left + 1e-6:
                kept.append(mark)
        timed = bool(kept) and len(kept) == len(marks) and self._timed_width(kept) <= right - left
        homeless = [mark for mark in marks if mark not in kept]
        if len(marks) > 1 and not timed:  # a bracket would not say which it means
            homeless = [mark for mark in marks if mark not in kept or mark.when]
            kept = [mark for mark in kept if not mark.when]
        x = right
        for mark in kept[::-1]:
            wide = disc_width(mark, self.sizes) + (when_width(mark, self.sizes) if timed else 0.0)
            x = max(left, min(x - wide, bar.x(mark.at)))
            self.discs.append(Disc(mark, bar, x, wide, timed and bool(mark.when)))
            x -= gap
        self._ordered(bar, left, gap)
        return homeless, [] if timed else [mark for mark in kept if mark.when]

    def _timed_width(self, marks: Sequence[FillMark]) -> float:
        wide = sum(disc_width(mark, self.sizes) + when_width(mark, self.sizes) for mark in marks)
        return wide + DISC_GAP * self.unit * (len(marks) - 1)

    def _ordered(self, bar: Bar, left: float, gap: float) -> None:
        """From the left edge on, discs that were pushed over one another move apart."""
        here = sorted((disc for disc in self.discs if disc.bar is bar), key=lambda disc: disc.x)
        self.discs = [disc for disc in self.discs if disc.bar is not bar]
        for disc in here:
            moved = replace(disc, x=max(disc.x, left))
            self.discs.append(moved)
            left = moved.right + gap

    def put_stops(self, spans: Sequence[Span]) -> float | None:
        """Silences, with their word in each that is wide enough; else the place that has none."""
        blocks: list[tuple[float, float]] = []
        for number, start, end in spans:
            if bar := self.bar(number):
                left, right = self.room(bar)
                goes_on = not (bar.ends or bar.meter or self.bars[bar.number + 1 - self.bars[0].number].meter)
                right = bar.right if end == 1 and goes_on else right
                left = bar.left if start == 0 and not (bar.starts or bar.meter) else left
                blocks += self._around_discs(max(left, bar.x(start)), min(right, bar.x(end)))
        self.stops = _joined(blocks)
        for left, right in self.stops:
            wide = width_of(STOP_WORD, BOLD)
            size = min(self.sizes.cue, (right - left - 2.4 * self.unit) / wide)
            if size >= self.sizes.least:
                middle = min((left + right) / 2, left + PAD * self.unit + size * wide / 2)
                self.stop_words.append((middle - size * wide / 2, size))
        return self.stops[0][0] if self.stops and not self.stop_words else None

    def _around_discs(self, left: float, right: float) -> list[tuple[float, float]]:
        """A silence is broken where a disc lies on it."""
        found, gap = [], 1.2 * self.unit
        for disc in sorted(self.discs, key=lambda disc: disc.x):
            if disc.x - gap < right and disc.right + gap > left:
                if disc.x - gap - left > 1:
                    found.append((left, disc.x - gap))
                left = max(left, disc.right + gap)
        if right - left > 1:
            found.append((left, right))
        return found

    def taken(self) -> list[tuple[float, float]]:
        """What words must keep off: discs, silences, words, signs of repeats."""
        unit = self.unit
        found = [(disc.x, disc.right) for disc in self.discs] + list(self.stops)
        found += [(left, right) for left, right, _ in self.words]
        if self.opens:
            found.append((0.0, (REPEAT + DOTS - PAD / 2) * unit))
        if self.closes:
            found.append((self.right - (REPEAT + DOTS - PAD / 2) * unit, self.right))
        for bar in self.bars:
            if bar.ends or bar.meter:
                found.append((bar.right - BORDER * unit, bar.right))
            if bar.starts or bar.meter:
                found.append((bar.left, bar.left + BORDER * unit))
        return sorted(found)

    def put_words(self, said: Said, until: float) -> bool:
        """Words at their place, where they fit before what comes next; ``until`` where the next words start."""
        pad = PAD * self.unit
        bar = self.bar(said.bar)
        assert bar is not None
        x = said.x + pad
        for left, right in self.taken():
            if left - pad < x < right + pad and right + pad <= bar.left + 0.55 * bar.width:
                x = max(x, right + pad)
        end = x + said.width
        if end + pad > until or x > bar.right - pad:
            return False
        if any(left < end + pad * 0.6 and x - pad * 0.6 < right for left, right in self.taken()):
            return False
        self.words.append((x, end, said.pieces))
        return True

    def put_until(self, pieces: tuple[Piece, ...]) -> bool:
        """What ends a vamp, as far right as there is room."""
        pad, wide = PAD * self.unit, natural_width(pieces)
        taken = self.taken()
        for end in sorted({left for left, _ in taken}, reverse=True):
            left, right = end - pad - wide, end - pad
            if left > 0 and not any(start < right + pad and left - pad < stop for start, stop in taken if start != end):
                self.words.append((left, right, pieces))
                return True
        return False

    def paint(self, pen: Pen, x: float, y: float, box: float) -> None:
        """Draw from the upper left corner of the first bar."""
        self._paint_bars(pen, x, y, box)
        for start, end, back in self.bands:
            self._paint_band(pen, x, y + box, start, end, back)
        for left, right in self.stops:
            pen.rect(x + left, y + BORDER * self.unit, right - left, box - 2 * BORDER * self.unit - self.sizes.band, INK)
        middle = y + (box - self.sizes.band) / 2
        for left, size in self.stop_words:
            pen.words(x + left, middle + size * capital_height() / 2, STOP_WORD, size, BOLD, PAPER, "stop")
        for left, _, pieces in self.words:
            base = middle + max(piece.size for piece in pieces) * capital_height() / 2
            paint_line(pen, x + left, base, flow(pieces, INFINITY)[0])
        for disc in self.discs:
            paint_disc(pen, x + disc.x, middle - self.sizes.disc / 2, disc.mark, self.sizes, disc.when)
            pen.mark("fill", (disc.mark.number, disc.mark.when), x + disc.x, x + disc.bar.left, x + disc.bar.right)

    def _paint_band(self, pen: Pen, x: float, bottom: float, start: float, end: float, back: bool) -> None:
        unit, high = self.unit, self.sizes.band
        top = bottom - high - BORDER * unit
        pen.rect(x + start, top, end - start, high, ACCENT)
        if back:
            pen.shape(((x + start, top - unit), (x + start - 0.9 * high, top + high / 2), (x + start, top + high + unit)), role=ACCENT)

    def _paint_bars(self, pen: Pen, x: float, y: float, box: float) -> None:
        unit = self.unit
        left = 0.0
        for place, bar in enumerate(self.bars):
            if bar.starts:
                left = bar.left
            if bar.ends:
                pen.rect(x + left, y, bar.right - left, box, INK, BORDER * unit)
            elif not bar.meter and not self.bars[place + 1].meter:
                self._divider(pen, x, bar, y, box)
        for bar in self.bars:
            if bar.meter:
                pen.rect(x + bar.left, y, bar.width, box, SIGN, ODD * unit)
        if self.opens:
            self._repeat(pen, x + self.bars[0].left, y, box, 1)
        if self.closes:
            self._repeat(pen, x + self.right, y, box, -1)
        if self.ends:
            pen.rect(x + self.right - END * unit, y, END * unit, box, INK)

    def _divider(self, pen: Pen, x: float, bar: Bar, y: float, box: float) -> None:
        """The bar line after a bar; where words or a disc cross it, only its ends."""
        at = bar.right
        crossed = any(left - 1 < at < right + 1 for left, right, _ in self.words)
        crossed = crossed or any(disc.x < at < disc.right for disc in self.discs)
        if any(left < at < right for left, right in self.stops):
            return
        width = (STRONG if bar.strong else DIVIDER) * self.unit
        for start, end in ((0.0, TICK), (1 - TICK, 1.0)) if crossed else ((0.0, 1.0),):
            pen.line(x + at, y + start * box, x + at, y + end * box, width, INK)

    def _repeat(self, pen: Pen, x: float, y: float, box: float, way: int) -> None:
        """A repeat sign at the edge of the line, its dots inside: ``way`` 1 opens, -1 closes."""
        unit = self.unit
        pen.rect(min(x, x + way * REPEAT * unit), y, REPEAT * unit, box, INK)
        dot = x + way * (REPEAT + 1.2 + DOT / 2) * unit
        for at in (0.36, 0.64):
            pen.disc(dot, y + at * box, DOT * unit / 2, INK)


def _joined(blocks: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Silences that go on over a bar line are one."""
    found: list[tuple[float, float]] = []
    for left, right in blocks:
        if found and left - found[-1][1] < 0.1:
            found[-1] = (found[-1][0], right)
        else:
            found.append((left, right))
    return found


def disc_width(mark: FillMark, sizes: Sizes) -> float:
    """Width of a number's disc."""
    return max(sizes.disc, width_of(mark.number, BOLD) * sizes.essential + 0.36 * sizes.disc)


def when_width(mark: FillMark, sizes: Sizes) -> float:
    """Width of which time through beside a disc."""
    return width_of(mark.when, BOLD) * sizes.least + 0.12 * sizes.disc if mark.when else 0.0


def paint_disc(pen: Pen, x: float, y: float, mark: FillMark, sizes: Sizes, when: bool) -> None:
    """A number in its disc from the upper left corner."""
    wide, size = disc_width(mark, sizes), sizes.essential
    radius = sizes.disc / 2
    pen.disc(x + radius, y + radius, radius, ACCENT, wide - sizes.disc)
    base = y + (sizes.disc + size * capital_height()) / 2
    left = x + (wide - width_of(mark.number, BOLD) * size) / 2
    pen.words(left, base, mark.number, size, BOLD, PAPER, "fill number")
    if when:
        pen.words(x + wide + 0.1 * sizes.disc, base, mark.when, sizes.least, BOLD, ACCENT, "time")
