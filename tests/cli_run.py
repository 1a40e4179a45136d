"""Running a command in this process as the shell would: its streams caught, its status returned."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from render.cli import _run

Tree = dict[str, bytes | str | None]  # what is in a folder: bytes of files, targets of links


@dataclass(frozen=True)
class Done:
    """How a command ended."""

    status: int
    out: str
    err: str


def feelmap(*arguments: str, stdin: bytes = b"", encoding: str = "utf-8") -> Done:
    """Run one command line; what escapes from it escapes from here."""
    with caught(stdin, encoding) as (out, err):
        status = _run(list(arguments))
    return Done(status, _text(out), _text(err))


@contextmanager
def caught(stdin: bytes, encoding: str) -> Iterator[tuple[io.TextIOWrapper, io.TextIOWrapper]]:
    """Streams of bytes in an encoding, with the error handlers that ``main`` and Python give them."""
    kept = sys.stdin, sys.stdout, sys.stderr
    out = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="replace", newline="")
    err = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="backslashreplace", newline="")
    sys.stdin, sys.stdout, sys.stderr = io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"), out, err
    try:
        yield out, err
    finally:
        sys.stdin, sys.stdout, sys.stderr = kept


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    return stream.buffer.getvalue().decode(stream.encoding)  # type: ignore[attr-defined]  # a BytesIO


def tree(folder: Path) -> Tree:
    """Everything in a folder with its content: bytes of files, targets of links, None for what is neither."""
    found: Tree = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        found[name] = path.readlink().as_posix() if path.is_symlink() else _content(path)
    return found


def _content(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def restore(folder: Path, before: Tree) -> None:
    """The folder as it was; what a command made is taken away, what it changed is put back."""
    after = tree(folder)
    for name in sorted(after, reverse=True):
        path, old = folder / name, before.get(name)
        if name not in before:
            path.rmdir() if path.is_dir() and not path.is_symlink() else path.unlink()
        elif isinstance(old, bytes) and after[name] != old:
            path.write_bytes(old)


def is_in_our_voice(words: str) -> bool:
    """``feelmap: lower case without full stop``, then what to write instead, after findings if any."""
    lines = words.splitlines()
    head = next((number for number, line in enumerate(lines) if line.startswith("feelmap: ")), None)
    if head is None or len(lines) < head + 2 or not lines[-1].startswith("  "):
        return False
    said = lines[head].removeprefix("feelmap: ")
    return "Traceback" not in words and bool(said.strip()) and not said.endswith(".")


def demo_book(folder: Path) -> Path:
    """The demo book in a folder of its own."""
    from setlists.demo import demo_files

    for name, data in demo_files():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


def wrong(done: Done, arguments: Sequence[str]) -> str | None:
    """What is wrong with how a command ended, whatever it was asked; None where nothing is."""
    if done.status not in (0, 1, 2):
        return f"status {done.status}"
    if done.status == 1 and list(arguments[:1]) != ["check"]:
        return "status 1, and this is no check"
    if done.status == 2 and done.out:
        return f"status 2, and standard output has {done.out[:200]!r}"
    if done.status == 2 and not is_in_our_voice(done.err):
        return f"not in our voice: {done.err[:400]!r}"
    if "Traceback" in done.out + done.err:
        return "a traceback"
    return None
