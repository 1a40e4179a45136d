"""How fast ``show`` and ``find`` answer in a book of 1,000 charts, against the bare import of the libraries.

Run: python tests/bench/bench_show.py [CHARTS]. Prints, for each command, the median time and its ratio to
``import typer, rich, yaml``, both run alternately so that a busy machine is busy for both.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 15
FEELS = ("straight eighths", "straight sixteenths", "shuffle", "half-time shuffle", "swing")
WORDS = ("Harbour", "Quarry", "Lantern", "Meadow", "Signal", "Copper", "Winter", "Orchard", "Tideway")
# compiled modules are kept, as they are where a package is installed
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
BARE = [sys.executable, "-c", "import typer, rich, yaml"]


def chart(number: int) -> str:
    """One chart of about the usual size, each with a title of its own."""
    title = f"{WORDS[number % 9]} {WORDS[number // 9 % 9]} {WORDS[number // 81 % 9]} {number}"
    return f"""title: {title}
by: The Quay Street Six
key: {"ABCDEFG"[number % 7]}
tempo: {60 + number % 120}
feel: {FEELS[number % len(FEELS)]}
ending: cold on 1
form:
  - Intro (4): {{cue: guitar alone, dynamics: p}}
  - Verse 1 (8): {{cues: {{1: hats closed, 5: open up}}}}
  - Chorus (4+4) x2: {{hits: 3.1 3.2& 4.1}}
  - Verse 2: {{like: Verse 1, cue: bass drops out}}
  - Chorus
  - Bridge (7): {{dynamics: p to f, stops: 7.1-7.4}}
  - Solo (12) x2 open: {{until: the nod}}
  - Chorus: {{dynamics: ff}}
  - Tag (2) x3
"""


def write_book(folder: Path, charts: int) -> None:
    """A book of so many charts."""
    (folder / "charts").mkdir(parents=True)
    (folder / "book.yaml").write_text("name: a large book\n")
    for number in range(charts):
        (folder / "charts" / f"tune-{number:04}.yaml").write_text(chart(number))


def seconds(command: list[str], folder: Path) -> float:
    """One run's wall time."""
    start = time.perf_counter()
    subprocess.run(command, cwd=folder, check=True, capture_output=True, env=ENVIRONMENT)
    return time.perf_counter() - start


def compare(command: list[str], folder: Path) -> tuple[float, float]:
    """Median ms of the command, and the median ratio to the bare import run just before it."""
    seconds(command, folder)  # once to compile
    pairs = [(seconds(BARE, folder), seconds(command, folder)) for _ in range(ROUNDS)]
    took = statistics.median(command for _, command in pairs)
    return took * 1000, statistics.median(command / bare for bare, command in pairs)


def main() -> None:
    """Print the table."""
    charts = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    feelmap = [sys.executable, "-c", "from render.cli import main; main()"]
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "book"
        write_book(folder, charts)
        middle = charts // 2
        part = chart(middle).splitlines()[0].removeprefix("title: ").split(" ", 1)[1]
        for what, arguments in {
            "show, by file": ["show", f"tune-{middle:04}"],
            "show, by part of the title": ["show", part],
            "show --json, by file": ["show", f"tune-{middle:04}", "--json"],
            "find, by words": ["find", "lantern harbour"],
            "find, by feel": ["find", "--feel", "shuffle"],
        }.items():
            took, ratio = compare([*feelmap, *arguments], folder)
            print(f"{what:<28} {took:7.1f} ms   {ratio:5.2f} times the bare import")


if __name__ == "__main__":
    main()
