"""Checking many charts side by side gives what checking them in turn gives."""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from charts.book import Book
from charts.check import many
from charts.source import Finding
from charts.spread import most_helpers

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="no processes are forked here")
CHART = "title: Song {n}\ntempo: {tempo}\nfeel: {feel}\nform:\n  - Verse ({bars}): {{fill: {fill}}}\n"
WRONG = "title: Song\ntempo: fast\nfeel: shufle\nform:\n  - Verse\n"


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Charts with something to say about most of them, in errors of each kind."""
    (tmp_path / "charts").mkdir()
    for n in range(23):
        text = CHART.format(
            n=n,
            tempo=80 + n * 20,
            feel=("shuffle", "straight eighths", "swing")[n % 3],
            bars=4 + n % 4,
            fill=("sixteenths round the kit", "stairs in threes", "no such fill")[n % 3],
        )
        (tmp_path / "charts" / f"song-{n:02}.yaml").write_text(text if n % 7 else WRONG, encoding="utf-8")
    return Book(tmp_path)


@pytest.fixture(autouse=True)
def small_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few charts are worth it here, so that the test is quick."""
    monkeypatch.setattr(many, "WORTH_IT", 10)
    monkeypatch.setattr(many, "AT_ONCE", 4)


def told(findings: list[Finding]) -> list[object]:
    """All that is said and where."""
    spans = [finding.span for finding in findings]
    places = [(s.source.name, s.line, s.column, s.end_column, s.text) if s else None for s in spans]
    rest = [(f.rule, f.level, f.message, f.hint, f.where, f.caption, f.lines, f.detail) for f in findings]
    return list(zip(places, rest, strict=True))


@needs_fork
def test_side_by_side_tells_what_is_told_in_turn(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    paths = book.chart_paths()
    monkeypatch.setattr(many, "most_helpers", lambda: 0)
    in_turn = told(many.check_charts(book, paths))
    monkeypatch.setattr(many, "most_helpers", lambda: 2)
    sent: list[object] = []
    load = pickle.load
    monkeypatch.setattr("pickle.load", lambda answers: sent.append(answers) or load(answers))
    assert told(many.check_charts(book, paths)) == in_turn
    assert len(sent) == 2
    assert len(in_turn) > len(paths)


@pytest.mark.parametrize("helpers", [0, 1])
def test_how_far_a_check_is_can_be_watched(book: Book, monkeypatch: pytest.MonkeyPatch, helpers: int) -> None:
    """From nothing on, never backwards, never done before it is; whoever does the work."""
    monkeypatch.setattr(many, "most_helpers", lambda: helpers)
    parts: list[float] = []
    many.check_charts(book, book.chart_paths(), parts.append)
    assert parts == sorted(parts)
    assert all(0 <= part < 1 for part in parts)
    assert len(parts) == 6 or helpers  # a helper may be quicker than we are


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="needs /proc to see when they work")
def test_an_interrupt_ends_them_all(tmp_path: Path) -> None:
    (tmp_path / "charts").mkdir()
    for n in range(2_000):
        text = CHART.format(n=n, tempo=80 + n % 90, feel="shuffle", bars=8, fill="sixteenths round the kit")
        (tmp_path / "charts" / f"song-{n:04}.yaml").write_text(text, encoding="utf-8")
    command = [sys.executable, "-c", "from render.cli import main; main()", "check", "--book", str(tmp_path)]
    running = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, start_new_session=True
    )
    children = Path(f"/proc/{running.pid}/task/{running.pid}/children")
    while running.poll() is None and not (most_helpers() == 0 or children.read_text()):
        time.sleep(0.01)
    os.killpg(running.pid, signal.SIGINT)
    _, said = running.communicate(timeout=20)
    assert "Traceback" not in said
    assert running.returncode == 130
    with pytest.raises(ProcessLookupError):
        os.killpg(running.pid, 0)
