"""The signs of the music font by what they mean: a code of SMuFL, the Standard Music Font Layout, each.

Lengths are in staff spaces, an em of the font is four. A sign's place is its left edge on its line of the
staff; ``fonts.extent`` gives what its ink covers, y downwards. Anchors and widths of lines are those that the
font's makers give. ``tests/music_font.py`` cuts the font to what is named here.
"""

from __future__ import annotations

EM = 4  # staff spaces
STEM, BEAM, BEAM_STEP = 0.12, 0.5, 0.75  # widths of lines; from one beam to the next
STAFF_LINE, LEDGER, LEDGER_BEYOND, BARLINE, TUPLET_LINE = 0.1, 0.16, 0.36, 0.16, 0.13

HEADS: dict[tuple[str, bool], str] = {  # by shape, and whether the head is a half note's
    ("normal", False): "\ue0a4", ("normal", True): "\ue0a3",
    ("x", False): "\ue0a9", ("x", True): "\ue0a8",
    ("diamond", False): "\ue0db", ("diamond", True): "\ue0d9",
    ("triangle", False): "\ue0be", ("triangle", True): "\ue0bc",
}  # fmt: skip
STEM_UP: dict[str, tuple[float, float]] = {  # where the right edge of a stem meets the head
    "\ue0a4": (1.18, -0.168), "\ue0a3": (1.18, -0.168), "\ue0a9": (1.16, -0.444), "\ue0a8": (1.336, -0.412),
    "\ue0db": (1.0, 0.0), "\ue0d9": (1.004, 0.0), "\ue0be": (1.172, 0.5), "\ue0bc": (1.14, 0.46),
}  # fmt: skip
FLAGS = "\ue240\ue242\ue244\ue246\ue248\ue24a\ue24c\ue24e"  # on a stem that goes up: of an eighth, a 16th ...
HALF_REST, RESTS = "\ue4e4", "\ue4e5\ue4e6\ue4e7\ue4e8\ue4e9\ue4ea\ue4eb\ue4ec\ue4ed"  # RESTS: by flags
CLEF, DOT, REPEAT_DOT = "\ue069", "\ue1e7", "\ue044"
PAREN_LEFT, PAREN_RIGHT = "\ue0f5", "\ue0f6"
FLAM, BUZZ, ACCENT, FERMATA = "\ue560", "\ue22a", "\ue4a0", "\ue4c0"
HAT_OPEN, HAT_HALF_OPEN = "\ue614", "\ue83e"
DIGITS = "\ue880\ue881\ue882\ue883\ue884\ue885\ue886\ue887\ue888\ue889"  # of tuplets
DYNAMICS = {"p": "\ue520", "m": "\ue521", "f": "\ue522"}

# What can be printed in any title, cue or mark, in ems of the text beside it.
QUARTER, HALF, EIGHTH, TEXT_DOT = "♩", "\ue1d3", "♪", "\U0001d16d"  # the half note alone has no normal form
TEXT_SIGNS = f"♭♯♮{QUARTER}{HALF}{EIGHTH}{TEXT_DOT}\U0001d110→←↑↓↗↘↖↙▲▼▶◀■□●○◆"
MISSING = "\ufffd"  # a crossed box, for a character that no font has

DRAWN = "".join(
    [*HEADS.values(), FLAGS, HALF_REST, *RESTS, CLEF, DOT, REPEAT_DOT, PAREN_LEFT, PAREN_RIGHT, FLAM, BUZZ]
    + [ACCENT, FERMATA, HAT_OPEN, HAT_HALF_OPEN, DIGITS, *DYNAMICS.values()]
)
