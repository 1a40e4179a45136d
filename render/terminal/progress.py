"""A progress bar on standard error for work that lasts; nothing at all for work that does not."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from operator import length_hint
from typing import TYPE_CHECKING, TextIO, TypeVar

from render.terminal.printable import spelled_out

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

T = TypeVar("T")
PATIENCE_SECONDS = 2.0


class Progress:
    """Counts steps of work; from ``PATIENCE_SECONDS`` on it draws a bar on a terminal.

    Without a total, it is the number of the steps that are followed. Used as a context: the bar is wiped at
    the end, however it ends.
    """

    def __init__(self, label: str, total: float = 0, stream: TextIO | None = None) -> None:
        self.label, self.total, self.done = label, total, 0.0
        self._stream = stream or sys.stderr
        self._bar: Bar | None = None
        self._due = time.monotonic() + PATIENCE_SECONDS

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self._bar is not None:
            self._bar.stop()

    def step(self, amount: float = 1) -> None:
        """So much more is done."""
        self.reach(self.done + amount)

    def reach(self, done: float) -> None:
        """So much of the total is done."""
        self.done = done
        if self._bar is None and time.monotonic() >= self._due and self._stream.isatty():
            self._bar = bar_on(self._stream, self.label, self.total)
            self._bar.start()
        if self._bar is not None:
            self._bar.update(self._bar.task_ids[0], completed=done)

    def follow(self, steps: Iterable[T], each: float = 1) -> Iterator[T]:
        """The same steps one by one; ``each`` is so much of the whole, counted once it is done."""
        self.total = self.total or length_hint(steps)
        for step in steps:
            yield step
            self.step(each)


def bar_on(stream: TextIO, label: str, total: float) -> Bar:
    """A bar of one line, never wider than the terminal; rich is imported for work that lasts only."""
    from rich.progress import BarColumn, TaskProgressColumn, TextColumn
    from rich.progress import Progress as Bar
    from rich.table import Column

    from render.terminal.console import console_for

    name = TextColumn("{task.description}", markup=False, table_column=Column(no_wrap=True))
    bar = Bar(name, BarColumn(), TaskProgressColumn(), console=console_for(stream), transient=True)
    bar.add_task(spelled_out(label, stream), total=total)
    return bar
