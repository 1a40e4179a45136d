"""The drum staff drawn: heads, stems by voice, beams by beat, tuplets, rests, ornaments, counts, sticking.

Hands have stems up, feet stems down, each to one common height, so that beams lie level. Lengths in staff
spaces from the top line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from charts.kit import VOICES
from charts.notevalues import Event
from charts.pattern import BUZZ, DRAG, FLAM, GHOST, HALF_OPEN, OPEN, Stroke
from render.page import ink
from render.page.fonts import BOLD, REGULAR, capital_height, width_of
from render.page.levels import DOWN, UP, Levels, levels_of
from render.page.model import Pen
from render.page.rhythm import VoiceBeat
from render.page.shapes import pen_line
from render.page.staff import (
    COUNT_SIZE,
    BeatColumns,
    Column,
    Measured,
    Notes,
    StaffLine,
    break_lines,
    measure,
    place_line,
    staff_y,
)  # fmt: skip
from render.page.theme import INK, SOFT

TUPLET_SIZE = 1.7
STEM_X = 0.6  # a stem's distance from the middle of its head
ASIDE = 1.27  # how far a head stands from one a step away
GRACE_SCALE = 0.62
LINE_GAP = 1.2
TIGHTEST = 0.82  # how far a staff may shrink before its bars are broken into lines


@dataclass(frozen=True)
class Engraved:
    """A fill on its staves, measured in staff spaces: the least width it takes, and its height."""

    measured: Measured
    levels: tuple[Levels, ...]

    @property
    def width(self) -> float:
        return self.measured.width

    @property
    def height(self) -> float:
        return sum(each.bottom - each.top for each in self.levels) + LINE_GAP * (len(self.levels) - 1)

    def paint(self, pen: Pen, width: float) -> None:
        """Draw from the upper left corner, over so much width; the pen's unit is a staff space."""
        y = 0.0
        for beats, levels in zip(self.measured.lines, self.levels, strict=True):
            line = place_line(beats, self.measured.spacing, width)
            _paint_line(pen.at(0.0, y - levels.top), line, levels)
            y += levels.bottom - levels.top + LINE_GAP


@lru_cache(maxsize=512)
def engrave(notes: Notes, width: float) -> Engraved:
    """Lay a fill out in so many staff spaces.

    A line may be wider by what ``TIGHTEST`` makes good, a single beat by more.
    """
    return _with_levels(break_lines(notes, width / TIGHTEST))


def whole_width(notes: Notes) -> float:
    """Width in staff spaces of a fill's longest bar on one line, as it comes."""
    return measure(notes)[1].width


def _with_levels(measured: Measured) -> Engraved:
    return Engraved(measured, tuple(levels_of(line) for line in measured.lines))


def _paint_line(pen: Pen, line: StaffLine, levels: Levels) -> None:
    for place in range(5):
        pen.line(0.0, place, line.width, place, ink.STAFF_LINE, SOFT)
    for outline in ink.CLEF:
        pen.shape(outline, 0.35, 0.0)
    for x in line.bars:
        pen.line(x, 0.0, x, 4.0, ink.BARLINE, INK)
    for beat in line.beats:
        for column in beat.columns:
            _paint_column(pen, column, levels)
        _paint_voice(pen, beat, beat.hands, UP, levels)
        _paint_voice(pen, beat, beat.feet, DOWN, levels)


def _paint_column(pen: Pen, column: Column, levels: Levels) -> None:
    if column.rest:
        _paint_rest(pen, column.x, 1.0 if column.feet else 2.0, column.rest)
    if column.hands:
        for stroke in column.hands.strokes:
            if stroke.hat != "closed":
                for outline in {OPEN: ink.OPEN, HALF_OPEN: ink.HALF_OPEN}[stroke.hat]:
                    pen.shape(outline, column.x, levels.hats)
        _accent(pen, column.hands.strokes, column.x, levels.accents)
    if column.feet:
        _accent(pen, column.feet.strokes, column.x, levels.low_accents)
    for text, style, role, y, kind in (
        (column.word, column.word_style, INK, levels.counts, "fill count"),
        (column.hand, REGULAR, SOFT, levels.sticking, "sticking"),
    ):
        if text:
            wide = width_of(text, style) * COUNT_SIZE
            pen.words(column.x - wide / 2, y, text, COUNT_SIZE, style, role, kind)


def _accent(pen: Pen, strokes: Sequence[Stroke], x: float, y: float) -> None:
    if any(stroke.accent for stroke in strokes):
        for outline in ink.ACCENT:
            pen.shape(outline, x, y)


def _paint_rest(pen: Pen, x: float, middle: float, rest: Event) -> None:
    """A rest in the middle of the staff, higher where the foot plays under it."""
    if rest.hollow:
        pen.rect(x - 0.6, middle - 0.5, 1.2, 0.5)  # a half rest: a block on the middle line
    else:
        for outline in ink.RESTS[min(rest.flags, 5)]:
            pen.shape(outline, x, middle)
    if rest.dots:
        pen.shape(ink.AUGMENTATION, x + 0.95, middle - 0.5)


def _paint_voice(pen: Pen, beat: BeatColumns, voice: VoiceBeat, way: int, levels: Levels) -> None:
    at = {column.at: column.x for column in beat.columns}
    end = levels.up if way == UP else levels.down
    beamed = {place for first, last in voice.beams for place in range(first, last + 1)}
    for place, note in enumerate(voice.notes):
        _paint_note(pen, at[note.at], note, way, end, flagged=place not in beamed)
    for first, last in voice.beams:
        _paint_beam(
            pen,
            [(at[note.at] - way * STEM_X, note.flags) for note in voice.notes[first : last + 1]],
            way,
            end,
        )
    if voice.tuplet:
        middle = levels.tuplets if way == UP else levels.low_tuplets
        _paint_tuplet(pen, beat.columns[0].x - 0.7, beat.columns[-1].x + 0.8, middle, way, voice.tuplet)


def _paint_note(pen: Pen, x: float, note: Event, way: int, end: float, flagged: bool) -> None:
    ordered = sorted(note.strokes, key=lambda s: staff_y(s.voice), reverse=way == UP)
    before = None
    for stroke in ordered:
        y = staff_y(stroke.voice)
        aside = before is not None and abs(y - before) < 1
        _paint_head(pen, x - way * ASIDE if aside else x, y, stroke, note.hollow)
        before = None if aside else y
        if note.dots:
            pen.shape(ink.AUGMENTATION, x + 1.12, y if y % 1 else y - 0.5)
    places = [staff_y(stroke.voice) for stroke in note.strokes]
    start = max(places) if way == UP else min(places)
    stem = x - way * STEM_X
    pen.line(stem, start + way * 0.12, stem, end, ink.STEM, INK)
    if any(stroke.kind == BUZZ for stroke in note.strokes):
        middle = (min(places) + end) / 2 if way == UP else (max(places) + end) / 2
        for outline in ink.BUZZ:
            pen.shape(outline, stem, middle)
    if flagged:
        for flag in range(note.flags):
            outline = ink.FLAG_UP if way == UP else ink.FLAG_DOWN
            pen.shape(outline, stem, end - way * flag * ink.FLAG_STEP)


def _paint_head(pen: Pen, x: float, y: float, stroke: Stroke, hollow: bool) -> None:
    for outline in ink.HEADS[VOICES[stroke.voice].head, hollow]:
        pen.shape(outline, x, y)
    for ledger in range(-1, int(y) - 1, -1):
        pen.line(x - 1.05, ledger, x + 1.05, ledger, ink.LEDGER, INK)
    if stroke.kind == GHOST:
        pen.shape(ink.PAREN_LEFT, x, y)
        pen.shape(ink.PAREN_RIGHT, x, y)
    if stroke.kind in (FLAM, DRAG):
        _paint_grace(pen, x, y, stroke.kind)


def _paint_grace(pen: Pen, x: float, y: float, kind: str) -> None:
    """One small note before the head with a stroke through its stem, or two beamed."""
    places = [x - 1.62] if kind == FLAM else [x - 2.42, x - 1.5]
    top = y - 2.1
    for place in places:
        for outline in ink.HEADS["normal", False]:
            pen.shape(outline, place, y, GRACE_SCALE)
        pen.line(place + 0.36, y - 0.08, place + 0.36, top, ink.STEM * 0.85, INK)
    if kind == FLAM:
        pen.shape(ink.FLAG_UP, places[0] + 0.36, top, 0.52)
        pen.shape(pen_line((places[0] - 0.28, top + 1.12), (places[0] + 0.92, top + 0.32), 0.12))
    else:
        left, right = places[0] + 0.36, places[1] + 0.36
        for step in (0.0, 0.5):
            pen.rect(left - 0.05, top + step, right - left + 0.1, 0.3)


def _paint_beam(pen: Pen, notes: Sequence[tuple[float, int]], way: int, end: float) -> None:
    """Level beams from the stem ends inwards; a note alone on its level gets a stub."""
    half = ink.STEM / 2
    for level in range(max(flags for _, flags in notes)):
        y = end - way * level * ink.BEAM_STEP
        top = y if way == UP else y - ink.BEAM
        for left, right in _beam_spans(notes, level):
            pen.rect(left - half, top, right - left + 2 * half, ink.BEAM)


def _beam_spans(notes: Sequence[tuple[float, int]], level: int) -> list[tuple[float, float]]:
    spans = []
    place = 0
    while place < len(notes):
        if notes[place][1] <= level:
            place += 1
            continue
        first = place
        while place + 1 < len(notes) and notes[place + 1][1] > level:
            place += 1
        left, right = notes[first][0], notes[place][0]
        if first == place:
            left, right = (left - 1.05, left) if place else (left, left + 1.05)
        spans.append((left, right))
        place += 1
    return spans


def _paint_tuplet(pen: Pen, left: float, right: float, middle: float, way: int, figure: int) -> None:
    """A bracket with its number in the gap."""
    text = str(figure)
    wide = width_of(text, BOLD) * TUPLET_SIZE
    centre = (left + right) / 2
    y = middle
    hook = -way * 0.5
    for edge, inner in ((left, centre - wide / 2 - 0.35), (right, centre + wide / 2 + 0.35)):
        if abs(inner - edge) > 0.1 and (inner > left and inner < right):
            pen.line(edge, y, inner, y, 0.12, INK)
            pen.line(edge, y, edge, y + hook, 0.12, INK)
    pen.words(
        centre - wide / 2, y + capital_height() * TUPLET_SIZE / 2, text, TUPLET_SIZE, BOLD, INK, "tuplet"
    )
