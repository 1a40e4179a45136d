"""Escape codes, and the way to a screen on systems that have one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from charts.source import FeelmapError

if TYPE_CHECKING:
    from render.live.screen import Screen

HIDE, SHOW, CLEAR_LINE = "\x1b[?25l", "\x1b[?25h", "\x1b[K"
CLEAR_SCREEN = "\x1b[H\x1b[2J"
PLAIN, REVERSE, BOLD = "\x1b[0m", "\x1b[7m", "\x1b[1m"


def screen() -> Screen:
    """The screen; raises FeelmapError where the system has no terminal of the Unix kind."""
    try:
        from render.live.screen import Screen
    except ImportError:  # no termios
        hint = "run it on Linux or macOS, or under WSL; feelmap count NAME > FILE writes the count down"
        raise FeelmapError("this system's terminal cannot be drawn in", hint) from None
    return Screen()


def quits(key: bytes) -> bool:
    """q, Escape alone, Ctrl-D, or a keyboard that is gone; every other key is free for tapping.

    >>> quits(b"q"), quits(b" "), quits(b"\\x1b[A")
    (True, False, False)
    """
    return key in (b"", b"q", b"Q", b"\x1b", b"\x04")
