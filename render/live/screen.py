"""The terminal while something runs in it: plain ANSI and termios, so it works over ssh, and always put back.

Keys are read one by one and are not echoed; the cursor is hidden. Whatever ends the command, Ctrl-C, a
signal, an error, the terminal is as it was. Ctrl-Z puts it back too, and takes it again afterwards.
"""

from __future__ import annotations

import contextlib
import os
import select
import shutil
import signal
import sys
import time
from importlib.util import find_spec
from types import FrameType, TracebackType
from typing import Any

from charts.source import FeelmapError
from render.terminal.ink import draws, escaped
from render.terminal.printable import spelled_out

HIDE, SHOW, CLEAR_LINE, CLEAR_SCREEN = "\x1b[?25l", "\x1b[?25h", "\x1b[K", "\x1b[H\x1b[2J"


def quits(key: bytes) -> bool:
    """q, Escape alone, Ctrl-D, or a keyboard that is gone; every other key is free for tapping.

    >>> quits(b"q"), quits(b" "), quits(b"\\x1b[A")
    (True, False, False)
    """
    return key in (b"", b"q", b"Q", b"\x1b", b"\x04")


class Screen:
    """A few lines at the cursor, drawn over and over; a context manager.

    Raises FeelmapError where the system has no terminal of the Unix kind, or one that obeys no codes.
    """

    def __init__(self) -> None:
        if not (draws(sys.stdout) and find_spec("termios")):
            hint = "feelmap count NAME | cat writes the count down; on Windows, run it under WSL"
            raise FeelmapError("this terminal cannot be drawn in", hint)
        self._keyboard = sys.stdin.fileno() if sys.stdin.isatty() else None
        self._out = sys.stdout.fileno()
        self._saved: list[Any] | None = None
        self._handlers: dict[signal.Signals, Any] = {}
        self._lines = 0
        self._stale = False  # the terminal has another size than when it was drawn in

    def __enter__(self) -> Screen:
        for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
            self._handlers[number] = signal.signal(number, _end)
        self._handlers[signal.SIGWINCH] = signal.signal(signal.SIGWINCH, self._resized)
        self._handlers[signal.SIGTSTP] = signal.signal(signal.SIGTSTP, self._suspend)
        try:
            self._take()
        except BaseException:  # a signal that came just then
            self.__exit__(None, None, None)
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._give_back()
        for number, handler in self._handlers.items():
            signal.signal(number, handler)

    def _take(self) -> None:
        if self._keyboard is not None:
            import termios
            import tty

            self._saved = termios.tcgetattr(self._keyboard)
            tty.setcbreak(self._keyboard)
        self._write(HIDE)

    def _give_back(self) -> None:
        with contextlib.suppress(OSError):  # the line was cut: nobody is there to see a cursor
            self._write(f"\x1b[{self._lines}B\r{SHOW}" if self._lines else SHOW)
        self._lines = 0
        if self._saved is not None and self._keyboard is not None:
            import termios

            with contextlib.suppress(termios.error):
                termios.tcsetattr(self._keyboard, termios.TCSADRAIN, self._saved)
            self._saved = None

    def _suspend(self, _number: int, _frame: FrameType | None) -> None:
        self._give_back()
        os.kill(os.getpid(), signal.SIGSTOP)
        self._take()

    def _resized(self, _number: int, _frame: FrameType | None) -> None:
        """Lines may have been folded anew, nobody knows how: the next drawing starts on a clear screen."""
        self._stale = True

    def _write(self, text: str) -> None:
        data = text.encode(sys.stdout.encoding or "ascii", "replace")
        while data:
            data = data[os.write(self._out, data) :]

    @property
    def width(self) -> int:
        """Columns of the terminal."""
        return shutil.get_terminal_size().columns

    def draw(self, lines: list[str]) -> None:
        """Draw the lines over the last ones; the cursor stays at their start. One write, so nothing tears."""
        if self._stale:
            self._stale, self._lines = False, 0
            self._write(CLEAR_SCREEN)
        lines = lines[: shutil.get_terminal_size().lines - 1]
        body = "".join(f"\r{spelled_out(escaped(line), sys.stdout)}{CLEAR_LINE}\n" for line in lines)
        body += f"{CLEAR_LINE}\n" * (gone := max(0, self._lines - len(lines)))
        total = len(lines) + gone
        self._write(f"{body}\x1b[{total}A\r")
        self._lines = len(lines)

    def key(self, seconds: float | None) -> tuple[bytes, float] | None:
        """The next key and the moment it came, on the monotonic clock; None after that many seconds.

        An empty key means that the keyboard is gone.
        """
        if self._keyboard is None:
            time.sleep(max(0.0, seconds or 0.0))
            return None
        if not select.select([self._keyboard], [], [], seconds)[0]:
            return None
        return os.read(self._keyboard, 64), time.monotonic()

    def wait_or_quit(self, seconds: float) -> bool:
        """Wait; True where a key that quits was pressed meanwhile."""
        found = self.key(seconds)
        return found is not None and quits(found[0])


def _end(number: int, _frame: FrameType | None) -> None:
    raise SystemExit(128 + number)
