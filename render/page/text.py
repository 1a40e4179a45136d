"""Words in lines: pieces that do not break, lines that flow, and signs (words on a ground of their own).

All lengths are in units, the size of essential text.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple, Protocol

from render.page.fonts import BOLD, REGULAR, width_of
from render.page.model import Pen
from render.page.theme import INK, ON_SIGN, SIGN

LEADING = 1.18  # from one baseline to the next
BASELINE = 0.86  # from a line's top to its baseline
SIGN_TOP, SIGN_HEIGHT, SIGN_PAD = 0.875, 1.09, 0.24  # a sign's ground: over the baseline, in all, at its ends
FRAME = 0.085  # the line of a frame, in ems


class Drawn(Protocol):
    """A picture among words."""

    def paint(self, pen: Pen, x: float, baseline: float, role: str, size: float = 1.0) -> None:
        """Draw it on a baseline."""


class Piece(NamedTuple):
    """Part of a line that does not break; ``space`` is the gap before it where it does not start a line."""

    width: float
    text: str = ""
    style: str = REGULAR
    size: float = 1.0
    role: str = INK
    kind: str = ""
    space: float = 0.0
    lead: float = 0.0  # from its left edge to its ink
    sign: bool = False
    tied: bool = False  # stays on the line of the piece before it where a line can hold both
    picture: Drawn | None = None
    frame: bool = False  # in a frame of its color


Placed = tuple[float, Piece]


def words(
    text: str, kind: str, style: str = REGULAR, size: float = 1.0, role: str = INK, space: float = 0.0
) -> list[Piece]:
    """A text as pieces, one a word; ``space`` is the gap before the first.

    >>> [piece.text for piece in words("hats closed", "cue")]
    ['hats', 'closed']
    """
    return list(_words(text, kind, style, size, role, space))


@lru_cache(maxsize=16384)
def _words(text: str, kind: str, style: str, size: float, role: str, space: float) -> tuple[Piece, ...]:
    blank = width_of(" ", style) * size
    return tuple(
        Piece(width_of(word, style) * size, word, style, size, role, kind, space if not place else blank)
        for place, word in enumerate(text.split())
    )


def unbroken(
    text: str, kind: str, style: str = REGULAR, size: float = 1.0, role: str = INK, space: float = 0.0
) -> Piece:
    """A text that stays on one line."""
    return Piece(width_of(text, style) * size, text, style, size, role, kind, space)


def sign(parts: Sequence[Piece], space: float = 0.0) -> list[Piece]:
    """Pieces on a ground of their own."""
    made = [_bold(part)._replace(sign=True, role=ON_SIGN) for part in parts]
    pad = SIGN_PAD * made[0].size
    made[0] = made[0]._replace(width=made[0].width + pad, lead=pad, space=space)
    made[-1] = made[-1]._replace(width=made[-1].width + pad)
    return tied(made)


def framed(text: str, kind: str, size: float, role: str = INK, space: float = 0.0) -> Piece:
    """Words in a frame of their color."""
    piece = unbroken(text, kind, BOLD, size, role, space)
    pad = SIGN_PAD * size
    return piece._replace(width=piece.width + 2 * pad, lead=pad, frame=True)


def _bold(part: Piece) -> Piece:
    if not part.text:
        return part
    plain = part.space == width_of(" ", REGULAR) * part.size
    space = width_of(" ", BOLD) * part.size if plain else part.space
    return part._replace(style=BOLD, width=width_of(part.text, BOLD) * part.size, space=space)


def tied(pieces: Sequence[Piece]) -> list[Piece]:
    """Pieces that keep together: a label and its value, a bar's number and its words."""
    return [*pieces[:1], *(piece._replace(tied=True) for piece in pieces[1:])]


def flow(pieces: Sequence[Piece], width: float) -> list[list[Placed]]:
    """Pieces laid in lines of a width; one wider than a line is broken between letters."""
    lines: list[list[Placed]] = []
    line: list[Placed] = []
    x = 0.0
    width += 1e-9
    for place, piece in enumerate(pieces):
        gap = piece.space if line else 0.0
        if line and (x + gap + piece.width > width or _leaves(pieces, place, x + gap, width)):
            lines.append(line)
            line, x, gap = [], 0.0, 0.0
        if piece.width > width and piece.text:
            *full, piece = _broken(piece, width)
            lines += [[(0.0, part)] for part in full]
        line.append((x + gap, piece))
        x += gap + piece.width
    return [*lines, line] if line else lines


def _leaves(pieces: Sequence[Piece], place: int, x: float, width: float) -> bool:
    """True where a piece starts a group that does not fit here but would on a line of its own."""
    if pieces[place].tied or place + 1 == len(pieces) or not pieces[place + 1].tied:
        return False
    wide = pieces[place].width
    for piece in pieces[place + 1 :]:
        if not piece.tied:
            break
        wide += piece.space + piece.width
    return x + wide > width >= wide


def _broken(piece: Piece, width: float) -> list[Piece]:
    """A word too long for the line, in parts of at least one letter; after a hyphen where it has one."""
    parts, start = [], 0
    text, rest = piece.text, piece.width - width_of(piece.text, piece.style) * piece.size
    while start < len(text):
        end, wide = start, rest
        while end < len(text):
            step = width_of(text[end], piece.style) * piece.size
            if end > start and wide + step > width:
                break
            wide, end = wide + step, end + 1
        hyphen = text.rfind("-", start, end) + 1
        if end < len(text) and hyphen > start:
            end, wide = hyphen, rest + width_of(text[start:hyphen], piece.style) * piece.size
        parts.append(piece._replace(text=text[start:end], width=wide))
        start = end
    return parts


def line_width(line: Sequence[Placed]) -> float:
    """From a line's start to the end of its last piece."""
    return line[-1][0] + line[-1][1].width if line else 0.0


def natural_width(pieces: Sequence[Piece]) -> float:
    """Width of the pieces on one line.

    >>> natural_width([]) == 0
    True
    """
    return sum(p.width + (p.space if place else 0.0) for place, p in enumerate(pieces))


def leading_of(line: Sequence[Placed]) -> float:
    """Height of a line: its largest piece's."""
    return LEADING * max(piece.size for _, piece in line)


def height_of(lines: Sequence[Sequence[Placed]]) -> float:
    """Height of lines one under the other."""
    return sum(map(leading_of, lines))


def paint_lines(pen: Pen, x: float, y: float, lines: Sequence[Sequence[Placed]]) -> float:
    """Draw lines from an upper left corner; returns the y under them."""
    for line in lines:
        paint_line(pen, x, y + BASELINE * max(piece.size for _, piece in line), line)
        y += leading_of(line)
    return y


def paint_line(pen: Pen, x: float, baseline: float, line: Sequence[Placed]) -> None:
    """Draw one line; neighbours in the same hand become one text."""
    _paint_grounds(pen, x, baseline, line)
    place = 0
    while place < len(line):
        at, piece = line[place]
        start, text = at + piece.lead, piece.text
        if piece.picture is not None:
            piece.picture.paint(pen, x + start, baseline, piece.role)
            place += 1
            continue
        place += 1
        end = at + piece.width
        while place < len(line) and _joins(piece, line[place], end):
            end = line[place][0] + line[place][1].width
            text += " " + line[place][1].text
            place += 1
        pen.words(x + start, baseline, text, piece.size, piece.style, piece.role, piece.kind)


def _joins(piece: Piece, following: Placed, end: float) -> bool:
    at, other = following
    same = (piece.style, piece.size, piece.role, piece.kind) == (
        other.style,
        other.size,
        other.role,
        other.kind,
    )
    return (
        same
        and not other.lead
        and bool(other.text)
        and abs(at - end - width_of(" ", piece.style) * piece.size) < 1e-6
    )


def _paint_grounds(pen: Pen, x: float, baseline: float, line: Sequence[Placed]) -> None:
    place = 0
    while place < len(line):
        at, piece = line[place]
        place += 1
        if not (piece.sign or piece.frame):
            continue
        while piece.sign and place < len(line) and line[place][1].sign and not line[place][1].lead:
            piece = line[place][1]
            place += 1
        end, size = line[place - 1][0] + piece.width, piece.size
        top, role = baseline - SIGN_TOP * size, SIGN if piece.sign else piece.role
        pen.rect(x + at, top, end - at, SIGN_HEIGHT * size, role, 0.0 if piece.sign else FRAME * size)
