"""JSON Schema of every file of a book: the set list's here, the others from the charts."""

from __future__ import annotations

from charts.schema import (
    BPM,
    COUNT_IN,
    NUMBER,
    TEXT,
    TEXTS,
    YES_NO,
    Shape,
    a,
    any_case,
    definitions,
    keyed,
    written,
)
from charts.source import FeelmapError
from charts.spelling import nearest
from setlists.reading import BREAK_KEYS, SET_KEYS, SETLIST_KEYS
from setlists.songs import SONG_KEYS

DRAFT = "https://json-schema.org/draft/2020-12/schema"
KINDS = ("chart", "fills", "feels", "setlist", "book")
_HOURS = rf"{NUMBER} ?({any_case('h', 'hr', 'hrs', 'hour', 'hours')})"
_MINUTES = rf"{NUMBER} ?({any_case('m', 'min', 'mins', 'minute', 'minutes')}|['’′])"
_SECONDS = rf"{NUMBER} ?({any_case('s', 'sec', 'secs', 'second', 'seconds')}|[\"”″])"
_PARTS = rf"(?=\d)({_HOURS})?( ?(and )?{_MINUTES})?( ?(and )?{_SECONDS})?"
_COLONS = r"(\d{1,2}:)?\d{1,3}:\d{2}"
_HALF = f"({any_case('am', 'pm', 'a[.]m[.]', 'p[.]m[.]')})"
_CLOCK = rf"\d{{1,2}}[:.hH]\d{{2}}( ?{_HALF})?|\d{{1,2}} ?{_HALF}"

# a parser that counts in sixties makes a number of 20:30
DURATION = written(f"{_PARTS}|0|{any_case('none')}", "number", maximum=0)
LENGTH = written(f"{_PARTS}|{_COLONS}", "number")
TIME = written(_CLOCK, "number")

SETLIST_SHAPES: dict[str, Shape] = {
    "gig": TEXT,
    "date": written(r"\d{4}-\d{2}-\d{2}"),
    "start": TIME,
    "ends": TIME,
    "between": DURATION,
    "sets": {"type": "array", "items": a("set"), "minItems": 1},
}
SET_SHAPES: dict[str, Shape] = {
    "name": TEXT,
    "length": DURATION,
    "start": TIME,
    "songs": {"type": "array", "items": a("song"), "minItems": 1},
}
SONG_SHAPES: dict[str, Shape] = {
    "tempo": BPM,
    "key": TEXT,
    "feel": a("feel-use"),
    "notes": TEXT,
    "segue": YES_NO,
    "between": DURATION,
    "count-in": COUNT_IN,
    "skip": TEXTS,
    "length": LENGTH,
}


def all_definitions() -> dict[str, Shape]:
    """The definitions of every file, by the names that ``$ref`` uses."""
    a_set = keyed(SET_KEYS, SET_SHAPES, ["songs"])
    a_break = keyed(BREAK_KEYS, {"break": DURATION}, ["break"])
    song = {
        "type": "object", "minProperties": 1, "maxProperties": 1,
        "additionalProperties": keyed(SONG_KEYS, SONG_SHAPES),
    }  # fmt: skip
    charts = definitions()
    return {
        **{kind: charts.pop(kind) for kind in KINDS if kind in charts},
        "setlist": {"description": "One gig", **keyed(SETLIST_KEYS, SETLIST_SHAPES, ["sets"])},
        "set": {"description": "A set, or a break between two", "anyOf": [a_set, a_break]},
        "song": {"description": "A title, alone or with what changes for this gig", "anyOf": [TEXT, song]},
        **charts,
    }


def schema(kind: str | None = None) -> Shape:
    """The schema of one kind of file, or of any of them; raises FeelmapError for a kind that is none.

    >>> schema("chart")["$ref"]
    '#/$defs/chart'
    """
    if kind is not None and kind not in KINDS:
        like = nearest(kind, KINDS)
        hint = f"did you mean {like}?" if like else f"it is one of {', '.join(KINDS)}"
        raise FeelmapError(f"no file of a book is a “{kind}”", hint)
    which: Shape = {"anyOf": [a(each) for each in KINDS]} if kind is None else a(kind)
    title = "Feelmap" if kind is None else f"Feelmap: {kind}"
    return {"$schema": DRAFT, "title": title, **which, "$defs": all_definitions()}
