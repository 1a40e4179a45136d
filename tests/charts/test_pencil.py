"""The pencil: one value of a chart changed or added, every other byte kept."""

from __future__ import annotations

from difflib import unified_diff

import pytest

from charts.appearances import one_named
from charts.book import Book
from charts.editing.pencil import Pencilled, pencil
from charts.editing.wish import wish
from charts.reading.chart import read_chart
from charts.song import Song
from charts.source import FeelmapError, Source

BOOK = Book.shipped()
CHART = """\
# the big one
title: Harbour Lights   # opener
tempo: 92               # felt beats
feel: "half-time shuffle"

form:
  - Intro (4): {cue: guitar alone, dynamics: p}   # hush
  - Verse 1 (8): { cues: {1: hats closed, 5: open up} }
  - Chorus (4+4) x2:    # loud
      # lift it
      tempo: 96
      fill: 'sixteenths round the kit'  # hm

  - Verse 2: {like: Verse 1, cue: bass drops out}
  - Chorus
  - Bridge (7):
      bars: 7
      fills: {4: stairs in threes, 7: {use: stairs in threes, sets-up: next}}
  - Solo:
      bars: 12
      times: 2
      cues:
        # from the top
        3: "trumpet"
        7.2: sax   # short
      until: |
        the nod
  - Chorus: {}
  - Tag (2) x3
"""


def song(text: str) -> Song:
    read = read_chart(Source("charts/a.yaml", text), BOOK)
    assert read.song is not None, [(f.message, f.span and f.span.line) for f in read.findings]
    return read.song


def mark(
    key: str, value: str, section: str | None = None, bar: int | None = None, text: str = CHART
) -> Pencilled:
    return pencil(Source("charts/a.yaml", text), wish(key, value, section, bar, BOOK), BOOK)


def changed_lines(new: str, text: str) -> list[str]:
    """The lines that the new text has and the old one has not; at most one line of the old is gone."""
    lines = list(unified_diff(text.split("\n"), new.split("\n"), n=0, lineterm=""))[2:]
    assert sum(line.startswith("-") for line in lines) <= 1
    return [line[1:] for line in lines if line.startswith("+")]


CASES = [
    # key, value, section, bar, the one line that differs
    ("tempo", "96.5", None, None, "tempo: 96.5               # felt beats"),
    ("feel", "Shuffle", None, None, 'feel: "shuffle"'),
    ("cue", "piano, then in", "Intro", None, '  - Intro (4): {cue: "piano, then in", dynamics: p}   # hush'),
    ("dynamics", "p to f", "Intro", None, "  - Intro (4): {cue: guitar alone, dynamics: p to f}   # hush"),
    ("tempo", "90", "Intro", None, "  - Intro (4): {tempo: 90, cue: guitar alone, dynamics: p}   # hush"),
    ("cue", "stop", "verse 1", None, "  - Verse 1 (8): { cues: {1: stop, 5: open up} }"),
    ("cue", "wide", "Verse 1", 5, "  - Verse 1 (8): { cues: {1: hats closed, 5: wide} }"),
    ("cue", "ride", "Verse 1", 3, "  - Verse 1 (8): { cues: {1: hats closed, 3: ride, 5: open up} }"),
    ("cue", "ride", "Verse 1", 8, "  - Verse 1 (8): { cues: {1: hats closed, 5: open up, 8: ride} }"),
    ("dynamics", "f", "Verse 1", None,
     "  - Verse 1 (8): { dynamics: f, cues: {1: hats closed, 5: open up} }"),
    ("bars", "4+8", "Chorus", None, "  - Chorus (4+8) x2:    # loud"),
    ("tempo", "96 to 104", "Chorus", None, "      tempo: 96 to 104"),
    ("fill", "Stairs in Threes", "Chorus", None, "      fill: 'stairs in threes'  # hm"),
    ("cue", "drums' cue: go #1", "Chorus", None, "      cue: \"drums' cue: go #1\""),
    ("fill", "stairs in threes", "Chorus", 4, "      fills: {4: stairs in threes}"),
    ("cue", "in", "Verse 2", None, "  - Verse 2: {like: Verse 1, cue: in}"),
    ("bars", "9", "Verse 2", None, "  - Verse 2: {bars: 9, like: Verse 1, cue: bass drops out}"),
    ("cue", "all in", "Chorus#2", None, "  - Chorus: {cue: all in}"),
    ("fill", "none", "Chorus#2", None, "  - Chorus: {fill: none}"),
    ("cue", "hush", "Chorus#2", 4, "  - Chorus: {cues: {4: hush}}"),
    ("dynamics", "ff", "Chorus#3", None, "  - Chorus: {dynamics: ff}"),
    ("fill", "sixteenths round the kit", "Bridge", 4,
     "      fills: {4: sixteenths round the kit, 7: {use: stairs in threes, sets-up: next}}"),
    ("fill", "sixteenths round the kit", "Bridge", 7,
     "      fills: {4: stairs in threes, 7: {use: sixteenths round the kit, sets-up: next}}"),
    ("fill", "sixteenths round the kit", "Bridge", 6,
     "      fills: {4: stairs in threes, 6: sixteenths round the kit, "
     "7: {use: stairs in threes, sets-up: next}}"),
    ("fill", "sixteenths round the kit", "Bridge", None,
     "      fills: {4: stairs in threes, 7: {use: sixteenths round the kit, sets-up: next}}"),
    ("bars", "16", "Solo", None, "      bars: 16"),
    ("cue", "keys", "Solo", 1, "      cue: keys"),
    ("cue", "keys", "Solo", 2, "        2: keys"),
    ("cue", "keys", "Solo", 3, '        3: "keys"'),
    ("cue", "keys", "Solo", 5, "        5: keys"),
    ("cue", "keys", "Solo", 9, "        9: keys"),
    ("bars", "4", "Tag", None, "  - Tag (4) x3"),
    ("dynamics", "ppp", "Tag", None, "  - Tag (2) x3: {dynamics: ppp}"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "value", "section", "bar", "line"), CASES)
def test_one_line(key: str, value: str, section: str | None, bar: int | None, line: str) -> None:
    """Each mark changes or adds one line, in the style that is there."""
    text = CHART.replace("      bars: 7\n", "")
    done = mark(key, value, section, bar, text)
    assert changed_lines(done.text, text) == [line]
    assert done.text.split("\n")[done.line - 1] == line


def test_a_bar_comes_before_the_places_in_it() -> None:
    """What is written at bar 7 goes between 3 and 7.2."""
    done = mark("cue", "keys", "Solo", 7)
    assert '        3: "trumpet"\n        7: keys\n        7.2: sax   # short\n' in done.text


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
@pytest.mark.parametrize(("key", "value", "section", "bar", "line"), CASES)
def test_other_line_ends(
    ends: str, key: str, value: str, section: str | None, bar: int | None, line: str
) -> None:
    """Line ends stay as they are, and a new line gets the same."""
    text = CHART.replace("      bars: 7\n", "")
    expected = mark(key, value, section, bar, text).text.replace("\n", ends)
    assert mark(key, value, section, bar, text.replace("\n", ends)).text == expected


def test_comment_stays_with_its_key() -> None:
    """A new key goes above the comment that belongs to the first one."""
    done = mark("dynamics", "ff", "Chorus")
    assert "# loud\n      dynamics: ff\n      # lift it\n      tempo: 96\n" in done.text


@pytest.mark.parametrize(
    ("end", "after"),
    [
        ("", "\n      4: four"),
        ("\n", "\n      4: four\n"),
        ("\r\n", "\r\n      4: four\r\n"),
        ("   # so", "   # so\n      4: four"),
        ("\n\n# the end", "\n      4: four\n\n# the end"),
    ],
)
def test_end_of_file(end: str, after: str) -> None:
    """A line added at the end leaves the file's last line end, or its lack, as it was."""
    text = "title: A\ntempo: 90\nfeel: shuffle\nform:\n- A (4):\n    cues:\n      3: three"
    assert mark("cue", "four", "A", 4, text + end).text == text + after
    assert mark("cue", "new", "A", 3, text + end).text == text.replace("three", "new") + end


@pytest.mark.parametrize(
    ("line", "after"),
    [
        ("- A (4)", "- A (4): {cue: in}"),
        ("- 'A (4)'", "- 'A (4)': {cue: in}"),
        ('- "A (4)"   # x', '- "A (4)": {cue: in}   # x'),
        ("- A (4): {}", "- A (4): {cue: in}"),
        ("- A (4): { }", "- A (4): {cue: in }"),
        ("- A (4): {\n    dynamics: f,\n  }", "- A (4): {\n    cue: in, dynamics: f,\n  }"),
        ("- A (4): { # x\n    dynamics: f }", "- A (4): { # x\n    cue: in, dynamics: f }"),
        ('- {"A (4)": {"dynamics": "f"}}', '- {"A (4)": {cue: in, "dynamics": "f"}}'),
        ("- ? A (4)\n  : dynamics: f", "- ? A (4)\n  : cue: in\n    dynamics: f"),
        ("- A (4):\n    cue: >-\n      old\n      words\n\n    # and\n    dynamics: f",
         "- A (4):\n    cue: in\n\n    # and\n    dynamics: f"),
        ("- A (4): {cue: old\n    words, dynamics: f}", "- A (4): {cue: in, dynamics: f}"),
        ("- A (4): {cue: 'it''s old'}", "- A (4): {cue: 'in'}"),
    ],
)  # fmt: skip
def test_every_style(line: str, after: str) -> None:
    """Block and flow, quoted and plain, one line or many."""
    head = "title: T\ntempo: 90\nfeel: shuffle\nform:\n"
    assert mark("cue", "in", "A", None, head + line + "\n").text == head + after + "\n"


def test_flow_form() -> None:
    """A form between brackets is changed inside its brackets."""
    head = "title: T\ntempo: 90\nfeel: shuffle\nform: "
    done = mark("cue", "go", "B", None, head + "[A (4), B (8), A]\n")
    assert done.text == head + "[A (4), B (8): {cue: go}, A]\n"
    assert mark("bars", "6", "B", None, done.text).text == head + "[A (4), B (6): {cue: go}, A]\n"


def test_rows_below_are_left() -> None:
    """A fill whose rows are in place is not replaced by a name, and a key beside it can be added."""
    head = "title: T\ntempo: 90\nfeel: shuffle\nform:\n"
    text = head + "- A (4):\n    fill:\n      rows: |\n        SD ooo|ooo\n\n- B (2)\n"
    with pytest.raises(FeelmapError, match="written out in place"):
        mark("fill", "stairs in threes", "A", None, text)
    with pytest.raises(FeelmapError, match="written out in place"):
        mark("fill", "none", "A", None, text)
    assert mark("cue", "go", "A", None, text).text == text.replace("    fill:", "    cue: go\n    fill:")


@pytest.mark.parametrize(
    ("section", "value", "bar", "line"),
    [
        ("A", "stairs in threes", None, "- A (4): {fills: {4: stairs in threes}}"),
        ("A", "none", None, "- A (4)"),
        ("A#2", "none", None, "- A: {fills: {4: none}}"),
        ("A#2", "stairs in threes", None, "- A: {fills: {4: stairs in threes}}"),
        ("B", "stairs in threes", 2, "- B (2): {fill: stairs in threes}"),
        ("B#2", "stairs in threes", 2, "- B: {fill: stairs in threes}"),
        ("B#2", "stairs in threes", 1, "- B: {fills: {1: stairs in threes}}"),
    ],
)
def test_fill_to_the_last_barline(section: str, value: str, bar: int | None, line: str) -> None:
    """It goes where the one before it is, under fill or at the last bar under fills: never a second one."""
    text = (
        "title: T\ntempo: 90\nfeel: shuffle\nform:\n"
        "- A (4): {fills: {4: sixteenths round the kit}}\n- B (2): {fill: sixteenths round the kit}\n- A\n- B\n"
    )
    assert changed_lines(mark("fill", value, section, bar, text).text, text) == [line]


REFUSED = [
    ("cue", "x", "Chorsu", None, "no section “Chorsu”", "did you mean Chorus"),
    ("cue", "x", "verse", None, "could be Verse 1, Verse 2", "more of the name"),
    ("cue", "x", "Chorus#4", None, "3 times", ""),
    ("cue", "x", "Intro#2", None, "once", ""),
    ("cue", "x", None, None, "belongs to a section", ""),
    ("cue", "x", "Intro", 5, "has no bar 5", "bars 1 to 4"),
    ("cue", "  ", "Intro", None, "has no text", ""),
    ("cue", "a\x07b", "Intro", None, "control character U\\+0007", ""),
    ("cue", "\udce9", "Intro", None, "control character U\\+DCE9", ""),
    ("tempo", "fast", None, None, "is not a tempo", "beats per minute"),
    ("tempo", "92 to 104", None, None, "is not a tempo", ""),
    ("tempo", "90", "Intro", 2, "--bar goes with", ""),
    ("feel", "shufle", None, None, "no feel is called", "shuffle"),
    ("feel", "none", None, None, "every song has a feel", "name a section"),
    ("tempo", "None", None, None, "every song has a tempo", "name a section"),
    ("fill", "stairs in three", "Intro", None, "no fill is called", "stairs in threes"),
    ("dynamics", "loud", "Intro", None, "is not a dynamic", ""),
    ("bars", "0", "Intro", None, "is not a number of bars", ""),
    ("bars", "none", "Intro", None, "is not a number of bars", ""),
    ("bars", "3", "Verse 1", None, "no longer read", "bars 1 to 3"),
    ("bars", "6", "Chorus#2", None, "repeats the bars", ""),
    ("bars", "6", "Bridge", None, "in the line and under bars", ""),
    ("fill", "stairs in threes", "Intro", 0, "out of range", ""),
]


@pytest.mark.parametrize(("key", "value", "section", "bar", "message", "hint"), REFUSED)
def test_refused(key: str, value: str, section: str | None, bar: int | None, message: str, hint: str) -> None:
    """What cannot be meant is refused with a message that says what to write instead."""
    with pytest.raises(FeelmapError, match=message) as told:
        mark(key, value, section, bar)
    assert hint in told.value.hint


HEAD = "title: T\ntempo: 100\nfeel: shuffle\nform:\n"
COMMENTED = HEAD + "  - A (8):\n      cue: | # hm\n        look\n"


@pytest.mark.parametrize(
    ("text", "key", "value", "bar", "message", "hint"),
    [
        (COMMENTED, "cue", "x", None, "begins with a comment of its own", "change it in the file"),
        (COMMENTED, "cue", "none", None, "begins with a comment of its own", "take it out in the file"),
        (HEAD + '  - "A (\\x38)"\n', "bars", "4", None, "the number cannot be told from its text", "change it in the file"),
        (HEAD + "  - A (8):\n      cues:\n        ? 1\n        : a\n", "cue", "x", 2, "no safe place", "change it in the file"),
        (HEAD + "  - A (8): {fill: {rows: SD oo}}\n", "fill", "none", None, "written out in place", "take it out in the file"),
        (HEAD + "  - A (8)\n", "fill", "plain shuffle", None, "plain shuffle is a groove", "feelmap fills lists them"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_safely_is_left_to_the_file(
    text: str, key: str, value: str, bar: int | None, message: str, hint: str
) -> None:
    """Rare ways of writing YAML: nothing is guessed."""
    with pytest.raises(FeelmapError, match=message) as told:
        mark(key, value, "A", bar, text)
    assert hint in told.value.hint


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_the_last_line_is_taken_out_with_the_line_end_before_it(newline: str) -> None:
    """A file that ends without a line end still does."""
    text = (HEAD + "  - A (8):\n      dynamics: p\n      cue: look").replace("\n", newline)
    assert text.removesuffix(f"{newline}      cue: look") == mark("cue", "none", "A", None, text).text


def test_unreadable_chart_is_refused() -> None:
    """A chart that does not read is not touched; its own findings are told."""
    with pytest.raises(FeelmapError, match="cannot be read") as told:
        mark("tempo", "90", None, None, CHART.replace("(4+4)", "(4+"))
    assert told.value.findings


def test_taken_back_cues_are_not_filled() -> None:
    """Where a section says cues: none, a cue at another bar has no place."""
    text = CHART.replace("  - Chorus: {}", "  - Chorus: {cues: none}")
    with pytest.raises(FeelmapError, match="cues: none"):
        mark("cue", "x", "Chorus#3", 3, text)
    assert "  - Chorus: {cue: x, cues: none}\n" in mark("cue", "x", "Chorus#3", None, text).text


HEAD = "title: T\ntempo: 90\nfeel: shuffle\nform:\n"


@pytest.mark.parametrize(
    ("key", "bar", "lines", "after"),
    [
        ("cue", None, "- A (4): {cue: x}", "- A (4)"),
        ("cue", 1, "- A (4): {cue: x}   # hm", "- A (4)   # hm"),
        ("cue", None, "- A (4): {dynamics: f, cue: x, hits: 1.2}", "- A (4): {dynamics: f, hits: 1.2}"),
        ("dynamics", None, "- A (4): {dynamics: f, cue: 'a # b'}", "- A (4): {cue: 'a # b'}"),
        ("cue", None, "- A (4): {dynamics: f, cue: 'a # b'}", "- A (4): {dynamics: f}"),
        ("cue", 3, "- A (4): {cues: {3: x}}", "- A (4)"),
        ("cue", 3, "- A (4): {cue: y, cues: {3: x}}", "- A (4): {cue: y}"),
        ("cue", None, "- A (4): {cues: {1: x, 3: y}}", "- A (4): {cues: {3: y}}"),
        ("cue", None, "- A (4):   # loud\n    # lift\n    cue: x  # hm\n    dynamics: f",
         "- A (4):   # loud\n    # lift\n    # hm\n    dynamics: f"),
        ("tempo", None, "- A (4):   # loud\n    # lift\n    tempo: 99  # hm\n- B (2)",
         "- A (4)   # loud\n    # lift\n    # hm\n- B (2)"),
        ("feel", None, "- A (4):\n    feel: swing\n- B (2)", "- A (4)\n- B (2)"),
        ("cue", 3, "- A (4):\n    tempo: 99\n    cues:  # top\n      # in\n      3: x\n- B (2)",
         "- A (4):\n    tempo: 99\n    # top\n      # in\n- B (2)"),
        ("cue", None, "- A (4):\n    cue: >-\n      old\n      # words\n\n    dynamics: f",
         "- A (4):\n\n    dynamics: f"),
        ("cue", None, "- A (4): { # say\n    cue: x}", "- A (4): { # say\n    }"),
        ("cue", None, "- A (4): {dynamics: f, # say\n    cue: x}", "- A (4): {dynamics: f, # say\n    }"),
        ("cue", None, "- A (4): {cue: x, # say\n    dynamics: f}", "- A (4): { # say\n    dynamics: f}"),
        ("cue", None, "- {A (4): {cue: x}}", "- {A (4): {}}"),
        ("cue", None, "- ? A (4)\n  : cue: in\n    dynamics: f", "- ? A (4)\n  : dynamics: f"),
        ("cue", None, "- ? A (4)\n  : cue: in", "- ? A (4)\n  : cue: none"),
        ("fill", None, "- A (4): {fill: {use: stairs in threes, sets-up: next}}", "- A (4)"),
        ("fill", 4, "- A (4):\n    fill: stairs in threes", "- A (4)"),
        ("fill", None, "- A (4): {fills: {2: stairs in threes, 4: stairs in threes}}",
         "- A (4): {fills: {2: stairs in threes}}"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("end", ["", "\n"])
def test_none_removes_what_stands_there(key: str, bar: int | None, lines: str, after: str, end: str) -> None:
    """Key and value go, and a mapping that is emptied; comments and every other byte stay."""
    done = mark(key, "none", "A", bar, HEAD + lines + end)
    assert done.text == HEAD + after + end
    again = mark(key, "none", "A", bar, done.text)
    assert again.text == done.text


def test_none_is_written_over_what_is_inherited() -> None:
    """Where the value comes from the line that defined the section, or would come through without this one."""
    text = HEAD + "- A (4): {cue: x, tempo: 96}\n- A: {tempo: 99}   # slow\n- A: {cue: none}\n"
    assert "- A: {tempo: none}   # slow\n" in mark("tempo", "none", "A#2", None, text).text
    assert "- A: {cue: none, tempo: 99}   # slow\n" in mark("cue", "none", "A#2", None, text).text
    assert mark("cue", "none", "A#3", None, text).text == text
    done = mark("cue", "none", "A", None, text)
    assert "- A (4): {tempo: 96}\n- A: {tempo: 99}   # slow\n- A: {cue: none}\n" in done.text
    assert (done.removed, done.before, done.line, done.places) == (True, "x", 5, 3)


def test_none_where_nothing_is() -> None:
    """Nothing there and nothing inherited: nothing is written."""
    done = mark("cue", "none", "Chorus")
    assert (done.text, done.removed) == (CHART, False)


def test_none_keeps_the_comment_of_what_it_takes() -> None:
    """The fill goes from its line, its comment stays in its place; the repeats have none either."""
    done = mark("fill", "none", "Chorus")
    assert "      tempo: 96\n      # hm\n\n" in done.text
    assert all(not section.fills for section in song(done.text).form if section.name == "Chorus")


def test_repeats_inherit() -> None:
    """A mark on the defining line holds for the repeats, one on a later appearance for that one alone."""
    first, second = mark("tempo", "99", "Chorus"), mark("tempo", "99", "Chorus#2")
    assert (first.places, second.places) == (3, 1)
    assert [s.tempo for s in song(first.text).form if s.name == "Chorus"] == [99, 99, 99]
    assert [s.tempo for s in song(second.text).form if s.name == "Chorus"] == [96, 99, 96]


def test_what_stood_there() -> None:
    """The value that was replaced is told; None for a new one."""
    assert mark("tempo", "96").before == "92"
    assert mark("bars", "6", "Chorus").before == "4+4"
    assert mark("dynamics", "f", "Tag").before is None


@pytest.mark.parametrize(
    ("text", "index"),
    [
        ("Chorus", 1), ("chórus", 1), ("CHORUS#2", 3), ("Chorus #3", 5), ("cho", 1),
        ("Take #2", 2), ("take", 2), ("take-#2", 2), ("Été", 4), ("ete", 4),
    ],
)  # fmt: skip
def test_section_names(text: str, index: int) -> None:
    """Case and accents do not matter; a number sign in a section's own name does not count appearances."""
    form = 'form: [A (1), Chorus (2), "Take #2 (4)", Chorus, Été (1), Chorus]\n'
    assert one_named(song("title: T\ntempo: 90\nfeel: shuffle\n" + form), text) == index
