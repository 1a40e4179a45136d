"""The commands that write a user's files: ``start``, ``new``, ``pencil``."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from charts.book import Book
from charts.check.run import check_chart
from render.cli.app import run
from setlists.empty_book import TEXTS

CHART = b"""\
\xef\xbb\xbftitle: Harbour Lights\r
tempo: 92 # felt\r
feel: shuffle\r
form:\r
  - Verse (8)\r
  - Chorus (8): {cue: 'in', dynamics: f}\r
  - Verse\r
  - Chorus"""
FORM = "Intro (4), Verse (8), Chorus (4+4) x2, Verse, Solo (12) x2 open, Chorus"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    (folder / "charts").mkdir(parents=True)
    (folder / "book.yaml").touch()
    (folder / "charts" / "harbour-lights.yaml").write_bytes(CHART)
    return folder


def feelmap(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    """Status, standard output, standard error of a command."""
    status = run([str(each) for each in arguments])
    told = capsys.readouterr()
    return status, told.out, told.err


# pencil


def test_pencil_changes_the_file(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One value is changed; the mark at the start, line ends and the missing last one stay."""
    path = book / "charts" / "harbour-lights.yaml"
    path.chmod(0o600)
    status, out, err = feelmap(capsys, "pencil", "harb", "chorus", "--cue", "wait, then in", "--book", book)
    assert (status, out) == (0, "charts/harbour-lights.yaml:6: Chorus: cue “wait, then in” (was “in”)\n")
    assert "both appearances of Chorus" in err
    assert path.read_bytes() == CHART.replace(b"'in'", b"'wait, then in'")
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    ("section", "repeats", "told"),
    [
        ("Chorus", 0, ""),
        ("Chorus", 1, "this holds for both appearances of Chorus"),
        ("Chorus", 2, "this holds for all 3 appearances of Chorus"),
        ("Chorus", 3, "this holds for all 4 appearances of Chorus"),
        ("Chorus#2", 3, ""),
    ],
)
def test_pencil_reports_how_many_appearances_it_holds_for(
    book: Path, section: str, repeats: int, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The repeats of the line that was changed, itself among them; nothing where it is alone."""
    path = book / "charts" / "harbour-lights.yaml"
    path.write_bytes(CHART.removesuffix(b"\r\n  - Chorus") + b"\r\n  - Chorus" * repeats)
    status, _, err = feelmap(capsys, "pencil", path, section, "--cue", "go", "--book", book)
    assert (0, f"{told}, where they do not say otherwise\n" if told else "") == (status, err)


def test_pencil_song_and_bar(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The song's own tempo, and a cue at a bar of the last line of a file without a line end."""
    path = book / "charts" / "harbour-lights.yaml"
    assert feelmap(capsys, "pencil", path, "--tempo", "96", "--book", book)[0] == 0
    status, out, _ = feelmap(capsys, "pencil", path, "Chorus#2", "--cue", "out", "--bar", "8", "--book", book)
    assert (status, out) == (0, "charts/harbour-lights.yaml:8: Chorus#2, bar 8: cue “out” (new)\n")
    assert path.read_bytes() == CHART.replace(b"92", b"96") + b": {cues: {8: out}}"


def test_pencil_tells_a_fill_that_cannot_be_read(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is there, so no other name is offered."""
    (book / "fills").mkdir(exist_ok=True)
    (book / "fills" / "mine.yaml").write_text("fills: {our own turn: {rows: SD o?}}\n")
    path = book / "charts" / "harbour-lights.yaml"
    status, _, err = feelmap(capsys, "pencil", path, "Chorus", "--fill", "our own turn", "--book", book)
    assert status == 2
    assert "the fill “our own turn” cannot be read" in err
    assert "feelmap check explains" in err


def test_pencil_none_removes(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is there goes, and is told; a second time there is nothing to do."""
    path = book / "charts" / "harbour-lights.yaml"
    marking = ("pencil", "harb", "chorus", "--cue", "none", "--book", book)
    status, out, err = feelmap(capsys, *marking)
    assert (status, out) == (0, "charts/harbour-lights.yaml:6: Chorus: removed cue (was “in”)\n")
    assert path.read_bytes() == CHART.replace(b"cue: 'in', ", b"")
    status, out, err = feelmap(capsys, *marking)
    assert (status, out) == (0, "")
    assert "says so already" in err


def test_pencil_through_a_link(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A chart that is a link elsewhere is changed there, and stays a link."""
    path, far = book / "charts" / "harbour-lights.yaml", book.parent / "far.yaml"
    path.rename(far)
    path.symlink_to(far)
    assert feelmap(capsys, "pencil", "harbour", "--tempo", "90", "--book", book)[0] == 0
    assert path.is_symlink()
    assert far.read_bytes() == CHART.replace(b"92", b"90")


def test_pencil_read_only(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A read-only chart is refused, but its difference can be shown."""
    path = book / "charts" / "harbour-lights.yaml"
    path.chmod(0o444)
    status, out, err = feelmap(capsys, "pencil", "harbour", "--tempo", "90", "--book", book)
    assert (status, out) == (2, "")
    assert "read-only" in err
    assert feelmap(capsys, "pencil", "harbour", "--tempo", "90", "--dry-run", "--book", book)[0] == 0
    assert path.read_bytes() == CHART
    assert os.listdir(path.parent) == ["harbour-lights.yaml"]


def test_dry_run_is_a_patch(book: Path, capfdbinary: pytest.CaptureFixture[bytes], tmp_path: Path) -> None:
    """--dry-run writes nothing; what it prints, applied by a patch program, is what would be written."""
    path = book / "charts" / "harbour-lights.yaml"
    assert run(["pencil", "harbour", "Chorus#2", "--cue", "in", "--dry-run", "--book", str(book)]) == 0
    patch = capfdbinary.readouterr().out
    assert path.read_bytes() == CHART
    assert patch.count(b"\\ No newline at end of file") == 2
    applied = subprocess.run(
        ["git", "apply", "--unsafe-paths", "-p0", "-"], cwd=book, input=patch, capture_output=True
    )
    assert applied.returncode == 0, applied.stderr
    assert path.read_bytes() == CHART + b": {cue: in}"


def test_pencil_says_so_already(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A value that is there already is not written again."""
    path = book / "charts" / "harbour-lights.yaml"
    before = path.stat().st_ino
    status, out, err = feelmap(capsys, "pencil", "harbour", "--tempo", "92", "--book", book)
    assert (status, out) == (0, "")
    assert "says so already" in err
    assert path.stat().st_ino == before


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["harbour"], "name what to write"),
        (["harbour", "--tempo", "90", "--feel", "swing"], "name one thing"),
        (["harbour", "--cue", "in"], "belongs to a section"),
        (["harbour", "chorsu", "--cue", "in"], "did you mean Chorus?"),
        (["harbor lihgts", "--tempo", "90"], "did you mean Harbour Lights?"),
        (["harbour", "chorus", "--bars", "0"], "is not a number of bars"),
        (["harbour", "chorus", "--fill", "stairs in fives"], "no fill is called"),
        (["harbour", "chorus", "--cue", "x", "--bar", "9"], "no bar 9"),
    ],
)
def test_pencil_refused(
    book: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], message: str
) -> None:
    """What cannot be done has status 2, a message, nothing on standard output and nothing written."""
    status, out, err = feelmap(capsys, "pencil", *arguments, "--book", book)
    assert (status, out) == (2, "")
    assert message in err
    assert "Traceback" not in err
    assert (book / "charts" / "harbour-lights.yaml").read_bytes() == CHART


# new


def test_new_passes_the_check(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A chart from one line is in the book, its file named after its title; only its odd key is noted."""
    status, out, err = feelmap(
        capsys, "new", "L'Été: fin", "--feel", "Half time shuffle", "--tempo", "92", "--form", FORM,
        "--key", "no", "--meter", "4/4", "--by", "[us]", "--book", book,
    )  # fmt: skip
    path = book / "charts" / "lete-fin.yaml"
    assert (status, out) == (0, f"{path}\n")
    assert err.startswith("“no” is not a key: write it like Bb")
    song = Book(book).song("ete")
    assert (song.title, song.key, song.by, song.tempo) == ("L'Été: fin", "no", "[us]", 92)
    assert [(s.name, s.phrases, s.times, s.open) for s in song.form] == [
        ("Intro", (4,), 1, False), ("Verse", (8,), 1, False), ("Chorus", (4, 4), 2, False),
        ("Verse", (8,), 1, False), ("Solo", (12,), 2, True), ("Chorus", (4, 4), 2, False),
    ]  # fmt: skip
    assert [(found.rule, found.level) for found in check_chart(Book(book), path)] == [("key", "note")]


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"--feel": "shufle"}, "did you mean shuffle?"),
        ({"--tempo": "fast"}, "is not a tempo"),
        ({"--tempo": "500"}, "out of range"),
        ({"--form": "Intro"}, "write Intro (8)"),
        ({"--form": "Intro 8, Verse 16"}, "write Intro (8), or"),
        ({"--form": "Keys solo (12) open x3"}, "write Keys solo (12) x3 open"),
        ({"--form": "Intro (4),, Verse (8)"}, "empty part"),
        ({"--form": "Intro (4"}, "closing bracket"),
        ({"--form": "Intro (4) x 2"}, "write x2"),
        ({"--meter": "5/7"}, "5/7"),
        ({"--key": "\x07"}, "control character U+0007"),
        ({"--form": "Bro\x07ken (8)"}, "control character U+0007"),
    ],
)
def test_new_refused(
    book: Path, capsys: pytest.CaptureFixture[str], given: dict[str, str], message: str
) -> None:
    """What cannot be a chart is refused and nothing is written."""
    options = {"--feel": "shuffle", "--tempo": "100", "--form": "Verse (8)", **given}
    flat = [word for pair in options.items() for word in pair]
    status, out, err = feelmap(capsys, "new", "Song", *flat, "--book", book)
    assert (status, out) == (2, "")
    assert message in err
    assert os.listdir(book / "charts") == ["harbour-lights.yaml"]


def test_new_needs_a_title(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Blanks are none."""
    asked = ("--feel", "shuffle", "--tempo", "100", "--form", "Verse (8)", "--book", book)
    assert (2, "", "feelmap: the title is empty\n  write a few words\n") == feelmap(
        capsys, "new", " ", *asked
    )


@pytest.mark.parametrize("title", ["Harbour Lights", "harbour—LIGHTS", "Hárbour Lights"])
def test_new_overwrites_nothing(book: Path, capsys: pytest.CaptureFixture[str], title: str) -> None:
    """A song of that title, or a file of that name, is left alone."""
    status, _, err = feelmap(
        capsys, "new", title, "--feel", "swing", "--tempo", "90", "--form", "A (8)", "--book", book
    )
    assert status == 2
    assert "already there" in err
    assert (book / "charts" / "harbour-lights.yaml").read_bytes() == CHART


# start


def test_start_makes_a_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A new book is found, has nothing in it, and takes a chart."""
    folder = tmp_path / "gigs: 2026" / "our book"
    status, out, err = feelmap(capsys, "start", folder)
    assert status == 0
    assert out.splitlines() == [str(folder / name) for name in TEXTS]
    assert f'next: cd "{folder}", then feelmap new' in err
    book = Book.find(folder)
    assert book.settings.name == "our book"
    assert (book.chart_paths(), book.setlist_paths(), book.findings) == ([], [], [])
    assert feelmap(capsys, "check", "--book", folder)[2] == "checked nothing: this book has no charts yet\n"
    new = ("new", "A", "--feel", "swing", "--tempo", "90", "--form", "A (8)", "--book", folder)
    assert feelmap(capsys, *new)[0] == 0
    assert feelmap(capsys, "check", "--book", folder)[0] == 0


def test_start_overwrites_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder that is a book, or holds one of the files, is left as it is."""
    assert feelmap(capsys, "start", tmp_path / "a")[0] == 0
    assert feelmap(capsys, "start", tmp_path / "a")[0] == 2
    (tmp_path / "b" / "fills").mkdir(parents=True)
    (tmp_path / "b" / "fills" / "README.md").write_text("mine")
    status, out, err = feelmap(capsys, "start", tmp_path / "b")
    assert (status, out) == (2, "")
    assert "is already there" in err
    assert sorted(path.name for path in (tmp_path / "b").rglob("*")) == ["README.md", "fills"]


def test_start_takes_back_what_it_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where the last file cannot be written, the first ones and their folders go again."""
    (tmp_path / "file").touch()
    assert feelmap(capsys, "start", tmp_path / "file" / "book")[0] == 2
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", _after(3))
        assert feelmap(capsys, "start", tmp_path / "deep" / "book")[0] == 2
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def _after(count: int) -> object:
    """An fsync that fails after so many calls, as on a full disk."""
    calls = iter(range(count))

    def sync(_: int) -> None:
        if next(calls, None) is None:
            raise OSError(28, "No space left on device")

    return sync
