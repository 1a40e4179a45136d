"""Text in printable ASCII, for files whose text other programs read only so (Standard MIDI Files, WAV)."""

from __future__ import annotations

import re
import unicodedata

from charts.titles import folded

_SIGNS = {
    "‘’‚‹›′": "'", "“”„«»″": '"', "‐‑‒–—−": "-", "…": "...", "·•": "-", "×": "x",
    "\u00a0\u202f\u2009\t\n": " ", "♯": "#",
    "♭": "b", "♩": "quarter", "№": "No.", "°": "deg", "½": "1/2", "¼": "1/4", "¾": "3/4",
}  # fmt: skip
_LETTERS = (
    ("ßæœøłđðþıŋ", "ss ae oe o l d d th i ng"),
    ("абвгдежзийклмнопрстуфхцчшщъыьэюяґєії", "a b v g d e zh z i i k l m n o p r s t u f kh ts ch sh shch"
     " - y - e yu ya g ye i yi"),
    ("αβγδεζηθικλμνξοπρσςτυφχψω", "a v g d e z i th i k l m n x o p r s s t y f ch ps o"),
)  # fmt: skip


def _table() -> dict[str, str]:
    table = {sign: plain for signs, plain in _SIGNS.items() for sign in signs}
    for letters, words in _LETTERS:
        for letter, plain in zip(letters, words.split(), strict=True):
            spelled = plain.replace("-", "")
            table[letter] = spelled
            if len(letter.upper()) == 1:
                table.setdefault(letter.upper(), spelled.capitalize())
    return table


_TABLE = _table()


def spelled(sign: str) -> str:
    r"""A sign in printable ASCII where that can be said, else as an escape that tells which it is.

    >>> spelled("é"), spelled("鼓"), spelled("\N{COMBINING ACUTE ACCENT}")
    ('e', '\\u9f13', '')
    """
    if unicodedata.combining(sign):
        return ""
    plain = ascii_text(sign)
    return plain if "?" not in plain else sign.encode("ascii", "backslashreplace").decode()


def ascii_text(text: str) -> str:
    """A text in printable ASCII: accents dropped, Cyrillic and Greek spelled out, ``?`` for what is left.

    >>> ascii_text("Żółw – “Straße” к морю")
    'Zolw - "Strasse" k moryu'
    """
    if text.isascii() and text.isprintable():
        return text
    spelled = "".join(_TABLE.get(sign, sign) for sign in unicodedata.normalize("NFC", text))
    parts = unicodedata.normalize("NFKD", spelled)
    bare = (sign for sign in parts if not unicodedata.combining(sign))
    return "".join(sign if " " <= sign <= "~" else _TABLE.get(sign, "?") for sign in bare)


def slug(name: str) -> str:
    """A name without signs that a file system minds.

    >>> slug("Café: take 2")
    'cafe-take-2'
    """
    return "-".join(re.findall(r"\w+", folded(name)))[:80] or "untitled"
