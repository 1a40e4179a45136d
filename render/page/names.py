"""The left of a row: its name, how often, whether open, its dynamics."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from charts.song import DYNAMICS, Section
from render.page.fonts import BOLD, ITALIC, width_of
from render.page.model import Pen
from render.page.plan import Sizes
from render.page.text import (
    BASELINE,
    LEADING,
    Piece,
    Placed,
    flow,
    framed,
    height_of,
    line_width,
    natural_width,
    paint_lines,
    unbroken,
    words,
)
from render.page.theme import INK

APART = 0.4  # between name, times, OPEN and dynamics, in ems
HAIRPIN, HAIRPIN_HIGH, HAIRPIN_LINE = 1.15, 0.42, 0.075  # a hairpin's length, opening and line, in ems
OPEN = "OPEN"
NARROWEST, WIDEST, MOST = 0.13, 0.235, 0.42  # of the width: the column of names; for its longest word
USUAL = 5.0  # ems of a name that the column may have where that is more
NAME_GAP = 0.45  # between names and bars, in ems of a name
LEAST_NAME = 0.72  # how far a long word of a name shrinks before it is broken


@dataclass(frozen=True)
class NameBlock:
    """Lines of words at the left, the dynamics at the right of the last of them or under it."""

    lines: Sequence[Sequence[Placed]]
    dynamics: tuple[Piece, ...]
    width: float

    @property
    def first(self) -> float:
        """Height of the first line."""
        return height_of(self.lines[:1])

    @property
    def height(self) -> float:
        return height_of(self.lines) + (LEADING * self.dynamics[0].size if self.under else 0.0)

    @property
    def under(self) -> bool:
        """True where the dynamics have no room beside the words."""
        return bool(self.dynamics) and line_width(self.lines[-1]) + self._need > self.width

    @property
    def _need(self) -> float:
        return natural_width(self.dynamics) + APART * self.dynamics[0].size

    def paint(self, pen: Pen, x: float, y: float) -> None:
        paint_lines(pen, x, y, self.lines)
        if self.dynamics:
            size = self.dynamics[0].size
            base = y + self.height - (LEADING - BASELINE) * size
            if not self.under:
                base = (
                    y + height_of(self.lines[:-1]) + BASELINE * max(piece.size for _, piece in self.lines[-1])
                )
            _paint_dynamics(pen, x + self.width - natural_width(self.dynamics), base, self.dynamics)


def name_block(name: str, times: int, section: Section, width: float, sizes: Sizes) -> NameBlock:
    """The name in bold, then how often and OPEN where they have room."""
    size = sizes.essential
    pieces = [_fitted(piece, width) for piece in words(name, "section", BOLD, sizes.name)]
    if times > 1:
        pieces.append(unbroken(f"×{times}", "times", BOLD, size, space=APART * size))
    if section.open:
        pieces.append(framed(OPEN, "open", size, space=APART * size))
    dynamics = dynamics_pieces(section.dynamics, size)
    wide = natural_width(dynamics)
    if wide > width:
        dynamics = dynamics_pieces(section.dynamics, size * width / wide)
    return NameBlock(flow(pieces, width), tuple(dynamics), width)


def column_width(rows: Sequence[tuple[str, int, Section]], width: float, sizes: Sizes) -> float:
    """Room for names, how often and dynamics on one line, within bounds; for every word and all dynamics."""
    size = sizes.essential
    wanted = needed = 0.0
    for name, times, section in rows:
        pieces = words(name, "section", BOLD, sizes.name)
        dynamics = natural_width(dynamics_pieces(section.dynamics, size))
        beside = dynamics + APART * size if dynamics else 0.0
        beside += width_of(f"×{times}", BOLD) * size + APART * size if times > 1 else 0.0
        wanted = max(wanted, natural_width(pieces) + beside)
        needed = max(needed, dynamics, *(LEAST_NAME * piece.width for piece in pieces))
    widest = max(WIDEST * width, USUAL * sizes.name)
    found = max(needed, min(max(wanted, NARROWEST * width), widest))
    return min(found, MOST * width) + NAME_GAP * sizes.name


def _fitted(piece: Piece, width: float) -> Piece:
    """A word of a name, smaller where it is too long for the column."""
    if piece.width <= width:
        return piece
    size = max(LEAST_NAME, width / piece.width) * piece.size
    return unbroken(piece.text, piece.kind, piece.style, size - 1e-6, piece.role, piece.space)


def dynamics_pieces(dynamics: Sequence[str], size: float) -> list[Piece]:
    """The dynamics; a hairpin, a piece without text, from one to the next."""
    found: list[Piece] = []
    for place, mark in enumerate(dynamics):
        if place:
            rises = DYNAMICS.index(mark) > DYNAMICS.index(dynamics[place - 1])
            found.append(
                Piece(HAIRPIN * size, "", size=size, kind="rises" if rises else "falls", space=0.25 * size)
            )
        found.append(unbroken(mark, "dynamics", ITALIC, size, space=0.25 * size if place else 0.0))
    return found


def _paint_dynamics(pen: Pen, x: float, base: float, pieces: Sequence[Piece]) -> None:
    for at, piece in flow(pieces, float("inf"))[0]:
        if piece.text:
            pen.words(x + at, base, piece.text, piece.size, piece.style, INK, piece.kind)
            continue
        size = piece.size
        left, right, middle = x + at, x + at + piece.width, base - 0.25 * size
        point, wide = (left, right) if piece.kind == "rises" else (right, left)
        for way in (-1, 1):
            pen.line(point, middle, wide, middle + way * HAIRPIN_HIGH * size / 2, HAIRPIN_LINE * size, INK)
