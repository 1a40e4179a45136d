"""The rooms: which may import which, and what may not be imported at start."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from charts.version import VERSION

ROOT = Path(__file__).parent.parent
ROOMS = ("charts", "setlists", "render")
# The layers, from the ground up: each imports only from itself and from those before it. A name is a module, or
# a package with all that is in it.
LAYERS = {
    "ground": """charts.source charts.spelling charts.timing charts.kit charts.feel charts.pattern
        charts.trade charts.notation charts.rows charts.wording charts.quoting charts.limits charts.writing charts.version
        charts.vocabulary""",
    "song": "charts.song charts.figures charts.nearest charts.verdict charts.counting charts.ruler charts.equations",
    "played": """charts.played charts.placing charts.hearing charts.fills charts.outline charts.landing charts.performance
        charts.strokes charts.notevalues""",
    "reading": "charts.reading",
    "book": """charts.vocabularies charts.families charts.titles charts.book charts.heads charts.appearances charts.schema""",
    "fitting": "charts.fitting",
    "check": "charts.check",
    "editing": "charts.editing",
    "set lists": """setlists.setlist setlists.times setlists.names setlists.songs setlists.reading
        setlists.schema""",
    "gig": """setlists.tonight setlists.gig setlists.clock setlists.dropping setlists.plan setlists.arc
        setlists.facts""",
    "set list check": "setlists.check",
    "whole books": "setlists.book setlists.whole_book setlists.demo setlists.empty_book",
    "words": "render.plain_text",
    "terminal": "render.terminal render.json_text",
    "page": "render.page",
    "sound": "render.sound",
    "scores": "render.musicxml",
    "scores in": "render.importing",
    "live": "render.live",
    "answers": "render.show_answer render.search render.gig_answer render.lookups",
    "tab key": "render.tab",
    "commands": "render.cli",
}
LAYER_OF = {name: place for place, names in enumerate(LAYERS.values()) for name in names.split()}
HEAVY = ("fpdf", "music21", "numpy", "PIL", "mido", "fontTools")


def modules() -> dict[str, Path]:
    """Every module of the program but the rooms themselves by its dotted name, a package by its folder's."""
    paths = [path for room in ROOMS for path in (ROOT / room).rglob("*.py") if path.parent != ROOT / room]
    paths += [path for room in ROOMS for path in (ROOT / room).glob("[!_]*.py")]
    return {".".join(p.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): p for p in paths}


MODULES = modules()


def imported(name: str) -> set[str]:
    """The modules of ours that a module imports, anywhere in it, for type checking too."""
    names = set()
    for node in ast.walk(ast.parse(MODULES[name].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, name
            parts = {f"{node.module}.{alias.name}" for alias in node.names}
            names |= {part if part in MODULES else str(node.module) for part in parts}
    return names & MODULES.keys()


def layer_of(name: str) -> int:
    """The layer of a module: its own, or that of the package it is in; a new one needs a place in the list."""
    found = LAYER_OF.get(name, LAYER_OF.get(name.rpartition(".")[0]))
    assert found is not None, f"{name} has no place in LAYERS"
    return found


@pytest.mark.parametrize("name", sorted(MODULES))
def test_a_module_imports_from_its_own_layer_and_those_before(name: str) -> None:
    """No module is left out."""
    layers = list(LAYERS)
    above = {other: layers[layer_of(other)] for other in imported(name) if layer_of(other) > layer_of(name)}
    assert {} == above, layers[layer_of(name)]


def test_the_layers_hold_what_there_is() -> None:
    """Each name is a module or a package; none is held twice."""
    names = [name for held in LAYERS.values() for name in held.split()]
    assert set(names) <= MODULES.keys()
    assert len(names) == len(set(names))


def test_no_imports_go_round_in_a_circle() -> None:
    """Taking away what imports nothing that is left, again and again, leaves nothing."""
    left = {name: imported(name) for name in MODULES}
    while free := {name for name, others in left.items() if not others & left.keys()}:
        left = {name: others for name, others in left.items() if name not in free}
    assert {} == left


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_itself_is_empty(room: str) -> None:
    """All that it has is in its modules."""
    assert "" == (ROOT / room / "__init__.py").read_text(encoding="utf-8")


def test_the_version_stands_in_two_places_and_is_one() -> None:
    """What the program says of itself is what the package is called by."""
    package = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert package["version"] == VERSION


@pytest.mark.parametrize(
    "command", [["--help"], ["show", "harb"], ["check"], ["find", "harb"], ["feels"], ["gig", "quay"]]
)
def test_a_look_up_imports_nothing_heavy(command: list[str]) -> None:
    """The answer is there while the hand is still on the key."""
    assert "" == loaded("from render.cli.app import run as answer", command, HEAVY)


@pytest.mark.parametrize("command", [["show", "harb"], ["show", "harb", "chorus"], ["find", "harb"]])
def test_show_and_find_do_not_wait_for_libraries(command: list[str]) -> None:
    """Neither for the option parser nor for what draws the lists of the other commands."""
    libraries = ("typer", "rich.console", "rich.text")
    assert "" == loaded("from render.cli.short_way import answered as answer", command, libraries)


def loaded(first: str, command: list[str], modules: tuple[str, ...]) -> str:
    """Which of some modules are there after a command."""
    script = (
        f"import sys\n{first}\nanswer({command!r})\n"
        f"sys.stderr.write('LOADED ' + ' '.join(m for m in {modules!r} if m in sys.modules))\n"
    )
    book = {**os.environ, "FEELMAP_BOOK": str(ROOT / "setlists" / "demo")}
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, env=book, check=True
    )
    return done.stderr.rpartition("LOADED ")[2]


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
