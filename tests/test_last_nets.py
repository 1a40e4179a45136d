"""What holds when something goes wrong that nobody foresaw, or when two write at once."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_run import feelmap
from support import chart, findings, write_book

from charts.book import Book
from charts.check import run
from charts.editing import files
from charts.editing.wish import Wish
from charts.source import FeelmapError
from charts.writing import write_over
from render.cli import app

FEELMAP = [sys.executable, "-c", "from render.cli import main; main()"]


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    """A book with one chart, the current folder."""
    monkeypatch.chdir(tmp_path)
    return write_book(tmp_path, charts__porch=chart("Verse (8)", "Chorus (8)"))


@pytest.mark.usefixtures("book")
@pytest.mark.parametrize("command", ["check", "show porch", "find porch"])
def test_a_fault_of_the_program_ends_in_a_message(command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Status 2, nothing on standard output, the fault in a line; no traceback."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError("by nought")

    monkeypatch.delenv("FEELMAP_TRACEBACK")
    monkeypatch.setattr(Book, "chart_paths", fail)
    done = feelmap(*command.split())
    assert (2, "") == (done.status, done.out)
    assert "Feelmap itself failed (ZeroDivisionError: by nought)" in done.err
    assert "Traceback" not in done.err


@pytest.mark.usefixtures("book")
def test_a_fault_shows_whole_where_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """FEELMAP_TRACEBACK lets it through."""
    monkeypatch.setenv("FEELMAP_TRACEBACK", "1")
    monkeypatch.setattr(app, "_answer", lambda _: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        app.run(["check"])


@pytest.mark.usefixtures("book")
def test_two_pencils_at_once_lose_nothing(tmp_path: Path) -> None:
    """Of twelve at the same time each either makes its mark or says that the file changed."""
    calls = [
        [*FEELMAP, "pencil", "porch", "verse", "--bar", str(bar), "--cue", f"cue {bar}"]
        for bar in range(1, 9)
    ]
    running = [
        subprocess.Popen(call, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True) for call in calls
    ]
    ends = [(process.communicate()[1], process.returncode) for process in running]
    text = (tmp_path / "charts/porch.yaml").read_text()
    for bar, (told, status) in enumerate(ends, 1):
        assert (f"cue {bar}" in text) == (status == 0), told
        assert status == 0 or "changed while this command worked on it" in told
    assert any(status == 0 for _, status in ends)


def test_a_file_that_changed_meanwhile_is_left_as_it_is(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What somebody else wrote between reading and writing stays."""
    path = tmp_path / "charts/porch.yaml"
    real = files.pencil

    def slow(*given: object) -> object:
        done = real(*given)  # type: ignore[arg-type]  # as it was called
        path.write_text("title: Another\n")
        return done

    monkeypatch.setattr(files, "pencil", slow)
    with pytest.raises(FeelmapError, match="changed while"):
        files.mark_chart(book, path, Wish("tempo", "90"))
    assert "title: Another\n" == path.read_text()


def test_a_new_file_does_not_replace_one_that_appeared(tmp_path: Path) -> None:
    """Where there was none before, one that is there now stays."""
    (tmp_path / "fills.yaml").write_bytes(b"theirs")
    with pytest.raises(FeelmapError, match="already there"):
        write_over(tmp_path / "fills.yaml", None, b"ours")
    assert b"theirs" == (tmp_path / "fills.yaml").read_bytes()


@pytest.mark.usefixtures("book")
def test_an_output_does_not_reach_a_chart_through_a_link(tmp_path: Path) -> None:
    """A link of another ending is refused; one to the same kind of file is followed."""
    before = (tmp_path / "charts/porch.yaml").read_bytes()
    os.symlink("charts/porch.yaml", tmp_path / "out.mid")
    done = feelmap("click", "porch", "-o", "out.mid")
    assert 2 == done.status
    assert "out.mid is a link to" in done.err
    assert before == (tmp_path / "charts/porch.yaml").read_bytes()
    os.symlink("there.mid", tmp_path / "same.mid")
    assert 0 == feelmap("click", "porch", "-o", "same.mid").status
    assert b"MThd" == (tmp_path / "there.mid").read_bytes()[:4]


@pytest.mark.parametrize(("extra", "last"), [(0, None), (1, "1 more finding in this file is not listed"), (7, "7 more findings in this file are not listed")])  # fmt: skip
def test_very_many_findings_are_cut_with_a_word(
    extra: int, last: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The worst are listed, then how many are left out."""
    monkeypatch.setattr(run, "MOST_LISTED", 5)
    lines = [f"Part {number} (8): {{fill: nothing {number}}}" for number in range(3 + extra)]
    found = findings(chart("Odd one (7)", "Odd two (5)", *lines))
    assert 5 + (last is not None) == len(found)
    assert last == (found[-1].message if last else None)
    assert min(5, 3 + extra) == sum(finding.is_error for finding in found[:5])


@pytest.mark.parametrize("written", ["7/8 (2 2 3)", "7/8 (2+2 3)", " 7 / 8 (2+2+3) "])
def test_the_groups_of_a_meter_may_be_written_with_spaces(written: str) -> None:
    """A space is read as a plus."""
    assert [] == [f.message for f in findings(chart("Verse (8)", head=f"meter: {written}\n")) if f.is_error]


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("meter", "4/4 (" + " " * 60_000),
        ("meter", "4/4 (" + "2 " * 30_000 + "x"),
        ("meter", "7/8 (" + "2" * 5_000 + ")"),
        ("pickup", "1" * 4_400 + " beats"),
        ("tempo", "92" + " " * 60_000 + "a b"),
    ],
)
def test_long_values_are_refused_at_once(key: str, value: str) -> None:
    """Readers go over a value once."""
    head = f'{key}: "{value}"\n' if key != "tempo" else ""
    text = (
        chart("Verse (8)", head=head)
        if head
        else chart("Verse (8)").replace("tempo: 100", f'tempo: "{value}"')
    )
    assert any(finding.is_error for finding in findings(text))


def test_a_song_of_hundreds_of_unknown_fills_is_printed(book: Book, tmp_path: Path) -> None:
    """With a warning that it is too much for a page, never a fault."""
    fills = ", ".join(f"{bar}: nothing {bar}" for bar in range(1, 301))
    write_book(tmp_path, charts__fat=chart(f"Part (300): {{fills: {{{fills}}}}}").replace("Test", "Fat", 1))
    done = feelmap("page", "fat", "-o", "fat.pdf")
    assert 0 == done.status
    assert "too much for one page" in done.err
    assert b"%PDF" == (tmp_path / "fat.pdf").read_bytes()[:4]
