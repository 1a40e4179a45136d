"""A progress bar on standard error for work that lasts; nothing at all for work that does not."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from operator import length_hint
from typing import TextIO, TypeVar

from render.terminal.width import columns
from render.terminal.words import printable

T = TypeVar("T")
PATIENCE_SECONDS, REDRAW_SECONDS = 2.0, 0.1
LONGEST_BAR = 40


class Progress:
    """Counts steps of work; from ``PATIENCE_SECONDS`` on it draws a bar on a terminal.

    Without a total, it is the number of the steps that are followed. Used as a context: the bar is wiped at
    the end, however it ends.
    """

    def __init__(self, label: str, total: float = 0, stream: TextIO | None = None) -> None:
        self.label, self.total, self.done = label, total, 0.0
        self._stream = stream or sys.stderr
        self._drawn = False
        self._due = time.monotonic() + PATIENCE_SECONDS

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self._drawn:
            self._stream.write("\r\x1b[K")
            self._stream.flush()

    def step(self, amount: float = 1) -> None:
        """So much more is done."""
        self.reach(self.done + amount)

    def reach(self, done: float) -> None:
        """So much of the total is done."""
        self.done = done
        now = time.monotonic()
        if now >= self._due and self._stream.isatty():
            self._due = now + REDRAW_SECONDS
            self._drawn = True
            drawn = bar(self.label, self.done / self.total, columns(self._stream))
            self._stream.write("\r" + printable(drawn, self._stream) + "\x1b[K")
            self._stream.flush()

    def follow(self, steps: Iterable[T], each: float = 1) -> Iterator[T]:
        """The same steps one by one; ``each`` is so much of the whole, counted once it is done."""
        self.total = self.total or length_hint(steps)
        for step in steps:
            yield step
            self.step(each)


def bar(label: str, part: float, width: int) -> str:
    """One line, never wider than the terminal.

    >>> bar("the click", 0.5, 40)
    'the click [#########.........]  50 %'
    """
    part = min(1.0, max(0.0, part))
    room = max(0, min(LONGEST_BAR, width - 1 - len(label) - 10))
    filled = round(part * room)
    cells = "#" * filled + "." * (room - filled)
    return f"{label} [{cells}] {part:4.0%}".replace("%", " %")[: max(1, width - 1)]
