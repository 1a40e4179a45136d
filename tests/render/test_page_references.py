"""Two whole pages as they were last looked at: every text with its place and size, and how much is drawn.

A change here is a change that somebody should look at: draw the page, look, then run with
PAGE_REFERENCES=write in the environment to keep the new one.
"""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path

import pytest
from support import song

from charts.book import Book
from render.page.model import Page, Words
from render.page.report import KINDS
from render.page.roadmap import fit
from render.page.sheet import Options, sheet_of
from setlists import demo

REFERENCES = Path(__file__).parent / "references"
PLAIN = """
    title: Slack Tide
    tempo: 72
    feel: straight eighths
    form:
      - Intro (4)
      - Verse (8)
      - Chorus (4+4)
      - Verse
      - Chorus x2
      - Outro (4)
"""
FULL = """
    title: Lantern Street
    by: The Quay Street Six
    key: Bb minor
    tempo: 92
    feel: half-time shuffle
    pickup: 1 beat
    ending: cold on 1
    notes: watch the singer
    form:
      - Intro (4): {cue: guitar alone, dynamics: p}
      - Verse (8): {cues: {1: hats closed, 5: open up}, fill: stairs in threes}
      - Chorus (4+4) x2: {tempo: 96, fill: sixteenths round the kit}
      - Bridge (7): {feel: slow 12/8, meter: 12/8, odd-bars: {7: 6/8}, hits: 3.1 3.2& 4.1, stops: 5.1-5.2}
      - Solo (4) x2 open: {until: the nod}
"""


def told(page: Page) -> str:
    """A page as lines of text: what is written where, then how many shapes of each kind there are."""
    lines = [f"{w.x:6.1f} {w.y:6.1f} {w.size:5.1f}  {w.kind:<12}  {w.text}" for w in page.words]
    drawn = Counter(type(item).__name__ for item in page.items if not isinstance(item, Words))
    return "\n".join([*lines, *(f"{kind}: {count}" for kind, count in sorted(drawn.items()))]) + "\n"


@pytest.mark.parametrize(("name", "chart"), [("plain", PLAIN), ("full", FULL)])
def test_the_page_is_as_it_was_last_looked_at(name, chart):
    """Nothing moved, nothing changed its size, nothing is missing."""
    options = Options()
    page = told(fit(sheet_of(song(chart), options), options, name).page)
    kept = REFERENCES / f"{name}.txt"
    if os.environ.get("PAGE_REFERENCES") == "write":
        kept.write_text(page, encoding="utf-8")
    assert kept.read_text(encoding="utf-8") == page


def test_no_class_of_text_is_passed_over_by_the_report():
    """Whatever the demo’s pages print has a size in ``page --json``."""
    book, options = Book(Path(demo.__file__).parent), Options()
    pages = [fit(sheet_of(book.song_at(path), options), options, "p").page for path in book.chart_paths()]
    assert {words.kind for page in pages for words in page.words} <= set(KINDS)
