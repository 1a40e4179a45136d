"""Checking many charts: on every processor, where there are charts enough to be worth it."""

from __future__ import annotations

from pathlib import Path

from charts.book import Book
from charts.check.run import check_chart
from charts.source import Finding
from charts.spread import Reached, most_helpers, nobody, spread

WORTH_IT = 200  # charts; with fewer, starting the other processes takes longer than they save
AT_ONCE = 20


def check_charts(book: Book, paths: list[Path], reached: Reached = nobody) -> list[Finding]:
    """What is found in these charts, in their order."""

    def work(path: Path) -> list[Finding]:
        return check_chart(book, path)

    helpers = most_helpers() if len(paths) >= WORTH_IT else 0
    alone = AT_ONCE if helpers else 0  # brings in the rules and reads the fills, once for all who are forked
    found = [work(path) for path in paths[:alone]]
    found += spread(work, paths[alone:], helpers, AT_ONCE, reached)
    return [finding for each in found for finding in each]
