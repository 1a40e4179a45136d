"""Laying out a row: what goes into its bars, and what has to hang over or under them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from charts import outline
from charts.song import which_time
from render.page.box_ink import paint_number
from render.page.boxes import STOP, Inside, disc_width
from render.page.flags import Flag, bracket, flags, words_block
from render.page.fonts import BOLD, REGULAR
from render.page.hit_lines import hit_line, hold_items
from render.page.lanes import Block, Hanging, hang
from render.page.marks import FillMark, fill_marks, stop_spans, written_at
from render.page.model import Laid, Pen
from render.page.names import NAME_GAP, name_block
from render.page.rows import FormRow, Geometry, LaidLine, LaidRow
from render.page.sheet import equation_text, tempo_text
from render.page.strips import PHRASE_GAP, Bar, bars_of
from render.page.text import Piece, natural_width, unbroken, words
from render.page.theme import SOFT

AFTER = 0.6  # from the last bar to END, in ems of a name
APART = 0.7  # between words at one bar, in ems
Said = tuple[int, float, str, list[Piece]]  # bar, place in it, kind, words


def lay_row(row: FormRow, geometry: Geometry) -> LaidRow:
    """One row, measured."""
    section, sizes = row.section, geometry.sizes
    lines = bars_of(section, geometry.across, geometry.bar_width, PHRASE_GAP * sizes.unit)
    layout = _RowLayout(row, geometry)
    laid = tuple(layout.line(bars, bars is lines[0], bars is lines[-1]) for bars in lines)
    room = geometry.name_width - NAME_GAP * sizes.name
    return LaidRow(laid, name_block(row.row.name, row.row.times, section, room, sizes), geometry)


class _RowLayout:
    """Lays the lines of one row."""

    def __init__(self, row: FormRow, geometry: Geometry) -> None:
        self.row, self.geometry, self.sizes = row, geometry, geometry.sizes
        self.section = row.section
        self.fills = fill_marks(row.row.part, row.fills)
        self.stops = stop_spans(row.section)
        self.said = sorted(self._said(), key=lambda said: said[:2])

    def _said(self) -> Iterator[Said]:
        """Cues, and a groove that is new, by bar and place."""
        size = self.sizes.cue
        for cue in self.section.cues:
            at = written_at(self.section, cue.place) if cue.has_beat else 0.0
            yield cue.place.bar, at, "cue", words(cue.text, "cue", REGULAR, size)
        if self.row.row.changes.get(outline.GROOVE) == outline.DEPARTS:
            yield 1, 0.0, "groove", words(self.section.groove, "groove", REGULAR, size, SOFT)

    def line(self, bars: Sequence[Bar], first: bool, last: bool) -> LaidLine:
        """One line of bars."""
        repeated, ends = self.row.repeated, last and self.row.ending is not None
        inside = Inside(bars, self.sizes, first and repeated, last and repeated, ends)
        items = [*self._flags(bars, first), *self._fill_items(inside), *self._stop_item(inside)]
        hits = hit_line(self.section, bars, self.sizes)
        items += hold_items(self.section, hits, self.sizes, bars)
        until = words(f"until {self.section.until}", "until", BOLD, self.sizes.essential)
        asked = last and bool(self.section.until)
        exits = [until] if asked and not inside.put_until(until) else []
        hung = self._put_said(inside)
        after = None
        if ends:
            end = self._ending()
            at = bars[-1].right + AFTER * self.sizes.name
            after = (at, end) if at + natural_width(end) <= self.geometry.strip_width else None
            exits += [] if after else [end]
        right, unit = self.geometry.strip_width, self.sizes.unit
        below = hang(hung, right, unit, ends=[(bars[-1].right, words_block(each, right)) for each in exits])
        return LaidLine(inside, hits, hang(items, right, unit, hits.spots), below, after)

    def _ending(self) -> list[Piece]:
        size = self.sizes.essential
        said = words(self.row.ending or "", "ending", BOLD, size, space=0.5 * size)
        return [unbroken("END", "ending", BOLD, size), *said]

    def _put_said(self, inside: Inside) -> list[Hanging]:
        """Words into their bars; returns what has to hang below, all words of a bar together."""
        here = [(bar, said) for said in self.said if (bar := inside.bar(said[0]))]
        left: dict[int, list[Piece]] = {}
        for place, (bar, (_, at, kind, pieces)) in enumerate(here):
            after = (other.x(said[1]) for other, said in here[place + 1 :])
            until = next((x for x in after if x > bar.x(at)), self.geometry.strip_width)
            known = left.get(bar.number)
            if known:
                known += [pieces[0]._replace(space=APART * pieces[0].size), *pieces[1:]]
            elif not inside.put_words(bar, bar.x(at), pieces, until, kind == "groove"):
                left[bar.number] = list(pieces)
        return [self._words_item(inside, number, pieces, "cue") for number, pieces in left.items()]

    def _words_item(self, inside: Inside, number: int, pieces: Sequence[Piece], kind: str) -> Hanging:
        bar = inside.bar(number)
        assert bar is not None
        longest = max(piece.width for piece in pieces)
        return Hanging(kind, bar, bar.left, natural_width(pieces), longest, partial(words_block, pieces))

    def _flags(self, bars: Sequence[Bar], first: bool) -> Iterator[Hanging]:
        """Changes where the section begins, bars of another length, changes of tempo on the way."""
        by_bar: dict[int, list[Flag]] = {1: section_flags(self.row.row)} if first else {}
        before = None
        for bar in bars:
            if bar.meter and bar.meter != before:
                by_bar.setdefault(bar.number, []).append(Flag(str(bar.meter), True, "meter change"))
            before = bar.meter
        for mark in self.section.tempos:
            said = which_time(mark.pass_, self.section.times)
            text = f"{tempo_text(self.section.meter, mark.tempo, mark.to)}{', ' if said else ''}{said}"
            by_bar.setdefault(mark.bar, []).append(Flag(text, True, "tempo change"))
        for bar in bars:
            if shown := by_bar.get(bar.number):
                lay = partial(flags, shown, self.sizes)
                wide = lay(float("inf")).width
                yield Hanging("flag", bar, bar.left, wide, min(wide, self.geometry.strip_width / 2), lay)

    def _fill_items(self, inside: Inside) -> Iterator[Hanging]:
        """Which time through, as brackets over bars; numbers that their bars have no room for."""
        homeless, untimed = inside.put_fills(self.fills)
        for mark in homeless:
            yield fixed("fill", inside.bars[mark.bar - inside.bars[0].number], self._number(mark))
        for mark in untimed:
            bar = inside.bars[mark.bar - inside.bars[0].number]
            yield fixed("time", bar, bracket(mark.when, bar, self.sizes))

    def _number(self, mark: FillMark) -> Block:
        sizes = self.sizes

        def paint(pen: Pen, x: float, y: float) -> None:
            paint_number(pen.at(x, y), mark, sizes, bool(mark.when))

        return Block(disc_width(mark, sizes, True), Laid(1.08 * sizes.disc, paint))

    def _stop_item(self, inside: Inside) -> Iterator[Hanging]:
        """The word over the first silence where none is wide enough for it."""
        at = inside.put_stops(self.stops)
        if at is not None:
            number = next(bar.number for bar in inside.bars if at <= bar.right)
            word = unbroken(STOP, "stop", BOLD, self.sizes.least)
            yield self._words_item(inside, number, [word], "stop")


def fixed(kind: str, bar: Bar, block: Block) -> Hanging:
    """What hangs from a bar and has one size."""
    return Hanging(kind, bar, bar.left, block.width, block.width, lambda _: block)


def section_flags(row: outline.Row) -> list[Flag]:
    """What is new where a row begins."""
    section, equal = row.section, f" ({equation_text(row.equation)})" if row.equation else ""
    tempo = tempo_text(section.meter, section.tempo, section.tempo_to)
    said = {
        outline.FEEL: (section.feel.name, "feel change"),
        outline.TEMPO: (tempo + equal, "tempo change"),
        outline.METER: (str(section.meter), "meter change"),
    }
    return [
        Flag(text, row.changes[what] == outline.DEPARTS, kind)
        for what, (text, kind) in said.items()
        if what in row.changes
    ]
