"""A fill in row notation, set in clean columns: a voice a row, a cell a column, beats parted by lines."""

from __future__ import annotations

from dataclasses import dataclass
from math import lcm

from charts.counting import count_onsets
from charts.notation import MOST_CELLS
from charts.pattern import division
from charts.rows import cell_of
from charts.verdict import nominal_onsets
from render.page.fills import PageFill
from render.page.fonts import BOLD, REGULAR, width_of
from render.page.model import Pen
from render.page.model import Laid
from render.page.theme import INK, SOFT

SIZE = 0.62  # of the letters, in units
CELL, ROW, BASE = 0.55, 0.68, 0.56  # width of a column, height of a row, its baseline
LABEL = 2.0  # room for the voices
BEAT_GAP = 0.34
DOT = 0.1
BEAT_LINE, BAR_LINE = 0.05, 0.1


@dataclass(frozen=True)
class _Beat:
    place: int
    cells: int
    left: float
    line: int
    last: bool  # of its bar


def lay_table(fill: PageFill, width: float, triplets: str) -> Laid:
    """The fill's rows within a width, beats broken into lines; narrower where one beat is too wide."""
    pattern = fill.pattern
    assert pattern is not None
    divisions = [_cells(pattern.onsets[place]) for place in range(pattern.beats)]
    numbers = [number for _, number, _ in fill.beats]
    last = [after <= number for number, after in zip(numbers, [*numbers[1:], 0], strict=True)]
    scale = min(1.0, width / (LABEL + max(divisions) * CELL + BEAT_GAP))
    beats, lines = _break(divisions, last, width / scale)
    rows = len(pattern.voices) + 1 + pattern.stuck
    line_height = rows * ROW + 0.3
    height = scale * (lines * line_height - 0.3 + 0.1)

    def paint(pen: Pen, x: float, y: float) -> None:
        pen = pen.at(x, y, scale)
        for line in range(lines):
            _paint_labels(pen, line * line_height, fill)
        for beat in beats:
            _paint_beat(pen, beat, beat.line * line_height, fill, triplets)

    return Laid(height, paint)


def table_width(fill: PageFill) -> float:
    """Width of a fill's longest bar, in units."""
    assert fill.pattern is not None
    widest = wide = before = 0.0
    for place, (_, number, _) in enumerate(fill.beats):
        wide = (0.0 if number <= before else wide) + _cells(fill.pattern.onsets[place]) * CELL + BEAT_GAP
        widest, before = max(widest, wide), number
    return LABEL + widest


def _cells(onsets: tuple[object, ...]) -> int:
    """Columns of a beat: at least two, so that an empty beat keeps its place."""
    cells = division(onsets)  # type: ignore[arg-type]  # onsets are fractions
    return min(lcm(cells, 2) if cells == 1 else cells, MOST_CELLS)


def _break(divisions: list[int], last: list[bool], width: float) -> tuple[list[_Beat], int]:
    beats, line, x = [], 0, LABEL
    for place, cells in enumerate(divisions):
        wide = cells * CELL + BEAT_GAP
        if x + wide > width + 1e-9 and x > LABEL:
            line, x = line + 1, LABEL
        beats.append(_Beat(place, cells, x, line, last[place]))
        x += wide
    return beats, line + 1


def _paint_labels(pen: Pen, y: float, fill: PageFill) -> None:
    assert fill.pattern is not None
    labels = [*fill.pattern.voices, "", *(["stick"] if fill.pattern.stuck else [])]
    for row, label in enumerate(labels):
        if label:
            pen.words(0.0, y + row * ROW + BASE, label, SIZE, BOLD, SOFT, "fill rows")


def _paint_beat(pen: Pen, beat: _Beat, y: float, fill: PageFill, triplets: str) -> None:
    pattern = fill.pattern
    assert pattern is not None
    strokes = pattern.by_beat[beat.place]
    voices = pattern.voices
    for row, voice in enumerate(voices):
        letters = {int(s.at * beat.cells): cell_of(s) for s in strokes if s.voice == voice}
        for cell in range(beat.cells):
            _paint_cell(pen, beat.left + (cell + 0.5) * CELL, y + row * ROW + BASE, letters.get(cell, ""))
    shape, number, tempo = fill.beats[beat.place]
    nominal = nominal_onsets(pattern, beat.place, fill.feel.grid(shape, tempo))
    counted = count_onsets(nominal, fill.feel, shape, tempo, number, triplets)
    for at, (_, word) in zip(pattern.onsets[beat.place], counted, strict=True):
        short = word if word.isdigit() else "·" if word == "ta" else word[:1]
        _word(
            pen,
            beat.left + (int(at * beat.cells) + 0.5) * CELL,
            y + len(voices) * ROW + BASE,
            short,
            "fill count",
        )
    for at, hand in {stroke.at: stroke.hand for stroke in strokes if stroke.hand}.items():
        _word(
            pen,
            beat.left + (int(at * beat.cells) + 0.5) * CELL,
            y + (len(voices) + 1) * ROW + BASE,
            hand,
            "sticking",
        )
    edge = beat.left + beat.cells * CELL + BEAT_GAP / 2
    thick, role = (BAR_LINE, INK) if beat.last else (BEAT_LINE, SOFT)
    pen.line(edge, y + 0.06, edge, y + len(voices) * ROW, thick, role)


def _paint_cell(pen: Pen, x: float, baseline: float, letter: str) -> None:
    if letter:
        wide = width_of(letter, BOLD) * SIZE
        pen.words(x - wide / 2, baseline, letter, SIZE, BOLD, INK, "fill rows")
    else:
        pen.rect(x - DOT / 2, baseline - 0.2 - DOT / 2, DOT, DOT, SOFT)


def _word(pen: Pen, x: float, baseline: float, text: str, kind: str) -> None:
    style = BOLD if text.isdigit() else REGULAR
    pen.words(x - width_of(text, style) * SIZE / 2, baseline, text, SIZE, style, INK, kind)
