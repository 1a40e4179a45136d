"""``demo`` ends with commands to go on with: they work where it was run, as they are printed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from render.cli.demo import called_as

SCRIPTS = Path(sys.executable).parent  # where the program is installed for the tests


def in_shell(line: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """A line of shell without the program on its path, with a book set that is not there."""
    return subprocess.run(
        ["/bin/sh", "-c", line],
        cwd=cwd,
        env={"PATH": "/usr/bin:/bin", "FEELMAP_BOOK": "elsewhere", "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        text=True,
        timeout=120,
    )


@pytest.mark.skipif(not (SCRIPTS / "feelmap").exists(), reason="the program is not installed beside Python")
def test_the_commands_at_the_end_work(tmp_path: Path) -> None:
    """With the environment's path as it was called, a folder that needs quotes, and another book set."""
    (tmp_path / "my env").symlink_to(SCRIPTS.parent)
    done = in_shell("'my env/bin/feelmap' demo \"the band's book\"", tmp_path)
    assert 0 == done.returncode, done.stderr
    steps = [
        line.strip() for line in done.stdout.partition("\nnext, ")[2].splitlines() if line.startswith("    ")
    ]
    assert 5 == len(steps)
    assert all(step.startswith("'my env/bin/feelmap' ") for step in steps)
    ended = [in_shell(step, tmp_path) for step in steps]
    assert [1, 0, 0, 0, 0] == [each.returncode for each in ended], [each.stderr for each in ended]
    assert "Paint on the Porch" in ended[1].stdout
    book = tmp_path / "the band's book"
    assert 4 == len(list((book / "practice").iterdir()))
    assert (book / "charts" / "our-song.yaml").exists()
    assert {"my env", "the band's book"} == set(os.listdir(tmp_path))


@pytest.fixture
def script(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A program in an environment, and the folder where it is called from."""
    (tmp_path / ".venv" / "bin").mkdir(parents=True)
    (tmp_path / ".venv" / "bin" / "feelmap").touch()
    monkeypatch.chdir(tmp_path)
    return ".venv/bin/feelmap"


def test_a_program_on_the_path_is_called_by_its_name(script: str, tmp_path: Path) -> None:
    """The shell finds the very one."""
    assert "feelmap" == called_as(str(tmp_path / script), str(tmp_path / script))


def test_another_program_on_the_path_does_not_count(script: str, tmp_path: Path) -> None:
    """Neither does none: the path stays as it was written."""
    (tmp_path / "feelmap").touch()
    assert script == called_as(script, str(tmp_path / "feelmap"))
    assert script == called_as(script, None)


def test_without_a_file_the_name_has_to_do() -> None:
    """Started from inside Python there is no path to give."""
    assert "feelmap" == called_as("-c", None)
