"""The commands suggest, regrid and vary."""

from __future__ import annotations

import io
import json

import pytest
from support import chart, standard_input, write_book

from charts.notation import read_rows
from render.cli.app import run

SONG = chart(
    "Verse (8): {dynamics: mf}",
    "Chorus (8): {fill: sixteenths round the kit}",
    "Quiet (4): {dynamics: p}",
    "Chorus",
    feel="half-time shuffle",
    tempo="92",
)
REGRID = ["regrid", "sixteenths round the kit", "--feel", "half-time shuffle", "--tempo", "92"]


@pytest.fixture
def book(tmp_path, monkeypatch):
    write_book(tmp_path, charts__test=SONG)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("FEELMAP_BOOK", raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    return tmp_path


@pytest.fixture
def ask(book, capsys):
    def asked(*arguments: str) -> tuple[int, str, str]:
        status = run(arguments)
        out, err = capsys.readouterr()
        return status, out, err

    return asked


def answer(ask, *arguments: str):
    status, out, err = ask(*arguments, "--json")
    assert (status, err) == (0, "")
    return json.loads(out)


def test_suggest_as_json(ask) -> None:
    """A row a fill under one key, with its reason and its rows."""
    (rows,) = answer(ask, "suggest", "test", "chorus").values()
    assert 1 <= len(rows) <= 8
    assert set(rows[0]) == {
        "name",
        "beats",
        "grid",
        "voices",
        "tempo",
        "suits",
        "reason",
        "feel",
        "swung",
        "sets_up",
        "rows",
    }
    assert all(not read_rows(row["rows"]).problems for row in rows)
    assert "sixteenths round the kit" not in [row["name"] for row in rows]


def test_suggest_on_screen(ask) -> None:
    """The spot, what is there now, the fills ranked with reasons, the best one drawn; within the width."""
    status, out, _ = ask("suggest", "test", "chorus")
    assert status == 0
    lines = out.splitlines()
    assert lines[0] == "Test, Chorus, bar 8"
    assert "there now: sixteenths round the kit (clashes)" in out
    assert "half-time shuffle at 92 bpm; 8 beats free; into Quiet; nothing to land on" in " ".join(
        line.strip() for line in lines[1:3]
    )
    assert any(line.lstrip().startswith("1  ") for line in lines)
    assert any(line.lstrip().startswith("count") for line in lines)
    assert max(map(len, lines)) <= 80


def test_suggest_counts_and_places(ask) -> None:
    """So many as were asked for; a bar inside the section; a second appearance."""
    assert len(answer(ask, "suggest", "test", "verse", "--count", "3")["suggest"]) == 3
    assert answer(ask, "suggest", "test", "verse", "--bar", "4")["suggest"]
    assert answer(ask, "suggest", "test", "Chorus#2")["suggest"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["suggest", "test", "bridge"], "no section"),
        (["suggest", "test", "verse", "--bar", "9"], "there is not a bar 9"),
        (["suggest", "nothing", "verse"], "no chart is called"),
        (["regrid", "no such fill", "--feel", "shuffle"], "no pattern is called"),
        (["regrid", "stairs in threes", "--feel", "shufle"], "did you mean shuffle?"),
        ([*REGRID, "--grid", "coarse"], "write home, finer or pour"),
        ([*REGRID[:-1], "4000"], "20 to 400"),
        ([*REGRID, "--save", "stairs in threes"], "already there"),
        (["vary", "stairs in threes", "--tempo", "fast"], "tempo"),
        ([*REGRID, "--meter", "7/8"], "7/8 needs its groups\n  write 7/8 (2+2+3)"),
        (
            ["practice", "stairs in threes", *["--tempo", "60"] * 41],
            "41 tempos are too many\n  write at most 40",
        ),
    ],
)
def test_what_cannot_be_done_is_said(ask, arguments, words: str) -> None:
    """Exit 2, nothing on standard output, and what to write instead."""
    status, out, err = ask(*arguments)
    assert (status, out) == (2, "")
    assert words in err


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (b"SD o" * 300_000, "standard input is larger than 1 MiB\n  give the rows of one pattern"),
        (b"SD \xff", "standard input cannot be read: byte 0xff is not UTF-8\n  save the file as UTF-8"),
    ],
)
def test_what_standard_input_cannot_be(ask, monkeypatch, given, words: str) -> None:
    """Too much, and no text."""
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(given)))
    assert (2, "", f"feelmap: {words}\n") == ask("regrid", "-", "--feel", "shuffle")


def test_suggest_says_that_the_fill_there_runs_through_a_stop(ask, book) -> None:
    """What is offered has the same room, so it is said."""
    write_book(
        book, charts__stop=chart("A (4): {stops: 4.3, fill: big turn}", head="").replace("Test", "Stop")
    )
    _, out, _ = ask("suggest", "stop", "a")
    assert "there now: big turn" in out
    assert "through the stop at 4.3" in out


def test_suggest_tells_what_stands_there_and_just_before(ask, book) -> None:
    """A name that nobody has, and the fill that the bar before ends with."""
    song = chart("Verse (8): {fills: {4: nonesuch, 6: short pickup}}").replace("Test", "There")
    write_book(book, charts__there=song)
    assert "there now: nonesuch, which does not exist\n" in ask("suggest", "there", "verse", "--bar", "4")[1]
    assert "just before it: short pickup\n" in ask("suggest", "there", "verse", "--bar", "7")[1]


def test_reasons_are_folded_beside_the_names_where_there_is_little_room(ask, monkeypatch) -> None:
    """At 40 columns the list has names and reasons alone, all within the width and no word lost."""
    reason = answer(ask, "suggest", "test", "verse")["suggest"][0]["reason"]
    monkeypatch.setenv("COLUMNS", "40")
    lines = ask("suggest", "test", "verse", "--count", "2")[1].splitlines()
    head = next(place for place, line in enumerate(lines) if line.split() == ["fill", "why"])
    start = lines[head].index("why")
    second = next(place for place, line in enumerate(lines) if line.startswith("2  "))
    told = " ".join(" ".join(line[start:] for line in lines[head + 1 : second]).split())
    assert told == reason
    assert all(len(line) <= 40 for line in lines)


@pytest.mark.parametrize("command", [["regrid", "-", "--feel", "shuffle"], ["vary", "-"]])
def test_a_fill_without_strokes_is_none(ask, monkeypatch, command) -> None:
    """There is nothing to move or change."""
    monkeypatch.setattr("sys.stdin", standard_input("SD .\n"))
    assert (2, "", "feelmap: standard input has no strokes\n  write some, like SD oo|oo\n") == ask(*command)


def test_regrid_says_why_another_grid_is_not_on_offer(ask, monkeypatch) -> None:
    """Below the version that is."""
    monkeypatch.setattr("sys.stdin", standard_input("SD oooo|oooo\n"))
    status, out, _ = ask("regrid", "-", "--feel", "shuffle", "--tempo", "200")
    assert (status, "home grid: 6 of 8 kept" in out) == (0, True)
    assert "not on the finer grid: " in out


def test_suggest_where_no_beat_is_free(ask, book) -> None:
    """An empty list, and why."""
    write_book(book, charts__hits=chart("Verse (1): {holds: 1.4}", head="").replace("Test", "Hits"))
    status, out, err = ask("suggest", "hits", "verse", "--json")
    assert (status, json.loads(out), err) == (0, {"suggest": []}, "no beat is free there\n")


def test_regrid_as_json(ask) -> None:
    """The two versions of sixteenths over a shuffle, as the design says: what keeps the most is first."""
    found = answer(ask, *REGRID)
    assert list(found) == ["pattern", "feel", "tempo", "swing", "versions"]
    assert (found["pattern"], found["tempo"], found["swing"]) == ("sixteenths round the kit", 92.0, 2.0)
    finer, home = found["versions"]
    assert list(home) == ["grid", "does", "rows", "kept", "dropped", "moved_ms", "playable", "limits"]
    assert (home["grid"], finer["grid"], home["kept"], finer["kept"]) == ("home", "finer", 12, 16)
    assert home["dropped"][0] == {"beat": 1, "at": "3/4", "voices": ["SD"]}
    assert (finer["dropped"], finer["moved_ms"], finer["playable"], finer["limits"]) == ([], 54.3, True, [])


def test_regrid_on_screen(ask) -> None:
    """Both versions drawn in rows under their count."""
    status, out, _ = ask(*REGRID)
    assert status == 0
    assert "home grid: 12 of 16 kept, moved by 109 ms at most" in out
    assert "finer grid: all 16 kept, moved by 54 ms at most" in out
    assert "count 1.txl.|2.txl.|3.txl.|4.txl." in out
    assert out.endswith(
        "\n  count: t trip, l let, x halfway to the next\n  T1 high tom, SD snare, FT floor tom, BD bass drum\n"
    )
    assert max(map(len, out.splitlines())) <= 80


def test_counts_that_are_whole_words_are_not_explained(ask) -> None:
    """1 e & a is there as it is spoken."""
    _, out, _ = ask("regrid", "sixteenths round the kit", "--feel", "straight sixteenths")
    assert "count 1e&a|2e&a" in out
    assert "count:" not in out


def test_regrid_one_grid_only(ask) -> None:
    """The finer one, where it was asked for; said so where there is none."""
    assert [each["grid"] for each in answer(ask, *REGRID, "--grid", "finer")["versions"]] == ["finer"]
    status, out, err = ask("regrid", "stairs in threes", "--feel", "shuffle", "--grid", "finer", "--json")
    assert (status, json.loads(out)["versions"]) == (0, [])
    assert "there is no finer version" in err


def test_regrid_reads_rows_from_standard_input(ask, monkeypatch) -> None:
    """A fill that is nowhere yet."""
    monkeypatch.setattr("sys.stdin", standard_input("SD oooo\n"))
    found = answer(ask, "regrid", "-", "--feel", "shuffle")
    assert [version["rows"] for version in found["versions"]] == ["SD o.ooo.\n", "SD ooo\n"]


def test_regrid_saves(ask, book) -> None:
    """The home version goes into the book, or the finer one; then it is a fill like any other."""
    status, _, err = ask(*REGRID, "--save", "in threes", "--json")
    assert (status, err) == (0, "saved in fills/fills.yaml, line 2\n")
    status, _, err = ask(*REGRID, "--grid", "finer", "--save", "in sixes")
    assert (status, err) == (0, "saved in fills/fills.yaml, line 2\n")
    assert [path.name for path in (book / "fills").iterdir()] == ["fills.yaml"]
    for name, cells in (("in threes", 3), ("in sixes", 6)):
        (version,) = answer(ask, "regrid", name, "--feel", "half-time shuffle")["versions"]
        assert version["moved_ms"] == 0
        assert len(version["rows"].splitlines()[0].split("|")[1]) == cells


def test_nothing_is_saved_that_is_not_on_offer(ask, book, monkeypatch) -> None:
    """Three drums at once; and a book is needed to save into."""
    monkeypatch.setattr("sys.stdin", standard_input("SD oooo\nT1 oooo\nFT oooo\n"))
    status, out, err = ask("regrid", "-", "--feel", "shuffle", "--save", "no")
    assert (status, out) == (2, "")
    assert "nothing to save: not on the home grid" in err
    assert not (book / "fills").exists()


def test_saving_needs_a_book(ask, tmp_path, monkeypatch) -> None:
    """Elsewhere the shipped patterns can be re-laid, not saved."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (tmp_path / "book.yaml").unlink()
    (tmp_path / "charts" / "test.yaml").unlink()
    monkeypatch.chdir(elsewhere)
    assert ask(*REGRID)[0] == 0
    status, _, err = ask(*REGRID, "--save", "mine")
    assert status == 2
    assert "no book in this folder" in err


def test_vary_as_json(ask) -> None:
    """Six rows, nearest first, each with what changed."""
    rows = answer(ask, "vary", "stairs in threes")["vary"]
    assert len(rows) == 6
    assert set(rows[0]) == {"name", "changed", "distance", "beats", "grid", "voices", "rows"}
    assert [row["distance"] for row in rows] == sorted(row["distance"] for row in rows)
    assert rows == answer(ask, "vary", "stairs in threes")["vary"]


def test_vary_on_screen(ask) -> None:
    """Each with its number, what changed, and its rows; within 60 columns."""
    status, out, _ = ask("vary", "stairs in threes", "--count", "2", "--feel", "half-time shuffle")
    assert status == 0
    assert out.startswith("stairs in threes\n  varied in half-time shuffle at 90 bpm\n")
    assert "\n1 " in out
    assert "\n2 " in out
    assert "\n3 " not in out
    assert "count: t trip, l let" in out
    assert "T1 high tom" in out
    assert max(map(len, out.splitlines())) <= 60


def test_vary_says_where_there_are_not_enough(ask, monkeypatch) -> None:
    """Fewer than asked for: how many, on standard error."""
    monkeypatch.setattr("sys.stdin", standard_input("SD o\nT1 o\nFT o\n"))
    status, out, err = ask("vary", "-", "--json")
    assert (status, json.loads(out)) == (0, {"vary": []})
    assert err.startswith("0 of 6 found")


def test_a_long_fill_is_broken_between_beats(ask, monkeypatch) -> None:
    """Eight beats of sixteenths at 40 columns: every line fits."""
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setattr("sys.stdin", standard_input("SD " + "|".join(["oooo"] * 8) + "\n"))
    status, out, _ = ask("vary", "-", "--feel", "straight sixteenths", "--count", "1")
    assert status == 0
    assert max(len(line) for line in out.splitlines() if not line.startswith("  varied")) <= 40
    assert out.count("count ") == 2


def test_suggest_into_a_hit_says_how_the_chart_writes_it(ask, book) -> None:
    """The place of the hit in braces; the fill is drawn where it is played, up to the upbeat of four."""
    song = chart("Verse (4): {hits: 4.4&}", "Chorus (4)", head="").replace("Test", "Kick")
    write_book(book, charts__kick=song)
    status, out, _ = ask("suggest", "kick", "verse")
    first = answer(ask, "suggest", "kick", "verse")["suggest"][0]["name"]
    assert status == 0
    assert f"in the chart: fills: {{4.4&: {first}}}" in out
    count = next(line for line in out.splitlines() if line.lstrip().startswith("count"))
    assert [word for word in count.split() if word.isdecimal()] == ["3", "4"]
    write_book(book, charts__kick=song.replace("hits: 4.4&", f"hits: 4.4&, fills: {{4.4&: {first}}}"))
    assert ask("check", "kick")[0] == 0


def test_suggest_into_another_feel_says_how_the_chart_writes_it(ask, book) -> None:
    """The second is played in the next feel, and a line gives what to write for it."""
    song = chart("Verse (4)", "Chorus (4): {feel: shuffle}", head="").replace("Test", "Turn")
    write_book(book, charts__turn=song)
    rows = answer(ask, "suggest", "turn", "verse")["suggest"]
    assert [row["sets_up"] for row in rows[:3]] == [False, True, False]
    assert [row["feel"] for row in rows[:3]] == ["straight eighths", "shuffle", "straight eighths"]
    assert (
        f"in the chart: fill: {{use: {rows[1]['name']}, sets-up: next}}" in ask("suggest", "turn", "verse")[1]
    )


def test_a_clash_moved_to_the_grid_can_be_kept(ask) -> None:
    """The line to paste saves it under the name that is shown, made for the feel."""
    out = " ".join(ask("suggest", "test", "chorus")[1].split())
    assert 'to keep it: feelmap regrid "sixteenths round the kit" --feel "half-time shuffle" --save' in out
    assert 'others like it: feelmap vary "sixteenths round the kit"' in out
    name = "sixteenths round the kit re-laid"
    assert answer(ask, "suggest", "test", "chorus")["suggest"][0]["name"] == name
    assert ask(*REGRID, "--save", name)[0] == 0
    (row,) = answer(ask, "fills", name)["fills"]
    assert row["made_for"] == ["half-time shuffle"]


def test_suggested_rows_say_that_pairs_are_swung(ask, book) -> None:
    """As ``fills --json`` does: rows written even and played long and short."""
    song = chart("Verse (4)", "Chorus (4)", head="", feel="swing", tempo="140").replace("Test", "Swung")
    write_book(book, charts__swung=song)
    rows = answer(ask, "suggest", "swung", "verse", "--count", "100")["suggest"]
    swung = {row["name"]: row["swung"] for row in rows}
    assert (swung["eighths as read"], swung["short pickup"]) == (True, False)


def test_vary_takes_the_feel_that_a_fill_is_made_for(ask) -> None:
    """The first feel that it names and fits, not the first that it fits."""
    assert "varied in samba at" in ask("vary", "samba break")[1]
    assert "varied in half-time shuffle at" in ask("vary", "bass in the middle")[1]
