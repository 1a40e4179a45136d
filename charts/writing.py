"""Writing a user's file: whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from charts.source import FeelmapError

Content = bytes | Iterable[bytes]  # a file whole, or in pieces that are made as they are written


def atomic_write(path: Path, data: Content, *, replace: bool = True) -> None:
    """Write a file so that a reader finds the old content or the new, never a part.

    The bytes go to a temporary file in the same folder, are flushed to disk and renamed over. A symbolic
    link stays, its target is replaced; permissions and owner are kept. With ``replace=False`` what has the
    name is left alone, even what appears while we write. Missing folders are not made. A device or a pipe
    (``/dev/stdout``) is written to as it is.

    :raises FeelmapError: the file cannot be written; nothing of it is left.
    """
    write_together({path: data}, replace=replace)


def write_together(files: Mapping[Path, Content], *, replace: bool = True, folders: bool = False) -> None:
    """Write files as ``atomic_write`` does, all or none: they get their names once all are on the disk.

    ``folders`` makes the folders that are missing; they go again where the files cannot be written.
    """
    made: list[Path] = []
    staged: dict[Path, str] = {}
    named: list[Path] = []
    try:
        for path, data in files.items():
            with _told(path):
                _make_folder(path.parent, made if folders else None)
                _stage(path, data, replace, staged)
        for path, temporary in staged.items():
            with _told(path):
                _name(temporary, path, replace)
            named.append(path)
    except BaseException:
        _take_back([*staged.values(), *([] if replace else named)], made)
        raise
    for folder in {Path(os.path.realpath(path)).parent for path in staged}:
        _sync_folder(folder)


def write_over(path: Path, old: bytes | None, new: bytes) -> None:
    """Put ``new`` where ``old`` was read (None: there was no file), unless another changed it meanwhile.

    Whoever else writes in this way waits: each reads back, compares and replaces alone.

    :raises FeelmapError: the file is not as it was read, or cannot be written; it stays as it is.
    """
    if old is None:
        write_together({path: new}, replace=False, folders=True)
        return
    with _told(path), _alone_in(os.path.dirname(os.path.realpath(path))):
        if path.read_bytes() != old:
            raise FeelmapError(f"{path} changed while this command worked on it", "run the command again")
        atomic_write(path, new)


@contextlib.contextmanager
def _alone_in(folder: str) -> Iterator[None]:
    """Keep other writers out of a folder's files; where the system has no such lock, the rest must do."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _make_folder(folder: Path, made: list[Path] | None) -> None:
    """The folder with those above it; each one made is noted."""
    if made is None or folder.is_dir():
        return
    _make_folder(folder.parent, made)
    made.append(folder)
    try:
        folder.mkdir()
    except OSError as error:
        made.pop()
        reason = (error.strerror or str(error)).lower()
        raise FeelmapError(f"cannot make the folder {folder}: {reason}", "choose another place") from None


def _stage(path: Path, data: Content, replace: bool, staged: dict[Path, str]) -> None:
    """Put the bytes beside the file they are for; the name is noted before there is anything to remove."""
    if not replace and os.path.lexists(path):
        raise FileExistsError
    old = _status(path)
    if old is not None and not stat.S_ISREG(old.st_mode):
        _write_through(path, data, old.st_mode)
        return
    target = Path(os.path.realpath(path)) if replace else path
    staged[path] = str(target.parent / f".{target.name[:40]}.{os.urandom(8).hex()}.tmp")
    _fill(staged[path], data, old if replace else None)


def _name(temporary: str, path: Path, replace: bool) -> None:
    if replace:
        os.replace(temporary, os.path.realpath(path))
    else:
        _claim(temporary, path)


def _take_back(files: Iterable[str | Path], folders: Sequence[Path]) -> None:
    """Remove what we made ourselves; a folder that meanwhile holds something stays."""
    for file in files:
        with contextlib.suppress(OSError):
            os.unlink(file)
    for folder in reversed(folders):
        with contextlib.suppress(OSError):
            folder.rmdir()


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn what the system says into our own words."""
    try:
        yield
    except FileExistsError:
        raise FeelmapError(f"{path} is already there", "choose another name, or move it away") from None
    except FileNotFoundError:
        raise FeelmapError(f"no folder is called {path.parent}", "make the folder first") from None
    except PermissionError:
        raise FeelmapError(f"no permission to write {path}", "see who owns the file and its folder") from None
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FeelmapError(
            f"cannot write {path}: {reason}", "make room there, or name another place; nothing was changed"
        ) from None


def _status(path: Path) -> os.stat_result | None:
    """What is at the path, links followed; None where nothing does. Refuses what must not be written."""
    try:
        found = path.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise FeelmapError(f"{path} is a folder", "name a file")
    if not found.st_mode & 0o222 or not os.access(path, os.W_OK):
        raise FeelmapError(f"{path} is read-only", f"allow writing first: chmod u+w {path}")
    return found


def _write_through(path: Path, data: Content, mode: int) -> None:
    """A device or a pipe has no content to lose, and must never be replaced by a file."""
    if not (stat.S_ISCHR(mode) or stat.S_ISFIFO(mode)):
        raise FeelmapError(f"{path} is not a file", "name a file")
    with open(path, "wb") as device:
        device.writelines(_pieces(data))


def _fill(temporary: str, data: Content, old: os.stat_result | None) -> None:
    """Bring the bytes safely to the disk, readable to nobody else before they have their owner's rights."""
    with open(temporary, "xb", opener=lambda path, flags: os.open(path, flags, 0o600)) as file:
        for piece in _pieces(data):
            file.write(piece)
        file.flush()
        os.fsync(file.fileno())
    _dress(temporary, old)


def _pieces(data: Content) -> Iterable[bytes]:
    return (data,) if isinstance(data, bytes) else data


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


def _sync_folder(folder: Path) -> None:
    """Make the rename itself last; not every file system lets a folder be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
