"""What the shell offers at the Tab key."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer
from hypothesis import given
from hypothesis import strategies as st
from support import write_book

from charts.book import Book
from render.cli import completion
from render.cli.app import COMMANDS, COMPLETING, build, run
from render.tab import install as installing
from render.tab.answer import for_bash, is_data, read_line
from render.tab.install import install, script

FEELMAP = [sys.executable, "-c", "from render.cli import main; main()"]
SONG = """
    title: {title}
    tempo: 100
    feel: shuffle
    form: [Verse 1 (4), Chorus (4), "R&B tag (2)", Chorus, {{Chorus: {{dynamics: f}}}}]
"""


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    """A book with two charts and a set list, the current folder."""
    monkeypatch.chdir(tmp_path)
    return write_book(
        tmp_path,
        charts__harbour_lights=SONG.format(title="Harbour Lights"),
        charts__nf=SONG.format(title="Night Ferry"),
        setlists__quay="gig: Quay Street\nsets: [{songs: [Harbour Lights]}]",
        fills__own="fills: {our own turn: {rows: SD oooo}}",
        feels="feels: {lope: {divides: [3], swing: 1.4}}",
    )


def asked(shell: str, line: str) -> str:
    """What the command answers to a shell that asks what may follow a line."""
    environment = {COMPLETING: shell, "_FEELMAP_LINE": line, "_FEELMAP_WORD": line.rpartition(" ")[2]}
    return subprocess.run(
        FEELMAP, env=os.environ | environment, capture_output=True, text=True, check=True
    ).stdout.strip()


class Context:
    """As much of typer's context as a completer looks at."""

    def __init__(self, **params: Any) -> None:
        self.params = {"book": None, **params}


@pytest.mark.usefixtures("book")
@pytest.mark.parametrize(
    ("shell", "line", "answer"),
    [
        ("bash", "feelmap show harb", "harbour_lights"),
        ("bash", "feelmap pencil harb --fill our", "our-own-turn"),
        ("zsh", "feelmap show harb", "harbour_lights"),
        ("zsh", "feelmap show harb ver", "verse-1"),
        ("zsh", "feelmap find --feel=lo", "--feel=lope"),
        ("bash", "feelmap show harb R", "R\\&B-tag"),
        ("fish", "feelmap show harb", "harbour_lights"),
        ("fish", "feelmap find --feel lo", "lope"),
    ],
)
def test_shells(shell: str, line: str, answer: str) -> None:
    """Each shell gets an answer that it can read: words on lines, quoted for bash."""
    assert asked(shell, line) == answer


@pytest.mark.usefixtures("book")
@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_script() -> None:
    """The script that bash is given asks, and fills in what it is told."""
    me = f"{sys.executable} -c 'from render.cli import main; main()'"
    typed = 'COMP_LINE="feelmap show harb R"; COMP_POINT=19; _feelmap feelmap R'
    test = f'feelmap() {{ {me}; }}; export -f feelmap\n{script("bash")}\n{typed}\nprintf "%s|" "${{COMPREPLY[@]}}"'
    test = test.replace('"$1" ', "bash -c feelmap ")  # env runs programs, not functions
    told = subprocess.run(["bash", "-c", test], capture_output=True, text=True, check=True)
    assert (told.stdout, told.stderr) == ("R\\&B-tag|", "")


def test_commands_are_offered() -> None:
    """The commands themselves, with what they are for."""
    assert asked("bash", "feelmap fi").split() == [name for name in COMMANDS if name.startswith("fi")]
    assert "pencil\tPencil in what changed" in asked("fish", "feelmap pe")


def test_every_named_parameter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every parameter that takes a name offers names, and the table names none that is not there."""
    monkeypatch.setenv(COMPLETING, "bash")
    group: Any = typer.main.get_command(build())
    given = {
        (name, param.name): param._custom_shell_complete
        for name in COMMANDS
        for param in group.get_command(None, name).params
    }
    of_any, of_command = completion._OF_ANY, completion._OF_COMMAND
    for command, params in of_command.items():
        assert {(command, param) for param in params} <= set(given)
    for param in of_any:
        assert any(name == param for _, name in given), param
    for (command, param), completer in given.items():
        wanted = of_command.get(command, {}).get(param, of_any.get(param))
        assert (completer is not None) == (wanted is not None), (command, param)


@pytest.mark.usefixtures("book")
@pytest.mark.parametrize(
    ("completer", "typed", "offered"),
    [
        (completion.charts, "", ["harbour_lights", "nf"]),
        (completion.charts, "HÁR", ["HÁRbour_lights"]),
        (completion.charts, "night", ["night Ferry"]),
        (completion.charts, "fer", ["ferry"]),
        (completion.charts, "lig", ["lights"]),
        (completion.charts, "ights", []),
        (completion.setlists, "str", ["street"]),
        (completion.sections, "ve", ["verse-1"]),
        (completion.sections, "ta", ["tag"]),
        (completion.fills, "own", []),
        (completion.charts, "x", []),
        (completion.setlists, "", ["quay"]),
        (completion.charts_and_setlists, "", ["harbour_lights", "nf", "quay"]),
        (completion.feels, "half", ["half-time", "half-time-shuffle"]),
        (completion.feels, "half-time s", ["half-time shuffle"]),
        (completion.fills, "our", ["our-own-turn"]),
        (completion.sections, "", ["Verse-1", "Chorus", "R&B-tag"]),
        (completion.sections, "ch", ["chorus"]),
        (completion.sections, "Chorus#", ["Chorus#1", "Chorus#2", "Chorus#3"]),
        (completion.rules, "odd", ["odd-length"]),
        (completion.patterns, "our", ["our-own-turn"]),
        (completion.patterns, "ghosted-half", ["ghosted-half-time"]),
        (completion.patterns_and_charts, "nf", ["nf"]),
        (completion.patterns_and_charts, "our", ["our-own-turn"]),
        (completion.kinds, "f", ["fills", "feels"]),
    ],
)
def test_offered(completer: Any, typed: str, offered: list[str]) -> None:
    """What begins with what was typed, in any case and accents, which stays as it was typed."""
    assert completer(Context(name="harb"), typed) == offered


@pytest.mark.usefixtures("book")
def test_sections_need_their_chart() -> None:
    """Before it is named there are none."""
    assert completion.sections(Context(name=None), "") == []


def test_what_is_offered_is_understood(book: Book) -> None:
    """A name with hyphens for its spaces, or in another case, is the same to every look-up."""
    from charts.appearances import one_named

    assert book.feels.get("half-time-shuffle") is not None
    assert book.patterns.get("our-own-turn") is not None
    assert book.look_up("HARBOUR_lights").stem == "harbour_lights"
    assert [book.look_up(part).stem for part in ("night Ferry", "lights", "ferry")] == [
        "nf",
        "harbour_lights",
        "nf",
    ]
    assert book.song("nf").form[one_named(book.song("nf"), "verse-1")].name == "Verse 1"


@pytest.mark.parametrize("completer", [completion.charts, completion.setlists, completion.sections])
def test_nothing_rather_than_an_error(completer: Any, tmp_path: Path) -> None:
    """Where there is no book, no chart, or a broken one, nothing is offered and nothing is raised."""
    assert completer(Context(book=tmp_path / "none", name="x"), "") == []
    (tmp_path / "charts").mkdir()
    (tmp_path / "charts" / "a.yaml").write_bytes(b"\xff\xfe title: [")
    assert completer(Context(book=tmp_path, name="a"), "") in ([], ["a"])
    (tmp_path / "feels.yaml").write_text("feels: [")
    assert "shuffle" in completion.feels(Context(book=tmp_path), "")


@given(st.text(), st.sampled_from(["", "Verse", "'", '"', "'Ver", '"R&', "R\\&"]))
def test_bash_reads_what_was_offered(name: str, typed: str) -> None:
    """Put after what was typed and its quote closed, it is the word that was meant and no other."""
    before = f"feelmap show other {typed}"
    words, quote = read_line(before)
    word = words[-1] + name
    put = for_bash(word, before)
    if is_data(word) and put:
        assert ["feelmap", "show", "other", word] == read_line(before + put + quote)[0]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_no_script_evaluates(shell: str) -> None:
    """None has a command in it that takes text for a program."""
    code = [line for line in script(shell).splitlines() if not line.startswith("#")]
    assert not {"eval", "source", "."} & set(" ".join(code).replace("(", " ").split())


@pytest.mark.usefixtures("book")
def test_scripts_of_before_get_nothing_from_a_file() -> None:
    """One evaluates what it is answered, so there is nothing from a chart in it."""
    assert (
        asked("complete_zsh", "feelmap show harb ") == "_message 'run feelmap --install-completion once more'"
    )
    assert asked("complete_bash", "feelmap show harb ") == asked("complete_fish", "feelmap show harb ") == ""


@pytest.mark.parametrize(("shell", "start"), [("bash", ".bashrc"), ("zsh", ".zshrc"), ("fish", None)])
def test_install(shell: str, start: str | None, tmp_path: Path) -> None:
    """The script is in its place; the start file keeps what it had and names the script once."""
    if start is not None:
        (tmp_path / start).write_bytes(b"alias x=y  # \xff")
    assert script(shell) == install(shell, tmp_path).read_text()
    first = (tmp_path / start).read_bytes() if start else b""
    install(shell, tmp_path)
    if start is not None:
        assert first.startswith(b"alias x=y  # \xff\n")
        assert first == (tmp_path / start).read_bytes()


def test_show(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """The script for the shell that the command was typed in; another shell is named."""
    monkeypatch.setattr(installing.shellingham, "detect_shell", lambda: ("zsh", "/bin/zsh"))
    assert (run(["--show-completion"]), script("zsh")) == (0, capsys.readouterr().out)
    monkeypatch.setattr(installing.shellingham, "detect_shell", lambda: ("dash", "/bin/dash"))
    assert run(["--install-completion"]) == 2
    assert "bash, zsh, fish; the shell here is dash" in " ".join(capsys.readouterr().err.split())


@pytest.mark.parametrize("option", ["--version", "--install-completion", "--show-completion"])
def test_tab_does_nothing_else(option: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An option on the line is not carried out."""
    monkeypatch.setenv("HOME", str(tmp_path))
    assert "check" in asked("bash", f"feelmap {option} ").split()
    assert [] == list(tmp_path.iterdir())


def test_costs_nothing_otherwise() -> None:
    """Commands that are not asked what may follow do not load any of this."""
    code = "import sys; from render.cli.app import run; run(['schema', 'book']); print(sorted(sys.modules))"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert "'setlists.schema'" in told
    assert "'render.cli.completion'" not in told
