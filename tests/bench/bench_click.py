"""How fast a click is made: the whole command for a five-minute song, and what it spends its time on.

Run: python tests/bench/bench_click.py. Prints medians; a click of five minutes belongs well under a second.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROUNDS = 7
CHART = """title: Five Minutes
tempo: 120
feel: straight sixteenths
form:
  - Verse (25) x2
  - Chorus (25) x2: {tempo: 120 to 124}
  - Verse
"""
FEELMAP = [sys.executable, "-c", "from render.cli import main; main()"]
BARE = [sys.executable, "-c", "import typer, yaml, numpy"]


def measured(work: Callable[[], object]) -> tuple[float, float]:
    """Median seconds on the clock and on the processor, children included."""
    clock, processor = [], []
    for _ in range(ROUNDS):
        began, used = time.perf_counter(), _processor()
        work()
        clock.append(time.perf_counter() - began)
        processor.append(_processor() - used)
    return statistics.median(clock), statistics.median(processor)


def _processor() -> float:
    own, children = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return own.ru_utime + own.ru_stime + children.ru_utime + children.ru_stime


def in_process(folder: Path) -> dict[str, Callable[[], object]]:
    """The work alone, libraries loaded."""
    from charts.book import Book
    from render.sound.click_file import click_file

    tune = Book(folder).song("five")
    return {
        "in process, WAV": lambda: b"".join(click_file(tune, ".wav", False, 0, -6.0)[1]),
        "in process, WAV, --subdivide": lambda: b"".join(click_file(tune, ".wav", True, 1, -6.0)[1]),
        "in process, MIDI, --subdivide": lambda: b"".join(click_file(tune, ".mid", True, 1, -6.0)[1]),
    }


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "book"
        (folder / "charts").mkdir(parents=True)
        (folder / "charts" / "five.yaml").write_text(CHART)

        def command(*arguments: str) -> Callable[[], object]:
            return lambda: subprocess.run([*FEELMAP, *arguments], cwd=folder, check=True, capture_output=True)

        rows: dict[str, Callable[[], object]] = {
            "bare import of typer, yaml, numpy": lambda: subprocess.run(BARE, check=True),
            "click five -o x.wav": command("click", "five", "-o", "x.wav"),
            "click five -o x.wav --subdivide": command("click", "five", "-o", "x.wav", "--subdivide"),
            "click five -o x.mid": command("click", "five", "-o", "x.mid"),
            "practice, two tempos": command("practice", "stairs in threes", "--feel", "shuffle", "-o", "out"),
            **in_process(folder),
        }
        for what, work in rows.items():
            clock, processor = measured(work)
            print(f"{what:<36} {clock * 1000:7.0f} ms   {processor * 1000:7.0f} ms of processor")


if __name__ == "__main__":
    main()
