"""``fills`` and ``feels``: lists that are quick to browse, filters, one pattern or feel drawn, JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction as F

import pytest
from shell import feelmap
from support import BOOK, feel, pattern, write_book

from charts.feel import Feel
from charts.notation import read_rows
from charts.source import FeelmapError
from render.cli.asked import by_style, chosen_patterns, wanted_patterns
from render.terminal.feels_view import feel_json, feel_lines, feels_lines
from render.terminal.ink import Ink, cells
from render.terminal.patterns_view import feels_that_fit, pattern_json, pattern_lines, patterns_lines

FEELS = list(BOOK.feels)
KEYS = "name kind beats grid voices suits meter tempo swung rows feels made_for place origin"


def wanted(**asked):
    names = ("feel", "tempo", "beats", "voices", "size", "kind")
    return wanted_patterns(BOOK, *(asked.get(name) for name in names))


def found(name=None, **asked):
    return chosen_patterns(BOOK, name, wanted(**asked))


def drawn(each, width=80):
    return [line.rstrip() for line in pattern_lines(each, FEELS, width, Ink())]


def test_a_pattern_is_drawn_with_counts_accents_and_sticking():
    """Equal places are in equal columns; voices that are silent in a line are left out."""
    text = drawn(BOOK.patterns.get("stairs in threes"))
    assert text[0] == "stairs in threes   fill, 4 beats"
    start = next(place for place, line in enumerate(text) if line.startswith("  count"))
    assert text[start : start + 7] == [
        "  count   1....trip.let.. | 2....trip.let.. | 3....trip.let.. | 4....trip.let..",
        "  accent  >               |                 |                 |",
        "  T1      ............... | ............... | o....o......... | ...............",
        "  SD      O....o....o.... | g.........o.... | ............... | ...............",
        "  FT      ............... | ............... | ..........o.... | o....o.........",
        "  BD      ............... | .....o......... | ............... | ..........o....",
        "  stick   R    L    R     | L         R     | R    L    R     | R    L",
    ]
    assert text[-1] == "  T1 high tom, SD snare, FT floor tom, BD bass drum"


def test_hands_are_found_where_none_are_given():
    """A pattern without sticking says which hands would play it, and that they were found."""
    text = drawn(pattern("SD oooo"))
    assert any(line.split()[:2] == ["hands", "R"] for line in text)


def test_a_pattern_written_even_is_drawn_as_written():
    """Written straight, played swung: it is drawn even, counted 1 &, and said to swing."""
    even = replace(pattern("RD xx|xx"), swung=True)
    text = drawn(even)
    assert "  written straight: played swung" in text
    assert any(line.split()[:2] == ["count", "1"] and "&" in line for line in text)
    assert "swing" in feels_that_fit(even, FEELS)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_drawing_and_list_fits_the_terminal(width):
    """All that ships is drawn within the width; a list keeps name, beats and grid."""
    for each in BOOK.patterns:
        assert max(map(cells, drawn(each, width))) <= width, each.name
    for text in (patterns_lines(list(BOOK.patterns), width, Ink()), feels_lines(FEELS, width, Ink())):
        assert max(map(cells, text)) <= width
    for each in FEELS:
        assert max(map(cells, feel_lines(each, width, Ink()))) <= width


def test_filters_keep_what_was_asked_for():
    """By feel, tempo, beats, voices, size and kind; together they all hold."""
    assert {each.beats for each in found(beats=2)} == {2}
    assert all(each.kind == "groove" for each in found(kind="grooves"))
    assert all(each.beats <= 2 for each in found(size="short"))
    snare = found(voices="SN,FT")
    assert snare
    assert all({"SD", "FT", "BD", "B2", "HF"}.issuperset(each.voices) for each in snare)
    assert all({"SD", "BD"}.issuperset(each.voices) for each in found(voices="sd bd"))
    assert found(voices="snare, floor tom") == found(voices="floor toms,SD") == snare
    assert found(voices="floor tom") == found(voices="FT")
    assert found(voices="snare hi-hat") == found(voices="SD,HH")
    assert found(voices="snare hi-hat, ride") == found(voices="SD,HH,RD")
    assert found(voices="XS") == found(voices="cross-stick")
    assert found(voices="toms") == found(voices="T1 T2 T3 FT") != []
    assert found(voices="kick") == found(voices="bass drum")
    slow = found(tempo="60")
    assert all(each.tempo is None or each.tempo[0] <= 60 <= each.tempo[1] for each in slow)
    shuffled = found(feel="half time shuffle", kind="fill")
    assert "stairs in threes" in [each.name for each in shuffled]
    assert "sixteenths round the kit" not in [each.name for each in shuffled]
    both = found(feel="shuffle", beats=4, tempo="90")
    assert set(both) <= set(found(feel="shuffle")) & set(found(beats=4)) & set(found(tempo="90"))


def test_what_is_made_for_the_feel_comes_first_and_what_is_made_for_another_last():
    """By the feels that it gives; a plain fill is at home on every straight grid; a meter of its own is another feel."""
    own, strangers = by_style(BOOK, "polka", found(feel="polka", kind="fill"))
    names, foreign = [each.name for each in own], {each.name for each in strangers}
    assert names[:2] == ["buzz into one", "polka turn"]
    assert {"waltz turn", "samba break", "seven-eight turn", "six-eight turn"} <= foreign
    assert "pairs down" in names  # a turn into any new section
    assert len(own) + len(strangers) == len(found(feel="polka", kind="fill"))
    rock = [each.name for each in by_style(BOOK, "half-time", found(feel="half-time", kind="fill"))[0]]
    assert {"hat barks", "eighths down"} <= set(rock)
    assert "waltz run" not in rock  # its sixteenths are strokes, not a feel
    shuffled = [each.name for each in by_style(BOOK, "half-time shuffle", found(feel="shuffle"))[0]]
    assert {"diddle pickup", "bass in the middle"} <= set(shuffled)
    twelve = [each.name for each in by_style(BOOK, "slow 12/8", found(feel="slow 12/8"))[0]]
    assert {"rolling threes", "slow twelve walk"} <= set(twelve)
    assert by_style(BOOK, None, own) == (own, [])


def test_the_list_parts_what_is_made_for_another_feel(tmp_path):
    """Under a line of its own, with its number; a pattern that is named is drawn whatever it is made for."""
    told = feelmap("fills", "--feel", "polka", "--kind", "fill", cwd=tmp_path).out
    assert told.index("polka turn") < told.index("fills on this grid made for another feel or meter")
    assert told.index("fills on this grid") < told.index("samba break")
    assert "count" in feelmap("fills", "samba break", "--feel", "polka", cwd=tmp_path).out


@pytest.mark.parametrize("width", [100, 120, 160])
def test_what_a_fill_suits_is_told_whole(width):
    """Folded where there is room for part of it, never cut; less wanted columns go first."""
    for kind in ("fill", "groove"):
        chosen = [each for each in BOOK.patterns if each.kind == kind]
        _, head, *lines = patterns_lines(chosen, width, Ink())
        assert not any("…" in line for line in lines)
        start = head.index("suits")
        said = " ".join(" ".join(line[start:] for line in lines).split())
        assert [each.name for each in chosen if each.suits not in said] == []


def test_a_name_is_taken_in_any_spelling_or_in_part():
    """The whole name draws one; a part that several have lists them; none offers the nearest."""
    assert [each.name for each in found("Stairs In Threes")] == ["stairs in threes"]
    assert len(found("herta")) > 1
    assert found("in-threes") == found("in threes") != []
    with pytest.raises(FeelmapError, match="no pattern is called") as refused:
        found("stares in threes")
    assert refused.value.hint == "did you mean stairs in threes?"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"feel": "shufle"}, "no feel"),
        ({"voices": "SD,XX"}, "“XX” is not a voice"),
        ({"voices": "snar floor"}, "“snar” is not a voice"),
        ({"size": "big"}, "“big” is not a size"),
        ({"kind": "lick"}, "“lick” is not a kind of pattern"),
        ({"tempo": "fast"}, "not a tempo"),
    ],
)
def test_wrong_options_say_what_to_write(asked, said):
    """Each refused option names what is there and what may."""
    with pytest.raises(FeelmapError) as refused:
        wanted(**asked)
    assert said in refused.value.message
    assert refused.value.hint


def test_json_rows_are_whole_and_read_back():
    """Every key is there; the rows give the pattern again; the feels are those it fits."""
    for each in BOOK.patterns:
        row = pattern_json(each, FEELS)
        assert " ".join(row) == KEYS
        back = read_rows(row["rows"])
        assert (back.beats, back.strokes, back.problems) == (each.beats, each.strokes, ())
        assert row["grid"] == [cells for cells in row["grid"] if cells >= 1]
    row = pattern_json(BOOK.patterns.get("stairs in threes"), FEELS)
    assert row["tempo"] == [60.0, 120.0]
    assert "half-time shuffle" in row["feels"]
    assert "straight sixteenths" not in row["feels"]
    assert pattern_json(pattern("SD o"), FEELS)["tempo"] is None


def test_feels_tell_how_they_divide_swing_and_count():
    """The list, one feel drawn on both kinds of beat, and JSON with the swing as a number, words or null."""
    assert any(line.startswith("sixteenth shuffle    1 e & a") for line in feels_lines(FEELS, 80, Ink()))
    text = "\n".join(feel_lines(feel("swing"), 80, Ink()))
    assert "by tempo, 2 to 1 at 120, 1.8 to 1 at 160, 1.6 to 1 at 200, 1.5 to 1 at 240" in text.replace(
        "\n    ", " "
    )
    assert "  a plain beat             1 . . . trip  . let . ." in text
    assert "  a beat of three eighths  1 . . . & . . . a . . ." in text
    assert [feel_json(feel(name))["swing"] for name in ("shuffle", "swing", "polka")] == [
        2.0,
        "by tempo",
        None,
    ]
    assert feel_json(feel("slow 12/8"))["home"] == 6


def test_the_commands_answer_with_a_book_and_without(tmp_path):
    """A book's own patterns and feels come first; without a book what ships is there."""
    without = json.loads(feelmap("fills", "--json", cwd=tmp_path).out)["fills"]
    assert len(without) == len(list(BOOK.patterns))
    write_book(
        tmp_path,
        fills__mine="fills:\n  my turn:\n    rows: |\n      SD oo|oo\n",
        feels="feels:\n  lopsided:\n    divides: [5]\n",
    )
    first = json.loads(feelmap("fills", "--json", "--beats", "2", cwd=tmp_path).out)["fills"][0]
    assert (first["name"], first["origin"]) == ("my turn", "book")
    assert json.loads(feelmap("feels", "lopsided", "--json", cwd=tmp_path).out)["feels"][0]["divides"] == [5]
    nothing = feelmap("fills", "--beats", "63", cwd=tmp_path)
    assert (nothing.status, nothing.out, nothing.err) == (
        0,
        "",
        "no pattern is all of that: leave one of them out\n",
    )
    assert feelmap("feels", "nonesuch", cwd=tmp_path).status == 2


def test_the_usual_tempo_stands_where_none_is_given():
    """A pattern without a range is tried at 100, so a swung pair is at its full ratio."""
    assert feels_that_fit(pattern("SD o.o"), [feel("swing")]) == ["swing"]
    assert feels_that_fit(replace(pattern("SD oo"), tempo=(F(360), F(360))), [feel("swing")]) == ["swing"]


def test_a_feel_that_says_little_is_drawn_with_what_it_says():
    """No other spelling, no groove, no sentence: no line for them."""
    text = [line.strip() for line in feel_lines(Feel("lope", (3,), F(7, 5)), 80, Ink())]
    assert ["lope", "a beat divides in: 1, 3, 6, 12, 24, 48 and so on; the groove plays 3"] == text[:2]
    assert not any(line.startswith(("also called", "groove:", "pulse:")) for line in text)


def test_a_family_asks_for_all_its_feels():
    """What fits one of them, what is made for one first; a feel of that name goes before its family."""
    latin = [each.name for each in by_style(BOOK, "latin", found(feel="latin", kind="fill"))[0]]
    assert {"abanico", "samba break", "bembe call", "timbale call"} <= set(latin)
    strangers = by_style(BOOK, "latin", found(feel="latin", kind="fill"))[1]
    assert "roll-off" in [each.name for each in strangers]
    assert "swung pairs down" not in [each.name for each in found(feel="shuffle", kind="fill")]
    with pytest.raises(FeelmapError):
        found(feel="latim")


def test_a_pattern_and_a_feel_say_what_they_belong_to():
    """The feels that a pattern is made for, the families of a feel; on the screen and as JSON."""
    samba = BOOK.patterns.get("samba break")
    assert "  made for: samba" in drawn(samba)
    assert pattern_json(samba, FEELS)["made_for"] == ["samba"]
    assert "  family: swing, waltz" in list(feel_lines(feel("jazz waltz"), 80, Ink()))
    assert feel_json(feel("jazz waltz"))["family"] == ["swing", "waltz"]
    assert feel_json(Feel("own", (2,)))["family"] == []


TURNS = """
    fills:
      quayside turn: {rows: "SD oooo|oooo"}
      quayside roll: {rows: "SD oooo"}
      lantern: {rows: "FT oo"}
"""


@pytest.fixture
def turns(tmp_path):
    """A book with fills whose names share words."""
    write_book(
        tmp_path, charts__tin="title: Tin\ntempo: 92\nfeel: shuffle\nform:\n  - A (8)\n", fills__own=TURNS
    )
    return tmp_path


FEEL = ["--feel", "straight sixteenths"]
PARTLY = [
    ["fills", "{}"],
    ["fit", "{}", *FEEL, "--tempo", "92"],
    ["regrid", "{}", "--feel", "shuffle"],
    ["vary", "{}", *FEEL],
    ["practice", "{}", *FEEL, "--tempo", "92", "--times", "1", "-o", "loops"],
]


@pytest.mark.parametrize("command", PARTLY, ids=lambda command: command[0])
def test_part_of_a_fill_is_enough(turns, command):
    """The only fill with those words is taken, in any case."""
    part, whole = (
        feelmap(*(word.format(name) for word in command), cwd=turns)
        for name in ("Side TURN", "quayside turn")
    )
    assert (0, whole.out, whole.err) == (part.status, part.out, part.err)
    assert "quayside turn" in part.out + part.err


@pytest.mark.parametrize("command", PARTLY[1:], ids=lambda command: command[0])
def test_a_part_of_several_fills_lists_them(turns, command):
    """All of them, none else, and nothing is done."""
    done = feelmap(*(word.format("quayside") for word in command), cwd=turns)
    assert (2, "") == (done.status, done.out)
    assert "“quayside” could be several patterns:\n    quayside turn\n    quayside roll\n  write" in done.err
    assert not (turns / "loops").exists()


def test_fills_lists_several_without_drawing_one(turns):
    """As ``fills`` lists what its options leave."""
    done = feelmap("fills", "quayside", cwd=turns)
    assert 0 == done.status
    assert "quayside turn" in done.out
    assert "quayside roll" in done.out
    assert "SD  " not in done.out


FEEL_TAKERS = [
    ["feels", "{}"],
    ["fills", "--feel", "{}"],
    ["fit", "lantern", "--feel", "{}", "--tempo", "92"],
    ["regrid", "lantern", "--feel", "{}"],
    ["vary", "lantern", "--feel", "{}"],
    ["practice", "lantern", "--feel", "{}", "--tempo", "92", "--times", "1", "-o", "loops"],
    ["find", "--feel", "{}"],
    ["pencil", "tin", "--feel", "{}", "--dry-run"],
]


@pytest.mark.parametrize("command", FEEL_TAKERS, ids=lambda command: command[0])
def test_part_of_a_feel_is_enough(turns, command):
    """The only feel with those words in its name or another spelling of it is taken."""
    part, whole = (
        feelmap(*(word.format(name) for word in command), cwd=turns) for name in ("Bossa n", "bossa nova")
    )
    assert (0, whole.out, whole.err) == (part.status, part.out, part.err)


@pytest.mark.parametrize("command", FEEL_TAKERS, ids=lambda command: command[0])
def test_a_part_of_several_feels_lists_them(turns, command):
    """Each feel once, by its name, and nothing is done."""
    done = feelmap(*(word.format("half-") for word in command), cwd=turns)
    assert (2, "") == (done.status, done.out)
    assert "could be several feels:\n    half-time\n    half-time shuffle\n" in done.err
    assert not (turns / "loops").exists()


@pytest.mark.parametrize(
    ("word", "hint"),
    [("latin", "choose one: "), ("blues", "a blues is a shuffle or"), ("4/4", "4/4 is a meter")],
)
def test_a_word_that_means_something_else_is_not_a_part(turns, word, hint):
    """A family, a word of the trade and a meter get their own answers."""
    done = feelmap("feels", word, cwd=turns)
    assert 2 == done.status
    assert hint in done.err


def test_a_filter_holds_for_a_part_of_a_name(turns):
    """A fill that is there but not wanted is not drawn, nor said to be missing."""
    done = feelmap("fills", "lanter", "--beats", "4", cwd=turns)
    assert 0 == done.status
    assert "no pattern is all of that: leave one of them out" in done.err


def test_a_whole_name_is_not_a_part_of_others(turns):
    """Waltz is a feel, and jazz waltz another."""
    done = feelmap("feels", "waltz", cwd=turns)
    assert 0 == done.status
    assert done.out.startswith("waltz")
