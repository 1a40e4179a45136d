"""Reading feels: feels.yaml, and a feel defined in place in a chart."""

from __future__ import annotations

from fractions import Fraction
from math import prod

import yaml

from charts.feel import BY_TEMPO, Feel
from charts.reading.keys import TEXT, Kind, a_whole, apart, one_word, read_fields, row, single, table, texts
from charts.reading.reader import Entry, Reader
from charts.reading.shapes import NUMBER, a, a_list, any_case, by_name, written
from charts.reading.values import Bad, number, words

MOST_FACTORS, MOST_CELLS = 4, 48


def swing(text: str) -> Fraction | str:
    """A ratio, or ``by tempo``."""
    if words(text).casefold() == BY_TEMPO:
        return BY_TEMPO
    try:
        ratio = number(text)
    except Bad:
        raise Bad(f"“{text}” is not a swing", "write a ratio like 2 or 1.6, or by tempo") from None
    if not 1 <= ratio <= 4:
        raise Bad(f"swing {text} is out of range", "write a long-short ratio from 1 (even) to 4")
    return ratio


def _factors(reader: Reader, node: yaml.Node, what: str) -> tuple[int, ...] | None:
    if not isinstance(node, yaml.SequenceNode) or not 1 <= len(node.value) <= MOST_FACTORS:
        reader.say(node, "divides is a list of one to four factors", "write [2], [2, 2], [3] or [2, 3]")
        return None
    factors = [_FACTOR.read(reader, item, what) for item in node.value]
    if any(factor is None for factor in factors):
        return None
    found = tuple(factor for factor in factors if factor)
    if prod(found) > MOST_CELLS:
        reader.say(
            node, f"a beat of {prod(found)} cells is too fine", f"write at most {MOST_CELLS} cells per beat"
        )
        return None
    return found


_FACTOR = a_whole(2, 7, "factor")
_PULSE = one_word("normal", "half-time", "double-time")
SWING = single(swing, written(rf"{NUMBER}|{any_case(BY_TEMPO)}", "number", minimum=1, maximum=4))


class FeelKeys(Feel):
    """The keys of a feel."""

    name = row(TEXT, "what the feel is called (only where a chart defines it in place)")
    also = row(texts("a list of spellings", "write [one, two]"), "other spellings, a list")
    divides = row(
        Kind(a_list(_FACTOR.shape, maxItems=MOST_FACTORS), _factors),
        "factors by which a beat divides, outermost first: [2, 3]",
        needed="divides: [2, 2] or another list",
    )
    home_cells = row(
        a_whole(1, MOST_CELLS, "number of cells"),
        "cells per beat that the groove itself plays; the product of divides by default",
        name="home",
    )
    swing = row(SWING, "long-short ratio of the swung pair: a number from 1 to 4, or by tempo")
    pulse = row(_PULSE, "normal, half-time or double-time")
    count = row(TEXT, "how the home grid is counted aloud: 1 e & a")
    family = row(
        texts("a list of families", "write [shuffle] or [latin, twelve]"),
        "the families it belongs to: [shuffle], [latin, twelve]",
    )
    groove = row(TEXT, "the groove that practice plays unless a chart says another")
    about = row(TEXT, "one plain sentence")


class FeelFileKeys:
    """The keys of feels.yaml."""

    feels = row(apart(by_name(a("feel"))), "feels by name")


FEEL, FEEL_FILE = table(FeelKeys), table(FeelFileKeys)


def read_feel_use(reader: Reader, node: yaml.Node, what: str = "feel") -> Feel | None:
    """A feel by its name, or defined in place."""
    if isinstance(node, yaml.MappingNode):
        return read_feel(reader, None, node)
    name = reader.value(node, words, what)
    if name is None:
        return None
    feel = reader.names.feel(name)
    if feel is None:
        hint = reader.names.feel_hint(name)
        reader.say(node, f"no feel is called “{name}”", hint, rule="unknown")
    return feel


FEEL_USE = Kind(a("feel-use"), read_feel_use, "style, groove feel, swing, rhythm")


def read_feel(reader: Reader, name: str | None, node: yaml.Node) -> Feel | None:
    """One feel from its keys; ``name`` is None where the keys give it."""
    entries = reader.known(node, FEEL, f"the feel {name}" if name else "a feel")
    if entries is None:
        return None
    given = {"name": name, **read_fields(reader, FEEL, entries)}
    name = given["name"]
    if not name:
        reader.say(node, "a feel written in place needs a name", "write name: and what the band calls it")
        return None
    if "divides" not in entries:
        hint = f"write {FEEL['divides'].needed}"
        reader.say(node, f"the feel {name} does not say how a beat divides", hint)
        return None
    return _checked(reader, Feel(**given), entries) if "divides" in given else None


def _checked(reader: Reader, feel: Feel, entries: dict[str, Entry]) -> Feel | None:
    """The feel; None where its keys do not go together."""
    if feel.swings and feel.divides[-1] != 3:
        reader.say(
            entries["swing"].value,
            "only a beat whose last division is 3 swings",
            "make 3 the last of divides, or leave swing out",
        )
        return None
    if not feel.grid_admits(feel.home):
        cells = prod(feel.divides)
        message = f"{feel.home} cells are not a division of this feel"
        reader.say(entries["home"].value, message, f"write {cells} or twice that")
        return None
    return feel
