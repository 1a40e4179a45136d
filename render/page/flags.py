"""What hangs from bars: flags of changes, brackets of times, words. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from render.page.fonts import BOLD, capital_height, width_of
from render.page.lanes import Block
from render.page.model import Laid, Pen
from render.page.plan import Sizes
from render.page.strips import Bar
from render.page.text import (
    Piece,
    flow,
    framed,
    height_of,
    line_width,
    paint_lines,
    sign,
    unbroken,
)
from render.page.theme import ACCENT, SIGN

APART = 0.25  # between two flags, in ems
BRACKET = 0.06  # width of a bracket's line, in ems
SHRINKS = 0.7  # how far a word shrinks before it is broken


@dataclass(frozen=True)
class Flag:
    """A change: on a ground of its own where it departs, in an outline where it returns."""

    text: str
    departs: bool
    kind: str

    def piece(self, size: float) -> Piece:
        if self.departs:
            return sign([unbroken(self.text, self.kind, BOLD, size)], space=APART * size)[0]
        return framed(self.text, self.kind, size, SIGN, APART * size)


def flags(shown: Sequence[Flag], sizes: Sizes, width: float) -> Block:
    """Flags beside one another, in lines of a width; a longer one shrinks."""
    pieces = [flag.piece(sizes.sign) for flag in shown]
    fitted = [
        flag.piece(min(1.0, width / piece.width) * sizes.sign)
        for flag, piece in zip(shown, pieces, strict=True)
    ]
    return lines_block(flow(fitted, width))


def bracket(when: str, bar: Bar, sizes: Sizes) -> Block:
    """Which time through, under a bracket over its bar; words longer than the bar go on beside it."""
    size = sizes.least
    wide, high, line = (width_of(when, BOLD) + 0.4) * size, 1.12 * size, BRACKET * size

    def paint(pen: Pen, x: float, y: float) -> None:
        pen.rect(bar.left, y, bar.width, line, ACCENT)
        pen.rect(bar.left, y, line, high if x >= bar.left else 2.5 * line, ACCENT)
        base = y + 0.2 * size + size * capital_height() + line
        pen.words(x + 0.25 * size, base, when, size, BOLD, ACCENT, "time")

    return Block(max(bar.width, wide), Laid(high, paint))


def words_block(pieces: Sequence[Piece], width: float) -> Block:
    """Words in lines of a width; a word that is wider shrinks towards it."""
    return lines_block(flow([_fitted(piece, width) for piece in pieces], width + 1e-6))


def lines_block(lines: Sequence[Sequence[tuple[float, Piece]]]) -> Block:
    """Lines of words as a block."""
    wide = max(map(line_width, lines), default=0.0)
    return Block(wide, Laid(height_of(lines), lambda pen, x, y: paint_lines(pen, x, y, lines)))


def _fitted(piece: Piece, width: float) -> Piece:
    if piece.width <= width:
        return piece
    size = piece.size * max(SHRINKS, width / piece.width)
    return unbroken(piece.text, piece.kind, piece.style, size, piece.role, piece.space)
