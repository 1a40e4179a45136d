"""Bars as boxes in strips: a box a bar, phrases parted, marks at their place inside the box.

All lengths in units, the size of essential text. Bars of all rows share one width, so that lengths compare.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from render.page.fonts import BOLD, width_of
from render.page.marks import MOST_LETTERS, BarMarks
from render.page.model import Pen
from render.page.signs import FERMATA
from render.page.theme import ACCENT, INK

MOST_ACROSS = 8  # bars a line
HEIGHT = 1.34  # of a box
BORDER, DIVIDER, STRONG, ODD = 0.075, 0.05, 0.14, 0.17  # widths of lines
PHRASE_GAP = 0.34
HOLD, HOLD_SHAPE = 0.5, 0.57  # height of a hold's sign; the same in its own ems
REPEAT_BAR, REPEAT_DOT, REPEAT_ROOM = 0.2, 0.15, 0.5  # a repeat sign inside the box it opens or closes
DOTS = REPEAT_ROOM - REPEAT_BAR  # what its dots take beside its bar
MARK, STOP = 0.28, 0.22  # heights of a hit and of a stop: all marks end above the letters
HIT, LEAST_HIT, HIT_GAP = 0.42, 0.24, 0.04  # width of a hit, at most and where many stand close; between two
LETTER_PAD = 0.34  # around letters in a box
LETTER_BASE = 1.06  # baseline of letters below the box's top
LETTER_TOP = 0.36  # room above letters
BACK = 0.26  # the point of a fill that began before the section
BAND_TOP, BAND = 1.13, 0.13  # the line under a letter that shows how far the fill reaches

Segment = tuple[int, int, int]  # first bar, bars, bars of its phrase before it


def lines_of(phrases: tuple[int, ...], across: int = MOST_ACROSS) -> tuple[tuple[Segment, ...], ...]:
    """Phrases laid in lines of at most ``across`` bars; a longer phrase is broken, in fours if it can be.

    >>> [[count for _, count, _ in line] for line in lines_of((4, 4, 3))]
    [[4, 4], [3]]
    >>> [[count for _, count, _ in line] for line in lines_of((9,))]
    [[4], [5]]
    """
    lines: list[list[Segment]] = [[]]
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
    return tuple(map(tuple, lines))


def _take(left: int, across: int) -> int:
    if left <= across:
        return left
    return across // 2 if across >= 4 and left - across < across // 4 + 1 else across


def bar_width_for(width: float, gaps: int) -> float:
    """Bars as wide as a region allows; ``gaps`` is the most phrase gaps in one line of the page."""
    return (width - gaps * PHRASE_GAP) / MOST_ACROSS


def most_gaps(phrases: tuple[int, ...]) -> int:
    """The most phrase gaps in one line of a section."""
    return max(len(line) - 1 for line in lines_of(phrases))


def least_bar(marks: Mapping[int, BarMarks], repeats: int) -> float:
    """Width that the widest box needs for its letters beside so many repeat signs."""
    widest = max((_letters_room(bar) for bar in marks.values()), default=0.0)
    signs = repeats * REPEAT_BAR
    hits = max((_hits_width(bar.hits) + signs for bar in marks.values() if len(bar.hits) > 1), default=0.0)
    return max(hits, widest + LETTER_PAD + repeats * REPEAT_ROOM if widest else 2 * REPEAT_ROOM)


def _letters_room(bar: BarMarks) -> float:
    """Width of a bar's letters, and of the point that shows that the fill began before the section."""
    wide = letters_width(bar.letters)
    return wide + BACK if wide and any(back for *_, back in bar.bands) else wide


def _hits_width(hits: Sequence[float]) -> float:
    """Width of a bar in which the closest of its hits can be told apart."""
    return (LEAST_HIT + HIT_GAP) / _closest(hits) + LEAST_HIT


def letters_width(letters: Sequence[str]) -> float:
    """Width of the letters shown in a box."""
    return width_of(" ".join(letters[:MOST_LETTERS]), BOLD)


def across_for(bar_width: float, least: float) -> int:
    """Bars a line where every box must be at least so wide: 8, else 4, 2, 1."""
    across = MOST_ACROSS
    while across > 1 and bar_width * MOST_ACROSS / across < least:
        across //= 2
    return across


@dataclass(frozen=True)
class Strip:
    """One line of boxes: for each bar its left edge and width."""

    line: tuple[Segment, ...]
    bar_width: float
    lefts: Mapping[int, float]

    @property
    def right(self) -> float:
        first, count, _ = self.line[-1]
        return self.lefts[first + count - 1] + self.bar_width

    def x_of(self, bar: int, at: float) -> float:
        """Where a place in a bar stands."""
        return self.lefts[bar] + at * self.bar_width


@lru_cache(maxsize=4096)
def strip_of(line: tuple[Segment, ...], bar_width: float, across: int) -> Strip:
    """Place a line's boxes; ``bar_width`` is that of eight across."""
    width = bar_width * MOST_ACROSS / across
    lefts, x = {}, 0.0
    for place, (first, count, _) in enumerate(line):
        x += PHRASE_GAP if place else 0.0
        for bar in range(first, first + count):
            lefts[bar] = x
            x += width
    return Strip(line, width, lefts)


@dataclass(frozen=True)
class Stretch:
    """What a line of boxes shows: marks by bar, odd bars, the bars at which a repeat opens and closes."""

    marks: Mapping[int, BarMarks]
    odd: Collection[int]
    opens: int = 0
    closes: int = 0


def paint_strip(pen: Pen, x: float, y: float, strip: Strip, shown: Stretch) -> None:
    """Draw a line of boxes with what stands in them."""
    for first, count, before in strip.line:
        left, right = strip.lefts[first], strip.lefts[first + count - 1] + strip.bar_width
        pen.rect(x + left, y, right - left, HEIGHT, INK, BORDER)
        for bar in range(first + 1, first + count):
            strong = (before + bar - first) % 4 == 0
            at = x + strip.lefts[bar]
            pen.line(at, y, at, y + HEIGHT, STRONG if strong else DIVIDER, INK)
    for bar, left in strip.lefts.items():
        if bar in shown.odd:
            pen.rect(x + left, y, strip.bar_width, HEIGHT, INK, ODD)
        if bar in shown.marks:
            start = REPEAT_BAR if bar == shown.opens else 0.0
            end = REPEAT_BAR if bar == shown.closes else 0.0
            dots = (DOTS if start else 0.0, DOTS if end else 0.0)
            inside = _Inside(strip.bar_width - start - end, ODD if bar in shown.odd else BORDER, *dots)
            _paint_marks(pen.at(x + left + start, y), inside, shown.marks[bar])
        if bar == shown.opens:
            _paint_repeat(pen, x + left, y, 1)
        if bar == shown.closes:
            _paint_repeat(pen, x + left + strip.bar_width, y, -1)


@dataclass(frozen=True)
class _Inside:
    """A box's inside: width between repeat bars, border, what the dots of a repeat take at its ends."""

    width: float
    border: float
    opens: float
    closes: float

    def clear_of(self, letters: bool, height: float) -> float:
        """So high may a mark be: all of it stands above the letters."""
        return min(height, LETTER_TOP - self.border) if letters else height


def _paint_marks(pen: Pen, inside: _Inside, marks: BarMarks) -> None:
    """Marks between a bar's edges; a repeat sign takes its room first."""
    width, top, letters = inside.width, inside.border, bool(marks.letters)
    if marks.timed:
        for at in marks.beats[1:]:
            if all(abs(at - hold) * width > HOLD for hold in marks.holds):
                pen.line(at * width, top, at * width, top + 0.14, DIVIDER, INK)
    high = inside.clear_of(letters, MARK)
    for x, wide in placed_hits(marks.hits, width, top):
        pen.shape(((x - wide / 2, top), (x + wide / 2, top), (x, top + high)))
    for at, end in marks.stops:
        x = min(max(at * width, top), width - MARK)
        long = MARK if end is None else max(0.1, end * width - x)
        pen.rect(x, top, long, inside.clear_of(letters, STOP))
    for at in marks.holds:
        size = inside.clear_of(letters, HOLD) / HOLD_SHAPE
        x = max(min(max(at * width - 0.45 * size, top), width - 0.92 * size - inside.closes), inside.opens)
        pen.sign(x, top + 0.55 * size, FERMATA, 0.34 * size)
    for start, end, back in marks.bands:
        pen.rect(start * width, BAND_TOP, (end - start) * width, BAND, ACCENT)
        if back:
            pen.shape(
                ((0.0, BAND_TOP - 0.12), (BACK, BAND_TOP + BAND / 2), (0.0, BAND_TOP + BAND + 0.07)),
                role=ACCENT,
            )
    if marks.letters:
        text = " ".join(marks.letters[:MOST_LETTERS])
        left = width - LETTER_PAD / 2 - inside.closes - width_of(text, BOLD)
        pen.words(left, LETTER_BASE, text, 1.0, BOLD, ACCENT, "fill letter")


def placed_hits(hits: Sequence[float], width: float, border: float = BORDER) -> list[tuple[float, float]]:
    """Middle and width of each hit: as wide as keeps them apart, the outermost inside the bar."""
    wide = HIT
    while True:
        xs = [min(max(at * width, border + wide / 2), width - border - wide / 2) for at in hits]
        apart = min((b - a for a, b in pairwise(xs)), default=wide + HIT_GAP)
        if apart >= wide + HIT_GAP or wide < LEAST_HIT / 2:
            return [(x, wide) for x in xs]
        wide *= 0.95


def _closest(places: Sequence[float]) -> float:
    return min((b - a for a, b in pairwise(places)), default=1.0)


def _paint_repeat(pen: Pen, x: float, y: float, way: int) -> None:
    """A repeat sign at the edge of a box, its two dots inside: ``way`` 1 opens, -1 closes."""
    pen.rect(min(x, x + way * REPEAT_BAR), y, REPEAT_BAR, HEIGHT, INK)
    dot = x + way * (REPEAT_BAR + 0.16)
    for at in (0.48, 0.87):
        pen.rect(dot - REPEAT_DOT / 2, y + at - REPEAT_DOT / 2, REPEAT_DOT, REPEAT_DOT, INK)
