"""The rooms: which may import which, and what may not be imported at start."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from charts import __version__

ROOT = Path(__file__).parent.parent
MAY_IMPORT = {
    "charts": {"charts"},
    "setlists": {"charts", "setlists"},
    "render": {"charts", "setlists", "render"},
}
HEAVY = ("fpdf", "music21", "numpy", "PIL", "mido", "fontTools")


def imported(path: Path) -> set[str]:
    """The top-level names a module imports, anywhere in it."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module.partition(".")[0])
    return names


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_imports_go_one_way(room: str) -> None:
    """charts imports neither of the other two, setlists only charts."""
    for path in (ROOT / room).rglob("*.py"):
        assert not (imported(path) & set(MAY_IMPORT)) - MAY_IMPORT[room], path


def test_the_version_stands_in_two_places_and_is_one() -> None:
    """What the program says of itself is what the package is called by."""
    package = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert package["version"] == __version__


@pytest.mark.parametrize(
    "command", [["--help"], ["show", "harb"], ["check"], ["find", "harb"], ["feels"], ["gig", "quay"]]
)
def test_a_look_up_imports_nothing_heavy(command: list[str]) -> None:
    """The answer is there while the hand is still on the key."""
    script = (
        "import sys\nfrom render.cli.app import run\n"
        f"run({command!r})\n"
        f"sys.stderr.write('LOADED ' + ' '.join(m for m in {HEAVY!r} if m in sys.modules))\n"
    )
    book = {**os.environ, "FEELMAP_BOOK": str(ROOT / "setlists" / "demo")}
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, env=book, check=True
    )
    assert done.stderr.endswith("LOADED "), done.stderr


def test_the_command_works_with_a_book_as_current_folder(tmp_path: Path) -> None:
    """A user's own charts/ folder is not taken for ours."""
    (tmp_path / "charts").mkdir()
    (tmp_path / "charts" / "a.yaml").write_text("title: A\ntempo: 100\nfeel: shuffle\nform: [V (8)]\n")
    command = Path(sys.executable).with_name("feelmap")
    done = subprocess.run([command, "check"], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (0, "") == (done.returncode, done.stdout)
    assert "checked 1 chart" in done.stderr


def test_the_top_level_holds_the_rooms_and_nothing_else() -> None:
    """README, DEVELOPERS, pyproject, the rooms, tests, hidden files, a licence."""
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout
    if not tracked:
        pytest.skip("not a git checkout: an unpacked source has no list of files")
    top = {line.partition("/")[0] for line in tracked.splitlines()}
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "charts",
        "setlists",
        "render",
        "tests",
    }
    assert not {name for name in top if not name.startswith(".")} - allowed
