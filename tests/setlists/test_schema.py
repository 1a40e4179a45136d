"""JSON Schema of the files: lets through what the reader reads, stops what it refuses."""

from __future__ import annotations

import re
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from support import BOOK

from charts.editing.fresh import Start, new_chart
from charts.reading.chart import read_chart
from charts.reading.files import read_feel_file, read_pattern_file
from charts.reading.nodes import compose
from charts.reading.reader import Reader
from charts.reading.settings import read_settings
from charts.source import Finding, Source
from charts.vocabularies import BOOK_ORIGIN, SHIPPED, PatternTable
from setlists.demo import demo_files
from setlists.empty_book import CHARTS, FILLS, SETLISTS, TEXTS
from setlists.reading import read_setlist
from setlists.schema import KINDS, all_definitions, schema

FOLDERS = {
    "charts": "chart",
    "setlists": "setlist",
    "fills": "fills",
    "feels.yaml": "feels",
    "book.yaml": "book",
}
ANY = Draft202012Validator(schema())
VALIDATORS = {kind: Draft202012Validator(schema(kind)) for kind in KINDS}


class Guessing(yaml.SafeLoader):
    """An editor's parser of YAML 1.1: yes is true, 20:30 is 1230; dates stay text, as JSON has none."""

    yaml_implicit_resolvers = {  # noqa: RUF012  # PyYAML reads it from the class
        first: [pair for pair in pairs if not pair[0].endswith("timestamp")]
        for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }


class Plainer(yaml.SafeLoader):
    """An editor's parser of YAML 1.2: only true, false, null and numbers are no text."""

    yaml_implicit_resolvers = {}  # noqa: RUF012  # PyYAML reads it from the class


for tag, pattern, first in (
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", "tTfF"),
    ("int", r"^[-+]?[0-9]+$", "-+0123456789"),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", "-+.0123456789"),
    ("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
):
    Plainer.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))


def as_json(value: Any) -> Any:
    """Keys as text, as JSON has them."""
    if isinstance(value, dict):
        return {str(key): as_json(each) for key, each in value.items()}
    return [as_json(each) for each in value] if isinstance(value, list) else value


def complaints(kind: str, text: str, loader: type[yaml.SafeLoader] = Plainer) -> list[str]:
    value = as_json(yaml.load(text, loader))
    return [f"{error.json_path}: {error.message}" for error in VALIDATORS[kind].iter_errors(value)]


@pytest.mark.parametrize("kind", [None, *KINDS])
def test_is_a_schema(kind: str | None) -> None:
    """Each schema is itself valid, and every reference in it leads somewhere."""
    whole = schema(kind)
    Draft202012Validator.check_schema(whole)

    def references(shape: Any) -> set[str]:
        if isinstance(shape, dict):
            own = {shape["$ref"]} if "$ref" in shape else set()
            return own.union(*map(references, shape.values()))
        return set().union(*map(references, shape)) if isinstance(shape, list) else set()

    assert references(whole) <= {f"#/$defs/{name}" for name in whole["$defs"]}


def test_every_key_is_described() -> None:
    """Wherever a key may be, the editor can say what it is for."""

    def undescribed(shape: Any) -> list[str]:
        if isinstance(shape, dict):
            own = [key for key, of in shape.get("properties", {}).items() if not of.get("description")]
            return own + [key for each in shape.values() for key in undescribed(each)]
        return [key for each in shape for key in undescribed(each)] if isinstance(shape, list) else []

    assert undescribed(all_definitions()) == []


@pytest.mark.parametrize("loader", [Guessing, Plainer])
@pytest.mark.parametrize(
    ("name", "data"), list(demo_files()), ids=lambda each: each if isinstance(each, str) else ""
)
def test_demo_is_let_through(name: str, data: bytes, loader: type[yaml.SafeLoader]) -> None:
    """Every file of the demo book, whichever way an editor types its values; and by its own schema only."""
    kind = FOLDERS[name.split("/", maxsplit=1)[0]]
    assert complaints(kind, data.decode(), loader) == []
    others = [other for other in KINDS if other != kind and not complaints(other, data.decode(), loader)]
    assert others == []


@pytest.mark.parametrize("name", ["feels", "fills", "grooves"])
def test_vocabulary_is_let_through(name: str) -> None:
    """The shipped feels and patterns."""
    kind = "feels" if name == "feels" else "fills"
    assert complaints(kind, (SHIPPED / f"{name}.yaml").read_text(encoding="utf-8")) == []


def test_what_feelmap_writes_is_let_through() -> None:
    """New charts, the files of an empty book, and the examples in its folders."""
    chart = new_chart(Start("Song", "swing", "100", "Intro (4), Verse (4+4) x2 open"), BOOK, "a")
    examples = [text.split("```yaml\n")[1].split("```")[0] for text in (CHARTS, SETLISTS, FILLS)]
    for kind, text in zip(
        ("chart", "chart", "setlist", "fills", "book", "book", "feels"),
        (chart, *examples, TEXTS["book.yaml"].format(name="x"), "# nothing yet\n", "# nothing yet\n"),
        strict=True,
    ):
        assert complaints(kind, text) == []


HEAD = "title: A\ntempo: 90\nfeel: swing\n"
GOOD = [
    ("chart", HEAD + "count-in: 1 bar 2 beats\npickup: 1/2 beat\nmeter: 7/8 (2+2+3)\nform: [A (7) x2 open, a]"),
    ("chart", HEAD + "form: [{A (8): {tempos: {3: 90 to 80, 5: {tempo: 70, pass: each}}, odd-bars: {7: 3/8}}}]"),
    ("chart", HEAD + "form: [{A (8): {holds: {8.1: 2.5 s, 8.3: 3}, stops: 3.1 4.1-4.4, hits: 3.2& 4.1+1/3}}]"),
    ("chart", HEAD + "form: [{A (8): {holds: 8.1, hits: 7.1, cue: 3, fills: {8.4&: x}, feel: none, stops: none}}]"),
    ("chart", HEAD + "form: [A (8) x2 open, {A: {times: none, open: none}}]"),
    ("chart", HEAD + "form: [{A (8): {fill: {rows: SD oooo, stick: RLRL, land: RD, pass: Last, on-purpose: so}}}]"),
    ("chart", HEAD.replace("swing", "{name: ours, divides: [2, 3], swing: 1.6}") + "form: [A (8)]"),
    ("chart", HEAD.replace("A", "12").replace("90", "'66.5'") + "key: no\nform: [A (8)]"),
    ("fills", "fills: {a: {rows: 'SD oo', meter: 6/8, tempo: 60-120, written: straight, played: swung}}"),
    ("fills", "fills: {a: {like: stairs in threes, suits: 4}}"),
    ("feels", "feels: {ours: {divides: [2, 3], swing: by tempo, home: 6, also: [a, b], pulse: Half-Time}}"),
    ("book", "{kit: left handed, paper: letter, distance: 1.2 m, tolerance: 15 ms, count: 1 & a, player: {hand: 8}}"),
    ("book", "{kit: Left-handed, distance: 2, tolerance: '15'}"),
    ("setlist", "{start: 8:30 pm, ends: '23.00', sets: [{songs: [A, {B: {length: 3:30}}]}, {break: 1 h 15 min}]}"),
    ("setlist", "{start: 20:30, date: 2026-12-04, between: 0, sets: [{start: 21h15, songs: [7, {B: {skip: C}}]}]}"),
    ("setlist", "{between: none, sets: [{songs: [{B: {skip: [C, D], segue: on, count-in: none, feel: swing}}]}]}"),
]  # fmt: skip
BROKEN = [
    ("chart", "title: A\ntempo: 90\nfeel: swing", "form"),
    ("chart", HEAD + "form: A (8)", "A (8)"),
    ("chart", HEAD + "tempoo: 90\nform: [A (8)]", "tempoo"),
    ("chart", HEAD + "form: []", "[]"),
    ("chart", HEAD + "form: [A (8]", "A (8"),
    ("chart", HEAD + "form: [A (8) x 2]", "x 2"),
    ("chart", HEAD + "form: [{A (8): {}, B (8): {}}]", "B (8)"),
    ("chart", HEAD + "form: [{A (8): 3}]", "3"),
    ("chart", HEAD + "form: [{A (8): {cues: {x: y}}}]", "x"),
    ("chart", HEAD + "form: [{A (8): {cues: {3.x: y}}}]", "3.x"),
    ("chart", HEAD + "form: [{A (8): {hits: here}}]", "here"),
    ("chart", HEAD + "form: [{A (8): {dynamics: loud}}]", "loud"),
    ("chart", HEAD + "form: [{A (8): {tempo: 92 bis 104}}]", "92 bis 104"),
    ("chart", HEAD + "form: [{A (8): {odd-bars: {7: three}}}]", "three"),
    ("chart", HEAD + "form: [{A (8): {open: maybe}}]", "maybe"),
    ("chart", HEAD + "form: [{A (8): {fill: {pass: each}}}]", "each"),
    ("chart", HEAD + "form: [{A (8): {fill: {use: x, land: XX}}}]", "XX"),
    ("chart", HEAD + "form: [{A (8): {fill: {use: x, sets-up: last}}}]", "last"),
    ("chart", HEAD.replace("90", "fast") + "form: [A (8)]", "fast"),
    ("chart", HEAD.replace("swing", "{name: a, divides: []}") + "form: [A (8)]", "[]"),
    ("chart", HEAD.replace("swing", "{divides: [3]}") + "form: [A (8)]", "divides"),
    ("chart", HEAD + "meter: 4\nform: [A (8)]", "4"),
    ("chart", HEAD + "count-in: two\nform: [A (8)]", "two"),
    ("fills", "fills: {a: {suits: x}}", "suits"),
    ("fills", "fill: {a: {rows: SD o}}", "fill"),
    ("fills", "fills: {a: {rows: SD o, tempo: 60}}", "60"),
    ("feels", "feels: {a: {}}", "divides"),
    ("feels", "feels: {a: {divides: [3], swing: hard}}", "hard"),
    ("book", "paper: A3", "A3"),
    ("book", "tolerance: 500", "500"),
    ("book", "player: {hands: 7}", "hands"),
    ("setlist", "gig: A", "sets"),
    ("setlist", "{songs: [A]}", "songs"),
    ("setlist", "{sets: [{name: A}]}", "A"),
    ("setlist", "{sets: [{break: 20}]}", "20"),
    ("setlist", "{sets: [{break: soon}]}", "soon"),
    ("setlist", "{start: late, sets: [{songs: [A]}]}", "late"),
    ("setlist", "{sets: [{songs: [{A: {tempo: 9}}]}]}", "9"),
    ("setlist", "{sets: [{songs: [{A: {temp: 90}}]}]}", "temp"),
]  # fmt: skip


def read_errors(kind: str, text: str) -> list[Finding]:
    """What the reader itself has against a text; rows and references are its own business."""
    source = Source("a.yaml", text)
    if kind == "chart":
        found = read_chart(source, BOOK).findings
    elif kind == "setlist":
        found = read_setlist(source, BOOK)[1]
    elif kind == "feels":
        found = read_feel_file(source)[1]
    elif kind == "fills":
        file = read_pattern_file(source, BOOK_ORIGIN)
        table = PatternTable([file])
        assert list(table) is not None
        found = [*file.findings, *table.findings]
    else:
        reader, root = Reader(source), compose(source).root
        assert root is not None
        read_settings(reader, root)
        found = reader.findings
    return [finding for finding in found if finding.is_error and finding.rule not in ("unknown", "hands")]


@pytest.mark.parametrize("loader", [Guessing, Plainer])
@pytest.mark.parametrize(("kind", "text"), GOOD)
def test_let_through(kind: str, text: str, loader: type[yaml.SafeLoader]) -> None:
    """What may be written, whichever way an editor types its values; the reader has nothing against it."""
    assert [finding.message for finding in read_errors(kind, text)] == []
    assert complaints(kind, text, loader) == []


@pytest.mark.parametrize(("kind", "text", "word"), BROKEN)
def test_stopped(kind: str, text: str, word: str) -> None:
    """What the reader refuses as well, with the offending words in the complaint."""
    assert read_errors(kind, text), "the reader lets it through"
    found = complaints(kind, text)
    assert found
    assert any(word in each for each in found)
    assert not ANY.is_valid(as_json(yaml.load(text, Plainer)))
