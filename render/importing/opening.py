"""Opening a score file with care: its kind by its content, its size held while it is unpacked and parsed."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

from charts.source import FeelmapError

KIB, MIB = 1 << 10, 1 << 20
MOST_FILE = 32 * MIB  # a file as it lies on the disk
MOST_XML = 32 * MIB  # a score, unpacked
MOST_MIDI = 192 * KIB  # song files are half of that
MOST_ABC = MIB
MOST_MEMBERS = 1_000  # files in a compressed score
MOST_ELEMENTS = 1_000_000
MOST_DEPTH = 100
XML, MIDI, ABC = "MusicXML", "MIDI", "ABC"
CONTAINER = "META-INF/container.xml"
UNPACK_ERRORS = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, OSError, ValueError)
ENDINGS = ".musicxml, .mxl, .xml, .mid or .abc"


@dataclass(frozen=True)
class Opened:
    """A file's kind and its content: XML elements, bytes or text."""

    kind: str
    root: Element | None = None
    data: bytes = b""
    text: str = ""


def open_score(path: Path) -> Opened:
    """Open a score file.

    :raises FeelmapError: not there, too large, broken, no score, or made to do harm.
    """
    data = _read(path)
    if data.startswith(b"PK"):
        data = _unpacked(data, path)
        return Opened(XML, root=_elements(data, path))
    if data.startswith(b"MThd") or data[:4] == b"RIFF":
        return Opened(MIDI, data=_sized(_without_riff(data), MOST_MIDI, path))
    if _looks_like_xml(data):
        return Opened(XML, root=_elements(_sized(data, MOST_XML, path), path))
    text = _text(data)
    if text is not None and re.search(r"^K:", text, re.MULTILINE):
        return Opened(ABC, text=_sized_text(text, path))
    raise FeelmapError(f"{path} is no score that can be read", f"give a {ENDINGS} file")


def _read(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise FeelmapError(f"{path} is a folder", f"name a {ENDINGS} file")
        with path.open("rb") as file:
            data = file.read(MOST_FILE + 1)
    except FileNotFoundError:
        raise FeelmapError(f"no file is called {path}", "give the score's path") from None
    except PermissionError:
        raise FeelmapError(f"no permission to read {path}", "see who owns the file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FeelmapError(f"cannot read {path}: {str(reason).lower()}", "give the score's path") from None
    if not data:
        raise FeelmapError(f"{path} is empty", f"give a {ENDINGS} file")
    return _sized(data, MOST_FILE, path)


def _sized(data: bytes, most: int, path: Path) -> bytes:
    if len(data) > most:
        raise FeelmapError(
            f"{path} is larger than {f'{most // MIB} MiB' if most >= MIB else f'{most // KIB} KiB'}",
            "export the drum or lead part alone and take that in",
        )
    return data


def _sized_text(text: str, path: Path) -> str:
    _sized(text.encode("utf-8", "replace"), MOST_ABC, path)
    return text


def _text(data: bytes) -> str | None:
    """Text in UTF-8 or, as old ABC files are, in Latin-1; None for what is binary."""
    if b"\0" in data[:4096]:
        return None
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


def _looks_like_xml(data: bytes) -> bool:
    head = data[:512].lstrip(b"\xef\xbb\xbf \t\r\n")
    return head.startswith((b"<", b"\xff\xfe<", b"\xfe\xff\0<"))


def _unpacked(data: bytes, path: Path) -> bytes:
    """The score in a compressed file, its size held while it is unpacked."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if len(archive.infolist()) > MOST_MEMBERS:
                raise FeelmapError(f"{path} packs more than {MOST_MEMBERS} files", "give the score alone")
            name = _root_file(archive, path)
            return _member(archive, name, MOST_XML, path)
    except UNPACK_ERRORS as error:
        raise FeelmapError(
            f"{path} cannot be unpacked: {_plain(error)}", "export it again, uncompressed"
        ) from None


def _plain(error: Exception) -> str:
    return "it is locked" if "password" in str(error) else "the file is damaged"


def _root_file(archive: zipfile.ZipFile, path: Path) -> str:
    """The score's name as the container says it; else the first score in the archive."""
    names = archive.namelist()
    if CONTAINER in names:
        container = _elements(_member(archive, CONTAINER, MIB, path), path)
        for element in container.iter():
            if element.tag.rpartition("}")[2] == "rootfile" and element.get("full-path") in names:
                return str(element.get("full-path"))
    for name in names:
        if name.lower().endswith((".musicxml", ".xml")) and not name.startswith(("META-INF/", "__MACOSX/")):
            return name
    raise FeelmapError(f"{path} packs no score", f"give a {ENDINGS} file")


def _member(archive: zipfile.ZipFile, name: str, most: int, path: Path) -> bytes:
    with archive.open(name) as file:
        return _sized(file.read(most + 1), most, path)


class _Screen:
    """Builds the tree; stops where it is too deep or too much, or declares entities of its own."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.builder = TreeBuilder()
        self.depth = self.count = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        self.count += 1
        if self.depth > MOST_DEPTH:
            raise FeelmapError(f"{self.path} is nested too deep for a score", "export it again")
        if self.count > MOST_ELEMENTS:
            raise FeelmapError(
                f"{self.path} is too large to take in", "export the drum or lead part alone and take that in"
            )
        self.builder.start(tag, attributes)

    def end(self, tag: str) -> None:
        self.depth -= 1
        self.builder.end(tag)

    def refuse(self, *_declared: object) -> None:
        raise FeelmapError(f"{self.path} declares entities of its own", "a score needs none: export it again")


def _elements(data: bytes, path: Path) -> Element:
    """Parse XML that declares nothing of its own; an outside DTD is never fetched."""
    screen = _Screen(path)
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = screen.start
    parser.EndElementHandler = screen.end
    parser.CharacterDataHandler = screen.builder.data
    parser.EntityDeclHandler = screen.refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise FeelmapError(
            f"{path}:{error.lineno}:{error.offset + 1}: the XML is broken here", "export the score again"
        ) from None
    except (ValueError, LookupError):
        raise FeelmapError(f"{path} is in an encoding that cannot be read", "export it as UTF-8") from None
    return screen.builder.close()
