"""JSON Schema (draft 2020-12) of the files of a book, for an editor's completion and its red lines.

Keys and their descriptions are the reader's own tables. An editor types values by its own YAML parser before
it looks at the schema, so ``92`` comes as a number and ``yes`` as true or as text: both are let through.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from charts.feel import BY_TEMPO
from charts.kit import SPELLINGS
from charts.reading.chart import CHART_KEYS
from charts.reading.chart import REQUIRED as CHART_REQUIRED
from charts.reading.feels import FEEL_FILE_KEYS, FEEL_KEYS, MOST_CELLS, MOST_FACTORS
from charts.reading.patterns import PATTERN_FILE_KEYS, PATTERN_KEYS
from charts.reading.section import SECTION_KEYS, TEMPO_KEYS
from charts.reading.settings import BOOK_KEYS, PLAYER_KEYS, TRIPLET_COUNTS
from charts.reading.uses import FILL_KEYS
from charts.reading.values import MOST_BARS, MOST_TIMES, NONE
from charts.song import CRASH, DYNAMICS, NO_LANDING
from charts.timing import FASTEST, SLOWEST

Shape = dict[str, Any]

NUMBER = r"\d{1,6}(\.\d{1,6})?"
BPM_CHANGE = rf"{NUMBER}( to {NUMBER})?"
PLACE = r"\d{1,5}(\.\d{1,3}([&ea]|\+\d{1,3}/\d{1,3})?)?"
METER = r"\d{1,2}/\d{1,2}( *\( *\d+( *\+ *\d+)* *\))?"
FORM_LINE = r"(?!.*\s(x \d|\d+ ?x\b))[^()]+(\([^()]*\))?(\s+[xX×]\d+)?(\s+[oO][pP][eE][nN])?\s*"


def any_case(*allowed: str) -> str:
    """A pattern of words in small or large letters; schemas know no flags.

    >>> any_case("no")
    '[Nn][Oo]'
    """
    return re.sub(r"[A-Za-z]", lambda c: f"[{c[0].upper()}{c[0].lower()}]", "|".join(allowed))


def written(pattern: str, *kinds: str, **limits: Any) -> Shape:
    """Text of a pattern, or what another parser makes of it: the JSON types ``kinds``."""
    return {"type": ["string", *kinds] if kinds else "string", "pattern": rf"^\s*({pattern})\s*$", **limits}


def number(low: float, high: float, unit: str = "") -> Shape:
    """A number in a range, its unit let through behind it."""
    behind = rf"( ?{unit})?" if unit else ""
    return written(NUMBER + behind, "number", minimum=low, maximum=high)


def whole(low: int, high: int) -> Shape:
    """A whole number in a range."""
    return written(r"\d{1,9}", "integer", minimum=low, maximum=high)


def a(name: str) -> Shape:
    """Another definition."""
    return {"$ref": f"#/$defs/{name}"}


def or_none(shape: Shape) -> Shape:
    """The shape, or ``none`` to take away what is inherited."""
    return {"anyOf": [shape, {"const": NONE}]}


def by_place(value: Shape, pattern: str = PLACE) -> Shape:
    """Places with what stands at each."""
    place = {"pattern": rf"^\s*{pattern}\s*$"}
    return {"type": "object", "propertyNames": place, "additionalProperties": value}


def by_name(value: Shape) -> Shape:
    """Names with what each holds."""
    return {"type": "object", "additionalProperties": value}


def keyed(keys: Mapping[str, str], shapes: Mapping[str, Shape], required: Iterable[str] = ()) -> Shape:
    """A mapping with the reader's keys, each with its description; the two tables must have the same keys.

    >>> keyed({"key": "the key"}, {})
    Traceback (most recent call last):
    ...
    ValueError: no shape for key
    """
    apart = sorted(set(keys) ^ set(shapes))
    if apart:
        raise ValueError(f"no shape for {', '.join(apart)}")
    found: Shape = {
        "type": "object",
        "properties": {key: {"description": words, **shapes[key]} for key, words in keys.items()},
        "additionalProperties": False,
    }
    if list(required):
        found["required"] = list(required)
    return found


TEXT: Shape = {"type": ["string", "number", "boolean"], "pattern": r"\S"}
YES_NO = written(any_case("yes", "no", "true", "false", "on", "off"), "boolean")
BPM = number(SLOWEST, FASTEST)
TEMPO = written(BPM_CHANGE, "number", minimum=SLOWEST, maximum=FASTEST)
A_METER = written(METER)
COUNT_IN = written(r"none|\d{1,2} bars?( ?(and )?\d{1,2} beats?)?|\d{1,2} beats?")
PASS = written(any_case("each", "last") + r"|\d{1,3}", "integer", minimum=1, maximum=MOST_TIMES)
PLACES = written(rf"{PLACE}(\s+{PLACE})*", "number")
STOPS = written(rf"{PLACE}(-{PLACE})?(\s+{PLACE}(-{PLACE})?)*", "number")
PHRASES = written(r"\d{1,9}( *\+ *\d{1,9})*", "integer", minimum=1, maximum=MOST_BARS)
DYNAMIC = "|".join(DYNAMICS)
TEXTS: Shape = {"anyOf": [TEXT, {"type": "array", "items": TEXT}]}

CHART_SHAPES: dict[str, Shape] = {
    "title": TEXT,
    "by": TEXT,
    "key": TEXT,
    "meter": A_METER,
    "tempo": BPM,
    "feel": a("feel-use"),
    "count-in": COUNT_IN,
    "pickup": written(rf"none|({NUMBER}|\d+/\d+|\d+ \d+/\d+) beats?"),
    "groove": TEXT,
    "ending": TEXT,
    "notes": TEXT,
    "form": {"type": "array", "items": a("form-line"), "minItems": 1},
}
SECTION_SHAPES: dict[str, Shape] = {
    "bars": PHRASES,
    "times": whole(1, MOST_TIMES),
    "open": YES_NO,
    "like": TEXT,
    "feel": or_none(a("feel-use")),
    "meter": or_none(A_METER),
    "groove": TEXT,
    "tempo": or_none(TEMPO),
    "tempos": or_none(by_place({"anyOf": [TEMPO, a("tempo-mark")]}, r"\d{1,5}")),
    "until": TEXT,
    "odd-bars": or_none(by_place(A_METER, r"\d{1,5}")),
    "cue": TEXT,
    "cues": or_none(by_place(TEXT)),
    "hits": or_none(PLACES),
    "stops": or_none(STOPS),
    "holds": or_none({"anyOf": [PLACES, by_place(number(0, 600, "s"))]}),
    "dynamics": or_none(written(rf"({DYNAMIC})( to ({DYNAMIC}))?")),
    "fill": a("fill-use"),
    "fills": or_none(by_place(a("fill-use"))),
}
PATTERN_SHAPES: dict[str, Shape] = {
    "rows": {"type": "string", "pattern": r"\S"},
    "stick": {"type": "string", "pattern": r"^[RLBrlb.|\s-]+$"},
    "suits": TEXT,
    "meter": A_METER,
    "tempo": written(rf"{NUMBER} *[-–] *{NUMBER}"),
    "like": TEXT,
    "written": written(any_case("straight")),
    "played": written(any_case("swung")),
}
FILL_USE_SHAPES: dict[str, Shape] = {
    **PATTERN_SHAPES,
    "use": TEXT,
    "pass": PASS,
    "sets-up": written(any_case("next")),
    "on-purpose": TEXT,
    "land": written(any_case(CRASH, NO_LANDING, *sorted(SPELLINGS))),
}
FEEL_SHAPES: dict[str, Shape] = {
    "name": TEXT,
    "also": TEXTS,
    "divides": {"type": "array", "items": whole(2, 7), "minItems": 1, "maxItems": MOST_FACTORS},
    "home": whole(1, MOST_CELLS),
    "swing": written(rf"{NUMBER}|{any_case(BY_TEMPO)}", "number", minimum=1, maximum=4),
    "pulse": written(any_case("normal", "half-time", "double-time")),
    "count": TEXT,
    "groove": TEXT,
    "about": TEXT,
}
BOOK_SHAPES: dict[str, Shape] = {
    "name": TEXT,
    "paper": written(any_case("A4", "Letter")),
    "distance": number(0.3, 5, "m"),
    "kit": written(f"({any_case('right', 'left')})([ -]{any_case('handed')})?"),
    "tolerance": number(0, 200, "ms"),
    "player": keyed(PLAYER_KEYS, dict.fromkeys(PLAYER_KEYS, number(1, 30))),
    "count": written(any_case(*TRIPLET_COUNTS)),
}


def definitions() -> dict[str, Shape]:
    """What charts, patterns, feels and books hold, by the names that ``$ref`` uses."""
    line: Shape = {"pattern": rf"^\s*{FORM_LINE}$"}
    section_of_line = {
        "type": "object", "minProperties": 1, "maxProperties": 1,
        "propertyNames": line, "additionalProperties": a("section"),
    }  # fmt: skip
    named = {"required": ["name", "divides"]}
    fill = keyed(FILL_KEYS, FILL_USE_SHAPES) | {"anyOf": [{"required": [k]} for k in ("use", "rows", "like")]}
    pattern = keyed(PATTERN_KEYS, PATTERN_SHAPES) | {"anyOf": [{"required": [k]} for k in ("rows", "like")]}
    feels = keyed(FEEL_FILE_KEYS, {"feels": by_name(a("feel"))})
    patterns = keyed(PATTERN_FILE_KEYS, dict.fromkeys(PATTERN_FILE_KEYS, by_name(a("pattern"))))
    return {
        "chart": _about("One song's chart", keyed(CHART_KEYS, CHART_SHAPES, CHART_REQUIRED)),
        "fills": _about("Fills and grooves of a book", _or_empty(patterns)),
        "feels": _about("Feels of a book", _or_empty(feels)),
        "book": _about("What holds for a whole book", _or_empty(keyed(BOOK_KEYS, BOOK_SHAPES))),
        "form-line": _about(
            "NAME (BARS) xTIMES open, alone or with its keys", {"anyOf": [TEXT | line, section_of_line]}
        ),
        "section": keyed(SECTION_KEYS, SECTION_SHAPES),
        "tempo-mark": keyed(TEMPO_KEYS, {"tempo": TEMPO, "pass": PASS}, ["tempo"]),
        "fill-use": _about("A fill's name, or keys that say more", {"anyOf": [TEXT, fill]}),
        "pattern": pattern,
        "feel": keyed(FEEL_KEYS, FEEL_SHAPES, ["divides"]),
        "feel-use": _about("A feel's name, or a feel defined in place", {"anyOf": [TEXT, a("feel") | named]}),
    }


def _about(words: str, shape: Shape) -> Shape:
    return {"description": words, **shape}


def _or_empty(shape: Shape) -> Shape:
    """A file may hold comments alone."""
    return shape | {"type": ["object", "null"]}
