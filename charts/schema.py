"""JSON Schema (draft 2020-12) of the files of a book, for an editor's completion and its red lines.

Keys, their descriptions and their shapes are the reader's own tables.
"""

from __future__ import annotations

from charts.reading.chart import CHART
from charts.reading.feels import FEEL, FEEL_FILE
from charts.reading.keys import keyed
from charts.reading.marks import TEMPO_MARK
from charts.reading.patterns import PATTERN, PATTERN_FILE
from charts.reading.section import SECTION
from charts.reading.settings import BOOK
from charts.reading.shapes import WORDS, Shape, a
from charts.reading.uses import FILL_USE

FORM_LINE = r"(?!.*\s(x \d|\d+ ?x\b))[^()]+(\([^()]*\))?(\s+[xX×]\d+)?(\s+[oO][pP][eE][nN])?\s*"


def definitions() -> dict[str, Shape]:
    """What charts, patterns, feels and books hold, by the names that ``$ref`` uses."""
    line: Shape = {"pattern": rf"^\s*{FORM_LINE}$"}
    section_of_line = {
        "type": "object", "minProperties": 1, "maxProperties": 1,
        "propertyNames": line, "additionalProperties": a("section"),
    }  # fmt: skip
    named = {"required": ["name", "divides"]}
    fill = keyed(FILL_USE) | {"anyOf": [{"required": [key]} for key in ("use", "rows", "like")]}
    return {
        "chart": _about("One song's chart", keyed(CHART)),
        "fills": _about("Fills and grooves of a book", _or_empty(keyed(PATTERN_FILE))),
        "feels": _about("Feels of a book", _or_empty(keyed(FEEL_FILE))),
        "book": _about("What holds for a whole book", _or_empty(keyed(BOOK))),
        "form-line": _about(
            "NAME (BARS) xTIMES open, alone or with its keys", {"anyOf": [WORDS | line, section_of_line]}
        ),
        "section": keyed(SECTION),
        "tempo-mark": keyed(TEMPO_MARK),
        "fill-use": _about("A fill's name, or keys that say more", {"anyOf": [WORDS, fill]}),
        "pattern": keyed(PATTERN) | {"anyOf": [{"required": [key]} for key in ("rows", "like")]},
        "feel": keyed(FEEL),
        "feel-use": _about(
            "A feel's name, or a feel defined in place", {"anyOf": [WORDS, a("feel") | named]}
        ),
    }


def _about(words: str, shape: Shape) -> Shape:
    return {"description": words, **shape}


def _or_empty(shape: Shape) -> Shape:
    """A file may hold comments alone."""
    return shape | {"type": ["object", "null"]}
