"""Opening a score file: its kind by its content, its size held while it is read and unpacked."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

from charts.reading.nodes import file_bytes
from charts.source import FeelmapError
from render.importing.limits import ABC_FILE, FILE, MEMBERS, MIDI_FILE
from render.importing.score import Score
from render.importing.xmltree import elements

CONTAINER = "META-INF/container.xml"
UNPACK_ERRORS = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, OSError, ValueError)
PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)  # the two that the MusicXML format allows
ENDINGS = ".musicxml, .mxl, .xml, .mid or .abc"
UNREAD: dict[type[Exception], tuple[str, str]] = {
    FileNotFoundError: ("no file is called {}", "give the score's path"),
    PermissionError: ("no permission to read {}", "see who owns the file"),
    IsADirectoryError: ("{} is a folder", f"name a {ENDINGS} file"),
}


def opened(path: Path) -> Callable[[], Score]:
    """Open a score file; what is returned reads it.

    :raises FeelmapError: not there, too large, broken, not a score, or made to do harm.
    """
    data = _read(path)
    if data.startswith(b"PK"):
        return _musicxml(_unpacked(data, path), path)
    if data.startswith((b"MThd", b"RIFF")):
        return _midi(_without_riff(data), path)
    if re.match(rb"(?:\xef\xbb\xbf)?\s*<|\xff\xfe<|\xfe\xff\0<", data[:512]):
        return _musicxml(data, path)
    text = _text(data)
    if re.search(r"^K:", text, re.MULTILINE):
        ABC_FILE.hold(len(data), path)
        from render.importing.abc import read_abc

        return lambda: read_abc(text)
    raise FeelmapError(f"{path} is not a score that can be read", f"give a {ENDINGS} file")


def _musicxml(data: bytes, path: Path) -> Callable[[], Score]:
    from render.importing.musicxml import read_musicxml

    root = elements(data, path)
    return lambda: read_musicxml(root)


def _midi(data: bytes, path: Path) -> Callable[[], Score]:
    from render.importing.midi import read_midi

    MIDI_FILE.hold(len(data), path)
    return lambda: read_midi(data)


def _read(path: Path) -> bytes:
    try:
        data = file_bytes(path, FILE.most + 1)
    except (OSError, ValueError) as error:
        reason = str(getattr(error, "strerror", None) or error).lower()
        message, hint = UNREAD.get(type(error), (f"cannot read {{}}: {reason}", "give the score's path"))
        raise FeelmapError(message.format(path), hint) from None
    if not data:
        raise FeelmapError(f"{path} is empty", f"give a {ENDINGS} file")
    FILE.hold(len(data), path)
    return data


def _text(data: bytes) -> str:
    """Text in UTF-8 or, as old ABC files are, in Latin-1; nothing for what is binary."""
    if b"\0" in data[:4096]:
        return ""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _without_riff(data: bytes) -> bytes:
    """The MIDI file in a RIFF wrapper."""
    if data[:4] != b"RIFF":
        return data
    at = data.find(b"MThd", 0, 256)
    if data[8:12] != b"RMID" or at < 0:
        raise FeelmapError("this RIFF file holds no MIDI", f"give a {ENDINGS} file")
    return data[at:]


def _unpacked(data: bytes, path: Path) -> bytes:
    """The score in a compressed file."""
    MEMBERS.hold(data.count(b"PK\1\2"), path)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _member(archive, _root_file(archive, path), path)
    except UNPACK_ERRORS as error:
        why = "it is locked" if "password" in str(error) else "the file is damaged"
        raise FeelmapError(f"{path} cannot be unpacked: {why}", "export it again, uncompressed") from None


def _root_file(archive: zipfile.ZipFile, path: Path) -> str:
    """The score that the container names; else the first score in the archive."""
    names = archive.namelist()
    if CONTAINER in names:
        for element in elements(_member(archive, CONTAINER, path), path).iter():
            if element.tag.rpartition("}")[2] == "rootfile" and element.get("full-path") in names:
                return str(element.get("full-path"))
    for name in names:
        if name.lower().endswith((".musicxml", ".xml")) and not name.startswith(("META-INF/", "__MACOSX/")):
            return name
    raise FeelmapError(f"{path} packs no score", f"give a {ENDINGS} file")


def _member(archive: zipfile.ZipFile, name: str, path: Path) -> bytes:
    """One file, read no further than the most; other packings unpack without bounds."""
    if archive.getinfo(name).compress_type not in PACKED:
        raise FeelmapError(
            f"{path} is packed in a way that a .mxl file must not be", "export it again, uncompressed"
        )
    with archive.open(name) as file:
        data = file.read(FILE.most + 1)
    FILE.hold(len(data), path)
    return data
