"""Colours by what they are for, sizes by what must be read from where.

Every colour that carries meaning is at least 7:1 against what it is printed on (WCAG 2, level AAA).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, pi, tan

Colour = tuple[int, int, int]
POINTS_PER_MM = 72 / 25.4
ESSENTIAL_MINUTES = 16.0  # least capital height in minutes of arc, ISO 9241-3
PRIME_MINUTES = 22.0  # title and tempo: the upper end of what it prefers
LEAST_CONTRAST = 7.0
INK, SOFT, ACCENT, SIGN, ON_SIGN, PAPER = "ink", "soft", "accent", "sign", "on sign", "paper"


@dataclass(frozen=True)
class Theme:
    """What each role is printed in: red, green, blue from 0 to 255."""

    name: str
    paper: Colour
    ink: Colour
    soft: Colour  # what may be back: counts, staff lines, by-lines
    accent: Colour  # fills and their letters
    sign: Colour  # ground of change signs and odd lengths
    on_sign: Colour

    def colour(self, role: str) -> Colour:
        return {
            INK: self.ink, SOFT: self.soft, ACCENT: self.accent, SIGN: self.sign, ON_SIGN: self.on_sign,
            PAPER: self.paper,
        }[role]  # fmt: skip


_BLACK, _WHITE = (0, 0, 0), (255, 255, 255)
LIGHT = Theme("light", _WHITE, _BLACK, (74, 74, 74), (0, 56, 130), (128, 0, 32), _WHITE)
LIGHT_PLAIN = Theme("light, plain", _WHITE, _BLACK, (74, 74, 74), _BLACK, _BLACK, _WHITE)
DARK = Theme("dark", _BLACK, _WHITE, (185, 185, 185), (130, 195, 255), (255, 200, 60), _BLACK)
DARK_PLAIN = Theme("dark, plain", _BLACK, _WHITE, (185, 185, 185), _WHITE, _WHITE, _BLACK)
THEMES = (LIGHT, LIGHT_PLAIN, DARK, DARK_PLAIN)


def theme_for(dark: bool, plain: bool) -> Theme:
    """The theme that the options ask for."""
    return {(False, False): LIGHT, (False, True): LIGHT_PLAIN, (True, False): DARK, (True, True): DARK_PLAIN}[
        dark, plain
    ]


def _luminance(colour: Colour) -> float:
    parts = [c / 255 for c in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Colour, other: Colour) -> float:
    """Contrast ratio of two colours after WCAG 2: 1 to 21.

    >>> contrast((0, 0, 0), (255, 255, 255))
    21.0
    """
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def capital_mm(minutes: float, metres: float) -> float:
    """Capital height in mm that subtends that many minutes of arc at a distance: h = 2 D tan(a/2).

    >>> round(capital_mm(16, 1.0), 2)
    4.65
    """
    return 2000 * metres * tan(minutes / 60 * pi / 360)


def points_for(minutes: float, metres: float, capital: float) -> float:
    """Type size in points; ``capital`` is the face's capital height in ems.

    >>> round(points_for(16, 1.0, 0.668), 2)
    19.75
    """
    return capital_mm(minutes, metres) * POINTS_PER_MM / capital


def minutes_of(points: float, metres: float, capital: float) -> float:
    """Minutes of arc that a size's capitals subtend at a distance."""
    return atan(points * capital / POINTS_PER_MM / 2000 / metres) * 360 / pi * 60


def reads_at(points: float, minutes: float, capital: float) -> float:
    """Metres at which a size still subtends that many minutes of arc.

    >>> round(reads_at(19.75, 16, 0.668), 2)
    1.0
    """
    return points * capital / POINTS_PER_MM / capital_mm(minutes, 1.0)
