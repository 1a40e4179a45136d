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
from support import write_book

from charts.book import Book
from render.cli import completion
from render.cli.app import COMMANDS, COMPLETING, build

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
    words = line.split(" ")
    environment = {
        COMPLETING: f"complete_{shell}",
        "COMP_WORDS": line,
        "COMP_CWORD": str(len(words) - 1),
        "_TYPER_COMPLETE_ARGS": line,
        "_TYPER_COMPLETE_FISH_ACTION": "get-args",
    }
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
        ("zsh", "feelmap show harb", "_arguments '*: :((\"harbour_lights\"))'"),
        ("zsh", "feelmap show harb ver", "_arguments '*: :((\"verse-1\"))'"),
        ("fish", "feelmap show harb", "harbour_lights"),
        ("fish", "feelmap find --feel lo", "lope"),
    ],
)
def test_shells(shell: str, line: str, answer: str) -> None:
    """Each shell asks in its own way and gets an answer that it can read."""
    assert asked(shell, line) == answer


@pytest.mark.usefixtures("book")
@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_script() -> None:
    """The script that bash is given asks, and fills in what it is told."""
    script = subprocess.run(
        FEELMAP, env=os.environ | {COMPLETING: "source_bash"}, capture_output=True, text=True, check=True
    ).stdout
    me = f"{sys.executable} -c 'from render.cli import main; main()'"
    typed = "COMP_WORDS=(feelmap show harb R); COMP_CWORD=3; _feelmap_completion feelmap"
    test = f'feelmap() {{ {me}; }}; export -f feelmap\n{script}\n{typed}\nprintf "%s|" "${{COMPREPLY[@]}}"'
    test = test.replace("$1 )", "bash -c feelmap )")  # env runs programs, not functions
    told = subprocess.run(["bash", "-c", test], capture_output=True, text=True, check=True)
    assert (told.stdout, told.stderr) == ("R\\&B-tag|", "")


def test_commands_are_offered() -> None:
    """The commands themselves, with what they are for."""
    assert asked("bash", "feelmap fi").split() == [name for name in COMMANDS if name.startswith("fi")]
    assert "pencil\tPencil in what changed" in asked("fish", "feelmap pe")


def test_every_named_parameter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every parameter that takes a name offers names, and the table names none that is not there."""
    monkeypatch.setenv(COMPLETING, "complete_bash")
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


def test_costs_nothing_otherwise() -> None:
    """Commands that are not asked what may follow do not load any of this."""
    code = "import sys; from render.cli.app import run; run(['schema', 'book']); print(sorted(sys.modules))"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert "'setlists.schema'" in told
    assert "'render.cli.completion'" not in told
