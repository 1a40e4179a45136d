"""JSON shapes of what may be in a file, as JSON Schema writes them.

An editor types values by its own YAML parser before it looks at the schema, so ``92`` comes as a number and
``yes`` as true or as text: both are let through.
"""

from __future__ import annotations

import re
from typing import Any

Shape = dict[str, Any]

NUMBER = r"\d{1,6}(\.\d{1,6})?"
PLACE = r"\d{1,5}(\.\d{1,3}([&ea]|\+\d{1,3}/\d{1,3})?)?"
WORDS: Shape = {"type": ["string", "number", "boolean"], "pattern": r"\S"}


def any_case(*allowed: str) -> str:
    """A pattern of words in small or large letters; schemas know no flags.

    >>> any_case("no")
    '[Nn][Oo]'
    """
    return re.sub(r"[A-Za-z]", lambda c: f"[{c[0].upper()}{c[0].lower()}]", "|".join(allowed))


def written(pattern: str, *kinds: str, **limits: Any) -> Shape:
    """Text of a pattern, or what another parser makes of it: the JSON types ``kinds``."""
    return {"type": ["string", *kinds] if kinds else "string", "pattern": rf"^\s*({pattern})\s*$", **limits}


def a_number(low: float, high: float, unit: str = "") -> Shape:
    """A number in a range, its unit let through after it."""
    behind = rf"( ?{unit})?" if unit else ""
    return written(NUMBER + behind, "number", minimum=low, maximum=high)


def a(name: str) -> Shape:
    """Another definition."""
    return {"$ref": f"#/$defs/{name}"}


def a_list(of: Shape, **limits: int) -> Shape:
    """A list with at least one item."""
    return {"type": "array", "items": of, "minItems": 1, **limits}


def by_place(value: Shape, pattern: str = PLACE) -> Shape:
    """Places with what is at each."""
    place = {"pattern": rf"^\s*{pattern}\s*$"}
    return {"type": "object", "propertyNames": place, "additionalProperties": value}


def by_name(value: Shape) -> Shape:
    """Names with what each holds."""
    return {"type": "object", "additionalProperties": value}
