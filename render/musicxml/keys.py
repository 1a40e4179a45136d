"""Keys as musicians write them and as a key signature counts them."""

from __future__ import annotations

import re

SHARPS = "FCGDAEB"
_KEY = re.compile(r"([A-Ga-g])\s*(#|♯|b|♭|\s*sharp\b|\s*flat\b)?\s*(m|min|minor|maj|major)?\.?", re.ASCII)


def fifths_and_mode(text: str) -> tuple[int, str] | None:
    """Sharps (or, negative, flats) and mode of a key; None for what is not a plain key.

    >>> fifths_and_mode("Bb"), fifths_and_mode("F# minor"), fifths_and_mode("whatever he calls")
    ((-2, 'major'), (3, 'minor'), None)
    """
    found = _KEY.fullmatch(text.strip())
    if not found:
        return None
    fifths = SHARPS.index(found[1].upper()) - 1
    sign = (found[2] or "").strip()
    fifths += 7 if sign in ("#", "♯", "sharp") else -7 if sign else 0
    minor = (found[3] or "").startswith("min") or found[3] == "m"
    if minor:
        fifths -= 3
    return (fifths, "minor" if minor else "major") if -7 <= fifths <= 7 else None


def key_name(fifths: int, mode: str) -> str:
    """The key with that many sharps.

    >>> key_name(-2, "major"), key_name(3, "minor")
    ('Bb', 'F# minor')
    """
    place = fifths + 1 + (3 if mode == "minor" else 0)
    octave, letter = divmod(place, 7)
    name = SHARPS[letter] + ("#" * octave if octave > 0 else "b" * -octave)
    return f"{name} minor" if mode == "minor" else name
