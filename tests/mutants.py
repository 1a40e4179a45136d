"""Small faults put into the deciding modules, to see that their nearest tests fail: ``python tests/mutants.py``.

Cosmic Ray makes the faults (mutants), in a copy of the checkout in a temporary folder, one at a time: another
comparison, a number one higher or lower, a ``not``, an empty loop. Each that no test notices is printed as a
difference. Such a survivor asks for a test of the function it is in, for simpler code in which it cannot be
made, or it changes nothing that can be observed.

Usage: ``python tests/mutants.py [MODULE ...] [--sample N] [--seed S] [--only N ...]``
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import difflib
import importlib
import os
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cosmic_ray.work_item import MutationSpec

ROOT = Path(__file__).parent.parent
NEAREST = {
    "charts/timing.py": ("tests/charts/test_timing.py", "tests/published/test_time_facts.py"),
    "charts/played.py": ("tests/charts/test_played.py",),
    "charts/placing.py": ("tests/charts/test_placing.py",),
    "charts/outline.py": ("tests/charts/test_outline.py",),
    "charts/fills.py": ("tests/charts/test_fills.py",),
    "charts/notevalues.py": ("tests/charts/test_notevalues.py",),
    "charts/performance.py": ("tests/charts/test_performance.py",),
    "charts/strokes.py": ("tests/charts/test_performance.py",),
    "charts/verdict.py": ("tests/charts/test_verdict.py",),
    "charts/figures.py": ("tests/charts/test_figures.py", "tests/charts/test_verdict.py"),
    "charts/nearest.py": ("tests/charts/test_nearest.py", "tests/charts/test_verdict.py"),
    "charts/fitting/slots.py": ("tests/charts/test_regrid.py",),
    "charts/fitting/regrid.py": ("tests/charts/test_regrid.py",),
    "charts/fitting/pour.py": ("tests/charts/test_regrid.py",),
    "charts/fitting/hands.py": ("tests/charts/test_hands.py",),
    "charts/fitting/sticking.py": ("tests/charts/test_hands.py", "tests/charts/test_leading.py"),
    "charts/fitting/leading.py": ("tests/charts/test_leading.py",),
    "charts/fitting/changes.py": ("tests/charts/test_vary.py",),
    "charts/fitting/vary.py": ("tests/charts/test_vary.py",),
    "charts/editing/pencil.py": ("tests/charts/test_pencil.py",),
    "setlists/clock.py": ("tests/setlists/test_clock.py",),
}
# "is" where values are compared: the same for small numbers, and nobody writes it
IDENTITY = re.compile(r"ReplaceComparisonOperator_(?!Is)\w+_Is(Not)?$")
LIBRARIES = ("hypothesis", "numpy", "pytest", "rich", "typer", "yaml")  # what takes time to import
Span = tuple[tuple[int, int], tuple[int, int]]  # line from 1 and column from 0, first and one after the last


def main(argv: Sequence[str]) -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0].partition(":")[0] + ".")
    parser.add_argument("modules", nargs="*", metavar="MODULE", help="Default: every deciding module")
    parser.add_argument("--sample", type=int, help="so many mutants of each module. Default: all")
    parser.add_argument("--seed", type=int, default=1, help="which ones. Default: 1")
    parser.add_argument("--only", type=int, nargs="+", metavar="N", help="these numbers of the sample alone")
    given = parser.parse_args(argv)
    unknown = [module for module in given.modules if module not in NEAREST]
    if unknown:
        parser.error(f"{', '.join(unknown)}: choose from {', '.join(NEAREST)}")
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        copy_checkout(Path(folder))
        os.chdir(folder)
        sys.path.insert(0, folder)
        for name in LIBRARIES:
            importlib.import_module(name)
        for module in given.modules or NEAREST:
            try_module(module, given.sample, given.seed, given.only)


def copy_checkout(folder: Path) -> None:
    """Every file that git follows or could follow, as it is now."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "-co", "--exclude-standard"], cwd=ROOT, check=True, capture_output=True
    )
    for name in filter(None, os.fsdecode(listed.stdout).split("\0")):
        if (ROOT / name).exists():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)


def try_module(module: str, sample: int | None, seed: int, only: Sequence[int] | None) -> None:
    """Make a module's mutants, print those that survive, and count."""
    from cosmic_ray.mutating import use_mutation
    from cosmic_ray.plugins import get_operator

    tests = (*NEAREST[module], module)  # its doctests too
    sys.dont_write_bytecode = False  # what the first run compiles is there for the others
    passed, seconds = run(tests, 600)
    if not passed:
        sys.exit(f"{module}: its tests fail without a mutant")
    sys.dont_write_bytecode = True  # a mutant may be as long and as new as the file was
    limit = 5 + 3 * int(seconds)
    tried = killed = 0
    for number, mutant in enumerate(chosen(module, seed)[:sample], start=1):
        if only and number not in only:
            continue
        operator = get_operator(mutant.operator_name)(**mutant.operator_args)
        with use_mutation(mutant.module_path, operator, mutant.occurrence) as (before, after):
            survived, _ = run(tests, limit)
        tried, killed = tried + 1, killed + (not survived)
        if survived:
            print(f"{module} {number}: {mutant.definition_name}\n{changed(before, after)}", flush=True)
    print(f"{module}: {killed} of {tried} mutants killed", flush=True)


def run(tests: Sequence[str], limit: int) -> tuple[bool, float]:
    """Whether the tests pass within so many seconds of computing, and how many they took.

    They run in a fork of this process, which has the libraries imported already.
    """
    import pytest

    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
        for stream in (1, 2):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
        os._exit(int(pytest.main(["-n0", "-x", "-p", "no:cacheprovider", "--hypothesis-profile=ci", *tests])))
    _, status, used = os.wait4(child, 0)
    return os.waitstatus_to_exitcode(status) == 0, used.ru_utime + used.ru_stime


def chosen(module: str, seed: int) -> list[MutationSpec]:
    """A module's mutants in the order of a seed: one at every place before a second one at any."""
    from cosmic_ray.commands import init as make_mutants
    from cosmic_ray.work_db import WorkDB

    with contextlib.closing(WorkDB(":memory:", WorkDB.Mode.create)) as made:
        make_mutants([Path(module)], made, {})
        mutants = [mutant for item in made.work_items for mutant in item.mutations]
    types = list(type_spans(Path(module).read_text(encoding="utf-8")))
    mutants = [
        mutant
        for mutant in mutants
        if not IDENTITY.search(mutant.operator_name)
        and not any(start <= mutant.start_pos and mutant.end_pos <= end for start, end in types)
    ]
    mutants.sort(key=lambda mutant: (mutant.start_pos, mutant.operator_name, mutant.occurrence))
    random.Random(seed).shuffle(mutants)
    seen: Counter[Span] = Counter()
    rounds = []
    for mutant in mutants:
        place = mutant.start_pos, mutant.end_pos
        rounds.append((seen[place], mutant))
        seen[place] += 1
    return [mutant for _, mutant in sorted(rounds, key=lambda each: each[0])]


def type_spans(text: str) -> Iterator[Span]:
    """What the type check holds: annotations, names for types, and ``frozen`` and ``slots`` of a dataclass."""
    tree = ast.parse(text)
    for node in ast.walk(tree):
        for name in ("annotation", "returns"):
            found = getattr(node, name, None)
            if found is not None:
                yield (found.lineno, found.col_offset), (found.end_lineno, found.end_col_offset)
        for decorator in getattr(node, "decorator_list", ()):
            yield (decorator.lineno, decorator.col_offset), (decorator.end_lineno, decorator.end_col_offset)
    for node in tree.body:
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Subscript):
            yield (node.lineno, node.col_offset), (node.end_lineno or 0, node.end_col_offset or 0)


def changed(before: str, after: str) -> str:
    """The lines that a mutant takes out and puts in."""
    lines = difflib.unified_diff(before.split("\n"), after.split("\n"), n=0, lineterm="")
    return "\n".join(line for line in lines if line[:3] not in ("---", "+++", "@@ "))


if __name__ == "__main__":
    main(sys.argv[1:])
