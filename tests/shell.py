"""Running a command line inside the test, as a person would in a book's folder."""

from __future__ import annotations

import io
import os
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

from render.cli import main


@dataclass
class Answer:
    """What a command printed, and its exit status."""

    status: int
    out: str
    err: str


def feelmap(*arguments: str, cwd: Path, stdin: str = "", columns: int = 80) -> Answer:
    """``feelmap ARGUMENTS`` run in a folder, its output piped."""
    out, err = _stream(), _stream()
    around = (
        patch.object(sys, "argv", ["feelmap", *arguments]),
        patch.object(sys, "stdin", _stream(stdin)),
    )
    size = patch.dict(os.environ, COLUMNS=str(columns))
    status = 0
    with chdir(cwd), around[0], around[1], size, redirect_stdout(out), redirect_stderr(err):
        try:
            main()
        except SystemExit as done:
            status = done.code if isinstance(done.code, int) else int(done.code is not None)
    return Answer(status, _text(out), _text(err))


def _stream(text: str = "") -> io.TextIOWrapper:
    return io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8", newline="")


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    return stream.buffer.getvalue().decode()  # type: ignore[attr-defined]  # it is a BytesIO
