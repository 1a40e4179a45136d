"""The typefaces of the pages, and how wide words are in them.

Atkinson Hyperlegible (SIL Open Font License, made for low-vision reading) comes first, Fira Sans (SIL Open
Font License) where it lacks a letter, the music font for notes, accidentals, arrows and shapes (``signs``).
A character that none of them has becomes a crossed box. All widths are in ems of Atkinson Hyperlegible.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from typing import Any

from render.page.signs import EM, MISSING, TEXT_SIGNS

REGULAR, BOLD, ITALIC = "regular", "bold", "italic"  # italic is bold italic: dynamics only
_FILES = {
    REGULAR: ("AtkinsonHyperlegible-Regular.ttf", "FiraSans-Regular.ttf"),
    BOLD: ("AtkinsonHyperlegible-Bold.ttf", "FiraSans-Bold.ttf"),
    ITALIC: ("AtkinsonHyperlegible-BoldItalic.ttf", "FiraSans-BoldItalic.ttf"),
}
_PACKAGES = ("fontpkg_atkinson_hyperlegible", "fontpkg_fira_sans")
_SAME_AS = {  # hyphens and spaces that the fonts lack; notes of the musical block as the plain ones
    **dict.fromkeys((0x2010, 0x2011), 0x2D),
    **dict.fromkeys(
        (0x09, 0x0A, 0x0D, 0x85, 0xA0, *range(0x2002, 0x200B), 0x2028, 0x2029, 0x202F, 0x3000), 0x20
    ),
    0x266B: 0x266A,
    0x1D15E: 0xE1D3,
    0x1D15F: 0x2669,
    0x1D160: 0x266A,
}
Extent = tuple[float, float, float, float]  # left, top, right, bottom of ink; y downwards


@dataclass(frozen=True)
class Face:
    """One font file: which characters it has, how wide they are, how tall its capitals."""

    key: str
    path: Path

    @cached_property
    def _font(self) -> Any:
        import logging

        from fontTools.ttLib import TTFont

        logging.getLogger("fontTools").setLevel(logging.WARNING)
        return TTFont(self.path, lazy=True)

    @cached_property
    def advances(self) -> dict[int, float]:
        """Advance width in ems by character."""
        em, widths = self._font["head"].unitsPerEm, self._font["hmtx"].metrics
        return {code: widths[name][0] / em for code, name in self._font.getBestCmap().items()}

    def extent(self, char: str) -> Extent:
        """What a character's ink covers, in ems from its left edge on the line."""
        em, name = self._font["head"].unitsPerEm, self._font.getBestCmap()[ord(char)]
        ink = self._font["glyf"][name]
        return (ink.xMin / em, -ink.yMax / em, ink.xMax / em, -ink.yMin / em)

    @cached_property
    def capital(self) -> float:
        """Height of a capital letter in ems, as the font itself says."""
        return float(self._font["OS/2"].sCapHeight / self._font["head"].unitsPerEm)


@lru_cache
def faces(style: str) -> tuple[Face, Face]:
    """The first face and the fallback of a style."""
    first, second = (
        Face(name.removesuffix(".ttf"), Path(str(files(package) / "files" / name)))
        for package, name in zip(_PACKAGES, _FILES[style], strict=True)
    )
    return first, second


@lru_cache
def music() -> Face:
    """The music font, whose capital height is the typeface's own."""
    return Face("FeelmapSigns", Path(__file__).with_name("font") / "FeelmapSigns.ttf")


@lru_cache
def extent(sign: str) -> Extent:
    """What a sign of the music font covers, in staff spaces from its left edge on its line of the staff.

    >>> extent("\ue0a4")
    (0.0, -0.5, 1.18, 0.5)
    """
    left, top, right, bottom = music().extent(sign)
    return (left * EM, top * EM, right * EM, bottom * EM)


def capital_height(style: str = REGULAR) -> float:
    """Height of the capitals in ems.

    >>> capital_height()
    0.668
    """
    return faces(style)[0].capital


@dataclass(frozen=True, slots=True)
class Run:
    """Characters set from one face; ``x`` and ``scale`` in ems."""

    x: float
    text: str
    face: Face
    scale: float


@dataclass(frozen=True, slots=True)
class Setting:
    """A text as it is set: its runs, its width in ems, and what no font has."""

    runs: tuple[Run, ...]
    width: float
    missing: tuple[str, ...]


@lru_cache(maxsize=65536)
def set_text(text: str, style: str = REGULAR) -> Setting:
    """Break a text into runs of one face.

    >>> [run.text for run in set_text("B♭ blues").runs]
    ['B', '♭', ' blues']
    >>> set_text("🥁").missing
    ('🥁',)
    """
    runs: list[Run] = []
    missing: list[str] = []
    x = 0.0
    for face, placed in groupby(_placed(text, style), key=lambda pair: pair[1]):
        chars = [char for char, _ in placed]
        if face is None:
            missing += chars
            face, chars = music(), [MISSING] * len(chars)
        scale = faces(style)[0].capital / face.capital
        runs.append(Run(x, "".join(chars), face, scale))
        x += sum(face.advances[ord(char)] for char in chars) * scale
    return Setting(tuple(runs), x, tuple(dict.fromkeys(missing)))


def _placed(text: str, style: str) -> list[tuple[str, Face | None]]:
    """Each printed character with its face; a word with one strange letter is set whole in the fallback."""
    first, second = faces(style)
    if text.isascii() and text.isprintable():
        return [(char, first) for char in text]
    placed: list[tuple[str, Face | None]] = []
    for place, word in enumerate(unicodedata.normalize("NFC", text.translate(_SAME_AS)).split(" ")):
        if place:
            placed.append((" ", first))
        kept = [char for char in word if not _unseen(char)]
        letters = [char for char in kept if char not in TEXT_SIGNS]
        foreign = any(ord(char) not in first.advances for char in letters)
        whole = foreign and all(ord(char) in second.advances for char in letters)
        order = (second, first) if whole else (first, second)
        for char in kept:
            face = next((f for f in order if ord(char) in f.advances), None)
            placed.append((char, music() if char in TEXT_SIGNS else face))
    return placed


def _unseen(char: str) -> bool:
    """Characters that print nothing anywhere: controls, joiners, variation selectors."""
    return (
        unicodedata.category(char) in ("Cc", "Cf")
        or 0xFE00 <= ord(char) <= 0xFE0F
        or 0xE0100 <= ord(char) <= 0xE01EF
    )


@lru_cache(maxsize=65536)
def width_of(text: str, style: str = REGULAR) -> float:
    """Width of a text in ems.

    >>> width_of("") == 0 and width_of("WW") == 2 * width_of("W")
    True
    """
    if text.isascii() and text.isprintable():
        advances = faces(style)[0].advances
        return sum(advances[ord(char)] for char in text)
    return set_text(text, style).width


def missing_from(text: str) -> tuple[str, ...]:
    """The characters of a text that no font has."""
    return () if text.isascii() else set_text(text).missing


def code_name(char: str) -> str:
    """A character as a warning names it.

    >>> code_name("🥁")
    'U+1F941 drum with drumsticks'
    """
    return f"U+{ord(char):04X} {unicodedata.name(char, 'without a name').lower()}"
