"""The progress bar: nothing for short work, nothing where no one looks, wiped when the work ends."""

from __future__ import annotations

import io

import pytest

from render.terminal import progress
from render.terminal.console import drawn
from render.terminal.ink import Ink
from render.terminal.progress import Progress, bar_on

WIPED = "\x1b[1A\x1b[2K"


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def clock(monkeypatch):
    """A clock that stands still until it is moved."""
    now = [100.0]
    monkeypatch.setattr(progress.time, "monotonic", lambda: now[0])
    return now


def worked(clock, stream, seconds, steps=4):
    """Work of so many equal steps; what was written."""
    with Progress("the click", steps, stream) as shown:
        for _ in shown.follow(range(steps)):
            clock[0] += seconds / steps
    return stream.getvalue()


def test_short_work_shows_nothing(clock):
    """Under two seconds not a character is written."""
    assert "" == worked(clock, Terminal(), 1.9)


def test_long_work_shows_how_far_it_is(clock):
    """From two seconds on, and the line is wiped at the end."""
    written = worked(clock, Terminal(), 8)
    assert "the click " in written
    assert "100%" in written
    assert written.endswith(WIPED)


def test_without_a_total_the_steps_are_counted(clock):
    """The bar is half full after two of four."""
    stream = Terminal()
    with Progress("the check", stream=stream) as shown:
        for step in shown.follow(range(4)):
            clock[0] += 2
            if step == 2:
                break
    assert "50%" in stream.getvalue()


def test_a_file_gets_no_bar(clock):
    """Standard error that is no terminal stays clean."""
    assert "" == worked(clock, io.StringIO(), 60)


def test_the_bar_is_wiped_when_the_work_is_interrupted(clock):
    """The message that follows starts on a clean line."""
    stream = Terminal()

    def work():
        with Progress("the click", 4, stream) as shown:
            for step in shown.follow(range(4)):
                clock[0] += 3
                if step == 2:
                    raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        work()
    assert stream.getvalue().endswith(WIPED)


@pytest.mark.parametrize("width", ["40", "60", "80", "120"])
@pytest.mark.parametrize("part", [0.0, 0.333, 1.0, 1.7])
def test_the_bar_fits_the_terminal(width, part, monkeypatch):
    """One line, whatever the label."""
    monkeypatch.setenv("COLUMNS", width)
    for label in ("the click", "a label that is far longer than anyone would ever want to read there at all"):
        bar = bar_on(io.StringIO(), label, 1)
        bar.update(bar.task_ids[0], completed=part)
        (line,) = drawn(bar.make_tasks_table(bar.tasks), int(width), Ink())
        assert len(line) <= int(width)
        assert label[:9] in line


def test_a_terminal_without_codes_gets_no_bar(clock, monkeypatch):
    """TERM=dumb would show the codes as letters."""
    monkeypatch.setenv("TERM", "dumb")
    assert "\x1b" not in worked(clock, Terminal(), 8)
