"""The tables of keys: one row for each, from which its parser, its field, its shape and its synonyms follow."""

from __future__ import annotations

import inspect
from dataclasses import dataclass, fields, is_dataclass

import pytest

from charts.limits import Limits
from charts.reading.chart import CHART, ChartKeys
from charts.reading.feels import FEEL, FeelKeys
from charts.reading.keys import TEXT, YES_NO, Table, keyed, or_none, read_fields, row, table
from charts.reading.marks import TEMPO_MARK, TempoMarkKeys
from charts.reading.nodes import compose
from charts.reading.patterns import PATTERN, PatternKeys
from charts.reading.reader import Reader
from charts.reading.section import SECTION, SectionKeys
from charts.reading.settings import BOOK, BookKeys, PlayerKeys
from charts.reading.uses import FILL_USE, USE, UseKeys
from charts.source import Source
from setlists.reading import BREAK, SET, SETLIST, BreakKeys, SetKeys, SetListKeys
from setlists.songs import SONG, SongKeys

TABLES = {
    ChartKeys: CHART, SectionKeys: SECTION, TempoMarkKeys: TEMPO_MARK, PatternKeys: PATTERN, UseKeys: USE,
    FeelKeys: FEEL, BookKeys: BOOK, SetListKeys: SETLIST, SetKeys: SET, BreakKeys: BREAK, SongKeys: SONG,
}  # fmt: skip
READ_TOGETHER = {  # what fills several fields, or one with another key
    SectionKeys: {"tempo"},
    TempoMarkKeys: {"tempo"},
    PatternKeys: {"rows", "stick", "like", "written", "played"},
}


@dataclass
class Gig:
    """Stands for whatever a table fills."""

    mood: str = ""
    bar_open: bool = False


class GigKeys(Gig):
    """Two rows."""

    mood = row(TEXT, "how it felt", "feeling, spirit", needed="mood: warm")
    bar_open = row(or_none(YES_NO), "yes: there were drinks")


def read(text: str) -> tuple[Gig, list[str]]:
    """A Gig from a text, with the hints of what was wrong."""
    source, keys = Source("gig.yaml", text), table(GigKeys)
    root, reader = compose(source).root, Reader(source)
    assert root is not None
    return Gig(**read_fields(reader, keys, reader.known(root, keys, "a gig") or {})), [
        finding.hint for finding in reader.findings
    ]


def test_a_row_is_all_that_a_key_needs() -> None:
    """It is read into its field, has its shape and its help in the schema, and is found by its synonyms."""
    assert (Gig("warm", True), []) == read("{mood: warm, bar-open: yes}")
    assert (Gig(), ["write mood"]) == read("{spirit: warm}")
    assert (Gig("warm"), ["write yes or no"]) == read("{mood: warm, bar-open: maybe}")
    assert {
        "type": "object",
        "properties": {
            "mood": {"description": "how it felt", **TEXT.shape},
            "bar-open": {"description": "yes: there were drinks", "anyOf": [YES_NO.shape, {"const": "none"}]},
        },
        "additionalProperties": False,
        "required": ["mood"],
    } == keyed(table(GigKeys))


@pytest.mark.parametrize(("rows", "keys"), TABLES.items(), ids=lambda each: getattr(each, "__name__", ""))
def test_every_row_fills_a_field(rows: type, keys: Table) -> None:
    """Each key reaches what is read, but for the few that are read together."""
    filled = rows.__base__
    assert is_dataclass(filled)
    known = {field.name for field in fields(filled)}
    assert READ_TOGETHER.get(rows, set()) == {name for name, key in keys.items() if key.field not in known}


def test_the_rows_of_the_player_are_the_rates_of_the_limits() -> None:
    """Each rate has a key."""
    rates = inspect.signature(Limits.from_rates).parameters
    assert list(rates) == [key.field for key in table(PlayerKeys).values()]


@pytest.mark.parametrize("keys", [*TABLES.values(), FILL_USE], ids=list)
def test_a_synonym_means_one_key(keys: Table) -> None:
    """It is not a key of the same table itself, and no other key of the table has it."""
    meant = [word for key in keys.values() for word in key.meant]
    assert sorted(set(meant)) == sorted(meant)
    assert not set(meant) & set(keys)
