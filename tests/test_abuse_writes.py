"""Writing against the odds: a full disk, Ctrl-C, a kill; the old file or the new one, never half, nothing left."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from cli_run import Tree, demo_book, feelmap, is_in_our_voice, tree

from charts import writing
from charts.source import FeelmapError
from charts.writing import atomic_write, write_together
from render.cli import main

OLD, NEW = b"old\n" * 300, b"new!\n" * 50_000
# every command that writes, with a line that makes it write
LINES = {
    "demo": "demo out",
    "start": "start out/book",
    "new": "new Tar --feel swing --tempo 90 --form A(4)",
    "pencil": "pencil harbour chorus --cue now --bar 2",
    "regrid": "regrid sixteenths-round-the-kit --feel shuffle --save mine",
    "page": "page harbour -o old.pdf",
    "folder": "folder garden -o old.pdf",
    "click": "click harbour -o old.mid",
    "practice": "practice stairs-in-threes --feel shuffle --tempo 60 --tempo 90 --times 1 -o out",
    "export": "export porch -o old.musicxml",
    "import": "import tune.abc",
}
SLOW = ("demo", "page", "folder", "import")  # two mishaps each are enough
ABC = b"X:1\nT:Tar Paper\nM:4/4\nL:1/4\nQ:1/4=100\nK:C\nP:A\nCEGc|CEGc|CEGc|c4|]\n"
FULL = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
Mishap = tuple[str, int, BaseException]  # which call, which time it is made, what happens then
MISHAPS: dict[str, Mishap] = {
    "full at the third file": ("fsync", 3, FULL),
    "full at once": ("fsync", 1, FULL),
    "full half way": ("write", 1, FULL),
    "no renaming": ("replace", 1, OSError(errno.EIO, os.strerror(errno.EIO))),
    "Ctrl-C at once": ("fsync", 1, KeyboardInterrupt()),
    "Ctrl-C at the third file": ("fsync", 3, KeyboardInterrupt()),
    "Ctrl-C half way": ("write", 1, KeyboardInterrupt()),
}


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo book, and files of old that a command is to replace."""
    demo_book(tmp_path)
    for name, data in (("old.pdf", OLD), ("old.mid", OLD), ("old.musicxml", OLD), ("tune.abc", ABC)):
        (tmp_path / name).write_bytes(data)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("FEELMAP_BOOK", raising=False)
    return tmp_path


@contextmanager
def mishap(call: str, when: int, blow: BaseException, patch: pytest.MonkeyPatch) -> Iterator[None]:
    """The system refuses a call, or Ctrl-C is pressed in it, when it is made for the nth time."""
    left = when

    def strike() -> None:
        nonlocal left
        left -= 1
        if left == 0:
            raise blow

    def striking(real: Callable[..., Any]) -> Callable[..., Any]:
        return lambda *given: (strike(), real(*given))[1]

    with patch.context() as within:
        if call == "write":
            within.setattr(writing, "open", _half_written(strike), raising=False)
        else:
            within.setattr(os, call, striking(getattr(os, call)))
        yield


def _half_written(strike: Callable[[], None]) -> Callable[..., Any]:
    """Files that stop in the middle."""

    def opened(*given: Any, **more: Any) -> Any:
        file = open(*given, **more, buffering=0)  # noqa: SIM115  # its user closes it
        real = file.write

        class Half:
            def __enter__(self) -> Half:
                return self

            def __exit__(self, *_: object) -> None:
                file.close()

            def write(self, data: bytes) -> None:
                real(data[: len(data) // 2])
                strike()
                real(data[len(data) // 2 :])

            def __getattr__(self, name: str) -> Any:
                return getattr(file, name)

        return Half()

    return opened


def test_every_writing_command_is_here() -> None:
    """Commands that write go through one door, and each is tried below."""
    from render.cli.app import COMMANDS

    read_only = {
        "check",
        "show",
        "find",
        "feels",
        "fills",
        "fit",
        "suggest",
        "vary",
        "why",
        "gig",
        "count",
        "tap",
        "schema",
    }
    assert set(COMMANDS) == read_only | set(LINES)


@pytest.mark.parametrize(
    ("command", "name"),
    [
        (command, name)
        for command in LINES
        for name in MISHAPS
        if command not in SLOW or name in ("full at the third file", "Ctrl-C at once")
    ],
)
def test_a_mishap_changes_nothing(
    command: str, name: str, desk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Status 2 (130 by Ctrl-C), standard output empty, every file as it was, no file and no folder more."""
    call, when, blow = MISHAPS[name]
    before = tree(desk)
    with mishap(call, when, blow, monkeypatch):
        done = feelmap(*LINES[command].split())
    if done.status == 0:  # it writes fewer files than that
        assert when > 1 or call == "replace"
        return
    assert (130 if isinstance(blow, KeyboardInterrupt) else 2, "") == (done.status, done.out)
    assert before == tree(desk)
    if done.status == 2:
        assert is_in_our_voice(done.err)


@pytest.mark.parametrize("command", [command for command in LINES if command not in SLOW])
def test_without_a_mishap_they_do_write(command: str, desk: Path) -> None:
    """The lines above are not refused for another reason."""
    before = tree(desk)
    assert 0 == feelmap(*LINES[command].split()).status
    assert before != tree(desk)
    assert not [name for name in tree(desk) if name.endswith(".tmp")]


def test_a_full_disk_for_real(desk: Path) -> None:
    """On a disk of 64 KiB: what fits is there, what does not is told, and nothing of it stays."""
    disk = desk / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)], capture_output=True
    )
    if mounted.returncode:
        pytest.skip("no right to mount a disk here")
    try:
        (disk / "out.wav").write_bytes(OLD)
        done = feelmap("click", "harbour", "-o", "disk/out.wav")
        assert (2, "") == (done.status, done.out)
        assert "no space left on device" in done.err
        assert {"out.wav": OLD} == tree(disk)
        assert 2 == feelmap("practice", "stairs in threes", "--feel", "shuffle", "-o", "disk/loops").status
        assert {"out.wav": OLD} == tree(disk)
        assert 2 == feelmap("demo", "disk/demo").status
        assert {"out.wav": OLD} == tree(disk)
        assert 0 == feelmap("start", "disk/book").status
    finally:
        subprocess.run(["umount", str(disk)], check=True)


# at every line of the writer

TOGETHER = ("one", "new/two", "new/deep/three")


def _replace(folder: Path) -> None:
    atomic_write(folder / "file", NEW)


def _claim(folder: Path) -> None:
    atomic_write(folder / "file", NEW, replace=False)


def _together(folder: Path) -> None:
    write_together({folder / name: NEW for name in TOGETHER}, replace=False, folders=True)


WRITES: dict[str, tuple[Callable[[Path], None], Callable[[Path], object], set[str]]] = {
    # what is done, what is there before, which files have the new content after it
    "replace": (_replace, lambda folder: (folder / "file").write_bytes(OLD), {"file"}),
    "claim": (_claim, lambda folder: None, {"file"}),
    "together": (_together, lambda folder: None, set(TOGETHER)),
}


def _stop_at(line: int, stop: Callable[[], None]) -> Callable[..., Any]:
    """A tracer that stops the writer before its nth line."""
    left = line

    def trace(frame: Any, event: str, _: object) -> Any:
        nonlocal left
        if frame.f_code.co_filename != writing.__file__:
            return None
        if event == "line":
            left -= 1
            if left == 0:
                stop()
        return trace

    return trace


def _traced(write: Callable[[Path], None], folder: Path, line: int, stop: Callable[[], None]) -> bool:
    """True where the write came to its end before its nth line."""
    sys.settrace(_stop_at(line, stop))
    try:
        write(folder)
    finally:
        sys.settrace(None)
    return True


def _ctrl_c() -> None:
    sys.settrace(None)
    raise KeyboardInterrupt


@pytest.mark.parametrize("kind", WRITES)
def test_ctrl_c_at_every_line(kind: str, tmp_path: Path) -> None:
    """Before the first rename all is as it was, then each file is the old or the new; no temporary file stays."""
    write, prepare, files = WRITES[kind]
    for line in range(1, 1000):
        folder = tmp_path / str(line)
        folder.mkdir()
        prepare(folder)
        before = tree(folder)
        try:
            ended = _traced(write, folder, line, _ctrl_c)
        except KeyboardInterrupt:
            ended = False
        after = tree(folder)
        _each_is_old_or_new(before, after, files)
        assert ended or not [name for name in after if name.endswith(".tmp")], line
        if ended:
            assert line > 30
            return


def _each_is_old_or_new(before: Tree, after: Tree, files: set[str]) -> None:
    for name, content in after.items():
        if not name.endswith(".tmp") and content is not None:
            assert content == NEW or content == before.get(name), name
    assert before.keys() <= after.keys()
    assert {name for name in after if after[name] == NEW and not name.endswith(".tmp")} <= files


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process that can be killed")
@pytest.mark.parametrize("kind", ["replace", "claim"])
def test_a_kill_at_every_line(kind: str, tmp_path: Path) -> None:
    """Even where nothing can be tidied up any more, a file is the old one or the new one."""
    write, prepare, files = WRITES[kind]
    for line in range(1, 1000):
        folder = tmp_path / str(line)
        folder.mkdir()
        prepare(folder)
        before = tree(folder)
        child = os.fork()
        if child == 0:
            _traced(write, folder, line, lambda: os.kill(os.getpid(), signal.SIGKILL))
            os._exit(0)
        status = os.waitpid(child, 0)[1]
        _each_is_old_or_new(before, tree(folder), files)
        if os.WIFEXITED(status):
            assert line > 30
            return


@pytest.mark.parametrize("signal_sent", [signal.SIGINT, signal.SIGKILL, signal.SIGTERM])
def test_a_signal_at_any_moment(signal_sent: signal.Signals, desk: Path) -> None:
    """The same for a whole command in a process of its own, stopped at moments all over its run."""
    line = [sys.executable, "-c", "from render.cli import main; main()", "click", "harbour", "-o", "old.mid"]
    start = time.perf_counter()
    subprocess.run(line, check=True, capture_output=True)
    whole = time.perf_counter() - start
    new = (desk / "old.mid").read_bytes()
    rng = random.Random(7)
    for _ in range(3):
        (desk / "old.mid").write_bytes(OLD)
        process = subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(whole * rng.uniform(0.1, 1.0))
        process.send_signal(signal_sent)
        err = process.communicate()[1]
        assert (desk / "old.mid").read_bytes() in (OLD, new)
        if signal_sent == signal.SIGINT:
            assert not [name for name in tree(desk) if name.endswith(".tmp")]
            assert process.returncode in (0, 130, -signal.SIGINT), (process.returncode, err)


def test_ctrl_c_while_a_class_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """The interpreter wraps it in an error of its own there; other errors come up."""

    def raised_from(cause: BaseException) -> Callable[[list[str]], int]:
        def run(arguments: list[str]) -> int:
            raise RuntimeError("Error calling __set_name__") from cause

        return run

    monkeypatch.setattr("render.cli._run", raised_from(KeyboardInterrupt()))
    with pytest.raises(SystemExit, match="130"):
        main()
    monkeypatch.setattr("render.cli._run", raised_from(ValueError()))
    with pytest.raises(RuntimeError):
        main()


def test_what_another_writes_meanwhile_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that is taken while we write stays with who took it; what was ours is taken back."""
    real = os.fsync

    def and_then(handle: int) -> None:
        real(handle)
        (tmp_path / "new/deep").mkdir(parents=True, exist_ok=True)
        (tmp_path / "new/deep/three").write_bytes(OLD)

    monkeypatch.setattr(os, "fsync", and_then)
    with pytest.raises(FeelmapError, match="already there"):
        _together(tmp_path)
    assert {"new": None, "new/deep": None, "new/deep/three": OLD} == tree(tmp_path)
