"""Values as YAML writes them, so that they read back exactly and mean words to every other reader too."""

from __future__ import annotations

import re
import unicodedata

import yaml

SINGLE, DOUBLE = "'", '"'
_FIRST = frozenset("-?:,[]{}#&*!|>'\"%@`=<~")  # signs, and what other readers take for a value of their own
_FLOW = frozenset("?:,[]{}")
_MARKERS = ("---", "...")
_YES_NO = frozenset("yYnN")  # YAML 1.1 has them; PyYAML does not know
_UNSEEN = frozenset(("Cc", "Cs", "Cn", "Zl", "Zp"))  # categories that must not be in a file as they are
_ESCAPES = {"\\": "\\\\", '"': '\\"'}


def scalar(text: str, *, flow: bool, style: str | None = None, typed: bool = False) -> str:
    """The text as one scalar on one line: plain where it can be, else in quotes.

    ``flow`` says that it is inside ``{ }`` or ``[ ]``; ``style`` is the quote that is there already,
    kept where it can be; ``typed`` lets numbers and the like stay plain, since their key wants them so.

    >>> scalar("wait, then in", flow=False), scalar("wait, then in", flow=True)
    ('wait, then in', '"wait, then in"')
    >>> scalar("96", flow=False), scalar("96", flow=False, typed=True)
    ('"96"', '96')
    >>> scalar("drums' cue", flow=False, style="'")
    "'drums'' cue'"
    """
    if style == SINGLE and all(map(_shown, text)):
        return "'" + text.replace("'", "''") + "'"
    if style not in (SINGLE, DOUBLE) and _plain(text, flow) and (typed or not _typed_elsewhere(text)):
        return text
    return '"' + "".join(map(_escaped, text)) + '"'


def _plain(text: str, flow: bool) -> bool:
    """True where the text needs no quotes; in doubt it gets them."""
    if not text or text != text.strip() or text[0] in _FIRST or text.startswith(_MARKERS):
        return False
    if ": " in text or " #" in text or text.endswith(":") or (flow and not _FLOW.isdisjoint(text)):
        return False
    return all(map(_shown, text))


def _typed_elsewhere(text: str) -> bool:
    """True where a reader that guesses types would not see words: yes, 12, 3:45, null, 2026-12-04."""
    if text in _YES_NO or re.fullmatch(r"[-+]?(0[box])?[\d_.,:]+", text):
        return True
    guesses = yaml.SafeLoader.yaml_implicit_resolvers.get(text[0], [])
    if any(pattern.match(text) for _, pattern in guesses):
        return True
    try:
        float(text)
    except ValueError:
        return False
    return True


def _shown(char: str) -> bool:
    return char not in "\ufeff\ufffe\uffff" and unicodedata.category(char) not in _UNSEEN


def _escaped(char: str) -> str:
    if _shown(char):
        return _ESCAPES.get(char, char)
    code = ord(char)
    return f"\\x{code:02X}" if code < 0x100 else f"\\u{code:04X}" if code < 0x10000 else f"\\U{code:08X}"
