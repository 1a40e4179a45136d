"""The signs of the drum staff as outlines, in staff spaces; y grows downwards, the sign's place is (0, 0).

Drawn by us. Heads lie on their staff place, rests round the middle line, flags hang from the end of a stem.
"""

from __future__ import annotations

from render.page.shapes import Outline, box, ellipse, mirrored, moved, path, pen_line, ring

STEM, STAFF_LINE, LEDGER, BARLINE = 0.13, 0.1, 0.14, 0.16  # widths of lines
BEAM, BEAM_STEP = 0.5, 0.78

_NORMAL = (ellipse(0, 0, 0.66, 0.44, -24, 14),)
_HALF = (ring(ellipse(0, 0, 0.66, 0.46, -24, 20), ellipse(0, 0, 0.54, 0.24, -34, 20)),)
_CROSS = (pen_line((-0.58, -0.46), (0.58, 0.46), 0.2), pen_line((-0.58, 0.46), (0.58, -0.46), 0.2))
_CROSS_HALF = (*_CROSS, ring(ellipse(0, 0, 0.78, 0.74, 0, 20), ellipse(0, 0, 0.64, 0.6, 0, 20)))
_DIAMOND = (((0.0, -0.56), (0.6, 0.0), (0.0, 0.56), (-0.6, 0.0)),)
_DIAMOND_HALF = (ring(_DIAMOND[0], tuple((x * 0.62, y * 0.62) for x, y in _DIAMOND[0])),)
_TRIANGLE = (((0.0, -0.56), (0.62, 0.5), (-0.62, 0.5)),)
_TRIANGLE_HALF = (ring(_TRIANGLE[0], tuple((x * 0.55, y * 0.55 + 0.06) for x, y in _TRIANGLE[0])),)

HEADS: dict[tuple[str, bool], tuple[Outline, ...]] = {
    ("normal", False): _NORMAL, ("normal", True): _HALF,
    ("x", False): _CROSS, ("x", True): _CROSS_HALF,
    ("diamond", False): _DIAMOND, ("diamond", True): _DIAMOND_HALF,
    ("triangle", False): _TRIANGLE, ("triangle", True): _TRIANGLE_HALF,
}  # fmt: skip

FLAG_UP: Outline = path(
    (0, 0), [(0.04, 0.8), (1.18, 1.12), (0.72, 2.5)], [(0.92, 1.5), (0.4, 1.16), (0, 1.02)]
)
FLAG_DOWN: Outline = mirrored(FLAG_UP)
FLAG_STEP = 0.8

ACCENT: tuple[Outline, ...] = ((
    (-0.66, -0.42), (0.66, -0.06), (0.66, 0.06), (-0.66, 0.42), (-0.66, 0.24), (0.22, 0.0), (-0.66, -0.24),
),)  # fmt: skip
OPEN: tuple[Outline, ...] = (ring(ellipse(0, 0, 0.42, 0.42), ellipse(0, 0, 0.28, 0.28)),)
HALF_OPEN: tuple[Outline, ...] = (*OPEN, box(-0.07, -0.62, 0.14, 1.24))
PAREN_LEFT: Outline = path(
    (-0.86, -0.72), [(-1.28, -0.3), (-1.28, 0.3), (-0.86, 0.72)], [(-1.1, 0.3), (-1.1, -0.3), (-0.86, -0.72)]
)
PAREN_RIGHT: Outline = tuple((-x, y) for x, y in PAREN_LEFT)
BUZZ: tuple[Outline, ...] = (
    box(-0.46, -0.46, 0.92, 0.16), pen_line((0.38, -0.4), (-0.38, 0.4), 0.18), box(-0.46, 0.3, 0.92, 0.16),
)  # fmt: skip
AUGMENTATION: Outline = ellipse(0, 0, 0.2, 0.2, 0, 10)

_QUARTER_REST = path(
    (-0.3, -1.5), [(0.42, -0.66)], [(0.02, -0.2), (0.06, 0.12), (0.52, 0.68)],
    [(0.0, 0.44), (-0.2, 0.86), (0.22, 1.46)], [(-0.66, 1.06), (-0.5, 0.34), (0.06, 0.5)],
    [(-0.46, -0.16)], [(0.02, -0.6), (0.02, -0.86), (-0.3, -1.5)],
)  # fmt: skip
_HOOK = (
    ellipse(-0.3, 0.0, 0.27, 0.27, 0, 12),
    path(
        (-0.3, 0.27),
        [(0.1, 0.22), (0.34, 0.02), (0.46, -0.24)],
        [(0.6, -0.2)],
        [(0.4, 0.2), (0.1, 0.36), (-0.3, 0.27)],
    ),
)


def _short_rest(flags: int) -> tuple[Outline, ...]:
    """A slanted stem with a hook for every flag."""
    top = -0.5 - 0.5 * (flags - 1)
    slant = -0.24
    hooks = [moved(o, slant * n, top + n) for n in range(flags) for o in _HOOK]
    height = 1.72 + (flags - 1)
    foot = (0.53 + slant * height, top - 0.2 + height)
    return (*hooks, pen_line((0.53, top - 0.22), foot, 0.15))


RESTS: dict[int, tuple[Outline, ...]] = {
    0: (_QUARTER_REST,),
    **{flags: _short_rest(flags) for flags in range(1, 6)},
}
CLEF: tuple[Outline, ...] = (box(0, 1, 0.5, 2), box(0.86, 1, 0.5, 2))
