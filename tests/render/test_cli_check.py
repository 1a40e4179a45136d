"""The command check: what is checked, exit status, JSON."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest
from support import write_book

from render.cli.app import run

GOOD = "title: Good\ntempo: 100\nfeel: shuffle\nform: [Verse (8)]\n"
CLASH = "title: Clash\ntempo: 92\nfeel: shuffle\nform:\n  - Verse (8): {fill: sixteenths round the kit}\n"
NOTE = "title: Odd\ntempo: 92\nfeel: shuffle\nform:\n  - Verse (7)\n"


def check(tmp_path: Path, *arguments: str) -> int:
    return run(["check", *arguments, "--book", str(tmp_path)])


def test_errors_are_1_notes_are_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Warnings and notes alone are no failure."""
    write_book(tmp_path, charts__good=GOOD, charts__odd=NOTE)
    assert check(tmp_path) == 0
    write_book(tmp_path, charts__clash=CLASH)
    assert check(tmp_path) == 1
    assert "checked 3 charts: 1 error, 1 note" in capsys.readouterr().err


def test_notes_are_counted_and_listed_on_request(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Those of a set list only where it is named, since gig shows them; JSON has them all."""
    gig = "gig: Quay\nsets: [{songs: [Good, Odd, Good]}]\n"
    write_book(tmp_path, charts__good=GOOD, charts__odd=NOTE, setlists__quay=gig)
    assert check(tmp_path) == 0
    said = capsys.readouterr()
    assert ("", "notes (--notes lists them)") == (said.out, said.err.rstrip("\n")[-26:])
    check(tmp_path, "--notes")
    said = capsys.readouterr()
    assert "Odd: Verse has 7 bars" in said.out
    assert "song 1" not in said.out
    assert "--notes" not in said.err
    check(tmp_path, "--notes", "quay")
    assert "setlists/quay.yaml:2" in capsys.readouterr().out
    check(tmp_path, "--json")
    levels = [each["level"] for each in json.loads(capsys.readouterr().out)["findings"]]
    assert ["note"] * len(levels) == levels
    assert levels


def test_the_rules_of_what_is_listed_are_named_at_the_end(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ready to paste, each once; nothing where all is good."""
    write_book(tmp_path, charts__clash=CLASH, charts__worse=CLASH)
    check(tmp_path)
    assert "feelmap why grid" == capsys.readouterr().err.splitlines()[-1]


def test_why_is_explain(capsys: pytest.CaptureFixture[str]) -> None:
    """The command and the option say the same."""
    assert (0, 0) == (run(["why", "grid"]), run(["check", "--explain", "grid"]))
    out = capsys.readouterr().out
    assert out[: len(out) // 2] == out[len(out) // 2 :]
    assert "Why it matters:" in out
    assert 2 == run(["why", "gird"])
    assert "did you mean grid?" in capsys.readouterr().err


def test_the_errors_are_told_once_more_at_the_end_of_a_long_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a line each within the width, on standard error; a short answer is seen whole without."""
    monkeypatch.setenv("COLUMNS", "60")
    write_book(tmp_path, charts__clash=CLASH, charts__odd=NOTE)
    assert check(tmp_path) == 1
    assert capsys.readouterr().err == (
        "checked 2 charts: 1 error, 1 note (--notes lists them)\nfeelmap why grid\n"
    )
    write_book(tmp_path, charts__odd=NOTE + "".join(f"  - Part {n} (7)\n" for n in range(5)))
    assert check(tmp_path) == 1
    assert capsys.readouterr().err.splitlines() == [
        "checked 2 charts: 1 error, 6 notes (--notes lists them)",
        "feelmap why grid",
    ]
    check(tmp_path, "--notes")
    told = capsys.readouterr().err.splitlines()
    assert "checked 2 charts: 1 error, 6 notes" == told[0]
    assert told[1].startswith("  charts/clash.yaml:5: ")
    assert len(told[1]) <= 60
    bad = "title: Bad\ntempo: 92\nfeel: shuffle\nform:\n" + "".join(
        f"  - Part {n} (8): {{fill: no such}}\n" for n in range(20)
    )
    write_book(tmp_path, charts__bad=bad)
    check(tmp_path)
    told = capsys.readouterr().err.splitlines()
    assert (len(told), told[-2:]) == (15, ["  and 9 more errors", "feelmap why unknown; feelmap why grid"])


def test_an_unreadable_file_is_a_finding_and_the_rest_is_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rule file, exit 1."""
    write_book(tmp_path, charts__clash=CLASH)
    (tmp_path / "charts" / "bad.yaml").write_bytes(b"title: \xff\n")
    assert check(tmp_path, "--json") == 1
    found = json.loads(capsys.readouterr().out)
    assert {("file", "charts/bad.yaml"), ("grid", "charts/clash.yaml")} == {
        (each["rule"], each["file"]) for each in found["findings"]
    }
    assert found["checked"] == {"charts": 2, "setlists": 0, "fills": 0}


def test_what_is_named_is_checked_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By part of the title, by file, by path."""
    write_book(tmp_path, charts__clash=CLASH, charts__good=GOOD)
    assert [0, 0, 1, 1] == [
        check(tmp_path, name)
        for name in ("good", "good.yaml", "clash", str(tmp_path / "charts" / "clash.yaml"))
    ]
    assert check(tmp_path, "nonesuch") == 2
    assert "no chart or set list is called “nonesuch”" in capsys.readouterr().err


def test_a_path_inside_the_book_is_named_by_what_is_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """From any folder: a set list's path is not taken for a chart's."""
    gig = "gig: Quay\nsets:\n  - songs: [Good]\n"
    (tmp_path / "book").mkdir()
    write_book(tmp_path / "book", charts__good=GOOD, setlists__quay=gig)
    monkeypatch.chdir(tmp_path)
    for name, told in (("setlists/quay.yaml", "1 set list"), ("charts/good.yaml", "1 chart")):
        check(tmp_path / "book", name)
        assert f"checked {told}" in capsys.readouterr().err


def test_a_folder_is_checked_file_by_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder of a book, the book itself, any folder with charts; an empty one is told."""
    write_book(tmp_path, charts__clash=CLASH, charts__good=GOOD, fills__mine="fills: {a: {rows: SD oooo}}")
    for folder, told in (
        ("charts", "checked 2 charts: 1 error"),
        ("fills", "checked 1 fill: all good"),
        ("", "checked 2 charts, 1 fill: 1 error"),
    ):
        check(tmp_path, str(tmp_path / folder))
        assert told in capsys.readouterr().err
    (tmp_path / "empty").mkdir()
    assert check(tmp_path, str(tmp_path / "empty")) == 2
    assert "no file of a book is in" in capsys.readouterr().err


@pytest.mark.parametrize("named", [False, True])
def test_a_long_check_shows_how_far_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, named: bool
) -> None:
    """On the terminal behind standard error, of a book and of what is named; wiped before the summary."""

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    write_book(tmp_path, charts__good=GOOD, charts__odd=NOTE)
    monkeypatch.setattr("render.terminal.progress.PATIENCE_SECONDS", 0)
    monkeypatch.setattr("sys.stderr", Terminal())
    assert check(tmp_path, *([str(tmp_path / "charts")] if named else [])) == 0
    shown, _, summary = sys.stderr.getvalue().rpartition("\x1b[2K")  # type: ignore[attr-defined]
    assert "check " in shown
    assert "100%" in shown
    assert summary.startswith("checked 2 charts")


def test_a_file_that_is_not_read_for_its_ending_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of every folder of the book; what an editor keeps hidden or aside is nobody's chart."""
    write_book(tmp_path, charts__good=GOOD)
    for name in ("charts/Blue.Y.yaml.txt", "charts/Loud.YAML", "charts/.a.yaml.txt", "charts/good.yaml~"):
        (tmp_path / name).write_text(GOOD)
    assert check(tmp_path) == 0
    said = capsys.readouterr()
    told = said.out.split("warning: this file is not read")
    assert ["charts/Blue.Y.yaml.txt:1:1: ", "charts/Loud.YAML:1:1: "] == [
        before.rsplit("\n", 1)[-1] for before in told[:-1]
    ]
    assert "name it Blue.Y.yaml" in said.out
    assert "name it Loud.yaml" in said.out
    assert "checked 1 chart: 2 warnings" in said.err


def test_settings_and_feels_are_files_that_were_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Told from top to bottom, and counted as files."""
    write_book(tmp_path, charts__good=GOOD)
    (tmp_path / "book.yaml").write_text("name: x\n")
    assert check(tmp_path, str(tmp_path / "book.yaml")) == 0
    assert capsys.readouterr().err == "checked 1 file: all good\n"
    (tmp_path / "book.yaml").write_text("paper: A5\ntolerance: x\ncolour: red\n")
    assert check(tmp_path, "--json", str(tmp_path / "book.yaml")) == 1
    assert [each["line"] for each in json.loads(capsys.readouterr().out)["findings"]] == [1, 2, 3]


def test_what_is_wrong_with_fills_is_told_from_top_to_bottom(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever reading finds first."""
    text = "fills:\n  a:\n    row: |\n      SD o\n  b:\n    rows: |\n      SD o?\n      SD ..\n"
    write_book(tmp_path, fills__mine=text)
    for asked in ([], [str(tmp_path / "fills" / "mine.yaml")]):
        assert check(tmp_path, "--json", *asked) == 1
        found = json.loads(capsys.readouterr().out)["findings"]
        places = [(each["line"], each["column"]) for each in found]
        assert places == sorted(places)
        assert len(places) > 3


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("nosuch", "no chart or set list is called “nosuch”\n  feelmap find lists every chart"),
        ("quay steet", "did you mean Quay Street?"),
        ("cash", "did you mean Clash?"),
        ("../nowhere.yaml", "no file is called ../nowhere.yaml"),
    ],
)
def test_a_name_that_nothing_has(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, told: str
) -> None:
    """Charts and set lists are both looked through; a path is told as a path."""
    write_book(tmp_path, charts__clash=CLASH, setlists__quay="gig: Quay Street\nsets: [{songs: [Clash]}]\n")
    assert check(tmp_path, name) == 2
    assert told in capsys.readouterr().err


def test_a_books_own_patterns_feels_and_settings_are_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each problem at its place in its own file."""
    write_book(
        tmp_path,
        fills__own="fills:\n  odd one:\n    rows: |\n      SD oqo\n",
        feels="feels:\n  x: {divides: [2], swing: 2}\n",
    )
    (tmp_path / "book.yaml").write_text("papre: A4\n")
    assert check(tmp_path) == 1
    out = capsys.readouterr().out
    for place in (
        "fills/own.yaml:4:11: error: “q” is not a stroke",
        "feels.yaml:2:28: error: ",
        "book.yaml:1:1: error: ",
    ):
        assert place in out


def test_the_check_finds_nothing_to_say(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Then it says so, on standard error; standard output is empty."""
    write_book(tmp_path, charts__good=GOOD)
    assert check(tmp_path) == 0
    out, err = capsys.readouterr()
    assert ("", "checked 1 chart: all good\n") == (out, err)


def test_a_rule_is_explained_within_the_width(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its sentences folded, its examples as they would be written."""
    monkeypatch.setenv("COLUMNS", "60")
    assert run(["check", "--explain", "stop"]) == 0
    narrow = capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", "100")
    assert run(["check", "--explain", "stop"]) == 0
    wide = capsys.readouterr().out
    assert narrow.split() == wide.split()
    prose = [line for line in narrow.splitlines() if not line.startswith(" ")]
    assert max(map(len, prose)) <= 60 < max(map(len, wide.splitlines()))
    assert [line for line in narrow.splitlines() if line.startswith(" ")] == [
        line for line in wide.splitlines() if line.startswith(" ")
    ]


def test_explain_prints_a_rule_and_offers_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """Every rule can be asked for."""
    assert run(["check", "--explain", "grid"]) == 0
    assert "Right:" in capsys.readouterr().out
    assert run(["check", "--explain", "gird"]) == 2
    assert "did you mean grid?" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "text", "place"),
    [
        (
            "feels.yaml",
            "feels:\n  x: {divides: [2], swing: 2}\n",
            "feels.yaml:2:28: error: only a beat",
        ),
        ("setlists/hall.yaml", "sets: []\n", "setlists/hall.yaml:1:7: error: sets has no set"),
        ("loose.yaml", "gig: Hall\nsets:\n  - songs: [Goood]\n", "loose.yaml:3:13: error: no song"),
        ("loose.yaml", "fills:\n  x: {rows: SD q}\n", "loose.yaml:2:13: error: “q” is not a stroke"),
        ("loose.yaml", "title: T\ntempo: x\n", "loose.yaml:2:8: error: “x” is not a tempo"),
        ("charts/cut.yaml", "\xff", "charts/cut.yaml:1:1: error: byte 0xff is not UTF-8"),
    ],
)
def test_a_file_is_checked_by_what_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, text: str, place: str
) -> None:
    """Its name or its folder says so, else its first key; set lists by their name, too."""
    write_book(tmp_path, charts__good=GOOD)
    path = tmp_path / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(text.encode("latin-1") if text == "\xff" else text.encode())
    assert check(tmp_path, str(path)) == 1
    assert place in capsys.readouterr().out


def test_a_set_list_is_checked_by_its_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where no chart is called so."""
    write_book(tmp_path, charts__good=GOOD, setlists__hall="gig: Quay Hall\nsets: [{songs: [Good]}]\n")
    assert check(tmp_path, "quay") == 0
    assert "checked 1 set list: all good" in capsys.readouterr().err
