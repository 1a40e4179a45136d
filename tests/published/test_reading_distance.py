"""Type sizes and contrast against outside values.

Sources: ISO 9241-3, quoted on a manufacturer's ergonomics page (read): at least 16 minutes of arc of capital
height, 20 to 22 preferred. DIN EN ISO 9241-303, quoted by a German workplace rule (read): capital height at
least D/155. Web Content Accessibility Guidelines 2 (W3C): contrast ratio, 4.5:1 and 7:1 (#767676, #777777 and
#595959 on white are worked values that circulate with it). Capital heights: the fonts' own OS/2 tables.
"""

from __future__ import annotations

import pytest

from render.page.fonts import BOLD, ITALIC, REGULAR, capital_height
from render.page.theme import (
    ESSENTIAL_MINUTES,
    LEAST_CONTRAST,
    PRIME_MINUTES,
    THEMES,
    capital_mm,
    contrast,
    minutes_of,
    points_for,
    reads_at,
)  # fmt: skip


@pytest.mark.parametrize(("minutes", "mm"), [(16, 4.65), (20, 5.82), (22, 6.40)])
def test_capital_heights_at_a_metre(minutes, mm):
    """h = 2 D tan(a/2): arithmetic on the standard's angles."""
    assert mm == round(capital_mm(minutes, 1.0), 2)


@pytest.mark.parametrize(("minutes", "points"), [(16, 18.4), (20, 23.0), (22, 25.3)])
def test_points_of_a_face_with_capitals_of_718_thousandths(minutes, points):
    """Helvetica's capitals are 0.718 em (font metrics, as noted beside the values)."""
    assert points == round(points_for(minutes, 1.0, 0.718), 1)


def test_the_page_asks_for_what_the_standard_asks_for():
    """Essential text at the least angle, title and tempo at the upper end of what is preferred."""
    assert (16.0, 22.0) == (ESSENTIAL_MINUTES, PRIME_MINUTES)


@pytest.mark.parametrize("metres", [0.5, 1.0, 1.7, 3.0])
def test_title_and_tempo_meet_the_workplace_rule(metres):
    """D/155 is 22.2 minutes of arc: title and tempo come within a hundredth; cues keep to ISO's 16."""
    assert capital_mm(PRIME_MINUTES, metres) == pytest.approx(1000 * metres / 155, rel=0.01)
    assert capital_mm(ESSENTIAL_MINUTES, metres) == pytest.approx(1000 * metres / 214.9, rel=1e-3)


@pytest.mark.parametrize("style", [REGULAR, BOLD, ITALIC])
def test_the_faces_capitals_are_668_thousandths(style):
    """Read in the OS/2 table of Atkinson Hyperlegible."""
    assert capital_height(style) == 0.668


def test_size_and_distance_are_each_other_s_inverse():
    """What is set for a distance reads at that distance, and subtends that angle there."""
    points = points_for(16, 1.7, 0.668)
    assert reads_at(points, 16, 0.668) == pytest.approx(1.7)
    assert minutes_of(points, 1.7, 0.668) == pytest.approx(16)


@pytest.mark.parametrize(
    ("grey", "ratio"), [((118,) * 3, 4.54), ((119,) * 3, 4.48), ((89,) * 3, 7.00), ((0,) * 3, 21.0)]
)
def test_contrast_as_the_guidelines_count_it(grey, ratio):
    """WCAG 2 worked values on white."""
    assert ratio == round(contrast(grey, (255, 255, 255)), 2)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_theme_has_level_aaa_contrast(theme):
    """Every colour that prints something is 7:1 or more against its ground, in every theme."""
    for colour in (theme.ink, theme.soft, theme.accent, theme.sign):
        assert contrast(colour, theme.paper) >= LEAST_CONTRAST
    assert contrast(theme.on_sign, theme.sign) >= LEAST_CONTRAST
