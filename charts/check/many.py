"""Checking many charts: on every processor, where there are charts enough to be worth it."""

from __future__ import annotations

import os
import pickle
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from charts.book import Book
from charts.check.run import check_chart
from charts.source import Finding

WORTH_IT = 200  # charts; with fewer, starting the other processes takes longer than they save
AT_ONCE = 20
MOST_PARTS = 1_000  # what a pipe holds, two bytes each, in every system
Found = dict[int, list[Finding]]  # by the number of the part
Reached = Callable[[float], object]  # is told how much of the whole is done, from 0 to 1


def nobody(part: float) -> None:
    """For those who do not ask how far the work is."""


def check_charts(book: Book, paths: list[Path], reached: Reached = nobody) -> list[Finding]:
    """What is found in these charts, in their order."""
    if len(paths) >= WORTH_IT and _processors() > 1 and threading.active_count() == 1:
        return _side_by_side(book, paths, reached)
    found: list[Finding] = []
    for place, path in enumerate(paths):
        reached(place / len(paths))
        found += check_chart(book, path)
    return found


def _in_turn(book: Book, paths: list[Path]) -> list[Finding]:
    return [finding for path in paths for finding in check_chart(book, path)]


def _processors() -> int:
    """How many processors we may use; one where no process can be forked: a new one starts too slowly."""
    if not hasattr(os, "fork"):
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _side_by_side(book: Book, paths: list[Path], reached: Reached) -> list[Finding]:
    """Forked helpers have the book and the rules as they are; only what they find comes back.

    Each process takes the number of the next part from one pipe until it is empty. A part that never comes
    back, since its helper was killed or could not be started, is done here.
    """
    first = _in_turn(book, paths[:AT_ONCE])  # imports the rules and reads the fills, once for all of them
    size = max(AT_ONCE, -(-len(paths) // MOST_PARTS))
    parts = [paths[start : start + size] for start in range(AT_ONCE, len(paths), size)]
    numbers = _numbers(len(parts))
    helpers: list[Helper] = []
    try:
        with _interrupts_wait(), suppress(OSError):  # no room for more processes
            helpers.extend(Helper(book, parts, numbers) for _ in range(_processors() - 1))
        found = _share(book, parts, numbers, reached)
        for helper in helpers:
            found |= helper.found()
    finally:
        for helper in helpers:
            helper.end()
        os.close(numbers)
    for number, part in enumerate(parts):
        first += found[number] if number in found else _in_turn(book, part)
    return first


def _numbers(count: int) -> int:
    """A pipe to read the numbers below ``count`` from, two bytes each."""
    numbers, end = os.pipe()
    with open(end, "wb") as out:
        out.write(b"".join(number.to_bytes(2, "big") for number in range(count)))
    return numbers


def _share(book: Book, parts: list[list[Path]], numbers: int, reached: Reached = nobody) -> Found:
    """What is found in the parts that fall to this process."""
    found: Found = {}
    while taken := os.read(numbers, 2):
        number = int.from_bytes(taken, "big")
        reached(number / len(parts))
        found[number] = _in_turn(book, parts[number])
    return found


class Helper:
    """A forked process that takes its share of the parts."""

    def __init__(self, book: Book, parts: list[list[Path]], numbers: int) -> None:
        self._answers, answers = os.pipe()
        self._process = os.fork()
        if self._process == 0:  # in the helper, which ends here; an error comes up where it is done again
            try:
                with open(answers, "wb") as out:
                    pickle.dump(_share(book, parts, numbers), out, pickle.HIGHEST_PROTOCOL)
            finally:
                os._exit(0)
        os.close(answers)

    def found(self) -> Found:
        """What it found; nothing where it was ended before it could tell."""
        with open(self._answers, "rb", closefd=False) as answers, suppress(EOFError, pickle.UnpicklingError):
            return pickle.load(answers)  # type: ignore[no-any-return]  # it is what _share gave
        return {}

    def end(self) -> None:
        """End the process, whatever it is at."""
        os.close(self._answers)
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)


@contextmanager
def _interrupts_wait() -> Iterator[None]:
    """What is forked meanwhile never sees an interrupt: that is for the first process, which ends them."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
