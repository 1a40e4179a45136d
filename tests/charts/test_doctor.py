"""The slips of the format: each gets its own sentence, at its place, and nothing else is accused."""

from __future__ import annotations

import re
import time

import pytest
from support import findings

from charts.reading.nodes import compose
from charts.source import Source

HEAD = "title: T\ntempo: 100\nfeel: shuffle\nform:\n"


def titled(title: str) -> str:
    return f"title: {title}\ntempo: 100\nfeel: shuffle\nform:\n  - A (8)\n"


TRAPS = {
    "a comma in braces": (HEAD + "  - A (8): {cue: wait, then in}\n", 5, 24, 'cue: "wait, then in"'),
    "two commas in braces": (HEAD + "  - A (8): {cue: harp, bass, keys}\n", 5, 24, 'cue: "harp, bass, keys"'),
    "a colon in a title": (titled("Song: Part Two"), 1, 8, "put words that contain a colon in quotes"),
    "a colon in braces": (HEAD + "  - A (8): {cue: wait: then}\n", 5, 18, "contain a colon in quotes"),
    "a colon in a cue": (HEAD + "  - A (8):\n      cue: wait: then\n", 6, 12, "contain a colon in quotes"),
    "a comment that was meant as a sign": (titled("Song #9"), 1, 8, "quote words that contain #"),
    "nothing but a comment": (HEAD + "  - A (8):\n      cue: #9\n", 6, 11, "what follows # is a comment"),
    "keys below a line without its colon": (
        HEAD + "  - A (8) x2   # loud\n\n      cue: x\n",
        5,
        13,
        "write A (8) x2:",
    ),
    "a key that is too deep": (
        "title: T\ntempo: 100 # fast\n  feel: shuffle\n",
        3,
        1,
        "right below tempo",
    ),
    "a comment that swallows a bracket": (
        HEAD + '  - A (8): {dynamics: "p", cue: take #2}\n',
        5,
        38,
        "put words that contain # in quotes",
    ),
    "a tempo with its unit": ("title: T\ntempo: 120 bpm\nfeel: shuffle\nform: [A (8)]\n", 2, 8, "write 120"),
    "cues without their bars": (HEAD + "  - A (8): {cues: drums in}\n", 5, 19, "cues: {2: drums in}"),
    "fills without their bars": (
        HEAD + "  - A (8): {fills: big turn}\n",
        5,
        20,
        "the section's last one is fill: NAME",
    ),
    "a dash a little left": (HEAD + "  - A (8):\n      cue: x\n - B (8)\n", 7, 1, "right below - A (8)"),
    "a dash between two lists": (
        "sets:\n  - songs:\n      - A\n   - break: 5 min\n",
        4,
        1,
        "right below - songs",
    ),
    "a key a little left": (HEAD + "  - A (8):\n      cue: x\n     hits: 1.1\n", 7, 1, "right below cue"),
    "no dash": (HEAD + "  - A (8):\n      cue: x\n  B (8)  # on\n  - C (4)\n", 7, 3, "write - B (8) "),
    "no dash before keys": (HEAD + "  - A (8)\n  B (8): {cue: x}\n", 6, 3, "write - B (8): {cue: x}"),
    "rows a little left": (
        HEAD + "  - A (8):\n      fill:\n        rows: |\n          SD oo\n         BD oo\n",
        9,
        10,
        "line 7: rows: |",
    ),
    "a stray bracket": ("title: T\n]\n", 2, 1, "every bracket and quote is closed"),
    "rows that hold what is a trap elsewhere": (
        HEAD + "  - A (8):\n      fill:\n        rows: |\n          SD * 'x\n  - B: 'til\n",
        9,
        8,
        "double quotes",
    ),
    "a tab as indent": (HEAD + "\t- A (8)\n", 5, 1, "indent with spaces"),
    "a bracket left open": (HEAD + "  - A (8\n  - A\n", 5, 5, "write A (8)"),
    "x 2 for x2": (HEAD + "  - A (8) x 2\n", 5, 5, "write x2"),
    "a name without bars": (HEAD + "  - Verse\n", 5, 5, "write Verse (8)"),
    "bars without brackets": (
        HEAD + "  - Intro 8\n",
        5,
        5,
        "write Intro (8), or Intro 8 (8) if 8 is part of",
    ),
    "bars in words": (HEAD + "  - Intro 8 bars\n", 5, 5, "write Intro (8)"),
    "a numbered verse": (HEAD + "  - Verse 2\n", 5, 5, "write Verse 2 (8)"),
    "open before how often": (HEAD + "  - Keys (12) open x3\n", 5, 5, "write Keys (12) x3 open"),
    "small letters": (HEAD + "  - Verse (8)\n  - verse\n", 6, 5, "write Verse"),
    "an apostrophe first": (HEAD + "  - A (8) open: {until: 'til cue}\n", 5, 25, "double quotes"),
    "an apostrophe first in a block": (
        HEAD + "  - A (8) open:\n      until: 'til cue\n",
        6,
        14,
        "double quotes",
    ),
    "a bracket first": (HEAD + "  - A (8): {cue: [soft] and low}\n", 5, 18, "put the words in quotes"),
    "a star first": (titled("*Star*"), 1, 8, "put the words in quotes"),
    "an exclamation mark first": (titled("!Wow"), 1, 8, "put words that begin with ! in quotes"),
    "an at sign first": (titled("@home"), 1, 8, "put the words in quotes"),
    "a percent sign first": (titled("%x"), 1, 8, "put the words in quotes"),
    "an anchor": (titled("&x y"), 1, 8, "in quotes where they begin with & or *"),
    "a colon in a form line": (
        HEAD + "  - Solo: sax (12)\n",
        5,
        5,
        'put the line in quotes: "Solo: sax (12)"',
    ),
    "a key without its space": (
        HEAD + "  - A (8): {fills: {4:short pickup}}\n",
        5,
        21,
        "write 4: short pickup",
    ),
    "no space before the brace": (HEAD + "  - A (8):{cue: x}\n", 5, 5, "write a space between : and {"),
    "a key twice": (HEAD + "  - A (8): {cue: x, cue: y}\n", 5, 21, "keep one of the two"),
    "a section below a section's keys": (
        HEAD + "  - A (8):\n      cue: x\n    B (4):\n      cue: y\n",
        7,
        5,
        "start it with “- ” on its own line",
    ),
    "a key without its space before others": (
        HEAD + "  - A (8): {fills: {4:short pickup, 6: big turn}}\n",
        5,
        21,
        "write 4: short pickup",
    ),
    "a comma in braces before other keys": (
        HEAD + "  - A (8): {cue: x, then, dynamics: p}\n",
        5,
        21,
        'cue: "x, then"',
    ),
    "an unknown key": (HEAD + "  - A (8): {que: x}\n", 5, 13, "did you mean cue?"),
    "a key not indented enough": (HEAD + "  - A (8):\n    cue: x\n", 6, 5, "indent it two more"),
    "an alias": (HEAD + "  - A (8): &a {cue: x}\n  - B (8): *a\n", 5, 12, "write the words out"),
    "an empty file": ("", 1, 1, "write title, tempo, feel and form"),
    "a list": ("- a\n- b\n", 1, 1, "write key: value"),
    "many brackets": ("a: " + "[" * 2000 + "]" * 2000, 1, None, "stray bracket"),
    "a few too many brackets": ("[" * 70 + "]" * 70, 1, 65, "stray bracket"),
    "a control character": ("title: a\0b\n", 1, 9, "delete it"),
    "a second document": (HEAD + "  - A (8)\n---\ntitle: x\n", 6, 1, "a file of its own"),
    "a quotation left open": ('title: "abc\ntempo: 100\n', 1, 8, 'close it with "'),
    "a brace left open": (HEAD + "  - A (8): {cue: x\n  - B (8)\n", 5, 12, "close it with }"),
    "no space after a key": ("title:T\ntempo: 100\n", 1, 1, "write title: T"),
    "keys after a line": (HEAD + "  - A (8): cue: x, y\n", 5, 5, "write A (8): {cue: x, y}"),
    "a key after a line": (HEAD + "  - A (8): like B\n", 5, 5, "write A (8): {like: B}"),
    "words after a line": (HEAD + "  - A (8): brushes\n", 5, 5, "write A (8): {cue: brushes}"),
    "words after a line's name": (
        HEAD + "  - A (8)\n  - a: soft, low\n",
        6,
        5,
        'write a: {cue: "soft, low"}',
    ),
    "bars after a colon": (HEAD + "  - A: 4+4 bars\n", 5, 5, "write A (4+4)"),
    "how often behind a colon": (HEAD + "  - A (8): x2 open\n", 5, 5, "write A (8) x2 open"),
    "bars in square brackets": (HEAD + "  - A [4+4]\n", 5, 5, "write A (4+4)"),
    "no space before how often": (HEAD + "  - A (8)x2 open\n", 5, 5, "write A (8) x2 open"),
    "times for x": (HEAD + "  - A (8) 3 times\n", 5, 5, "write x3"),
    "no colon before a brace": (HEAD + "  - A (8) {cue: x}\n", 5, 5, "write A (8): {cue: x}"),
    "no colon before a brace of two": (
        HEAD + "  - A (8){cue: x, hits: 1.1}  # y\n",
        5,
        5,
        "write A (8): {cue: x, hits: 1.1}",
    ),
    "no colon in braces": (HEAD + "  - A (8): {cue all in}\n", 5, 13, "write cue: all in"),
    "no colon in braces behind words": (HEAD + "  - A (8): {cue: in, hits 1.1}\n", 5, 22, "write hits: 1.1"),
    "a fill behind a line": (HEAD + "  - A (8): Big Turn\n", 5, 5, "write A (8): {fill: Big Turn}"),
    "a meter behind a line": (HEAD + "  - A (8): 6/8\n", 5, 5, "write A (8): {meter: "),
    "long dashes": (HEAD + "  – A (8)\n  – B (8)\n", 5, 3, "a plain hyphen and a space"),
    "stars": (HEAD + "  * A (8)\n  * B (8)\n", 5, 3, "a hyphen and a space"),
    "a comma in curly quotes": (HEAD + "  - A (8): {cue: “x, y”}\n", 5, 22, 'cue: "x, y"'),
    "no space after dashes": (HEAD + "  -A (8)\n  -B (8)\n", 5, 3, "put a space after each hyphen"),
    "open in braces alone": (HEAD + "  - A (8): {open}\n", 5, 17, "write open: yes"),
    "bars and words after a key": (
        HEAD + "  - A (8):\n      cues: 1: hats, 5: ride\n",
        6,
        7,
        "write cues: {1: hats, 5: ride}",
    ),
    "no colon at the top": ("title: T\ntempo 100 # slow\nfeel: shuffle\n", 2, 1, "write tempo: 100"),
    "no colon after form": ("title: T\nform\n  - A (8)\n  - B (8)\n", 2, 1, "write form:"),
    "no colon before a key": (HEAD + "  - A (8):\n      cue all in\n      hits: 1.1\n", 6, 7, "cue: all in"),
    "no colon before a line": (
        HEAD + "  - A (8):\n      hits: 1.1\n      cue x\n  - B (8)\n",
        7,
        7,
        "cue: x",
    ),
    "words that go on": (
        "title: T\nnotes: watch the singer\n  before the bridge\n  and: x\n",
        4,
        1,
        "begin it right below notes",
    ),
    "an apostrophe in single quotes": (titled("'Don't Wait'"), 1, 8, 'double quotes: "Don\'t Wait"'),
    "a stop's beats": (HEAD + "  - A (8): {stops: 8.3-4}\n", 5, 20, "write 8.3-8.4"),
    "a form without lines": ("title: T\ntempo: 100\nfeel: shuffle\nform:\n", 4, 6, "write a line a section"),
    "an unseen line separator": ("title: a\u2028b\ntempo: x\n", 1, 9, "delete it"),
    "one before the place, in quotes": (
        'title: "a\u2028b"\ntempo: x\nfeel: swing\nform: [A (8)]\n',
        2,
        8,
        "beats per minute",
    ),
}


@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_is_told_with_what_to_write(name: str) -> None:
    """At its line and column, with a hint that mends it."""
    text, line, column, hint = TRAPS[name]
    told = [
        (finding.span.line, finding.span.column, f"{finding.hint} {finding.lines}")
        for finding in findings(text)
        if finding.span
    ]
    assert any(
        (line, column) == (at, where) or (line == at and column is None)
        for at, where, help_ in told
        if hint in help_
    ), told
    assert all("yaml" not in f.message.casefold() and "token" not in f.message for f in findings(text))


INNOCENT = """\
title: "The Wait: a Song"     # watch:\tthe tab, and 'til {it [ends
by: '#9 & the *Band*'
tempo: 100  # not: 110
feel: shuffle
notes: "watch the singer
  and the: band"
form:
  - Intro (4): {cue: "hats [closed]: tight", dynamics: p}   # {watch: 'em
  - Verse (8): {cue: all in}
  - Chorus (8):
      cue: soft, don't rush
      hits: 1.1
  - Solo (12) x2 open: {until: "'til the #4 nod"}
  - Tag (2) x3
"""
BROKEN = [
    ("a quote not closed, others below", "{cue: all in}", '{cue: "all in}', 9, 22, "this quotation does not end"),
    ("a quote not opened", "cue: soft, don't rush", 'cue: soft, don\'t rush"\n      cue "x', 12, 7, "cue"),
    ("an apostrophe first", "{cue: all in}", "{cue: 'til in}", 9, 22, "this ' opens a quotation that does not end"),
    ("a block quote not closed", "cue: soft, don't rush", 'cue: "soft, don\'t rush', 11, 12, "does not end"),
    ("a brace not closed", "{cue: all in}", "{cue: all in", 9, 16, "this { is not closed"),
    ("a tab", "  - Verse", "\t- Verse", 9, 1, "tab"),
    ("a colon in words", "all in}", "all: in}", 9, 22, "a colon in plain words"),
    ("a colon in the last line", "Tag (2) x3", "Tag (2) x3: cue: slow: down", 14, None, "colon"),
    ("a comment in braces", "all in}", "all #in}", 9, 26, "# starts a comment"),
    ("a sign first", "all in}", "@ll in}", 9, 22, "cannot begin with @"),
    ("no colon", "tempo: 100", "tempo 100", 3, 1, "needs a colon"),
    ("no colon before keys", "Chorus (8):", "Chorus (8)", 10, 15, "colon"),
    ("a key a little left", "      hits", "     hits", 12, 1, "a little left"),
    ("a key a little right", "      hits", "       hits", 12, 1, "a little right"),
    ("a dash a little left", "  - Solo", " - Solo", 13, 1, "a little left"),
    ("nothing known", "  - Tag", "}", 14, 1, "does not follow"),
]  # fmt: skip


def test_a_text_full_of_signs_is_innocent() -> None:
    """Quoted, commented or inside plain words, none of them is an error."""
    assert [] == [finding.message for finding in findings(INNOCENT) if finding.is_error]


@pytest.mark.parametrize(
    ("old", "new", "line", "column", "message"), [b[1:] for b in BROKEN], ids=[b[0] for b in BROKEN]
)
def test_one_slip_is_one_accusation(old: str, new: str, line: int, column: int | None, message: str) -> None:
    """At its own line; whatever is well written before and after it is left in peace."""
    assert INNOCENT.count(old) == 1
    told = findings(INNOCENT.replace(old, new))
    assert [(line, column)] == [(f.span.line, column and f.span.column) for f in told if f.span]
    assert message in told[0].message


@pytest.mark.parametrize("sign", ['"', "'", "{", "}", "[", "]", ":", "- ", "  "])
def test_a_sign_left_out_anywhere_is_told_once_and_near(sign: str) -> None:
    """A text that no longer composes has one finding, at the line of the sign or one beside it."""
    for found in re.finditer(re.escape(sign), INNOCENT):
        text = INNOCENT[: found.start()] + INNOCENT[found.end() :]
        document = compose(Source("charts/test.yaml", text))
        line = INNOCENT[: found.start()].count("\n") + 1
        if document.root is None:
            assert [True] == [f.span and line - 1 <= f.span.line <= line + 1 for f in document.findings], text


def test_every_problem_of_a_file_is_told_at_once() -> None:
    """Not the first only."""
    text = (
        "titel: x\ntempo: fast\nfeel: shufle\nmeter: 7/8\ncount-in: soon\n"
        "form:\n  - A (8): {hits: 9.1 3.7 x}\n  - B\n  - A (4)\n"
    )
    assert [1, 2, 3, 4, 5, 7, 7, 8, 9] == [f.span.line for f in findings(text) if f.span]


def test_a_key_under_another_name_is_not_missed_as_well() -> None:
    """One finding for each, with the key to write."""
    text = "Title: T\nbpm: 100\nstyle: shuffle\nsections: [A (8)]\n"
    assert ["write title", "write tempo", "write feel", "write form"] == [f.hint for f in findings(text)]


@pytest.mark.parametrize(
    "line",
    [
        "- x{blanks}", "-{blanks}", "- x{blanks}{{", "- x {{y: {colons}", "a:b{blanks}x", "a: 'b'c{blanks}\"",
        "- a: b: {blanks}", "cues: 1: {blanks}", "x{blanks}y", "- x: {colons}",
    ],
)  # fmt: skip
def test_no_trap_looks_through_a_long_line_again_and_again(line: str) -> None:
    """A hundred thousand blanks or colons take no second."""
    told = line.format(blanks=" " * 100_000, colons=": " * 50_000)
    start = time.process_time()
    assert findings(f"{HEAD}  - A (8)\n{told}\n]\n")
    assert time.process_time() - start < 1


def test_a_line_of_blanks_is_looked_through_once() -> None:
    """A hundred thousand of them, around a colon: no search goes back over them again and again."""
    blanks = " " * 100_000
    found = findings(f"{HEAD}  - A (8)\n  x{blanks}y: {blanks}\n")
    assert ["this line does not follow from the one above"] == [each.message for each in found]
