"""What every rule says of itself: its headings in order, and the two examples in it."""

from __future__ import annotations

import re
from textwrap import dedent

HEADINGS = ("Listens for:", "Why it matters:", "Wrong:", "Right:")


def is_told_in_order(name: str, doc: str) -> bool:
    """True for words that begin with the rule's name and have every heading in its place."""
    places = [doc.find(heading) for heading in HEADINGS]
    return doc.startswith(f"{name}: ") and -1 not in places and places == sorted(places)


def examples(doc: str) -> tuple[str, str]:
    """The bad and the good file of a rule's docstring."""
    found = re.search(r"Wrong:\n(.*?)\nRight:\n(.*?)(?:\n\n[^ ]|\Z)", doc, re.DOTALL)
    assert found
    return dedent(found[1]), dedent(found[2])
