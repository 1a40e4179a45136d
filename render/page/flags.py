"""What hangs from bars: flags of changes, brackets of times, words. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from render.page.fonts import BOLD, capital_height, width_of
from render.page.lanes import Block
from render.page.model import Laid, Pen
from render.page.plan import Sizes
from render.page.text import Piece, flow, height_of, line_width, paint_lines, unbroken
from render.page.theme import ACCENT, ON_SIGN, SIGN

HIGH, PAD, APART, LINE = 1.16, 0.28, 0.25, 0.09  # of a flag, in ems of its words: height, at its ends, between two
BRACKET = 0.06  # width of a bracket's line, in ems


@dataclass(frozen=True)
class Flag:
    """Words on a ground of their own, or in an outline."""

    text: str
    filled: bool
    kind: str


def flags(shown: Sequence[Flag], sizes: Sizes, width: float) -> Block:
    """Flags beside one another, in lines of a width; a longer one shrinks."""
    pieces = []
    for flag in shown:
        size = sizes.sign
        wide = (width_of(flag.text, BOLD) + 2 * PAD) * size
        if wide > width:
            size *= width / wide
            wide = width
        pieces.append(Piece(wide, flag.text, BOLD, size, kind=flag.kind, space=APART * size, sign=flag.filled))
    lines = flow(pieces, width)
    high = HIGH * sizes.sign

    def paint(pen: Pen, x: float, y: float) -> None:
        for line in lines:
            for at, piece in line:
                _paint_flag(pen, x + at, y, high, piece)
            y += high + APART * sizes.sign / 2

    total = len(lines) * high + (len(lines) - 1) * APART * sizes.sign / 2
    return Block(max(map(line_width, lines)), Laid(total, paint))


def _paint_flag(pen: Pen, x: float, y: float, high: float, piece: Piece) -> None:
    size = piece.size
    pen.rect(x, y, piece.width, high, SIGN, 0.0 if piece.sign else LINE * size)
    base = y + (high + size * capital_height()) / 2
    pen.words(x + PAD * size, base, piece.text, size, BOLD, ON_SIGN if piece.sign else SIGN, piece.kind)


def bracket(when: str, bar: float, sizes: Sizes) -> Block:
    """Which time through, under a bracket as long as the bar."""
    size = sizes.least
    text = width_of(when, BOLD) * size + 0.3 * size
    wide, high, line = max(bar, text), 1.12 * size, BRACKET * size

    def paint(pen: Pen, x: float, y: float) -> None:
        pen.rect(x, y, wide, line, ACCENT)
        pen.rect(x, y, line, high, ACCENT)
        pen.words(x + 0.25 * size, y + 0.2 * size + size * capital_height() + line, when, size, BOLD, ACCENT, "time")

    return Block(wide, Laid(high, paint))


def words_block(pieces: Sequence[Piece], width: float) -> Block:
    """Words in lines of a width; a word that is wider shrinks to it."""
    fitted = [piece if piece.width <= width else _shrunk(piece, width) for piece in pieces]
    lines = flow(fitted, width + 1e-6)
    return Block(max(map(line_width, lines), default=0.0), Laid(height_of(lines), lambda pen, x, y: paint_lines(pen, x, y, lines)))


SHRINKS = 0.7  # how far a word shrinks before it is broken


def _shrunk(piece: Piece, width: float) -> Piece:
    size = max(piece.size * SHRINKS, piece.size * width / piece.width)
    return unbroken(piece.text, piece.kind, piece.style, size, piece.role, piece.space)
