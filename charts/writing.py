"""Writing a user's file: whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from collections.abc import Iterator
from pathlib import Path

from charts.source import FeelmapError


def atomic_write(path: Path, data: bytes, *, replace: bool = True) -> None:
    """Write a file so that a reader finds the old content or the new, never a part.

    The bytes go to a temporary file in the same folder, are flushed to disk and renamed over. A symbolic
    link stays, its target is replaced; permissions and owner are kept. With ``replace=False`` what has the
    name is left alone, even what appears while we write. Missing folders are not made. A device or a pipe
    (``/dev/stdout``) is written to as it is.

    :raises FeelmapError: the file cannot be written; nothing is left behind.
    """
    with _told(path):
        if not replace and os.path.lexists(path):
            raise FileExistsError
        old = _status(path)
        if old is not None and not stat.S_ISREG(old.st_mode):
            _write_through(path, data, old.st_mode)
            return
        target = Path(os.path.realpath(path)) if replace else path
        temporary = _filled(target, data, old if replace else None)
        try:
            if replace:
                os.replace(temporary, target)
            else:
                _claim(temporary, target)
        except BaseException:
            _discard(temporary)
            raise
        _sync_folder(target.parent)


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn what the system says into our own words."""
    try:
        yield
    except FileExistsError:
        raise FeelmapError(f"{path} is already there", "choose another name, or move it away") from None
    except FileNotFoundError:
        raise FeelmapError(f"no folder {path.parent}", "make the folder first") from None
    except PermissionError:
        raise FeelmapError(f"no permission to write {path}", "see who owns the file and its folder") from None
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FeelmapError(f"cannot write {path}: {reason}", "nothing was changed") from None


def _status(path: Path) -> os.stat_result | None:
    """What stands at the path, links followed; None where nothing does. Refuses what must not be written."""
    try:
        found = path.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise FeelmapError(f"{path} is a folder", "name a file")
    if not found.st_mode & 0o222 or not os.access(path, os.W_OK):
        raise FeelmapError(f"{path} is read-only", f"allow writing first: chmod u+w {path}")
    return found


def _write_through(path: Path, data: bytes, mode: int) -> None:
    """A device or a pipe has no content to lose, and must never be replaced by a file."""
    if not (stat.S_ISCHR(mode) or stat.S_ISFIFO(mode)):
        raise FeelmapError(f"{path} is not a file", "name a file")
    with open(path, "wb") as device:
        device.write(data)


def _filled(target: Path, data: bytes, old: os.stat_result | None) -> str:
    """A temporary file beside the target that holds the bytes, safe on the disk."""
    handle, temporary = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=".tmp", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _dress(temporary, old)
    except BaseException:
        _discard(temporary)
        raise
    return temporary


def _dress(temporary: str, old: os.stat_result | None) -> None:
    """Owner and permissions of the file to be replaced; those of any new file where there is none."""
    if old is None:
        os.chmod(temporary, _default_mode())
        return
    if hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            os.chown(temporary, old.st_uid, old.st_gid)
    os.chmod(temporary, stat.S_IMODE(old.st_mode))


def _default_mode() -> int:
    """What a new file gets: all may read and write, less the mask of the user."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _claim(temporary: str, target: Path) -> None:
    """Give the file its name unless that name is taken; without hard links, claim it first."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        os.replace(temporary, target)
        return
    os.unlink(temporary)


def _discard(temporary: str) -> None:
    with contextlib.suppress(OSError):
        os.unlink(temporary)


def _sync_folder(folder: Path) -> None:
    """Make the rename itself last; not every file system lets a folder be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
