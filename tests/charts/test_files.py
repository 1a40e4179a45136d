"""What is told of book.yaml, feels.yaml and the pattern files: where, and what to write instead."""

from __future__ import annotations

import pytest
from support import chart, findings

from charts.book import settings_of
from charts.reading.files import read_feel_file, read_pattern_file
from charts.source import Finding, Source
from charts.vocabularies import BOOK_ORIGIN, PatternTable, shipped_patterns

SETTINGS = [
    ("distance: 9", "9", "9 is no distance to a stand", "write metres from 0.3 to 5"),
    ("distance: far", "far", "“far” is no number", "write it like 92 or 66.5"),
    ("tolerance: 900", "900", "a tolerance of 900 is out of range", "write milliseconds, 0 to 200"),
    ("kit: upside down", "upside down", "“upside down” is no kit", "write right handed or left handed"),
    ("paper: A3", "A3", "“A3” is not possible here", "write A4 or Letter"),
    ("player: fast", "fast", "player is a value, not keys with values", "write key: value, a line each"),
    ("player: {hand: 12}", "12", "hand 12 is past the fastest published", "write 10 strokes a second or less"),
    ("player: {foot-double: 12}", "12", "foot double 12 is past the fastest published", "write 11.1 strokes a second or less"),
    ("player: {foot: 0}", "0", "foot 0 is no speed", "write strokes a second, like 7"),
    ("player: {foot: 0.3}", "0.3", "foot 0.3 is too slow", "write 0.5 strokes a second or more"),
    ("player: {foot: x, hand: 5}", "x", "“x” is no number", "write it like 92 or 66.5"),
    ("- x", "- x", "book.yaml is a list, not keys with values", "write key: value, a line each"),
]  # fmt: skip
FEELS = [
    ("feels:\n  x: {swing: 2}", "{swing: 2}", "the feel x does not say how a beat divides", "write divides: [2, 2] or another list"),
    ("feels:\n  x: lazy", "lazy", "the feel x is a value, not keys with values", "write key: value, a line each"),
    ("feels: [x]", "[x]", "feels is a list, not keys with values", "write key: value, a line each"),
    ("groove: {x: y}", "groove", "feels.yaml has no key “groove”", "feels.yaml knows feels"),
]  # fmt: skip
ROWS = "write o x g f d z s, a capital for an accent, . for nothing"
FILLS = [
    ("fills: [x]", "[x]", "fills is a list, not keys with values", "write key: value, a line each"),
    ("fill:\n  x: {rows: SD oo}", "fill", "a pattern file has no key “fill”", "write fills"),
    ("fills:\n  x: SD oo", "SD oo", "the fill x is a value, not keys with values", "write key: value, a line each"),
    ("fills:\n  x: {suits: polkas}", "x", "the fill x has no rows", "write rows: | and a row per voice below it"),
    ("fills:\n  x: {rows: SD oo, row: x}", "row", "the fill x has no key “row”", "write rows"),
    ("fills:\n  x: {rows: ''}", "''", "rows has no value", "write a value, or leave the key out"),
    ("fills:\n  x:\n    rows: |\n\n      # by hand\n      SD oo\n      BD oq", "q", "“q” is no stroke", ROWS),
    ("fills:\n  x:\n    rows: >\n      SD oo\n      BD oo", ">", "the rows run into one line", "put | behind rows: and each row on a line of its own"),
    ("fills:\n  x:\n    rows: |\n      SD oo\n    stick: RX", "X", "“X” is no hand", "write R, L, B for both, or ."),
    ("fills:\n  x:\n    rows: |\n      SD oo|oo\n    stick: 'RL'", "'RL'", "row stick has 1 beat, the first row has 2", "give every row the same number of groups between “|”"),
    ("fills:\n  x:\n    rows: |\n      SD oo\n      stick RL\n    stick: RL", "stick", "the sticking is given twice", "keep the row “stick” or the key, not both"),
    ("fills:\n  x: {rows: SD oo}\n  X: {rows: SD o}", "X", "a second pattern is called X", "give it a name of its own"),
    ("fills:\n  x: {rows: SD oo, written: even, played: swung}", "even", "“even” is not possible here", "write straight"),
]  # fmt: skip


def patterns(source: Source) -> list[Finding]:
    """What is wrong with a pattern file and the patterns in it."""
    file = read_pattern_file(source, BOOK_ORIGIN)
    table = PatternTable([file], shipped_patterns())
    for entry in file.entries:
        table.get(entry.name)
    return table.findings


READERS = [
    *(("book.yaml", *row) for row in SETTINGS),
    *(("feels.yaml", *row) for row in FEELS),
    *(("fills/a.yaml", *row) for row in FILLS),
]
READ = {
    "book.yaml": lambda source: settings_of(source)[1],
    "feels.yaml": lambda source: read_feel_file(source)[1],
    "fills/a.yaml": patterns,
}


@pytest.mark.parametrize(("name", "text", "shown", "message", "hint"), READERS)
def test_a_wrong_value_is_told_at_its_own_characters(
    name: str, text: str, shown: str, message: str, hint: str
) -> None:
    """One finding, and nothing that falls out of it."""
    (found,) = READ[name](Source(name, text + "\n"))
    assert (message, hint) == (found.message, found.hint)
    assert found.span is not None
    assert shown == found.span.text


def test_settings_that_are_wrong_leave_the_others() -> None:
    """A slip in one limit is not the end of the player."""
    settings, _ = settings_of(
        Source("book.yaml", "paper: A3\nkit: Left-handed\nplayer: {foot: x, hand: 5}\n")
    )
    assert ("A4", True, 200) == (settings.paper, settings.left_handed, settings.limits.hand_ms)


def test_one_spelling_needs_no_list() -> None:
    """And a list takes several."""
    feels, found = read_feel_file(
        Source("feels.yaml", "feels:\n  a: {divides: [2], also: b}\n  c: {divides: [2], also: [d, e]}\n")
    )
    assert ([("b",), ("d", "e")], []) == ([feel.also for feel in feels], found)


def test_rows_in_quotes_are_told_at_their_quotes() -> None:
    """Where no line of the file is a row, the whole value is shown."""
    (found,) = findings(chart('A (8): {fill: {rows: "SD oq"}}'))
    assert found.span is not None
    assert ("“q” is no stroke", '"SD oq"') == (found.message, found.span.text)
