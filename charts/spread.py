"""Work spread over the processors: forked helpers, each of which takes the next part until none is left."""

from __future__ import annotations

import os
import pickle
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Generic, TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")
Reached = Callable[[float], object]  # is told how much of the whole is done, from 0 to 1
MOST_PARTS = 1_000  # what a pipe holds, two bytes each, in every system


def nobody(part: float) -> None:
    """For those who do not ask how far the work is."""


def most_helpers() -> int:
    """How many helpers there is a processor for; none where a process cannot be forked.

    A new one would start too slowly, and one of several threads cannot be forked safely.
    """
    if not hasattr(os, "fork") or threading.active_count() > 1:
        return 0
    mine = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return mine - 1


def spread(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    helpers: int,
    at_once: int = 1,
    reached: Reached = nobody,
    meanwhile: Callable[[], object] | None = None,
) -> list[Result]:
    """What ``work`` gives for every item, in their order; ``meanwhile`` is done here before our own share.

    Helpers have all that we have; only what they found is sent back. Each process takes the number of the
    next part from one pipe until it is empty. A part that never comes back, since its helper was killed or
    could not be started, is done here.
    """
    size = max(at_once, -(-len(items) // MOST_PARTS))
    share = _Share(work, [items[start : start + size] for start in range(0, len(items), size)])
    started: list[_Helper[Item, Result]] = []
    try:
        with _interrupts_wait(), suppress(OSError):  # no room for more processes
            started.extend(_Helper(share) for _ in range(min(helpers, len(share.parts) - 1)))
        if meanwhile is not None:
            meanwhile()
        found = share.take(reached)
        for helper in started:
            found |= helper.found()
    finally:
        for helper in started:
            helper.end()
        share.close()
    results: list[Result] = []
    for number, part in enumerate(share.parts):
        results += found[number] if number in found else [work(item) for item in part]
    return results


class _Share(Generic[Item, Result]):
    """The parts of the work, and the pipe from which everybody takes the number of the next: two bytes."""

    def __init__(self, work: Callable[[Item], Result], parts: list[Sequence[Item]]) -> None:
        self.work, self.parts = work, parts
        self._numbers, end = os.pipe()
        with open(end, "wb") as out:
            out.write(b"".join(number.to_bytes(2, "big") for number in range(len(parts))))

    def take(self, reached: Reached = nobody) -> dict[int, list[Result]]:
        """What comes of the parts that fall to this process, by their numbers."""
        found: dict[int, list[Result]] = {}
        while taken := os.read(self._numbers, 2):
            number = int.from_bytes(taken, "big")
            reached(number / len(self.parts))
            found[number] = [self.work(item) for item in self.parts[number]]
        return found

    def close(self) -> None:
        os.close(self._numbers)


class _Helper(Generic[Item, Result]):
    """A forked process that takes its share of the parts."""

    def __init__(self, share: _Share[Item, Result]) -> None:
        self._answers, answers = os.pipe()
        try:
            self._process = os.fork()
        except OSError:
            os.close(self._answers)
            os.close(answers)
            raise
        if self._process == 0:  # in the helper, which ends here; an error comes up where it is done again
            try:
                with open(answers, "wb") as out:
                    pickle.dump(share.take(), out, pickle.HIGHEST_PROTOCOL)
            finally:
                os._exit(0)
        os.close(answers)

    def found(self) -> dict[int, list[Result]]:
        """What it found; nothing where it was ended before it could tell."""
        with open(self._answers, "rb", closefd=False) as answers, suppress(EOFError, pickle.UnpicklingError):
            return pickle.load(answers)  # type: ignore[no-any-return]  # it is what was taken
        return {}

    def end(self) -> None:
        """End the process, whatever it is at."""
        os.close(self._answers)
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)


@contextmanager
def _interrupts_wait() -> Iterator[None]:
    """What is forked meanwhile never sees an interrupt: that is for the first process, which ends them."""
    if not hasattr(signal, "pthread_sigmask"):
        yield  # and nothing is forked
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
