"""How long a gig folder takes, against a bare program that draws as many boxes and words with the same library.

Run: python tests/bench/bench_folder.py [SONGS]. Both are whole programs, from start to written file, run
alternately so that a busy machine is busy for both; the bare one opens the same two fonts and puts the same
number of rectangles and of texts on as many pages. Prints both medians and their ratio; the goal is 2.5.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 7
GOAL = 2.5
FEELS = ("straight eighths", "straight sixteenths", "shuffle", "half-time shuffle", "swing")
FILLS = ("stairs in threes", "sixteenths round the kit", "short pickup", "big turn", "long and short")

FEELMAP = "from render.cli import main; main()"
BARE = """
import sys
from importlib.resources import files
from fpdf import FPDF
pages, boxes, words = map(int, sys.argv[1:4])
pdf = FPDF(unit="pt", format="A4")
pdf.set_auto_page_break(False)
fonts = files("fontpkg_atkinson_hyperlegible") / "files"
for style in ("Regular", "Bold"):
    pdf.add_font(style, "", str(fonts / f"AtkinsonHyperlegible-{style}.ttf"))
for page in range(pages):
    pdf.add_page()
    for box in range(boxes):
        pdf.rect(30 + box % 20 * 25, 30 + box // 20 * 30, 22, 22)
    for word in range(words):
        pdf.set_font("Bold" if word % 2 else "Regular", "", 12 + word % 5)
        pdf.text(30 + word % 4 * 130, 40 + word // 4 * 20, f"words on a page {word}")
pdf.output(sys.argv[4])
"""


def chart(number: int) -> str:
    """One chart of about the usual size."""
    return f"""title: Tune {number}
by: The Quay Street Six
key: {"ABCDEFG"[number % 7]}
tempo: {60 + number * 3 % 120}
feel: {FEELS[number % len(FEELS)]}
ending: cold on 1
form:
  - Intro (4): {{cue: guitar alone, dynamics: p}}
  - Verse 1 (8): {{cues: {{1: hats closed, 5: open up}}}}
  - Chorus (4+4) x2: {{fill: {FILLS[number % len(FILLS)]}}}
  - Verse 2: {{like: Verse 1, cue: bass drops out}}
  - Chorus
  - Bridge (7): {{hits: 3.1 3.2& 4.1, fills: {{7: {FILLS[(number + 1) % len(FILLS)]}}}}}
  - Solo (12) x2 open: {{until: the nod}}
  - Chorus: {{dynamics: ff}}
  - Tag (2) x3
"""


def write_book(folder: Path, songs: int) -> None:
    """A book of so many charts, and a set list of all of them."""
    for name in ("charts", "setlists"):
        (folder / name).mkdir(parents=True)
    (folder / "book.yaml").write_text("name: a bench\n")
    for number in range(songs):
        (folder / "charts" / f"tune-{number:03}.yaml").write_text(chart(number))
    titles = "".join(f"      - Tune {number}\n" for number in range(songs))
    (folder / "setlists" / "all.yaml").write_text(f"gig: All\nsets:\n  - name: All\n    songs:\n{titles}")


def drawn(folder: Path, songs: int) -> tuple[int, int]:
    """Boxes (lines, shapes and rectangles) and texts on an average page of the folder."""
    from charts.book import Book
    from render.page.model import Words
    from render.page.roadmap import fit
    from render.page.sheet import Options, sheet_of

    book, options = Book(folder), Options()
    pages = [fit(sheet_of(book.song_at(path), options), options, "page").page for path in book.chart_paths()]
    texts = sum(isinstance(item, Words) for page in pages for item in page.items)
    items = sum(len(page.items) for page in pages)
    return (items - texts) // songs, texts // songs


def seconds(command: list[str], folder: Path) -> tuple[float, float]:
    """One run's wall time and processor time; byte code is kept between runs, as in an installation."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    before, start = os.times(), time.perf_counter()
    environment = {**kept, "PYTHONPYCACHEPREFIX": str(folder.parent / "bytecode")}
    subprocess.run(command, cwd=folder, check=True, capture_output=True, env=environment)
    after = os.times()
    worked = after.children_user + after.children_system - before.children_user - before.children_system
    return time.perf_counter() - start, worked


def main() -> None:
    """Print the comparison."""
    songs = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "book"
        write_book(folder, songs)
        boxes, words = drawn(folder, songs)
        ours = [sys.executable, "-c", FEELMAP, "folder", "all", "-o", "all.pdf"]
        bare = [sys.executable, "-c", BARE, str(songs), str(boxes), str(words), "bare.pdf"]
        for command in (bare, ours):
            seconds(command, folder)  # once unmeasured, so that both have their byte code
        runs = [(seconds(bare, folder), seconds(ours, folder)) for _ in range(ROUNDS)]
        print(f"{songs} pages of {boxes} boxes and {words} texts; medians of {ROUNDS}, goal {GOAL}")
        for what, kind in (("elapsed", 0), ("processor", 1)):
            plain, own = (statistics.median(run[who][kind] for run in runs) for who in (0, 1))
            ratio = statistics.median(run[1][kind] / run[0][kind] for run in runs)
            print(f"{what:<10} bare {plain:5.2f} s   gig folder {own:5.2f} s   ratio {ratio:4.2f}")


if __name__ == "__main__":
    main()
