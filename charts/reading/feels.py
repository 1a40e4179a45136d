"""Reading feels: feels.yaml, and a feel defined in place in a chart."""

from __future__ import annotations

from fractions import Fraction
from math import prod

import yaml

from charts.feel import BY_TEMPO, Feel
from charts.reading.reader import Entry, Reader
from charts.reading.values import Bad, number, one_of, whole, words

FEEL_KEYS = {
    "name": "what the feel is called (only where a chart defines it in place)",
    "also": "other spellings, a list",
    "divides": "factors by which a beat divides, outermost first: [2, 3]",
    "home": "cells a beat that the groove itself plays; the product of divides unless said",
    "swing": "long-short ratio of the swung pair: a number from 1 to 4, or by tempo",
    "pulse": "normal, half-time or double-time",
    "count": "how the home grid is counted aloud: 1 e & a",
    "groove": "the groove that practice plays unless a chart says another",
    "about": "one plain sentence",
}
FEEL_FILE_KEYS = {"feels": "feels by name"}
MOST_FACTORS, MOST_CELLS = 4, 48


def swing(text: str) -> Fraction | str:
    """A ratio, or ``by tempo``."""
    if words(text).casefold() == BY_TEMPO:
        return BY_TEMPO
    try:
        ratio = number(text)
    except Bad:
        raise Bad(f"“{text}” is no swing", "write a ratio like 2 or 1.6, or by tempo") from None
    if not 1 <= ratio <= 4:
        raise Bad(f"swing {text} is out of range", "write a long-short ratio from 1 (even) to 4")
    return ratio


def read_feel(reader: Reader, name: str | None, node: yaml.Node) -> Feel | None:
    """One feel from its keys; ``name`` is None where the keys give it."""
    what = f"the feel {name}" if name else "a feel"
    entries = reader.known(node, FEEL_KEYS, what)
    if entries is None:
        return None
    if "name" in entries:
        name = reader.value(entries["name"].value, words, "name") or name
    if not name:
        reader.say(node, "a feel written in place needs a name", "write name: and what the band calls it")
        return None
    if "divides" not in entries:
        reader.say(
            node, f"the feel {name} does not say how a beat divides", "write divides: [2, 2] or another list"
        )
        return None
    return _feel(reader, name, entries)


def _feel(reader: Reader, name: str, entries: dict[str, Entry]) -> Feel | None:
    divides = _factors(reader, entries["divides"].value)
    if divides is None:
        return None
    ratio = reader.value(entries["swing"].value, swing, "swing") if "swing" in entries else None
    if ratio is not None and divides[-1] != 3:
        reader.say(
            entries["swing"].value,
            "only a beat whose last division is 3 swings",
            "make 3 the last of divides, or leave swing out",
        )
        return None
    home = (
        reader.value(entries["home"].value, whole(1, MOST_CELLS, "number of cells"), "home")
        if "home" in entries
        else None
    )
    pulse = (
        reader.value(entries["pulse"].value, one_of("normal", "half-time", "double-time"), "pulse")
        if "pulse" in entries
        else "normal"
    )
    feel = Feel(
        name, divides, ratio, home, pulse or "normal",
        count=_words(reader, entries, "count"), also=tuple(_list(reader, entries.get("also"))),
        groove=_words(reader, entries, "groove"), about=_words(reader, entries, "about"),
    )  # fmt: skip
    if home is not None and not feel.grid_admits(home):
        reader.say(
            entries["home"].value,
            f"{home} cells are no division of this feel",
            f"write {prod(divides)} or twice that",
        )
        return None
    return feel


def _words(reader: Reader, entries: dict[str, Entry], key: str) -> str:
    return (reader.value(entries[key].value, words, key) or "") if key in entries else ""


def _list(reader: Reader, entry: Entry | None) -> list[str]:
    if entry is None:
        return []
    if isinstance(entry.value, yaml.ScalarNode):
        return [found] if (found := reader.value(entry.value, words, "also")) else []
    if not isinstance(entry.value, yaml.SequenceNode):
        reader.say(entry.value, "also is a list of spellings", "write [one, two]")
        return []
    return [found for item in entry.value.value if (found := reader.value(item, words, "also"))]


def _factors(reader: Reader, node: yaml.Node) -> tuple[int, ...] | None:
    if not isinstance(node, yaml.SequenceNode) or not 1 <= len(node.value) <= MOST_FACTORS:
        reader.say(node, "divides is a list of one to four factors", "write [2], [2, 2], [3] or [2, 3]")
        return None
    read = whole(2, 7, "factor")
    factors = [reader.value(item, read, "divides") for item in node.value]
    if any(factor is None for factor in factors):
        return None
    found = tuple(factor for factor in factors if factor)
    if prod(found) > MOST_CELLS:
        reader.say(
            node, f"a beat of {prod(found)} cells is too fine", f"write at most {MOST_CELLS} cells a beat"
        )
        return None
    return found
