"""Hostile files, names and surroundings: a message in our own words, or an answer; never a traceback."""

from __future__ import annotations

import io
import json
import os
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from cli_run import Done, feelmap, is_in_our_voice, restore, tree, wrong

from render.json_text import json_text

CHART = "title: Lamp Black\ntempo: 100\nfeel: shuffle\nform: [Verse (8), Chorus (8)]\n"
GIG = "gig: Boat Club\nsets:\n  - songs: [Lamp Black]\n"
FORM = "title: Lamp Black\ntempo: 100\nfeel: shuffle\nform:\n"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book of one chart and one set list, which is where we stand."""
    for name, text in (
        ("charts/lamp-black.yaml", CHART),
        ("setlists/boat-club.yaml", GIG),
        ("fills/own.yaml", ""),
    ):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("FEELMAP_BOOK", raising=False)
    return tmp_path


@contextmanager
def soon(seconds: int = 5) -> Iterator[None]:
    """What waits for ever fails instead."""

    def ring(*_: object) -> None:
        raise TimeoutError(f"no answer in {seconds} s")

    kept = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, kept)


def answers(*arguments: str, **more: object) -> Done:
    """A command that ends as it should, whatever it says."""
    with soon():
        done = feelmap(*arguments, **more)  # type: ignore[arg-type]
    assert wrong(done, arguments) is None, (wrong(done, arguments), arguments, done)
    return done


# what a file may hold

TOLD = {
    "alias bomb": (
        "a: &a [x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b]\n"
        "d: &d [*c,*c,*c,*c,*c,*c,*c,*c]\ne: &e [*d,*d,*d,*d,*d,*d,*d,*d]\nf: [*e,*e,*e,*e,*e,*e,*e,*e]\n",
        "anchors and aliases",
    ),
    "an alias of itself": ("title: &a [*a]\n", "anchors and aliases"),
    "5,000 brackets": (FORM + "  - " + "[" * 5_000 + "\n", "error:"),
    "5,000 closed brackets": (FORM + "  - " + "[" * 5_000 + "]" * 5_000 + "\n", "nested"),
    "5,000 braces": (FORM + "  - " + "{a: " * 5_000 + "\n", "nested"),
    "5,000 lists": ("- " * 5_000 + "x\n", "nested"),
    "500 levels of indent": ("\n".join(" " * level + "a:" for level in range(500)) + " x\n", "nested"),
    "5,000 keys asked for": ("? " * 5_000 + "x\n", "nested"),
    "a NUL": (CHART.replace("Black", "Bl\0ck"), "U+0000"),
    "a bell": (CHART.replace("Black", "Bl\ack"), "U+0007"),
    "an escaped bell": (CHART.replace("Lamp Black", '"Lamp \\a"'), "U+0007"),
    "an escape for the terminal": (CHART.replace("Lamp Black", '"\\e]0;x\\e[2J"'), "U+001B"),
    "a lone surrogate": (CHART.replace("Black", "\udc80"), "not UTF-8"),
    "an escaped lone surrogate": (CHART.replace("Lamp Black", '"\\ud83d"'), "does not follow"),
    "no character at all": (CHART.replace("Lamp Black", '"\\UFFFFFFFF"'), "does not follow"),
    "UTF-16": (CHART.encode("utf-16"), "not UTF-8"),
    "Latin-1": ("title: Café\n".encode("latin-1"), "not UTF-8"),
    "a document after it": (CHART + "---\n" + CHART, "error:"),
    "a line separator": (CHART.replace("shuffle\n", "shuffle # \u2028 x\n"), "U+2028"),
    "nothing": ("", "empty"),
    "words of comment only": ("# later\n", "empty"),
    "a tag that runs code": ("title: !!python/object/apply:os.system [true]\n", "tags (!)"),
    "a merge": ("base: {a: b}\n<<: {title: x}\n", "no key “<<”"),
    "a million spaces": (CHART + " " * (1 << 20), "1 MiB"),
    "none as its own model": (FORM + "  - Verse (8)\n  - Chorus: {like: Chorus}\n", "no section before this"),
}  # fmt: skip


@pytest.mark.parametrize("name", TOLD)
def test_a_hostile_chart_is_told(name: str, book: Path) -> None:
    """The check says what is wrong and checks the rest; a look-up says that it cannot."""
    content, words = TOLD[name]
    data = content if isinstance(content, bytes) else content.encode("utf-8", "surrogateescape")
    (book / "charts/hostile.yaml").write_bytes(data)
    start = time.process_time()
    done = answers("check")
    assert 1 == done.status
    assert words in done.out
    assert "2 charts" in done.err
    assert 2 == answers("show", "hostile.yaml").status
    assert "Lamp Black" in answers("find").out
    assert time.process_time() - start < 3


@pytest.mark.parametrize(
    "text",
    [
        CHART.replace("\n", "\r\n"),
        CHART.replace("\n", "\r"),
        "\ufeff" + CHART,
        "\ufeff" + CHART.replace("\n", "\r\n"),
        CHART.rstrip("\n"),
        FORM + "  - Verse (8): {like: none}\n",
        "---\n" + CHART + "...\n",
    ],
)
def test_what_other_editors_write_is_read(text: str, book: Path) -> None:
    """Line ends of Windows and of old, a byte-order mark, a missing last line end."""
    (book / "charts/lamp-black.yaml").write_bytes(text.encode())
    assert (0, "") == (answers("check").status, answers("check").out)
    assert "Lamp Black" in answers("show", "lamp").out


def test_a_line_separator_ends_no_line_that_an_editor_ends(book: Path) -> None:
    """YAML breaks lines at U+2028, editors do not; places are the editor's."""
    (book / "charts/lamp-black.yaml").write_text(
        'title: "Lamp \u2028 Black"\ntempo: 100\nfeel: shufle\nform: [A (8)]\n', encoding="utf-8"
    )
    assert "charts/lamp-black.yaml:3:7: error" in answers("check").out


@pytest.mark.parametrize("where", ["setlists/boat-club.yaml", "fills/own.yaml", "feels.yaml", "book.yaml"])
@pytest.mark.parametrize("name", ["alias bomb", "Latin-1", "an escape for the terminal"])
def test_other_hostile_files_are_told(where: str, name: str, book: Path) -> None:
    """Set lists, fills, feels and settings are read with the same care."""
    content, words = TOLD[name]
    (book / where).write_bytes(content if isinstance(content, bytes) else content.encode())
    done = answers("check")
    assert (1, True) == (done.status, words in done.out)
    for line in (["show", "lamp"], ["gig", "boat-club.yaml"], ["feels"]):
        answers(*line)


def test_no_sign_that_a_terminal_obeys_goes_out(book: Path) -> None:
    """Not in what is shown of a broken file, and not in a file's name."""
    (book / "charts/a\x1b[2Jb.yaml").write_text("title: \x1b]0;x\x07\n")
    for line in (["check"], ["find"], ["show", "a\x1b[2J"], ["check", "a\x1b[2Jb.yaml"]):
        done = answers(*line)
        assert not {"\x1b", "\a"} & set(done.out + done.err), line


@pytest.mark.parametrize("sign", ["\x1b[31m", "\u202e", "\u2066", "\u200f"])
def test_no_sign_that_colors_or_turns_text_around_goes_out(book: Path, sign: str) -> None:
    """Not out of a title, a cue, a file's name or a broken line; JSON has it as an escape."""
    (book / f"charts/lamp{sign}x.yaml").write_text(f"title: Lamp {sign}Two\nform: [A (x)]\n")
    if not sign.isascii():
        (book / "charts/tin.yaml").write_text(CHART.replace("Lamp Black", f"Tin {sign}Roof"))
    for line in (["check"], ["find"], ["show", "tin"], ["show", f"lamp{sign}x"], ["fit", f"{sign}.txt"]):
        done = answers(*line)
        assert sign[0] not in done.out + done.err, line
    assert sign[0] not in answers("find", "--json").out


def test_json_escapes_what_a_terminal_would_obey() -> None:
    """U+009B begins an escape sequence on some terminals; a reader of JSON gets it back."""
    said = json_text({"title": "a\x9b31m\u202eb"}, io.StringIO())
    assert said.isascii()
    assert {"title": "a\x9b31m\u202eb"} == json.loads(said)


# what may be in the place of a file


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _giant(path: Path) -> None:
    path.touch()
    os.truncate(path, 1 << 30)


KINDS: dict[str, tuple[Callable[[Path], None], str]] = {
    "a pipe": (_pipe, "pipe"),
    "a sparse file of 1 GiB": (_giant, "larger than 1 MiB"),
    "a folder": (lambda path: path.mkdir(), "directory"),
    "a link to itself": (lambda path: path.symlink_to(path.name), "symbolic links"),
    "a link to nowhere": (lambda path: path.symlink_to("nowhere"), "no such file"),
    "a link to a device": (lambda path: path.symlink_to("/dev/zero"), "device"),
    "a link to its folder": (lambda path: path.symlink_to("."), "directory"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_no_file_is_told(kind: str, book: Path) -> None:
    """It keeps nothing waiting, eats no memory, and everything else is still there."""
    make, words = KINDS[kind]
    for folder in ("charts", "setlists", "fills"):
        make(book / folder / "odd.yaml")
    before = os.listdir(book / "charts")
    start = time.process_time()
    done = answers("check")
    assert (1, 3) == (done.status, done.out.count(words)), done.out
    assert "Lamp Black" in answers("find").out
    assert "Lamp Black" in answers("show", "lamp").out
    assert "Lamp Black" in answers("gig", "boat").out
    assert 0 == answers("fills", "stairs in threes").status
    for line in (["show", "odd.yaml"], ["gig", "odd.yaml"], ["pencil", "odd.yaml", "--tempo", "99"]):
        assert 2 == answers(*line).status
    assert before == os.listdir(book / "charts")
    assert time.process_time() - start < 3


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", ["book.yaml", "feels.yaml"])
def test_what_is_no_settings_file_is_told_or_passed_over(kind: str, name: str, book: Path) -> None:
    """The songs can be looked up all the same."""
    KINDS[kind][0](book / name)
    for line in (
        ["check"],
        ["show", "lamp"],
        ["find"],
        ["fit", "stairs in threes", "--feel", "shuffle", "--tempo", "92"],
    ):
        answers(*line)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_no_folder_is_no_book(kind: str, book: Path) -> None:
    """A book is a folder, and one that is not there is said to be missing."""
    KINDS[kind][0](book / "odd")
    done = answers("show", "lamp", "--book", "odd")
    assert kind in ("a folder", "a link to its folder") or "no folder is called odd" in done.err
    if "folder" not in kind:
        assert 2 == answers("start", "odd").status


def test_a_file_that_vanishes_while_we_look(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It was listed and is gone: told where it matters, passed over where it does not."""
    from charts.book import Book

    real = Book.paths
    monkeypatch.setattr(Book, "paths", lambda self, name: [*real(self, name), book / name / "gone.yaml"])
    done = answers("check")
    assert (1, True) == (done.status, "charts/gone.yaml cannot be read: no such file" in done.out)
    assert "2 charts" in done.err
    for line in (["find"], ["show", "lamp"], ["gig", "boat"], ["fills"]):
        assert 0 == answers(*line).status
    assert 2 == answers("show", "gone").status
    assert 0 == answers("new", "Tar", "--feel", "swing", "--tempo", "90", "--form", "A (4)").status


def test_a_folder_that_vanishes(book: Path) -> None:
    """No folder for set lists, none for fills: there are none."""
    (book / "fills/own.yaml").unlink()
    (book / "fills").rmdir()
    (book / "setlists/boat-club.yaml").unlink()
    (book / "setlists").rmdir()
    assert 0 == answers("check").status
    assert 2 == answers("gig", "boat").status


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process of its own")
def test_files_without_permission(book: Path) -> None:
    """Told with what the system says; who may read everything becomes somebody who may not."""
    (book / "charts/shut.yaml").write_text(CHART)
    (book / "charts/shut.yaml").chmod(0)
    answers("check")  # loads everything while we may
    done = _as_nobody(book, lambda: feelmap("check"))
    assert (1, True) == (done.status, "charts/shut.yaml cannot be read: permission denied" in done.out)
    (book / "charts").chmod(0)
    done = _as_nobody(book, lambda: feelmap("show", "lamp"))
    (book / "charts").chmod(0o755)
    assert (2, True) == (done.status, is_in_our_voice(done.err))


def _as_nobody(book: Path, work: Callable[[], Done]) -> Done:
    """What a command says to somebody without rights; for root in a child that gives them up."""
    if os.geteuid() != 0:
        return work()
    for folder in (book, *book.parents[:-1]):
        folder.chmod(folder.stat().st_mode | 0o055) if folder.stat().st_uid == 0 and "pytest" in str(
            folder
        ) else None
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            os.setgid(65534)
            os.setuid(65534)
            done = work()
            os.write(write, json.dumps([done.status, done.out, done.err]).encode())
            status = 0
        finally:
            os._exit(status)
    os.close(write)
    with open(read, "rb") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    return Done(*json.loads(said))


# names


LONG = "long " * 1000
NAMES = [
    LONG, "../../etc/passwd", "a" * 300, "a/" * 3000, "", ".", "/", "caf\udce9", "-", "\u2028", "\n", "/dev/zero",
    "x" * 100_000, "/etc/passwd", "../" * 2000, " ", "..", "~", "*", "[a-z", "(", "\\", "%s", "{0}", "💥" * 100,
    "e\u0301" * 50, "\u202e",
    "\t", "-1", "charts", "charts/", "charts/lamp-black.yaml/", "/dev/stdin", "/dev/tty", "/proc/self/mem",
]  # fmt: skip
ASKED = (
    "show <>", "show <> chorus", "show lamp <>", "find <>", "find --key <>", "find --feel <>", "find --tempo <>",
    "check <>", "check --explain <>", "gig <>", "feels <>", "fills <>", "fills --feel <>", "fills --tempo <>",
    "fills --voices <>", "fit <> --feel shuffle --tempo 92", "fit big-turn --feel <> --tempo 92",
    "fit big-turn --feel swing --tempo <>", "suggest <> chorus", "suggest lamp <>", "regrid <> --feel shuffle",
    "regrid big-turn --feel <>", "regrid big-turn --feel swing --grid <>", "vary <>", "vary big-turn --feel <>",
    "count <>", "click <> -o out.mid", "export <> -o out.mxl", "practice <> -o out --times 1", "practice lamp <> -o out",
    "pencil <> --tempo 99", "pencil lamp <> --tempo 99", "schema <>", "show lamp --book <>", "start <>/x/y/\udcff",
    "new Tar --feel <> --tempo 90 --form Verse(4)", "new Tar --feel swing --tempo <> --form Verse(4)", "folder <> -o out.pdf",
    "page <> -o out.pdf", "import <>",
)  # fmt: skip


@pytest.mark.parametrize("asked", ASKED)
def test_no_name_brings_a_command_down(asked: str, book: Path) -> None:
    """Long ones, paths, signs, halves of characters: found or not found, and nothing is written."""
    before = tree(book)
    few = not asked.startswith(("show <>", "find <>", "check <>", "gig", "fit <>", "pencil <>", "import"))
    for name in NAMES[:6] if few else NAMES:
        given = [
            f" {name}" if name.startswith("-") and word == "<>" else word.replace("<>", name)
            for word in asked.split()
        ]
        done = answers(*given)
        if done.status == 2:
            assert before == tree(book), given
        else:
            restore(book, before)


def test_a_title_is_no_path(book: Path) -> None:
    """What is named after a title lands where it belongs, whatever the title says."""
    title = "../../up & away/\\..\\x"
    assert 0 == answers("new", title, "--feel", "swing", "--tempo", "90", "--form", "A (4)").status
    assert {"charts/up-away-x.yaml"} == {name for name in tree(book) if "up" in name}
    for command, ending in (("click", ".wav"), ("export", ".musicxml"), ("page", ".pdf")):
        assert 0 == answers(command, title).status
        assert (book / f"up-away-x{ending}").is_file()
    assert 0 == answers("regrid", "stairs in threes", "--feel", "shuffle", "--save", "../x/y").status
    assert {"up-away-x.wav", "up-away-x.musicxml", "up-away-x.pdf"} == {
        name for name in tree(book) if "/" not in name and "." in name
    }
    assert not (book / "../up-away-x.yaml").exists()


def test_a_set_list_names_songs_not_paths(book: Path) -> None:
    """A song is named by its title or its file in the book; a path to elsewhere is no song."""
    (book / "setlists/boat-club.yaml").write_text(
        GIG.replace("Lamp Black", "../charts/lamp-black.yaml, /etc/passwd")
    )
    done = answers("gig", "boat")
    assert (2, 2) == (done.status, done.err.count("error:")), done.err


def test_file_names_in_other_encodings(book: Path) -> None:
    """A name that is no UTF-8 is listed, told and given as JSON that can be read."""
    (book / os.fsdecode(b"charts/caf\xe9.yaml")).write_text(CHART.replace("Lamp", "Ivory") + "tempos: x\n")
    assert "caf" in answers("check").out
    found = json.loads(answers("find", "--json").out)["find"]
    assert "charts/caf\udce9.yaml" in {row["file"] for row in found}
    assert "caf\udce9" in {row["name"] for row in found}
    assert {"charts/caf\udce9.yaml"} == {
        row["file"] for row in json.loads(answers("check", "--json").out)["findings"]
    }


@pytest.mark.parametrize("command", ["show", "find", "check", "gig", "page", "export", "click", "count"])
def test_titles_of_any_length(command: str, book: Path) -> None:
    """A title of 5,000 letters, with and without spaces."""
    for title in (LONG.strip(), "x" * 5000, "鼓" * 1000, "e\u0301" * 2000):
        (book / "charts/lamp-black.yaml").write_text(CHART.replace("Lamp Black", title), encoding="utf-8")
        (book / "setlists/boat-club.yaml").write_text(GIG.replace("Lamp Black", title), encoding="utf-8")
        name = {"gig": "boat", "find": title[:9]}.get(command, "lamp-black.yaml")
        more = {"page": ["-o", "out.pdf"], "export": ["-o", "out.mxl"], "click": ["-o", "out.mid"]}.get(
            command, []
        )
        assert 0 == answers(command, name, *more).status
