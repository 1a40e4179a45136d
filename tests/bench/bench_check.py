"""How long a check takes beside bare YAML: ``python tests/bench/bench_check.py [CHARTS]``.

Prints check of N charts / bare compose of the same files (target 2.5), and growth over 100, 1,000 and 10,000
charts (target: 11 times the time for 10 times the work), the best of several rounds each.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

CHART = """\
title: Song {n} of the Bench          # a title
by: The Bench Players
key: {key}
meter: 4/4
tempo: {tempo}                        # felt beats a minute
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
ROUNDS = 6
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
    "hertas round the kit",
)
CLASH_EVERY = 20


def write_charts(folder: Path, count: int) -> None:
    """A book of so many charts, each a little different."""
    (folder / "charts").mkdir()
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


BOTH = """
import sys, time, yaml
from pathlib import Path
from charts.book import Book
from render.checked import check_book

folder, rounds = Path(sys.argv[1]), int(sys.argv[2])

class Loader(yaml.CSafeLoader):
    yaml_implicit_resolvers = {}

def check():
    checked = check_book(Book(folder))
    assert checked.counts["charts"] and checked.findings

def compose():
    for path in sorted((folder / "charts").glob("*.yaml")):
        loader = Loader(path.read_bytes())
        loader.get_single_node()
        loader.dispose()

def took(work):
    start = time.perf_counter()
    work()
    return time.perf_counter() - start

times = [(took(check), took(compose)) for _ in range(rounds)]
print(*map(min, zip(*times)))
"""


def seconds(folder: Path, rounds: int) -> tuple[float, float]:
    """The best times of a check and of bare YAML, run in turn so that a busy machine is busy for both."""
    done = subprocess.run(
        [sys.executable, "-c", BOTH, str(folder), str(rounds)], capture_output=True, text=True, check=True
    )
    check, bare = map(float, done.stdout.split())
    return check, bare


def main() -> None:
    """Print the ratios."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    before = None
    for count in (100, 1_000, 10_000):
        if count > most:
            break
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            write_charts(folder, count)
            check, bare = seconds(folder, ROUNDS if count < 10_000 else 2)
        grown = f", {check / before:.1f} times the time for 10 times the charts" if before else ""
        print(
            f"{count:>6} charts: check {check:.3f} s, bare YAML {bare:.3f} s, ratio {check / bare:.2f}{grown}"
        )
        before = check


if __name__ == "__main__":
    main()
