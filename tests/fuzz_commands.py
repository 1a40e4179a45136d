"""A seeded fuzzer over every command: ``python tests/fuzz_commands.py [RUNS] [SEED]``.

A demo book with one mutated file in it; each command answers with status 0, 1 or 2 and in our own words, in
under a second of its own work, keeps the other files as they are and leaves nothing after where it fails.
"""

from __future__ import annotations

import json
import os
import random
import re
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from cli_run import Done, Tree, demo_book, feelmap, restore, tree, wrong
from fuzz import BITS, HOSTILE, altered, mutated

from setlists.demo import demo_files

os.environ["FEELMAP_TRACEBACK"] = "1"  # what escapes is to be seen
LIMIT = 1.0  # seconds of work for one answer
# where a song of ten thousand bars is drawn, sounded or written out, that is what takes the time
LONG = {"page": 20.0, "folder": 30.0, "import": 20.0, "demo": 20.0, "practice": 10.0, "click": 10.0, "export": 40.0}  # fmt: skip
WRITES = {
    "page",
    "folder",
    "click",
    "practice",
    "export",
    "import",
    "demo",
    "start",
    "new",
    "pencil",
    "regrid",
}
# what may stand for a word in angle brackets
WORDS = {
    "<chart>": ("<file>",) * 12 + ("harb", "porch", "seven bollards", "<bit>"),
    "<section>": ("<line>",) * 12 + ("Chorus#2", "verse", "<bit>"),
    "<gig>": ("quay", "garden", "<file>", "<bit>"),
    "<pattern>": ("stairs in threes", "sixteenths round the kit", "short pickup", "big turn", "train beat",
                  "two-drum turn", "-", "-", "-", "<own>", "<own>", "<bit>"),
    "<feel>": ("shuffle", "half-time shuffle", "swing", "sixteenth shuffle", "straight eighths", "bossa nova",
               "slow 12/8", "samba", "jazz waltz", "<bit>"),
    "<tempo>": ("92", "60", "240", "20", "400", "66.5", "131", "<bit>"),
    "<count>": ("1", "2", "3", "4", "7", "16", "64", "<bit>"),
    "<level>": ("-6", "0", "-90", "<bit>"),
    "<words>": ("wait, then in", "all in: go", "ghosts & stairs", "<bit>"),
}  # fmt: skip
LINES = {
    "check": ("check", "check --json", "check <chart>", "check <chart> --json", "check --explain <words>"),
    "why": ("why grid", "why <words>"),
    "show": ("show <chart>", "show <chart> --json", "show <chart> <section>", "show <chart> <section> --json"),
    "find": ("find", "find --json", "find --feel <feel>", "find --tempo <tempo>", "find --key A", "find <words>"),
    "feels": ("feels", "feels <feel>", "feels --json"),
    "fills": ("fills", "fills <pattern>", "fills --json", "fills --feel <feel> --tempo <tempo> --beats <count>"),
    "fit": ("fit <pattern> --feel <feel> --tempo <tempo>", "fit <pattern> --feel <feel> --tempo <tempo> --json"),
    "suggest": ("suggest <chart> <section>", "suggest <chart> <section> --json", "suggest <chart> <section> --bar <count>"),
    "regrid": (
        "regrid <pattern> --feel <feel>", "regrid <pattern> --feel <feel> --tempo <tempo> --json",
        "regrid <pattern> --feel <feel> --grid finer", "regrid <pattern> --feel <feel> --save <words>",
    ),
    "vary": ("vary <pattern>", "vary <pattern> --feel <feel> --tempo <tempo> --json --count <count>"),
    "gig": ("gig <gig>", "gig <gig> --json"),
    "count": ("count <chart>", "count <chart> --bars <count>"),
    "pencil": (
        "pencil <chart> <section> --cue <words> --bar <count> --dry-run", "pencil <chart> --tempo <tempo> --dry-run",
        "pencil <chart> --feel <feel>", "pencil <chart> <section> --tempo <tempo>", "pencil <chart> <section> --bars <count>",
        "pencil <chart> <section> --fill <pattern>", "pencil <chart> <section> --dynamics <words>",
        "pencil <chart> <section> --cue <words>", "pencil <chart> <section> --fill none",
    ),
    "page": ("page <chart> -o out.pdf", "page <chart> -o out.pdf --dark --json"),
    "folder": ("folder <gig> -o out.pdf",),
    "click": ("click <chart> -o out.mid", "click <chart> -o out.wav --subdivide --warn <count> --level <level>"),
    "practice": (
        "practice <pattern> --tempo <tempo> --times 1 -o out", "practice <chart> <section> --bars 1 --times 1 -o out",
        "practice <chart> <section> --across --subdivide --times 1 -o out",
        "practice <pattern> --ladder 90-100+<count> --silent 1 --call --times 1 -o out",
    ),
    "export": ("export <chart> -o out.musicxml", "export <chart> -o out.mxl"),
    "import": ("import <score>",),
    "new": ("new <words> --feel <feel> --tempo <tempo> --form <form>",),
    "start": ("start out", "start <bit>"),
    "demo": ("demo out",),
    "schema": ("schema", "schema <words>"),
    "tap": ("tap",),
}  # fmt: skip
# a page or a score takes as long as a hundred look-ups
SHARES = {
    "page": 0.1,
    "folder": 0.03,
    "import": 0.1,
    "demo": 0.01,
    "practice": 0.1,
    "tap": 0.1,
    "schema": 0.1,
}
_NAMES = re.compile(r"^  (?:- )?(\w[\w' -]*?)(?: \(.*)?(?::.*)?$", re.MULTILINE)  # sections, fills
FORMS = (
    "Intro (4), Verse (8), Chorus (8) x2",
    "A (4+4) x3 open, b, A",
    "A (4",
    "A (0)",
    "A x2",
    ",",
    "A (9), A (9)",
)


class Bench:
    """A demo book on the disk, a desk to be at, and what went wrong."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.rng = random.Random(seed)
        self.top = folder
        self.book, self.desk = demo_book(folder / "book"), folder / "desk"
        self.desk.mkdir()
        self.good = dict(demo_files())
        self.waiting = list(LINES)  # every command has its turn before chance decides
        self.titles = [Path(name).stem for name in self.good if name.startswith(("charts/", "setlists/"))]
        self.scores = _scores()
        self.failures: list[str] = []
        self.statuses: dict[str, dict[int, int]] = {}
        self.slowest: dict[str, float] = {}
        self.runs = 0

    def try_one(self, commands: int) -> None:
        """One mutated file in the book, and so many commands over it."""
        name, good = self.rng.choice(list(self.good.items()))
        data = self._changed(good)
        (self.book / name).write_bytes(data)
        before = tree(self.top)
        for _ in range(commands):
            line = self.line(Path(name))
            self._try_line(line, before, f"{name}\n{data[:3000]!r}")
        (self.book / name).write_bytes(good)

    def _changed(self, good: bytes) -> bytes:
        chance = self.rng.random()
        if chance < 0.02:
            return self.rng.choice(HOSTILE).encode()
        return (altered if chance < 0.7 else mutated)(self.rng, good)

    def line(self, file: Path) -> list[str]:
        """A command line about the file, its words chosen at random."""
        shares = [SHARES.get(kind, 1.0) for kind in LINES]
        command = self.waiting.pop() if self.waiting else self.rng.choices(list(LINES), shares)[0]
        words = self.rng.choice(LINES[command]).split()
        return [self._word(word, file) for word in words]

    def _word(self, word: str, file: Path) -> str:
        if word in WORDS:
            return self._word(self.rng.choice(WORDS[word]), file)
        if word == "<bit>":  # what a shell can pass, which is all but NUL
            return (self.rng.choice(BITS) + self.rng.choice(("", "x", *BITS))).replace("\0", "\udc80")
        if word == "<form>":
            return self.rng.choice((*FORMS, self._word("<bit>", file)))
        if word == "<score>":
            (self.desk / "score").write_bytes(self._changed(self.rng.choice(self.scores)))
            return "score"
        if word == "<line>":
            return self.rng.choice(_NAMES.findall(self.good[file.as_posix()].decode()) or ["Verse"])
        if word == "<own>":
            return self.rng.choice(_NAMES.findall(self.good["fills/our-own.yaml"].decode()))
        if word == "<file>":
            return file.stem if file.parent.name else self.rng.choice(self.titles)
        return word

    def _try_line(self, line: list[str], before: Tree, told: str) -> None:
        rows = self._changed(b"SD o.o.|oooo|ggOg\nBD o...|....|o.o.\nstick R.L.|RLRL|RRLR\n")
        with (self.desk / "score").open("ab"):
            pass
        score = (self.desk / "score").read_bytes()
        start = time.process_time()
        try:
            done = feelmap(
                *line, stdin=rows, encoding=self.rng.choice(("utf-8", "utf-8", "latin-1", "ascii"))
            )
            found = wrong(done, tuple(line)) or _unread_json(done, line)
        except Exception:
            done, found = Done(-1, "", ""), traceback.format_exc()
        took = time.process_time() - start
        self._count(line[0], done.status, took)
        if took > LONG.get(line[0], LIMIT):
            found = found or f"{took:.2f} s"
        found = found or self._strewn(line, done, before, score)
        if found:
            self.failures.append(f"{line}\nrows {rows!r}\n{told}\n{found}")
        restore(self.top, before)

    def _strewn(self, line: list[str], done: Done, before: Tree, score: bytes) -> str | None:
        """Files that a command should not have touched."""
        after = tree(self.top)
        touched = {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}
        touched -= {"desk/score"} if (self.desk / "score").read_bytes() == score else set()
        if any(name.endswith(".tmp") for name in after):
            return f"left behind: {[name for name in after if name.endswith('.tmp')]}"
        if touched and (done.status != 0 or line[0] not in WRITES or "--dry-run" in line):
            return f"status {done.status}, touched {sorted(touched)}"
        if "-o" in line and any(not name.startswith("desk/out") for name in touched):
            return f"touched {sorted(touched)}"
        return None

    def _count(self, command: str, status: int, took: float) -> None:
        self.runs += 1
        by_status = self.statuses.setdefault(command, {})
        by_status[status] = by_status.get(status, 0) + 1
        self.slowest[command] = max(self.slowest.get(command, 0.0), took)


def _unread_json(done: Done, line: list[str]) -> str | None:
    if "--json" not in line or done.status == 2:
        return None
    try:
        json.loads(done.out)
    except ValueError as error:
        return f"no JSON: {error}"
    return None


def _scores() -> list[bytes]:
    """Small scores of the three kinds, our own."""
    abc = b"X:1\nT:Lamp Black\nM:4/4\nL:1/8\nQ:1/4=100\nK:C\nP:A\n|:C2E2 G2c2|d4 e4:|\nP:B\n[M:3/4]c2d2e2|f6|]\n"
    found = [abc]
    with tempfile.TemporaryDirectory() as folder:
        book = demo_book(Path(folder) / "book")
        for command, name in (("click", "out.mid"), ("export", "out.musicxml"), ("export", "out.mxl")):
            path = Path(folder) / name
            feelmap(command, "porch", "-o", str(path), "--book", str(book))
            found.append(path.read_bytes())
    return found


@contextmanager
def unhurried() -> Iterator[None]:
    """Without waiting for the disk: what is asked here does not hang on it."""
    kept = os.fsync
    os.fsync = lambda _handle: None
    try:
        yield
    finally:
        os.fsync = kept


@contextmanager
def bench(seed: int) -> Iterator[Bench]:
    """A bench in a temporary folder, which is where we stand meanwhile."""
    here, columns, given = os.getcwd(), os.environ.get("COLUMNS"), os.environ.get("FEELMAP_BOOK")
    with tempfile.TemporaryDirectory() as folder, unhurried():
        made = Bench(Path(folder), seed)
        os.chdir(made.desk)
        os.environ.update(COLUMNS=str(made.rng.choice((0, 20, 60, 80, 120))), FEELMAP_BOOK=str(made.book))
        try:
            yield made
        finally:
            os.chdir(here)
            for key, value in (("COLUMNS", columns), ("FEELMAP_BOOK", given)):
                os.environ.pop(key, None) if value is None else os.environ.update({key: value})


def run(runs: int, seed: int, commands: int = 4) -> Bench:
    """So many command runs; stops early after twenty failures."""
    with bench(seed) as made:
        while made.runs < runs and len(made.failures) < 20:
            made.try_one(commands)
    return made


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5_000
    start = time.perf_counter()
    result = run(count, int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    for failure in result.failures:
        print(ascii(failure).replace("\\n", "\n"), "\n")
    for command, by_status in sorted(result.statuses.items()):
        print(f"{command:9} {dict(sorted(by_status.items()))}  slowest {result.slowest[command]:.3f} s")
    took = time.perf_counter() - start
    print(f"{result.runs} commands in {took:.0f} s, {len(result.failures)} failures")
    sys.exit(bool(result.failures))
