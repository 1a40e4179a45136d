"""How fast ``regrid``, ``vary`` and ``suggest`` answer in a book of 500 fills, against ``fills --json``.

Run: python tests/bench/bench_fitting.py [FILLS]. Prints the median time of each command and its median ratio
to ``fills --json``, run alternately so that a busy machine is busy for both (target: 1.5 times at most).
"""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 7
FEELMAP = [sys.executable, "-c", "from render.cli import main; main()"]
FEELS = {"straight sixteenths": 4, "shuffle": 3, "sixteenth shuffle": 6, "straight eighths": 2}
CHART = """title: Bench
tempo: 92
feel: shuffle
form:
  - Verse (8): {fill: fill 7}
  - Chorus (8): {dynamics: f}
"""


def fill(number: int, chance: random.Random) -> str:
    """One fill of one to eight beats on one of several grids; every third gives its sticking."""
    beats, cells = chance.choice((1, 2, 4, 4, 8)), chance.choice(list(FEELS.values()))
    rows = {voice: [["."] * cells for _ in range(beats)] for voice in ("SD", "T1", "FT", "BD", "stick")}
    hand = 0
    for beat in range(beats):
        for cell in range(cells):
            voice = chance.choice(("SD", "SD", "T1", "FT", "BD", ""))
            if voice or not beat + cell:
                rows[voice or "SD"][beat][cell] = chance.choice("oooOg" if voice == "SD" else "ooO")
            if voice != "BD" and (voice or not beat + cell):
                rows["stick"][beat][cell] = "RL"[hand % 2]
                hand += 1
    if number % 3:
        del rows["stick"]
    lines = [f"      {voice:<6}{'|'.join(map(''.join, cells))}" for voice, cells in rows.items()]
    return f"  fill {number}:\n    suits: a turn into a chorus\n    rows: |\n" + "\n".join(lines) + "\n"


def write_book(folder: Path, fills: int) -> None:
    """A book of so many fills and one chart."""
    chance = random.Random(3)
    (folder / "charts").mkdir(parents=True)
    (folder / "fills").mkdir()
    (folder / "book.yaml").write_text("name: a book of fills\n")
    (folder / "charts" / "bench.yaml").write_text(CHART)
    (folder / "fills" / "fills.yaml").write_text("fills:\n" + "".join(fill(n, chance) for n in range(fills)))


def seconds(arguments: list[str], folder: Path) -> float:
    """One run's wall time."""
    start = time.perf_counter()
    subprocess.run([*FEELMAP, *arguments], cwd=folder, check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    """Print the table."""
    fills = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "book"
        write_book(folder, fills)
        for arguments in (
            ["regrid", "fill 7", "--feel", "shuffle", "--json"],
            ["vary", "fill 7", "--json"],
            ["suggest", "bench", "verse", "--json"],
            ["suggest", "bench", "verse", "--count", "100", "--json"],
        ):
            listing = ["fills", "--json"]
            pairs = [(seconds(listing, folder), seconds(arguments, folder)) for _ in range(ROUNDS)]
            took = statistics.median(command for _, command in pairs) * 1000
            ratio = statistics.median(command / listed for listed, command in pairs)
            print(f"{' '.join(arguments):<48} {took:7.1f} ms   {ratio:5.2f} times fills --json")


if __name__ == "__main__":
    main()
