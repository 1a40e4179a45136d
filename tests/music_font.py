"""Cuts the music font of the pages out of Bravura, the reference font of SMuFL, and makes it TrueType.

    python tests/music_font.py Bravura.otf render/page/font/FeelmapSigns.ttf

Only a developer runs this, when a sign is added to ``render/page/signs.py``. Bravura is under the SIL Open Font
License, which reserves its name: what is cut has a name of its own, and the license lies beside it. Signs that
are printed inside text are scaled to it here and set on its line; a few plain shapes are added.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from math import cos, pi, sin
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.basePen import AbstractPen
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

from render.page.signs import DRAWN, MISSING, TEXT_SIGNS

NAME = "Feelmap Signs"
UNITS, CAPITAL = 1000, 668  # an em; the capitals of the typeface beside it
TOLERANCE = 0.6  # units that a curve may move
# Of a sign in text: where it is in Bravura, scale, units to go up, room at the left and the right.
IN_TEXT = {
    "♭": ("\ue260", 1.25, 209, 40, 40), "♮": ("\ue261", 1.1, 334, 50, 50), "♯": ("\ue262", 1.1, 334, 45, 45),
    "♩": ("\ueca5", 0.9, 115, 40, 60), "\ue1d3": ("\ueca3", 0.9, 115, 40, 60),
    "♪": ("\ueca7", 0.9, 115, 40, 40), "\U0001d16d": ("\uecb7", 0.9, 115, 10, 50),
    "\U0001d110": ("\ue4c0", 1.4, 130, 40, 40),
    "→": ("\ueb62", 1.4, -29, 60, 60), "←": ("\ueb66", 1.4, -29, 60, 60), "↑": ("\ueb60", 1.4, -49, 60, 60),
    "↓": ("\ueb64", 1.4, -49, 60, 60), "↗": ("\ueb61", 1.4, -41, 60, 60), "↘": ("\ueb63", 1.4, -41, 60, 60),
    "↖": ("\ueb67", 1.4, -41, 60, 60), "↙": ("\ueb65", 1.4, -41, 60, 60),
}  # fmt: skip
Points = list[tuple[float, float]]


def _box(left: float, bottom: float, right: float, top: float) -> Points:
    return [(left, bottom), (left, top), (right, top), (right, bottom)]


def _circle(radius: float) -> Points:
    around = (2 * pi * n / 48 for n in range(48))
    return [(330 + radius * sin(a), 320 + radius * cos(a)) for a in around]


SHAPES: dict[str, tuple[int, list[Points]]] = {  # advance, outlines clockwise, holes the other way
    "▲": (700, [[(50, 20), (350, 620), (650, 20)]]),
    "▼": (700, [[(50, 620), (650, 620), (350, 20)]]),
    "▶": (660, [[(50, 0), (50, 640), (610, 320)]]),
    "◀": (660, [[(610, 640), (610, 0), (50, 320)]]),
    "■": (660, [_box(50, 40, 610, 600)]),
    "□": (660, [_box(50, 40, 610, 600), _box(110, 100, 550, 540)[::-1]]),
    "●": (660, [_circle(280)]),
    "○": (660, [_circle(280), _circle(220)[::-1]]),
    "◆": (660, [[(40, 320), (330, 640), (620, 320), (330, 0)]]),
    MISSING: (
        600,
        [
            _box(50, -20, 550, 700), _box(100, 30, 500, 650)[::-1],
            [(85, 30), (485, 665), (515, 650), (115, 15)], [(85, 650), (115, 665), (515, 30), (485, 15)],
        ],
    ),
}  # fmt: skip


def glyph(draw: Callable[[AbstractPen], object]) -> object:
    """What a pen draws as a TrueType glyph, its curves quadratic."""
    pen = TTGlyphPen(None)
    draw(Cu2QuPen(pen, TOLERANCE, reverse_direction=True))
    return pen.glyph()


def shape(outlines: list[Points]) -> object:
    """A glyph of straight lines, clockwise as TrueType has it."""
    pen = TTGlyphPen(None)
    for points in outlines:
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph()


def cut(source: TTFont) -> Iterator[tuple[str, object, int]]:
    """Each sign's character, its glyph, its advance width."""
    glyphs, codes = source.getGlyphSet(), source.getBestCmap()
    for char in dict.fromkeys(DRAWN):
        found = glyphs[codes[ord(char)]]
        yield char, glyph(found.draw), round(found.width)
    for char in TEXT_SIGNS + MISSING:
        if char in SHAPES:
            advance, outlines = SHAPES[char]
            yield char, shape(outlines), advance
            continue
        code, scale, up, before, after = IN_TEXT[char]
        found = glyphs[codes[ord(code)]]
        matrix = (scale, 0, 0, scale, before, up)
        drawn = glyph(lambda pen, found=found, matrix=matrix: found.draw(TransformPen(pen, matrix)))
        yield char, drawn, before + round(found.width * scale) + after


def build(source: TTFont) -> TTFont:
    """The font: the same bytes from the same source."""
    found = list(cut(source))
    names = {char: f"u{ord(char):04X}" for char, _, _ in found}
    build = FontBuilder(UNITS, isTTF=True)
    build.setupGlyphOrder([".notdef", *names.values()])
    build.setupCharacterMap({ord(char): name for char, name in names.items()})
    build.setupGlyf({".notdef": TTGlyphPen(None).glyph(), **{names[char]: drawn for char, drawn, _ in found}})
    boxes = build.font["glyf"]
    widths = {names[char]: (advance, boxes[names[char]].xMin) for char, _, advance in found}
    build.setupHorizontalMetrics({".notdef": (500, 0), **widths})
    build.setupHorizontalHeader(ascent=1000, descent=-1000)
    version = source["name"].getDebugName(5)
    build.setupNameTable(
        {
            "copyright": source["name"].getDebugName(0).split("\n")[0],
            "familyName": NAME,
            "styleName": "Regular",
            "uniqueFontIdentifier": f"{NAME} {version}",
            "fullName": NAME,
            "psName": NAME.replace(" ", ""),
            "version": version.split(";")[0],
            "licenseDescription": "SIL Open Font License, Version 1.1",
            "licenseInfoURL": "https://openfontlicense.org",
        }
    )
    build.setupOS2(sCapHeight=CAPITAL, sTypoAscender=1000, sTypoDescender=-1000, usWinAscent=1000, fsType=0)
    build.setupPost(keepGlyphNames=False)
    build.font["head"].created = build.font["head"].modified = source["head"].modified
    build.font.recalcTimestamp = False
    return build.font


if __name__ == "__main__":
    old, new = map(Path, sys.argv[1:])
    build(TTFont(old)).save(new)
    print(f"{new}: {new.stat().st_size} bytes")
