"""The drum kit: one row a voice, everything else derived from the rows.

Adding a voice is adding a row. ``x`` and ``y`` are centimetres from the snare on a right-handed kit as the
drummer sees it (common practice, no source); ``staff`` is the place on a percussion staff read as treble
(W3C percussion tutorial for bass drum, snare and hi-hat; the rest from memory of Weinberg, Guide to
Standardized Drumset Notation, 1998; china, splash, cowbell, tambourine ours); ``gm`` is the General MIDI
Level 1 percussion note.
"""

from __future__ import annotations

from typing import NamedTuple

HAND, FOOT = "hand", "foot"


class Voice(NamedTuple):
    """One sounding part of the kit."""

    code: str
    name: str
    limb: str
    family: str  # cymbal, drum or other
    gm: int
    staff: str
    head: str  # normal, x, diamond, triangle
    x: int
    y: int
    also: tuple[str, ...] = ()


_ROWS = (
    Voice("C1", "crash", HAND, "cymbal", 49, "A5", "x", -35, 60),
    Voice("C2", "second crash", HAND, "cymbal", 57, "B5", "x", 60, 60),
    Voice("CH", "china", HAND, "cymbal", 52, "C6", "x", 95, 55),
    Voice("SP", "splash", HAND, "cymbal", 55, "D6", "x", 10, 65),
    Voice("RD", "ride", HAND, "cymbal", 51, "F5", "x", 70, 35),
    Voice("RB", "ride bell", HAND, "cymbal", 53, "F5", "diamond", 70, 38),
    Voice("HH", "hi-hat", HAND, "cymbal", 42, "G5", "x", -45, 20),
    Voice("CB", "cowbell", HAND, "other", 56, "E5", "triangle", 25, 45),
    Voice("TB", "tambourine", HAND, "other", 54, "B4", "triangle", -40, 35),
    Voice("T1", "high tom", HAND, "drum", 50, "E5", "normal", -12, 35),
    Voice("T2", "middle tom", HAND, "drum", 48, "D5", "normal", 22, 35),
    Voice("T3", "low rack tom", HAND, "drum", 45, "B4", "normal", 40, 25),
    Voice("SD", "snare", HAND, "drum", 38, "C5", "normal", 0, 0, ("SN",)),
    Voice("XS", "cross-stick", HAND, "drum", 37, "C5", "x", 0, 0),
    Voice("FT", "floor tom", HAND, "drum", 43, "A4", "normal", 55, -5),
    Voice("BD", "bass drum", FOOT, "drum", 36, "F4", "normal", 25, 20),
    Voice("B2", "second bass drum", FOOT, "drum", 35, "E4", "normal", -10, 20),
    Voice("HF", "hi-hat foot", FOOT, "cymbal", 44, "D4", "x", -45, 10),
)
GM_OPEN_HAT, GM_HALF_OPEN_HAT = 46, 46

VOICES: dict[str, Voice] = {voice.code: voice for voice in _ROWS}
ORDER: dict[str, int] = {voice.code: place for place, voice in enumerate(_ROWS)}
SPELLINGS: dict[str, str] = {
    spelling: voice.code for voice in _ROWS for spelling in (voice.code, *voice.also)
}


def is_hand(code: str) -> bool:
    """True for a voice that a hand plays.

    >>> is_hand("SD"), is_hand("BD")
    (True, False)
    """
    return VOICES[code].limb == HAND


def plain_voice(text: str) -> str:
    """A name without hyphens and an ending s; a code as it is.

    >>> plain_voice("Hi-hat"), plain_voice("toms"), plain_voice("XS")
    ('hi hat', 'tom', 'xs')
    """
    plain = " ".join(text.replace("-", " ").split()).casefold()
    return plain.removesuffix("s") if len(plain) > 2 else plain


def spoken_voices() -> dict[str, tuple[str, ...]]:
    """Every code and name of a voice; a drum that there are several of by its bare name, too."""
    known: dict[str, tuple[str, ...]] = {code.casefold(): (voice,) for code, voice in SPELLINGS.items()}
    known |= {plain_voice(voice.name): (code,) for code, voice in VOICES.items()}
    known["tom"] = tuple(code for code, voice in VOICES.items() if voice.name.endswith(" tom"))
    known["kick"] = ("BD",)
    return known
