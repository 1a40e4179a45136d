"""Checking many charts: on every processor, where there are charts enough to be worth it."""

from __future__ import annotations

import gc
import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import chain
from pathlib import Path

from charts.book import Book
from charts.check.run import check_chart
from charts.source import Finding

WORTH_IT = 200  # charts; with fewer, starting the other processes takes longer than they save
AT_ONCE = 50


def check_charts(book: Book, paths: list[Path]) -> list[Finding]:
    """What is found in these charts, in their order."""
    if len(paths) >= WORTH_IT and _processors() > 1 and threading.active_count() == 1:
        from concurrent.futures.process import BrokenProcessPool

        try:
            return _side_by_side(book, paths)
        except (OSError, BrokenProcessPool):
            pass  # no room for more processes, or one was killed: do it alone
    return _in_turn(book, paths)


def _processors() -> int:
    """How many processors we may use; one where no process can be forked: a new one starts too slowly."""
    if not hasattr(os, "fork"):
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _side_by_side(book: Book, paths: list[Path]) -> list[Finding]:
    """Forked processes have the book and the rules as they are; only what they find comes back."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    first = _in_turn(book, paths[:AT_ONCE])  # imports the rules and reads the fills, once for all of them
    parts = [paths[start : start + AT_ONCE] for start in range(AT_ONCE, len(paths), AT_ONCE)]
    pool = ProcessPoolExecutor(_processors(), get_context("fork"), _begin, (book,))
    try:
        with _interrupts_wait():
            found = pool.map(_part, parts)  # forks them all
        return [*first, *chain.from_iterable(found)]
    finally:
        pool.shutdown(cancel_futures=True)


@contextmanager
def _interrupts_wait() -> Iterator[None]:
    """What is forked meanwhile never sees an interrupt: that is for the first process, which ends them."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


_books: list[Book] = []  # in a forked process: the book it was forked for


def _begin(book: Book) -> None:
    _books.append(book)


def _part(paths: list[Path]) -> list[Finding]:
    return _in_turn(_books[-1], paths)


def _in_turn(book: Book, paths: list[Path]) -> list[Finding]:
    with _uncollected():
        return [finding for path in paths for finding in check_chart(book, path)]


@contextmanager
def _uncollected() -> Iterator[None]:
    """A check makes many small objects and no rings of them: looking for rings took a third of its time."""
    before = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if before:
            gc.enable()
