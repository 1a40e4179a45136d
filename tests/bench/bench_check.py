"""How long a check takes beside bare YAML: ``python tests/bench/bench_check.py [CHARTS]``.

Prints check of N charts / bare compose of the same files (target 8; on one processor, as every check), and growth over 100, 1,000 and 10,000
charts (target: 11 times the time for 10 times the work).
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

CHART = """\
title: Song {n} of the Bench          # a title
by: The Bench Players
key: {key}
meter: 4/4
tempo: {tempo}                        # beats per minute
feel: {feel}
count-in: 1 bar
ending: cold on 1
notes: watch the singer before the bridge, then wait for the nod of the band leader
form:
  - Intro (4): {{cue: guitar alone, dynamics: p}}
  - Verse 1 (8): {{cues: {{1: hats closed, 5: open up}}}}
  - Chorus (4+4) x2:
      tempo: {faster}
      fill: {fill}
      dynamics: f
  - Verse 2: {{like: Verse 1, cue: bass drops out}}
  - Chorus
  - Bridge (7):
      meter: 6/8
      odd-bars: {{7: 3/8}}
      hits: 3.1 3.2& 4.1
      stops: 6.2
      cue: toms only, look up
  - Solo (12) x2 open: {{until: the nod}}
  - Chorus: {{dynamics: ff}}
  - Breakdown (8):
      dynamics: p to f
      cues: {{1: kick only, 5: build}}
      fill: {fill}
  - Chorus
  - Tag (2) x3: {{tempo: {faster} to {tempo}, cue: slow it down}}
"""
COUNTS = (100, 1_000, 10_000)
ROUNDS = 15
LARGEST_EVERY = 3
FEELS = (
    "straight eighths",
    "shuffle",
    "half-time shuffle",
    "straight sixteenths",
    "swing",
    "sixteenth shuffle",
)
# one that fits each feel, and now and then one that does not
FILLS = (
    "eighths round the kit",
    "stairs in threes",
    "two-drum turn",
    "sixteenths round the kit",
    "long and short",
    "swung pairs down",
)
CLASH_EVERY = 20


def write_charts(folder: Path, count: int) -> None:
    """A book of so many charts, each a little different."""
    (folder / "charts").mkdir(parents=True)
    for n in range(count):
        tempo = 70 + n % 90
        text = CHART.format(
            n=n,
            key="ABCDEFG"[n % 7],
            tempo=tempo,
            faster=tempo + 4,
            feel=FEELS[n % 6],
            fill=FILLS[(n + (n % CLASH_EVERY == 0)) % 6],
        )
        (folder / "charts" / f"song-{n:05}.yaml").write_text(text, encoding="utf-8")


ROUND = """
import gc, json, sys, time, yaml
from pathlib import Path
from charts.book import Book
from render.cli import UNSEARCHED
from setlists.whole_book import check_book

class Loader(yaml.CSafeLoader):
    yaml_implicit_resolvers = {}

def check(folder):
    checked = check_book(Book(folder))
    assert checked.counts["charts"] and checked.findings

def compose(folder):
    for path in sorted((folder / "charts").glob("*.yaml")):
        loader = Loader(path.read_bytes())
        loader.get_single_node()
        loader.dispose()

def took(work, folder):
    start = time.perf_counter()
    work(folder)
    return time.perf_counter() - start

gc.set_threshold(UNSEARCHED)  # as a command does, here for both
folders = list(map(Path, sys.argv[1:]))
check(folders[0])  # imports what it needs
for line in sys.stdin:
    some = folders[: int(line)]
    print(json.dumps([(took(check, folder), took(compose, folder)) for folder in some]), flush=True)
"""


def rounds(folders: list[Path]) -> list[list[tuple[float, float]]]:
    """The times of a check and of bare YAML in each folder, round by round; the last, largest one at times."""
    wanted = [len(folders) - (number % LARGEST_EVERY > 0) for number in range(ROUNDS)]
    done = subprocess.run(
        [sys.executable, "-c", ROUND, *map(str, folders)],
        input="".join(f"{count}\n" for count in wanted),
        capture_output=True,
        text=True,
        check=True,
    )
    return [[(check, bare) for check, bare in json.loads(line)] for line in done.stdout.splitlines()]


def main() -> None:
    """Print the ratios.

    A machine's pace changes from second to second. So what is compared was run one after the other, and the
    ratio is the middle one of all rounds.
    """
    most = int(sys.argv[1]) if len(sys.argv) > 1 else COUNTS[-1]
    counts = [count for count in COUNTS if count <= most]
    with tempfile.TemporaryDirectory() as name:
        folders = [Path(name, str(count)) for count in counts]
        for folder, count in zip(folders, counts, strict=True):
            write_charts(folder, count)
        done = rounds(folders)
    for place, count in enumerate(counts):
        times = [each[place] for each in done if len(each) > place]
        check, bare = (median(column) for column in zip(*times, strict=True))
        ratios = [check / bare for check, bare in times]
        best = min(check for check, _ in times) / min(bare for _, bare in times)
        print(
            f"{count:>6} charts: check {check:.3f} s, bare YAML {bare:.3f} s, ratio {median(ratios):.2f}"
            f" (of the best times {best:.2f})"
            + (f", {_growth(done, place):.1f} times the time for 10 times the charts" if place else "")
        )


def _growth(done: list[list[tuple[float, float]]], place: int) -> float:
    """How many times the time of the folder before a check took."""
    return median(each[place][0] / each[place - 1][0] for each in done if len(each) > place)


if __name__ == "__main__":
    main()
