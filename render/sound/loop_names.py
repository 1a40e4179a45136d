"""What the files of ``practice`` are called: whatever sounds different has another name.

The words of a name are joined by ``_``, which none of them has in it, so that no two can run together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from zlib import crc32

from render.plain_text import slug
from render.sound.loops import ALL, Mix

LONGEST_WORD = 60  # bytes: three of them and the options fit a file name everywhere


def distinct(name: str, others: Iterable[str] = (), key: str = "") -> str:
    """A name as a word of a file name; one that other names would share gets a number from ``key``.

    >>> distinct("Stairs in Threes", ["Big Turn", "Stairs in Threes"]), distinct("Rock & Roll", ["Rock Roll"])
    ('stairs-in-threes', 'rock-roll-f39c3927')
    """
    word = _word(name)
    if all(other == name or _word(other) != word for other in others) and not key:
        return word
    return f"{word}-{crc32((key or name).encode('utf-8', 'surrogatepass')):08x}"


def _word(name: str) -> str:
    plain = slug(name).replace("_", "-")
    return plain.encode()[:LONGEST_WORD].decode(errors="ignore").strip("-")


def exact(number: Fraction) -> str:
    """A decimal number with all its decimals.

    >>> exact(Fraction(133, 2)), exact(Fraction(92))
    ('66.5', '92')
    """
    text = f"{Decimal(number.numerator) / Decimal(number.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def option_words(mix: Mix, usual_times: int, bars: int | None, silent: int, answer: bool) -> list[str]:
    """A word for each option that is not as usual; ``bars`` is None where it is."""
    return [
        word
        for word, given in (
            (f"bars-{bars}", bars is not None),
            (f"times-{mix.times}", mix.times != usual_times),
            (f"silent-{silent}", silent),
            ("call", answer),
            (mix.drums, mix.drums != ALL),
            ("subdivide", mix.subdivide),
            (f"click{_signed(mix.click_db)}", mix.click_db),
            (f"level{_signed(mix.level_db)}", mix.level_db != Mix.level_db),
        )
        if given
    ]


def _signed(number: float) -> str:
    return ("" if number < 0 else "+") + repr(float(number)).removesuffix(".0")


def stem(words: Sequence[str]) -> str:
    """A file name without its ending."""
    return "_".join(words)
