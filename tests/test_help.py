"""Every command's help has one example that works in the demo book."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
import typer

from render.cli.app import COMMANDS, GROUPS, build, run
from setlists.demo import demo_files

NEEDS_A_KEYBOARD = {"tap", "count"}  # run through a pseudo-terminal in their own tests


def help_of(command: str) -> str:
    """A command's help as one line of words."""
    group = typer.main.get_command(build())
    context = typer.Context(group, info_name="feelmap")
    found = group.get_command(context, command)  # type: ignore[attr-defined]
    assert found is not None
    return " ".join((found.help or "").split())


def examples_of(command: str) -> list[list[str]]:
    """The words of each of its examples."""
    found = re.findall(r"Example: (feelmap .*?)(?= *$| Exit status| Example:)", help_of(command))
    assert found, f"{command} has no example"
    return [shlex.split(each) for each in found]


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo book as current folder."""
    for name, data in demo_files():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("FEELMAP_BOOK", raising=False)
    return tmp_path


@pytest.mark.parametrize("command", sorted(set(COMMANDS) - NEEDS_A_KEYBOARD))
def test_the_example_works_in_the_demo_book(
    command: str, demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 0, or 1 from check, whose demo clashes are there to be found."""
    for words in examples_of(command):
        assert ["feelmap", command] == words[:2]
        if command == "import":  # something to take in: our own export of a demo song
            assert run(["export", "harbour", "-o", words[2]]) == 0
        assert run(words[1:]) in ((0, 1) if command == "check" else (0,)), capsys.readouterr().err


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_help_says_what_a_command_does_in_plain_words(command: str) -> None:
    """A sentence that ends, an example, a line for every argument and option."""
    text = help_of(command)
    assert text[0].isupper()
    assert examples_of(command)


@pytest.mark.parametrize("columns", ["60", "80", "120"])
def test_the_list_of_commands_says_each_in_a_whole_phrase(
    columns: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Within the width and never cut; all of them on a screen of 40 lines."""
    monkeypatch.setenv("COLUMNS", columns)
    assert run(["--help"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= int(columns)
    groups = lines[lines.index("Start:") :]
    assert not any(line.endswith("...") for line in groups)
    assert [line.rstrip(":") for line in groups if line[:1].strip()] == list(GROUPS)
    assert [line.split()[0] for line in groups if line[2:3].strip() and line[0] == " "] == list(COMMANDS)
    assert "  suggest   Fills that fit a spot" in "\n".join(lines)
    assert len(lines) <= 52


@pytest.mark.parametrize("command", ["", "show", "pencil"])
def test_h_is_help_too(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """As every other program has it."""
    assert run([*filter(None, [command]), "-h"]) == 0
    short = capsys.readouterr().out
    assert run([*filter(None, [command]), "--help"]) == 0
    assert short == capsys.readouterr().out
