"""What stands behind the colon of a line and was meant as keys: told with the braces that it needs."""

from __future__ import annotations

import re
from collections.abc import Container

from charts.quoting import scalar

_KEY_AND_WORDS = re.compile(r"([a-z][a-z-]*):?\s+(\S.*)")


def unbraced(key: str, value: str, keys: Container[str]) -> tuple[str, str] | None:
    """Message and hint for ``KEY: VALUE`` whose value was meant as keys; None where it was not.

    >>> unbraced("Verse (8)", "like Chorus", {"like"})
    ('keys behind a line stand in braces', 'write Verse (8): {like: Chorus}')
    >>> unbraced("Verse (8) {cue", "all in}", {"cue"})
    ('no colon before {', 'write Verse (8): {cue: all in}')
    """
    if ":{" in key:
        return "no space after the colon", "write a space between : and {"
    name, brace, first = key.partition("{")
    if brace and value.endswith("}"):
        return "no colon before {", f"write {name.rstrip()}: {{{first}: {value}"
    given = colonless(value, keys)
    return ("keys behind a line stand in braces", f"write {key}: {{{given}}}") if given else None


def colonless(text: str, keys: Container[str]) -> str | None:
    """A known key and its words with the colon between them; None where the text does not begin with one.

    >>> colonless("cue wait, then in", {"cue"}), colonless("wait", {"cue"})
    ('cue: "wait, then in"', None)
    """
    found = _KEY_AND_WORDS.fullmatch(text)
    if not found or found[1] not in keys:
        return None
    return f"{found[1]}: {scalar(found[2], flow=True, typed=True)}"
