"""The music font: every sign that the pages use, under a license that lies beside it and a name of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from music_font import NAME

from render.page import signs
from render.page.fonts import extent, music

FILE = music().path
USED = {*signs.DRAWN, *signs.TEXT_SIGNS, signs.MISSING}


def font():
    return TTFont(FILE)


def test_the_font_has_the_signs_in_use_and_no_others():
    """Whoever adds one cuts the font again."""
    assert {ord(sign) for sign in USED} == set(font().getBestCmap())


def test_every_sign_has_ink():
    """A flag, a rest and a clef as well as a head."""
    for sign in sorted(USED):
        left, top, right, bottom = extent(sign)
        assert left < right, hex(ord(sign))
        assert top < bottom, hex(ord(sign))


def test_the_font_is_small_and_truetype():
    """It is in every download of the program and, in part, in every page."""
    assert "glyf" in font()
    assert FILE.stat().st_size < 25_000


def test_the_license_is_beside_the_font_and_the_reserved_name_is_not_used():
    """As the SIL Open Font License asks of what is cut from a font under it."""
    license_ = FILE.with_name("OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in license_
    (reserved,) = [line for line in license_.splitlines() if "Reserved Font Name" in line][:1]
    name = reserved.split('"')[1]
    names = font()["name"]
    assert NAME == names.getDebugName(1)
    assert all(name not in names.getDebugName(number) for number in (1, 3, 4, 6))
    assert name in names.getDebugName(0)  # whose work it is


def test_the_license_allows_the_font_in_a_document():
    """No bit of the font forbids it: fsType is installable embedding."""
    assert font()["OS/2"].fsType == 0


@pytest.mark.parametrize("sign", sorted(signs.STEM_UP))
def test_a_stem_meets_its_head(sign):
    """At the right half, inside the ink."""
    x, y = signs.STEM_UP[sign]
    left, top, right, bottom = extent(sign)
    assert (left + right) / 2 < x <= right + 0.01
    assert top - 0.01 <= y <= bottom + 0.01


def test_every_head_has_a_stem():
    """Full and hollow."""
    assert set(signs.HEADS.values()) == set(signs.STEM_UP)


def test_signs_in_text_are_on_its_line():
    """As tall as capitals or a little taller; none hangs far below the line."""
    for sign in "♭♯♮♩♪\ue1d3":
        _, top, _, bottom = music().extent(sign)
        assert -0.85 < top < -0.6, sign
        assert -0.03 < bottom < 0.09, sign


def test_the_font_is_shipped_with_the_program():
    """It lies in a package that the wheel holds whole."""
    assert Path(signs.__file__).parent / "font" == FILE.parent
