"""Doing things at their time.

Every moment is a deadline on the monotonic clock, measured from the start, so lateness never adds up.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, TypeVar

LATE_SECONDS = 0.1  # what is later than this is left out: the next moment is already near


class Moment(Protocol):
    """Something with a time of its own."""

    @property
    def seconds(self) -> float: ...


M = TypeVar("M", bound=Moment)


def sleep_until_key(_seconds: float) -> bool:
    """Sleep where there is no keyboard to listen to; never a key."""
    time.sleep(max(0.0, _seconds))
    return False


def in_time(
    moments: Iterable[M],
    start: float,
    wait: Callable[[float], bool] = sleep_until_key,
    clock: Callable[[], float] = time.monotonic,
) -> Iterator[M]:
    """Each moment when it is due, ``start`` plus its own seconds on ``clock``; stops when ``wait`` says so.

    ``wait`` sleeps for that many seconds and is True where a key was pressed meanwhile. It may sleep too long
    or too short: the next deadline is measured from the start again.

    >>> from types import SimpleNamespace as At
    >>> now = [0.0]
    >>> def slow(seconds):
    ...     now[0] += seconds + 0.004
    ...     return False
    >>> beats = in_time([At(seconds=n / 2) for n in range(1, 200)], 0, slow, lambda: now[0])
    >>> [round(now[0] - beat.seconds, 3) for beat in beats][-1]
    0.004
    """
    for moment in moments:
        due = start + moment.seconds
        left = due - clock()
        while left > 0:
            if wait(left):
                return
            left = due - clock()
        if left > -LATE_SECONDS:
            yield moment
