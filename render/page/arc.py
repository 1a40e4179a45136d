"""The picture of a night: for every set the clock across, tempo as steps, loudness as a band. In points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from charts.wording import MINUTE, figure, length, time_words
from render.page.fonts import BOLD, REGULAR, width_of
from render.page.model import Pen
from render.page.text import LEADING, flow, paint_lines, words
from render.page.theme import INK, SIGN, SOFT
from setlists.arc import COMPOUND, STRAIGHT, SWUNG, SongArc, Step, arc_of
from setlists.gig import Gig, GigBreak, GigSet

TEXT, NAME, SMALL_NAME = 9.0, 8.0, 6.5  # sizes of type: tempos and times, titles
HIGH, LOWEST = 124.0, 72.0  # of one set: at the foot of a sheet, and from where type shrinks with it
LEGEND = 22.0
BAND = 11.0  # height of the loudest
TEMPO_LINE, EDGE_LINE, PATTERN_LINE = 1.7, 0.7, 0.5
LONG, SHORT, LEVEL = 8.0, 4.0, 4.0  # from one line of a pattern to the next
LOW = 0.22  # of the height: where the slowest tempo is
CURFEW_NEAR = 1.35  # the curfew is drawn where the longest set would reach it with so much more
PATTERNS = {STRAIGHT: "straight: open", SWUNG: "swung: long and short", COMPOUND: "in threes: level lines"}


@dataclass(frozen=True)
class _Frame:
    """Where a set is drawn: its start and the span of the clock, in seconds; tempos; edges, in points."""

    start: float
    span: float
    low: float
    high: float
    width: float
    top: float
    bottom: float

    def x(self, seconds: float) -> float:
        return (seconds - self.start) / self.span * self.width

    def y(self, tempo: float) -> float:
        share = (tempo - self.low) / (self.high - self.low) if self.high > self.low else 0.5
        return self.bottom - (LOW + (1 - LOW) * share) * (self.bottom - self.top - 5)

    def placed(self, step: Step) -> Step:
        """A step of tempo in points."""
        return Step(self.x(step.start), self.x(step.end), self.y(step.value), self.y(step.to))


def paint_night(pen: Pen, gig: Gig, y: float, width: float, height: float) -> None:
    """The picture of a night from a height on; ``pen`` is in points."""
    strip = (height - LEGEND) / max(1, len(gig.sets))
    small = min(1.0, strip / LOWEST)  # of all that is drawn, where there are very many sets
    arcs = {song.number: arc_of(song) for song in gig.songs}
    tempos = [value for arc in arcs.values() for step in arc.tempo for value in (step.value, step.to)]
    longest = max((part.seconds for part in gig.sets), default=0.0) or 1.0
    top, bottom = 2 * LEADING * TEXT, strip / small - BAND - 2 * LEADING * NAME - 4
    before: GigBreak | None = None
    for part in gig.parts:
        if isinstance(part, GigBreak):
            before = part
            continue
        curfew = _curfew(gig, part, longest)
        span = max(longest, curfew or 0.0)
        frame = _Frame(
            part.offset, span, min(tempos, default=0.0), max(tempos, default=0.0), width / small, top, bottom
        )
        here = pen.at(0, y, small)
        _told(here, gig, part, before, frame.width)
        for song in part.songs:
            _song(here, arcs[song.number], frame)
        here.line(0, bottom, frame.x(part.ends), bottom, EDGE_LINE, INK)
        if curfew is not None:
            at = frame.x(part.offset + curfew) - 1
            here.line(at, top, at, bottom + BAND, TEMPO_LINE, SIGN)
        y, before = y + strip, None
    _legend(pen.at(0, y, small))


def _curfew(gig: Gig, part: GigSet, longest: float) -> float | None:
    """Seconds from the last set's start to the curfew, where that is near enough to be drawn."""
    if gig.curfew is None or part.starts_at is None or part is not gig.sets[-1]:
        return None
    left = (gig.curfew - part.starts_at).total_seconds()
    return left if 0 < left <= CURFEW_NEAR * longest else None


def _song(pen: Pen, arc: SongArc, frame: _Frame) -> None:
    """One song: its edge, its names, the pattern of its feel, its tempo, its loudness."""
    left, right, bottom = frame.x(arc.song.offset), frame.x(arc.song.ends), frame.bottom
    pen.line(left, frame.top + 2, left, bottom + BAND, EDGE_LINE, SOFT)
    _names(pen, arc, left, right - left, frame.top, bottom + BAND + 2)
    steps = [frame.placed(step) for step in arc.tempo]
    _pattern(pen, arc.kind, steps, bottom)
    for step in steps:
        pen.line(step.start, step.value, step.end, step.to, TEMPO_LINE, INK)
    for step, after in pairwise(steps):
        pen.line(step.end, step.to, step.end, after.value, TEMPO_LINE / 2, INK)
    for step in arc.loudness:
        start, end = frame.x(step.start), frame.x(step.end)
        low, high = bottom + 1 + BAND * step.value, bottom + 1 + BAND * step.to
        pen.shape(((start, bottom + 1), (end, bottom + 1), (end, high), (start, low)), role=SOFT)


def _told(pen: Pen, gig: Gig, part: GigSet, before: GigBreak | None, width: float) -> None:
    """The set's name; when it starts and ends; the break before it, the curfew after the last."""
    lasts = length(MINUTE * round(part.seconds / MINUTE))
    told = f"{time_words(part.starts_at)}, {lasts}" if part.starts_at else lasts
    if before is not None:
        told += f", after a break of {length(before.shown)}"
    if gig.curfew and part is gig.sets[-1]:
        told += f", curfew {time_words(gig.curfew)}"
    name = words(part.name or "Set", "set", BOLD, TEXT)
    lines = flow([*name, *words(told, "arc", size=TEXT, role=SOFT, space=TEXT)], width)
    paint_lines(pen, 0, 0, lines[:1])


def _names(pen: Pen, arc: SongArc, left: float, room: float, top: float, under: float) -> None:
    """Start and tempo over a song, its number and title under it, as far as they have room."""
    song, at, room = arc.song, left + 1.5, room - 3
    tempo = figure(song.tempo) if song.tempo else ""
    start = time_words(song.starts_at) if song.starts_at else ""
    for text, style, role in ((tempo, BOLD, INK), (start, REGULAR, SOFT)):
        wide = width_of(text, style) * TEXT
        if text and at + wide <= left + room + 1.5:
            pen.words(at, top, text, TEXT, style, role, "arc")
            at += wide + 4
    for size, whole in ((NAME, True), (SMALL_NAME, True), (NAME, False)):
        pieces = words(str(song.number), "arc", BOLD, size)
        pieces += words(song.title, "arc", size=size, space=2.5) if whole else []
        lines = flow(pieces, room)
        if len(lines) <= 2 and sum(map(len, lines)) == len(pieces) and max(p.width for p in pieces) <= room:
            paint_lines(pen, left + 1.5, under, lines)
            return


def _pattern(pen: Pen, kind: str, steps: Sequence[Step], bottom: float) -> None:
    """How the beat divides, under the steps: long and short upright lines, or level ones, or none."""
    if kind == SWUNG and steps:
        for at in _swung(steps[0].start, steps[-1].end):
            step = next(step for step in reversed(steps) if step.start <= at)
            share = (at - step.start) / (step.end - step.start)
            pen.line(at, step.value + (step.to - step.value) * share, at, bottom, PATTERN_LINE, SOFT)
    for step in steps if kind == COMPOUND else ():
        y = bottom - LEVEL
        while y > max(step.value, step.to) + 1:
            pen.line(step.start, y, step.end, y, PATTERN_LINE, SOFT)
            y -= LEVEL


def _swung(start: float, end: float) -> Iterator[float]:
    """Places of long and short from one to another."""
    at = start + SHORT
    while at < end - 1:
        yield at
        if at + LONG < end - 1:
            yield at + LONG
        at += LONG + SHORT


def _legend(pen: Pen) -> None:
    """What the signs of the picture mean."""
    x, base = 0.0, LEGEND - 8
    for kind, told in PATTERNS.items():
        box = Step(x, x + 22, base - 9, base - 9)
        _pattern(pen, kind, [box], base)
        for one, other in pairwise(((x, base), (x, base - 9), (x + 22, base - 9), (x + 22, base), (x, base))):
            pen.line(*one, *other, EDGE_LINE, INK)
        pen.words(x + 26, base, told, NAME, role=SOFT, kind="arc")
        x += 26 + width_of(told) * NAME + 14
    pen.shape(((x, base - 6), (x + 22, base - 9), (x + 22, base), (x, base - 4)), role=SOFT)
    pen.words(x + 26, base, "loudness", NAME, role=SOFT, kind="arc")
