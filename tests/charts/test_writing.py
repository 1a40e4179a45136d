"""Writing a user's file: whole or not at all."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from charts.source import FeelmapError
from charts.writing import atomic_write


def only(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def test_new_file(tmp_path: Path) -> None:
    """A new file has the bytes given, the user's usual permissions, and nothing beside it."""
    atomic_write(tmp_path / "a.yaml", b"title: A\r\n")
    assert (tmp_path / "a.yaml").read_bytes() == b"title: A\r\n"
    (tmp_path / "usual").touch()
    assert (tmp_path / "a.yaml").stat().st_mode == (tmp_path / "usual").stat().st_mode
    assert only(tmp_path) == ["a.yaml", "usual"]


def test_permissions_are_kept(tmp_path: Path) -> None:
    """A replaced file keeps its permissions."""
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    atomic_write(path, b"new")
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can give a file away")
def test_owner_is_kept(tmp_path: Path) -> None:
    """A file of another user stays that user's."""
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")
    os.chown(path, 1234, 1235)
    atomic_write(path, b"new")
    assert (path.stat().st_uid, path.stat().st_gid) == (1234, 1235)


def test_link_stays_a_link(tmp_path: Path) -> None:
    """Writing through a symbolic link replaces its target and keeps the link."""
    (tmp_path / "far").mkdir()
    target = tmp_path / "far" / "real.yaml"
    target.write_bytes(b"old")
    link = tmp_path / "a.yaml"
    link.symlink_to(Path("far") / "real.yaml")
    atomic_write(link, b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"
    assert only(tmp_path / "far") == ["real.yaml"]


def test_read_only_is_refused(tmp_path: Path) -> None:
    """A read-only file is refused with a message, even where the system would let us."""
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")
    path.chmod(0o444)
    with pytest.raises(FeelmapError, match="read-only"):
        atomic_write(path, b"new")
    assert path.read_bytes() == b"old"
    assert only(tmp_path) == ["a.yaml"]


@pytest.mark.parametrize("kind", ["file", "folder", "dangling link", "link"])
def test_no_overwriting(tmp_path: Path, kind: str) -> None:
    """With replace=False whatever has the name already is refused and left alone."""
    path = tmp_path / "a.yaml"
    if kind == "file":
        path.write_bytes(b"old")
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to(tmp_path / ("nowhere" if kind == "dangling link" else "real"))
        if kind == "link":
            (tmp_path / "real").write_bytes(b"old")
    before = only(tmp_path)
    with pytest.raises(FeelmapError):
        atomic_write(path, b"new", replace=False)
    assert only(tmp_path) == before
    assert not path.is_file() or path.read_bytes() == b"old"


def test_exclusive_without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a file system without hard links a new name is claimed first, and a taken one refused."""

    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    atomic_write(tmp_path / "a.yaml", b"new", replace=False)
    assert (tmp_path / "a.yaml").read_bytes() == b"new"
    with pytest.raises(FeelmapError, match="already there"):
        atomic_write(tmp_path / "a.yaml", b"newer", replace=False)
    assert (tmp_path / "a.yaml").read_bytes() == b"new"
    assert only(tmp_path) == ["a.yaml"]


@pytest.mark.parametrize("blow", [OSError(28, "No space left on device"), KeyboardInterrupt(), MemoryError()])
@pytest.mark.parametrize("where", ["fsync", "replace", "chmod"])
def test_nothing_is_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str, blow: BaseException
) -> None:
    """Whatever stops the write, Ctrl-C too, the old file is whole and no temporary file stays."""
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")

    def fail(*_: object, **__: object) -> None:
        raise blow

    monkeypatch.setattr(os, where, fail)
    with pytest.raises(FeelmapError if isinstance(blow, OSError) else type(blow)):
        atomic_write(path, b"new")
    assert path.read_bytes() == b"old"
    assert only(tmp_path) == ["a.yaml"]


def test_no_folder(tmp_path: Path) -> None:
    """A missing folder is named, not made."""
    with pytest.raises(FeelmapError, match="no folder"):
        atomic_write(tmp_path / "none" / "a.yaml", b"new")
    assert only(tmp_path) == []


def test_folder_as_file(tmp_path: Path) -> None:
    """A folder is no file."""
    with pytest.raises(FeelmapError, match="is a folder"):
        atomic_write(tmp_path, b"new")


def test_pipe_is_written_through(tmp_path: Path) -> None:
    """A pipe or a device is written to, never replaced by a file."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        atomic_write(pipe, b"sound")
        assert os.read(reader, 100) == b"sound"
    finally:
        os.close(reader)
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_file_is_written_in_pieces_as_they_are_made(tmp_path: Path) -> None:
    """A long file need not be in memory whole; where a piece cannot be made nothing is left behind."""
    path = tmp_path / "a.wav"
    atomic_write(path, (bytes([place]) * 3 for place in range(2)))
    assert path.read_bytes() == b"\0\0\0\1\1\1"

    def broken() -> Iterator[bytes]:
        yield b"new"
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        atomic_write(path, broken())
    assert path.read_bytes() == b"\0\0\0\1\1\1"
    assert only(tmp_path) == ["a.wav"]
