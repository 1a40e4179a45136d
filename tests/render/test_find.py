"""``find``: which charts, by words, feel, tempo and key."""

from __future__ import annotations

import json

import pytest
from shell import Answer, feelmap
from support import write_book

from charts.heads import read_heads
from charts.source import FeelmapError
from charts.wording import plain_key
from render.search import found_charts, heads_json, heads_lines
from render.terminal.ink import Ink, cells


def chart(title, tempo=100, feel="straight eighths", more="", form="form:\n  - A (8)\n"):
    return f"title: {title}\ntempo: {tempo}\nfeel: {feel}\n{more}{form}"


@pytest.fixture
def book(tmp_path):
    """Seven charts, one of them broken, one upside down."""
    return write_book(
        tmp_path,
        charts__cafe=chart("Café Ørsted", 92, "half-time shuffle", "key: Bb minor\n"),
        charts__harbour=chart("Harbour Lights", 96, "shuffle", "key: A\nby: The Quay Street Six\n"),
        charts__lights=chart('"Lights: Out"', 101, more="key: A minor\n"),
        charts__mixed=chart("Mixed", 90, form="form:\n  - A (8)\n  - B (8): {feel: swing}\n"),
        charts__broken="title: Broken Lights\ntempo: fast\nfeel: shuffle\nform: [A (8)]\n",
        charts__upside="form: [A (8)]\ntitle: Upside Down\ntempo: 200\nfeel: polka\nkey: E\n",
        charts__inline="title: Own\ntempo: 77.5\nfeel: {name: lope, divides: [2, 3], swing: 1.6}\nform: [A (8)]\n",
    )


def titles(book, *words, feel=None, tempo=None, key=None):
    return [head.title for head in found_charts(book, words, feel, tempo, key)]


def test_words_find_titles_without_case_and_accents(book):
    """Every word must be in the title, in any order; quotes of the file are not part of it."""
    assert titles(book, "LIGHTS") == ["Broken Lights", "Harbour Lights", "Lights: Out"]
    assert titles(book, "lights harb") == ["Harbour Lights"]
    assert titles(book, "cafe") == ["Café Ørsted"]
    assert titles(book, "nothing") == []
    assert len(titles(book)) == 7


def test_a_feel_is_found_in_the_song_or_a_section(book):
    """Other spellings count; so does a section in that feel; a nonsense feel is an error."""
    assert titles(book, feel="half time shuffle") == ["Café Ørsted"]
    assert titles(book, feel="Swing") == ["Mixed"]
    with pytest.raises(FeelmapError, match="no feel is called"):
        titles(book, feel="shufle")


def test_a_tempo_or_a_range_is_found(book):
    """Both ends of a range count; a single tempo finds what rounds to it."""
    assert titles(book, tempo="90-96") == ["Café Ørsted", "Harbour Lights", "Mixed"]
    assert titles(book, tempo="77") == ["Own"]
    told = "write one tempo, 92, or a range, 90-100"
    for wrong, hint in (("fast", told), ("90..100", told), ("0", told), ("100-90", "write 90-100")):
        with pytest.raises(FeelmapError) as refused:
            titles(book, tempo=wrong)
        assert refused.value.hint == hint


def test_a_key_is_found_in_any_spelling(book):
    """Major and minor are told apart; signs and words for flat are one."""
    assert titles(book, key="a") == ["Harbour Lights"]
    assert titles(book, key="Am") == ["Lights: Out"]
    assert titles(book, key="B♭m") == ["Café Ørsted"]
    assert plain_key("F sharp min") == plain_key("f#m")
    assert plain_key("E flat") == plain_key("Eb")


def test_words_in_no_title_name_a_feel_a_key_or_a_tempo(book):
    """Titles come first; options hold as well."""
    assert titles(book, "half", "time", "shuffle") == ["Café Ørsted"]
    assert titles(book, "92") == ["Café Ørsted"]
    assert titles(book, "90-96") == ["Café Ørsted", "Harbour Lights", "Mixed"]
    assert titles(book, "bb", "minor") == ["Café Ørsted"]
    assert titles(book, "shuffle", tempo="90-100") == ["Café Ørsted", "Harbour Lights"]
    assert titles(book, "half-time shuffle", tempo="90-100") == ["Café Ørsted"]
    assert titles(book, "e") != titles(book, key="e") == ["Upside Down"]


def test_heads_agree_with_charts_read_whole(book):
    """What the head says is what reading the chart says; a key after the form is not missed."""
    for head in read_heads(book):
        song = book.read_chart(head.path).song
        if song is None:
            assert head.tempo is None
            continue
        assert (head.title, head.by, head.key) == (song.title, song.by, song.key)
        assert (head.tempo, head.meter, head.feel) == (song.tempo, song.meter, song.feel)
        assert set(head.feels) == {song.feel, *(section.feel for section in song.form)}


def test_json_and_list_tell_the_same(book):
    """A broken chart keeps its place, with null for what it does not tell."""
    heads = found_charts(book, ["lights"], None, None, None)
    rows = heads_json(book, heads)
    assert rows[1] == {
        "name": "harbour", "title": "Harbour Lights", "by": "The Quay Street Six", "key": "A", "meter": "4/4",
        "tempo": 96.0, "feel": "shuffle", "file": "charts/harbour.yaml",
    }  # fmt: skip
    assert (rows[0]["title"], rows[0]["tempo"], list(rows[0])) == ("Broken Lights", None, list(rows[1]))
    for width in (40, 60, 80, 120):
        lines = list(heads_lines(book, heads, width, Ink()))
        assert len(lines) == 4
        assert max(map(cells, lines)) <= width


def test_the_command_says_when_there_is_nothing(book):
    """No match is no error; the words go to standard error."""
    for asked, said in {
        "zzzz": "no chart has “zzzz” in its title, and it is not a feel, key or tempo\n",
        "harbur": "no chart has “harbur” in its title, and it is not a feel, key or tempo\n"
        "did you mean Harbour Lights?\n",
        "--tempo 94": "no chart is at 94 bpm\nthe nearest is Café Ørsted, at 92\n",
        "150-170": "no chart is at 150-170 bpm\nthe nearest is Upside Down, at 200\n",
        "bossa": "no chart is in the feel bossa nova\n",
        "--key F#": "no chart is in F#\n",
        "harb --key F#": "no chart is all of that: leave one of them out\n",
    }.items():
        assert feelmap("find", *asked.split(), cwd=book.root) == Answer(0, "", said), asked
    found = feelmap("find", "harb", "--json", cwd=book.root)
    assert [row["name"] for row in json.loads(found.out)["find"]] == ["harbour"]


def test_numbers_that_are_no_tempo_are_words(book):
    """And a book of no charts says so."""
    assert feelmap("find", "9 lives", cwd=book.root).err == "no chart has “9 lives” in its title\n"
    for path in book.chart_paths():
        path.unlink()
    assert feelmap("find", "harbour", cwd=book.root).err == "this book has no chart yet\n"
