"""JSON Schema of every file of a book: the set list's here, the others from the charts."""

from __future__ import annotations

from charts.reading.keys import keyed
from charts.reading.shapes import WORDS, Shape, a
from charts.schema import definitions
from charts.source import FeelmapError
from charts.spelling import nearest
from setlists.reading import BREAK, SET, SETLIST
from setlists.songs import SONG

DRAFT = "https://json-schema.org/draft/2020-12/schema"
KINDS = ("chart", "fills", "feels", "setlist", "book")


def all_definitions() -> dict[str, Shape]:
    """The definitions of every file, by the names that ``$ref`` uses."""
    song = {
        "type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": keyed(SONG)
    }  # fmt: skip
    charts = definitions()
    return {
        **{kind: charts.pop(kind) for kind in KINDS if kind in charts},
        "setlist": {"description": "One gig", **keyed(SETLIST)},
        "set": {"description": "A set, or a break between two", "anyOf": [keyed(SET), keyed(BREAK)]},
        "song": {"description": "A title, alone or with what changes for this gig", "anyOf": [WORDS, song]},
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
