"""Signs that no text font has: notes, accidentals, arrows, shapes. Drawn by us, in ems, baseline at 0.

A row here is a character that can be printed in any title, cue or mark; y grows downwards, so what stands on
the line is negative.
"""

from __future__ import annotations

from dataclasses import dataclass

from render.page.shapes import Outline, box, ellipse, frame, mirrored, moved, path, pen_line, ring

QUARTER, HALF, EIGHTH, DOT = (
    "♩",
    "\ue1d3",
    "♪",
    "\U0001d16d",
)  # the half note alone has no sign that normalises
MISSING = "\0"


@dataclass(frozen=True)
class Glyph:
    """A drawn sign: its advance width and filled outlines, in ems."""

    width: float
    outlines: tuple[Outline, ...]


_HEAD = ellipse(0.2, -0.105, 0.155, 0.105, -22, 20)
_STEM = box(0.31, -0.76, 0.045, 0.63)
_FLAG = path(
    (0.355, -0.76),
    [(0.37, -0.62), (0.56, -0.55), (0.5, -0.3)],
    [(0.52, -0.45), (0.42, -0.52), (0.355, -0.54)],
)
_HOLLOW = ring(_HEAD, ellipse(0.2, -0.105, 0.125, 0.055, -32, 20))
_FLAT = ring(
    path((0.06, -0.76), [(0.115, -0.76)], [(0.115, -0.4)],
         [(0.22, -0.5), (0.38, -0.46), (0.38, -0.31)], [(0.38, -0.16), (0.2, -0.08), (0.06, 0.03)]),
    path((0.115, -0.085), [(0.19, -0.14), (0.3, -0.21), (0.3, -0.31)],
         [(0.3, -0.4), (0.19, -0.41), (0.115, -0.32)]),
)  # fmt: skip
_SHARP = (
    box(0.13, -0.68, 0.042, 0.74), box(0.27, -0.72, 0.042, 0.74),
    ((0.05, -0.42), (0.39, -0.52), (0.39, -0.42), (0.05, -0.32)),
    ((0.05, -0.19), (0.39, -0.29), (0.39, -0.19), (0.05, -0.09)),
)  # fmt: skip
_NATURAL = (
    box(0.08, -0.74, 0.042, 0.62), box(0.26, -0.54, 0.042, 0.62),
    ((0.08, -0.42), (0.302, -0.49), (0.302, -0.4), (0.08, -0.33)),
    ((0.08, -0.2), (0.302, -0.27), (0.302, -0.18), (0.08, -0.11)),
)  # fmt: skip
_MID = -0.32  # height at which arrows and shapes are centred
_RIGHT = (
    box(0.06, _MID - 0.035, 0.5, 0.07), ((0.5, _MID - 0.2), (0.78, _MID), (0.5, _MID + 0.2), (0.56, _MID)),
)  # fmt: skip
_TRIANGLE = ((0.05, -0.02), (0.35, -0.6), (0.65, -0.02))


def _turned(outlines: tuple[Outline, ...], turns: int, centre: float = 0.42) -> tuple[Outline, ...]:
    """Quarter turns clockwise round the glyph's middle."""
    for _ in range(turns):
        outlines = tuple(tuple((centre - (y - _MID), _MID + (x - centre)) for x, y in o) for o in outlines)
    return outlines


def _diagonal(up: bool) -> tuple[Outline, ...]:
    shaft = pen_line((0.15, -0.05), (0.6, -0.5), 0.07)
    head = ((0.68, -0.58), (0.64, -0.28), (0.55, -0.45), (0.38, -0.54))
    found = (shaft, head)
    return found if up else tuple(moved(mirrored(o), 0, 2 * _MID) for o in found)


_FERMATA = (
    ring(
        path((0.04, -0.12), [(0.04, -0.66), (0.86, -0.66), (0.86, -0.12)], [(0.83, -0.12)]),
        path((0.09, -0.12), [(0.13, -0.5), (0.77, -0.5), (0.81, -0.12)]),
    ),
    ellipse(0.45, -0.17, 0.075, 0.075),
)
_MISSING_BOX = (
    frame(0.05, -0.7, 0.5, 0.72, 0.05),
    pen_line((0.08, -0.67), (0.52, -0.01), 0.04), pen_line((0.52, -0.67), (0.08, -0.01), 0.04),
)  # fmt: skip

GLYPHS: dict[str, Glyph] = {
    QUARTER: Glyph(0.42, (_HEAD, _STEM)),
    HALF: Glyph(0.42, (_HOLLOW, _STEM)),
    EIGHTH: Glyph(0.56, (_HEAD, _STEM, _FLAG)),
    DOT: Glyph(0.17, (ellipse(0.06, -0.11, 0.06, 0.06),)),
    "♭": Glyph(0.4, (_FLAT,)),
    "♯": Glyph(0.44, _SHARP),
    "♮": Glyph(0.38, _NATURAL),
    "→": Glyph(0.84, _RIGHT),
    "↓": Glyph(0.84, _turned(_RIGHT, 1)),
    "←": Glyph(0.84, _turned(_RIGHT, 2)),
    "↑": Glyph(0.84, _turned(_RIGHT, 3)),
    "↗": Glyph(0.84, _diagonal(True)),
    "↘": Glyph(0.84, _diagonal(False)),
    "▲": Glyph(0.7, (_TRIANGLE,)),
    "▼": Glyph(0.7, (((0.05, -0.62), (0.65, -0.62), (0.35, -0.04)),)),
    "▶": Glyph(0.66, (((0.05, -0.64), (0.61, _MID), (0.05, 0.0)),)),
    "◀": Glyph(0.66, (((0.61, -0.64), (0.05, _MID), (0.61, 0.0)),)),
    "■": Glyph(0.66, (box(0.05, -0.6, 0.56, 0.56),)),
    "□": Glyph(0.66, (frame(0.05, -0.6, 0.56, 0.56, 0.06),)),
    "●": Glyph(0.66, (ellipse(0.33, _MID, 0.28, 0.28, 0, 24),)),
    "○": Glyph(0.66, (ring(ellipse(0.33, _MID, 0.28, 0.28, 0, 24), ellipse(0.33, _MID, 0.22, 0.22, 0, 24)),)),
    "◆": Glyph(0.66, (((0.33, -0.64), (0.62, _MID), (0.33, 0.0), (0.04, _MID)),)),
    "\U0001d110": Glyph(0.9, _FERMATA),
    MISSING: Glyph(0.6, _MISSING_BOX),
}
