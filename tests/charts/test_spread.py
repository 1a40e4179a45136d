"""Work spread over processes: all of it done, once, in its order, whatever becomes of the helpers."""

from __future__ import annotations

import os
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from charts import spread as room
from charts.spread import spread

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="no processes are forked here")


def open_files() -> int:
    """How many files this process has open; 0 where that cannot be told."""
    return len(os.listdir("/proc/self/fd")) if os.path.exists("/proc/self/fd") else 0


@needs_fork
@given(count=st.integers(0, 60), helpers=st.integers(0, 3), at_once=st.integers(1, 9))
def test_every_item_is_worked_on_in_its_order(count: int, helpers: int, at_once: int) -> None:
    assert spread(lambda n: n * n, range(count), helpers, at_once) == [n * n for n in range(count)]


@needs_fork
def test_helpers_take_their_share() -> None:
    """Of work that lasts, more than one process has done some."""

    def work(item: int) -> int:
        time.sleep(0.01)
        return os.getpid()

    assert len(set(spread(work, range(20), 2))) > 1


@needs_fork
def test_what_a_dead_helper_had_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed before it could tell anything, or in the middle of a word."""
    here = os.getpid()

    def work(item: int) -> int:
        if os.getpid() != here:
            os._exit(9)
        time.sleep(0.005)
        return item

    assert spread(work, range(20), 2) == list(range(20))
    monkeypatch.setattr("pickle.dump", lambda found, out, protocol: out.write(b"\x80\x05\x95\x10"))
    assert spread(lambda item: item, range(20), 2) == list(range(20))


@needs_fork
def test_an_error_in_a_helper_comes_up_here() -> None:
    here = os.getpid()

    def work(item: int) -> int:
        time.sleep(0.005)
        if os.getpid() != here or item == 19:
            raise LookupError(item)
        return item

    with pytest.raises(LookupError):
        spread(work, range(20), 1)


@needs_fork
def test_without_room_for_processes_it_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    def full() -> int:
        raise BlockingIOError

    monkeypatch.setattr(os, "fork", full)
    before = open_files()
    assert spread(str, range(5), 3) == ["0", "1", "2", "3", "4"]
    assert before == open_files()


@needs_fork
def test_nothing_is_left_behind() -> None:
    """No process, and no open file."""
    before = open_files()
    spread(str, range(50), 3)
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)
    assert before == open_files()


def test_what_is_done_meanwhile_is_done_once() -> None:
    done: list[str] = []
    spread(str, range(5), 0, meanwhile=lambda: done.append("loaded"))
    assert done == ["loaded"]


@pytest.mark.parametrize("count", [0, 1, 2_500])
def test_no_pipe_is_asked_to_hold_too_much(count: int) -> None:
    told: list[float] = []
    assert spread(lambda n: n, range(count), 0, reached=told.append) == list(range(count))
    assert len(told) == min(count, -(-count // max(1, -(-count // room.MOST_PARTS))))
    assert told == sorted(told)
