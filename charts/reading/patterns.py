"""Reading fills and grooves: pattern files, and patterns written in place in a chart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import yaml

from charts.kit import SPELLINGS
from charts.notation import STICK, STICK_KEY, RowProblem, read_rows
from charts.pattern import ENDING, FILL, GROOVE, Pattern
from charts.reading.keys import BPM, METER, TEXT, apart, one_word, read_fields, row, single, table, texts
from charts.reading.nodes import span_of
from charts.reading.reader import Entry, Reader
from charts.reading.shapes import NUMBER, WORDS, Shape, a, by_name, written
from charts.reading.values import Bad, tempo_range
from charts.source import ERROR, Finding, Span

_ROWS: Shape = {"type": "string", "pattern": r"\S"}
_STICK: Shape = {"type": "string", "pattern": r"^[RLBrlb.|\s-]+$"}
_RANGE = single(tempo_range, written(rf"{NUMBER} *[-–] *{NUMBER}"), BPM.meant)


class PatternKeys(Pattern):
    """The keys of a fill or a groove."""

    rows = row(apart(_ROWS), "a row per voice, a group of cells per beat, groups separated by |", "pattern")
    stick = row(apart(_STICK), "the sticking: R, L, B for both, a group per beat", "sticking")
    suits = row(TEXT, "what it is good for, in plain words")
    feels = row(
        texts("a list of feels", "write [shuffle, swing], or any"),
        "the feels or families it is made for: [shuffle, swing]; any for every feel",
        "feel, style, styles",
    )
    place = row(
        one_word(ENDING, "hit", "push"),
        "the only place it is for: ending, hit (of the band, in the bar) or push (what follows comes early)",
    )
    meter = row(METER, "the meter it needs, only where it needs one")
    tempo = row(_RANGE, "the tempos it is playable at and sounds right: 60-120")
    like = row(apart(WORDS), "another pattern, changed by the keys given here")
    written = row(one_word("straight"), "straight: the pairs are written even")
    played = row(one_word("swung"), "swung: and played swung")


class PatternFileKeys:
    """The keys of a file of patterns."""

    fills = row(apart(by_name(a("pattern"))), "fills by name")
    grooves = row(apart(by_name(a("pattern"))), "grooves by name")


PATTERN, PATTERN_FILE = table(PatternKeys), table(PatternFileKeys)
KIND_OF = {"fills": FILL, "grooves": GROOVE}
LookUp = Callable[[str], Pattern | None]


def read_pattern(
    reader: Reader, name: str, kind: str, node: yaml.Node, look_up: LookUp, origin: str, span: Span
) -> Pattern | None:
    """One pattern from its keys, or None with its problems noted."""
    entries = reader.known(node, PATTERN, f"the {kind} {name}")
    if entries is None:
        return None
    return pattern_of(reader, name, kind, entries, look_up, origin, span)


def pattern_of(
    reader: Reader, name: str, kind: str, entries: dict[str, Entry], look_up: LookUp, origin: str, span: Span
) -> Pattern | None:
    """A pattern from entries already told apart."""
    before = len(reader.findings)
    base = _base(reader, entries, look_up)
    pattern = replace(base, name=name, kind=kind, origin=origin, span=span) if base else None
    if "rows" in entries:
        pattern = _with_rows(reader, entries, pattern or Pattern(name, kind, 0, (), origin=origin, span=span))
    elif pattern is None and "like" not in entries:
        reader.say(span, f"the {kind} {name} has no rows", "write rows: | and a row per voice below it")
    if pattern is None or any(finding.is_error for finding in reader.findings[before:]):
        return None
    return _with_words(reader, entries, pattern)


def _base(reader: Reader, entries: dict[str, Entry], look_up: LookUp) -> Pattern | None:
    entry = entries.get("like")
    if entry is None:
        return None
    name = reader.text(entry.value, "like")
    if name is None:
        return None
    found = look_up(name)
    if found is None:
        reader.say(
            entry.value,
            f"no pattern is called “{name}”",
            "name a fill or a groove that exists",
            rule="unknown",
        )
    return found


def _with_rows(reader: Reader, entries: dict[str, Entry], pattern: Pattern) -> Pattern | None:
    node = entries["rows"].value
    text = reader.text(node, "rows")
    if text is None:
        return None
    if "\n" not in text.strip() and sum(word in SPELLINGS for word in text.split()) > 1:
        reader.say(node, "the rows run into one line", "put | after rows: and each row on a line of its own")
        return None
    stick_node = entries[STICK].value if STICK in entries else None
    stick = reader.text(stick_node, STICK) if stick_node is not None else None
    rows = read_rows(text, stick)
    for problem in rows.problems:
        if problem.line == STICK_KEY and stick_node is not None:
            span = span_of(reader.source, stick_node, problem.column, problem.width == 1)  # a cell, or all
            reader.say(span, problem.message, problem.hint, problem.rule)
        else:
            reader.findings.append(_row_finding(reader, node, text, problem))
    if rows.problems:
        return None
    return replace(pattern, beats=rows.beats, strokes=rows.strokes)


def _row_finding(reader: Reader, node: yaml.Node, text: str, problem: RowProblem) -> Finding:
    """The problem at its own line and column in a block of rows; elsewhere at the node."""
    span = reader.span(node)
    if getattr(node, "style", None) == "|":
        row = text.splitlines()[problem.line] if text.splitlines() else ""
        number = node.start_mark.line + 1 + problem.line
        lines = reader.source.lines
        # blank first lines of a block and its indent are found by the row's own text
        while number < len(lines) and row.strip() and not lines[number].rstrip().endswith(row.rstrip()):
            number += 1
        if number < len(lines):
            indent = len(lines[number].rstrip()) - len(row.rstrip())
            column = indent + problem.column + 1
            span = Span(reader.source, number + 1, column, column + max(1, problem.width))
    return Finding(problem.rule, ERROR, problem.message, span, hint=problem.hint)


def _with_words(reader: Reader, entries: dict[str, Entry], pattern: Pattern) -> Pattern:
    given = read_fields(reader, PATTERN, entries)
    straight, swung = given.pop("written", None), given.pop("played", None)
    lone = [entries[key].key for key in ("written", "played") if key in entries]
    if len(lone) == 1:
        reader.say(lone[0], "written and played go together", "write written: straight and played: swung")
    return replace(pattern, swung=pattern.swung or bool(straight and swung), **given)


def rows_or_bad(text: str) -> Pattern:
    """A pattern from bare rows on standard input or in a plain file; raises Bad at the first problem."""
    rows = read_rows(text)
    if rows.problems:
        first = rows.problems[0]
        raise Bad(f"line {first.line + 1}, column {first.column + 1}: {first.message}", first.hint)
    return Pattern("", FILL, rows.beats, rows.strokes)
