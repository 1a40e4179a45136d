"""One row of the form, laid out: the name at the left, at its right the bars with all that belongs to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

from charts import outline
from charts.song import Section, which_time
from charts.wording import figure
from render.page.boxes import BORDER, PAD, Inside, Said, disc_width, paint_disc, when_width
from render.page.fills import UsedFill
from render.page.flags import Flag, bracket, flags, words_block
from render.page.fonts import BOLD, ITALIC, REGULAR
from render.page.hit_lines import HitLine, hit_line, hold_items
from render.page.lanes import Block, Hanging, Lanes, Spot, exit_lanes, hang
from render.page.marks import FillMark, fill_marks, stop_spans, written_at
from render.page.model import Laid, Pen
from render.page.names import NameBlock, name_block
from render.page.plan import Sizes
from render.page.sheet import tempo_text
from render.page.strips import Bar, bars_of
from render.page.text import Piece, natural_width, unbroken, words
from render.page.theme import INK, SOFT

PHRASE_GAP, LINE_GAP, ABOVE = 3.5, 3.0, 2.0  # between phrases, lines of one row, bars and what hangs from them


@dataclass(frozen=True)
class FormRow:
    """A row of the outline with its fills; ``ending`` is said at the last bar line of the song."""

    row: outline.Row
    fills: tuple[UsedFill, ...]
    ending: str | None = None

    @property
    def section(self) -> Section:
        return self.row.section

    @property
    def repeated(self) -> bool:
        return self.row.times > 1 or self.section.open


@dataclass(frozen=True)
class Geometry:
    """What all rows of a page share."""

    sizes: Sizes
    name_width: float
    strip_width: float
    across: int
    bar_width: float


@dataclass(frozen=True)
class LaidLine:
    """One line of bars with what hangs over and under it; ``after`` lies behind its last bar."""

    inside: Inside
    above: Lanes
    below: Lanes
    hits: HitLine
    after: tuple[float, tuple[Piece, ...]] | None

    def height(self, box: float, unit: float) -> float:
        over = self.above.height + ABOVE * unit if self.above.height else 0.0
        under = self.below.height + ABOVE * unit if self.below.height else 0.0
        return over + box + under


@dataclass(frozen=True)
class LaidRow:
    """A row, measured; boxes may be higher than they must be."""

    lines: tuple[LaidLine, ...]
    name: NameBlock
    geometry: Geometry

    @property
    def unit(self) -> float:
        return self.geometry.sizes.pen

    def height(self, box: float) -> float:
        strips = sum(line.height(box, self.unit) for line in self.lines) + LINE_GAP * self.unit * (len(self.lines) - 1)
        return max(strips, self._name_top(box) + self.name.height)

    def _name_top(self, box: float) -> float:
        over = self.lines[0].above.height
        return max(0.0, over + (ABOVE * self.unit if over else 0.0) + (box - self.name.first) / 2)

    def paint(self, pen: Pen, x: float, y: float, box: float) -> None:
        self.name.paint(pen, x, y + self._name_top(box))
        left = x + self.geometry.name_width
        for line in self.lines:
            edge = ABOVE * self.unit
            top = y + (line.above.height + edge if line.above.height else 0.0)
            line.inside.paint(pen, left, top, box)
            line.hits.paint(pen, left, top - edge)
            line.above.paint(pen, left, top - edge, -1)
            line.below.paint(pen, left, top + box + edge, 1)
            if line.after:
                at, pieces = line.after
                words_block(pieces, 1e9).laid.paint(pen, left + at, top + (box - self.name.first) / 2)
            y += line.height(box, self.unit) + LINE_GAP * self.unit


def lay_row(row: FormRow, geometry: Geometry) -> LaidRow:
    """One row, measured."""
    section, sizes = row.section, geometry.sizes
    lines = list(bars_of(section, geometry.across, geometry.bar_width, PHRASE_GAP * sizes.pen))
    made = _Maker(row, geometry)
    laid = tuple(made.line(bars, bars is lines[0], bars is lines[-1]) for bars in lines)
    name = name_block(row.row.name, row.row.times, section, geometry.name_width - sizes.name * 0.45, sizes)
    return LaidRow(laid, name, geometry)


class _Maker:
    """Lays the lines of one row."""

    def __init__(self, row: FormRow, geometry: Geometry) -> None:
        self.row, self.geometry, self.sizes = row, geometry, geometry.sizes
        self.section = row.section
        self.fills = fill_marks(row.row.part, row.fills)
        self.stops = stop_spans(row.section)
        self.said = sorted(self._said(), key=lambda said: said[:2])

    def _said(self) -> Iterator[tuple[int, float, str, tuple[Piece, ...]]]:
        """Cues, and a groove that is new, by bar and place."""
        size = self.sizes.cue
        for cue in self.section.cues:
            at = written_at(self.section, cue.place) if cue.has_beat else 0.0
            yield cue.place.bar, at, "cue", tuple(words(cue.text, "cue", REGULAR, size))
        if self.row.row.changes.get(outline.GROOVE) == outline.DEPARTS:
            yield 1, 0.0, "groove", tuple(words(self.section.groove, "groove", REGULAR, size, SOFT))

    def line(self, bars: Sequence[Bar], first: bool, last: bool) -> LaidLine:
        row = self.row
        inside = Inside(bars, self.sizes, first and row.repeated, last and row.repeated, last and row.ending is not None)
        homeless, untimed = inside.put_fills(self.fills)
        silent = inside.put_stops(self.stops)
        until = tuple(words(f"until {self.section.until}", "until", BOLD, self.sizes.essential)) if self.section.until and last else ()
        until_in = bool(until) and inside.put_until(until)
        hung = self._put_said(inside)
        hits = hit_line(self.section, bars, self.sizes)
        items = [*self._flags(bars, first), *self._times(bars, homeless, untimed), *self._stop_word(bars, silent), *hold_items(self.section, hits, self.sizes, bars)]
        above = hang(items, self.geometry.strip_width, hits.spots, self.sizes.pen)
        below = hang(hung, self.geometry.strip_width, (), self.sizes.pen)
        after = None
        if until and not until_in:
            below = self._exit(below, until, bars[-1])
        if last and row.ending is not None:
            end = self._ending()
            at = bars[-1].right + 0.6 * self.sizes.name
            if at + natural_width(end) <= self.geometry.strip_width:
                after = (at, end)
            else:
                below = self._exit(below, end, bars[-1])
        return LaidLine(inside, above, below, hits, after)

    def _ending(self) -> tuple[Piece, ...]:
        size = self.sizes.essential
        return (unbroken("END", "ending", BOLD, size), *words(self.row.ending or "", "ending", BOLD, size, space=0.5 * size))

    def _exit(self, lanes: Lanes, pieces: tuple[Piece, ...], bar: Bar) -> Lanes:
        """What belongs to the end of a line and has no room on it: under its last bar."""
        block = words_block(pieces, self.geometry.strip_width)
        item = Hanging(bar.number, bar.right, block.width, block.width, partial(words_block, pieces))
        return exit_lanes(lanes, block, max(0.0, bar.right - block.width), item, self.sizes.pen)

    def _put_said(self, inside: Inside) -> list[Hanging]:
        """Cues in their bars; returned is what hangs below."""
        here = [(bar, each) for each in self.said if (bar := inside.bar(each[0]))]
        left: dict[int, list[Piece]] = {}
        for place, (bar, (number, at, kind, pieces)) in enumerate(here):
            if number in left:
                left[number] += _after(left[number], pieces)
                continue
            later = next((other.x(each[1]) for other, each in here[place + 1 :]), self.geometry.strip_width)
            if not inside.put_words(Said(number, bar.x(at), pieces, kind), later if later > bar.x(at) else 1e9):
                left[number] = list(pieces)
        return [self._hanging(inside.bar(number), tuple(pieces)) for number, pieces in left.items()]

    def _hanging(self, bar: Bar | None, pieces: tuple[Piece, ...]) -> Hanging:
        assert bar is not None
        widest = max((piece.width for piece in pieces), default=0.0)
        anchor = bar.left + BORDER * self.sizes.pen
        natural = natural_width(pieces)
        return Hanging(bar.number, anchor, natural, widest, partial(words_block, pieces), "cue", (bar.left, bar.right))

    def _flags(self, bars: Sequence[Bar], first: bool) -> Iterator[Hanging]:
        """Changes where the section begins, bars of another length, changes of tempo on the way."""
        by_bar: dict[int, list[Flag]] = {}
        if first:
            by_bar[1] = list(section_flags(self.row.row, self.sizes))
        before = None
        for bar in bars:
            if bar.meter and bar.meter != before:
                by_bar.setdefault(bar.number, []).append(Flag(str(bar.meter), True, "meter change"))
            before = bar.meter
        for mark in self.section.tempos:
            said = which_time(mark.pass_, self.section.times)
            text = _tempo_words(self.section, mark.tempo, mark.to) + (f", {said}" if said else "")
            by_bar.setdefault(mark.bar, []).append(Flag(text, True, "tempo change"))
        for bar in bars:
            if shown := by_bar.get(bar.number):
                lay = partial(flags, shown, self.sizes)
                whole = lay(1e9)
                yield Hanging(bar.number, bar.left, whole.width, min(whole.width, 0.5 * self.geometry.strip_width), lay, "flag", (bar.left, bar.right))

    def _times(self, bars: Sequence[Bar], homeless: Sequence[FillMark], untimed: Sequence[FillMark]) -> Iterator[Hanging]:
        """Which time through, as brackets over bars; discs that their bars have no room for."""
        known = {bar.number: bar for bar in bars}
        for mark in homeless:
            bar = known[mark.bar]
            block = self._token(mark)
            yield Hanging(bar.number, bar.left, block.width, block.width, lambda _width, block=block: block, "fill", (bar.left, bar.right))
        for mark in untimed:
            bar = known[mark.bar]
            block = bracket(mark.when, bar.width, self.sizes)
            yield Hanging(bar.number, bar.left, block.width, block.width, lambda _width, block=block: block, "time", (bar.left, bar.right))

    def _token(self, mark: FillMark) -> Block:
        sizes = self.sizes
        wide = disc_width(mark, sizes) + when_width(mark, sizes)
        return Block(wide, Laid(sizes.disc * 1.08, lambda pen, x, y: paint_disc(pen, x, y, mark, sizes, bool(mark.when))))

    def _stop_word(self, bars: Sequence[Bar], silent: float | None) -> Iterator[Hanging]:
        if silent is None:
            return
        bar = next(bar for bar in bars if silent <= bar.right)
        pieces = (unbroken("STOP", "stop", BOLD, self.sizes.least),)
        wide = pieces[0].width
        yield Hanging(bar.number, bar.left, wide, wide, partial(words_block, pieces), "stop", (bar.left, bar.right))


def _after(before: Sequence[Piece], pieces: Sequence[Piece]) -> list[Piece]:
    """Words that follow others in the same bar."""
    return [replace_space(pieces[0], before[-1].size), *pieces[1:]]


def replace_space(piece: Piece, size: float) -> Piece:
    return piece._replace(space=0.7 * size)


def section_flags(row: outline.Row, sizes: Sizes) -> Iterator[Flag]:
    """What is new where a row begins: filled where it departs, in outline where it returns."""
    section = row.section
    said = {
        outline.FEEL: (section.feel.name, "feel change"),
        outline.TEMPO: (_tempo_words(section, section.tempo, section.tempo_to), "tempo change"),
        outline.METER: (str(section.meter), "meter change"),
    }
    for what, (text, kind) in said.items():
        if what in row.changes:
            yield Flag(text, row.changes[what] == outline.DEPARTS, kind)


def _tempo_words(section: Section, tempo: object, to: object) -> str:
    text = tempo_text(section.meter, tempo)  # type: ignore[arg-type]
    return text if to is None else f"{text} → {figure(to)}"  # type: ignore[arg-type]
