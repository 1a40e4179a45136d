"""key: a key is one that a musician would write.

Listens for: a key that is not a letter from A to G, with a flat or sharp if needed, then minor,
major, a mode or nothing. Several keys are separated by to, / or a comma. A note.

Why it matters: the rest of the band looks for the key first, and the horn player finds a slip of
the pen at the worst moment.

Wrong:
    title: Long Hill
    key: Hb
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)

Right:
    title: Long Hill
    key: Bb
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from charts.check.subject import Subject, rule
from charts.reading.values import words
from charts.source import NOTE, Finding
from charts.spelling import nearest

MODES = (
    *("m", "min", "minor", "maj", "major", "natural minor", "harmonic minor", "melodic minor"),
    *("ionian", "dorian", "phrygian", "lydian", "mixolydian", "aeolian", "locrian"),
    *("blues", "pentatonic", "major pentatonic", "minor pentatonic"),
)
_SHORT = ("m", "min", "maj")  # these stand after the letter without a space as well
_KEY = re.compile(r"([A-H])((?:[ -]?(?:flat|sharp))(?![a-z])|[b#♭♯])?([ -]*)(.*)", re.IGNORECASE)
_JOINED = re.compile(r"(\s+to\s+|\s*[/,]\s*)", re.IGNORECASE)


@rule("key")
def key(subject: Subject) -> Iterator[Finding]:
    told = no_key(subject.song.key)
    if told is not None:
        yield subject.finding("key", NOTE, subject.song.span_of("key"), *told)


def no_key(text: str) -> tuple[str, str] | None:
    """What is wrong with a key, and what to write instead; None where nothing is, or none is given.

    >>> no_key("H#"), no_key("A to Bb") is None
    (('“H#” is not a key', 'write B#'), True)
    """
    text = words(text)
    parts = _JOINED.split(text)
    wrong = [part for part in parts[::2] if not is_key(part)]
    if not text or not wrong:
        return None
    mended = [like(part) for part in parts[::2]]
    offer = "".join(each or "" for pair in zip(mended, [*parts[1::2], ""], strict=True) for each in pair)
    hint = f"write {offer}" if all(mended) else "write it like Bb, F# minor or D dorian"
    return f"“{wrong[0][:40]}” is not a key", hint


def is_key(text: str) -> bool:
    """True where a musician would write that.

    >>> is_key("Bb"), is_key("f♯m"), is_key("E flat major"), is_key("D dorian"), is_key("Hb")
    (True, True, True, True, False)
    """
    found = _KEY.fullmatch(text)
    if not found or found[1] in "Hh":
        return False
    mode = found[4].casefold()
    apart = bool(found[3]) or (mode in _SHORT and len(found[2] or "") < 2)
    return not mode or (mode in MODES and apart)


def like(text: str) -> str | None:
    """The key itself where it is one, else the nearest.

    >>> like("Hb"), like("c# minro"), like("Dminor"), like("X") is None
    ('Bb', 'C# minor', 'D minor', True)
    """
    if is_key(text):
        return text
    found = _KEY.fullmatch(text)
    if not found:
        return None
    mode = found[4] and nearest(found[4], MODES)
    if mode is None:
        return None
    letter = "B" if found[1] in "Hh" else found[1].upper()
    space = " " if mode and mode not in _SHORT else ""
    return f"{letter}{found[2] or ''}{space}{mode}"
