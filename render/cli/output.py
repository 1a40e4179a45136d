"""The file that a command writes: named with ``-o``, else by the title, in the current folder."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from charts.source import FeelmapError
from charts.writing import Content
from render.cli.options import option

_WRITERS = {
    ".pdf": "page",
    ".wav": "click",
    ".mid": "click",
    ".midi": "click",
    ".musicxml": "export",
    ".mxl": "export",
}

_PDF_TITLE = re.compile(rb"/Title \((.*?)\)\n(?=>>|/)", re.DOTALL)
_PDF_MARK = re.compile(rb"/Creator \(Feelmap\)\n/Producer \(Feelmap\)\n/Title \((.*?)\)\n>>", re.DOTALL)
_SCORE_MARK = re.compile(
    rb"\A<\?xml.{,600}?<work-title>([^<]*)</work-title>.{,4000}?<software>feelmap [^<]*</software>", re.DOTALL
)


def output_option(names: str, title: str) -> Any:
    """The option ``-o``; ``names`` are those that can be given, ``title`` is the one that is taken else."""
    return option("-o --output", f"{names}. Default: {title}", "OUT")


def kind_of(output: Path | None, kinds: Mapping[str, str], what: str) -> str:
    """The kind of file by the ending of its name, the first kind without a name.

    ``kinds`` has for every ending that is taken the one that it is the same as. Raises FeelmapError for
    any other ending.
    """
    found = kinds.get(output.suffix.lower()) if output is not None else next(iter(kinds.values()))
    if found is not None:
        return found
    assert output is not None  # without a name there is a first kind
    names = " or ".join(f"{output.stem or 'OUT'}{kind}" for kind in dict.fromkeys(kinds.values()))
    writer = _WRITERS.get(output.suffix.lower())
    other = f"; feelmap {writer} writes {output.suffix}" if writer else ""
    raise FeelmapError(f"{output} is not {what} by its ending", f"name it {names}{other}")


def write_output(output: Path | None, title: str, kind: str, data: Content) -> Path:
    """Write a file and return its path.

    One that is there is replaced only where its name was given, or where Feelmap wrote it for the same song
    or gig: a PDF or MusicXML file that no other program has changed.
    """
    from charts.writing import atomic_write, write_over
    from render.plain_text import slug

    path = output if output is not None else Path(slug(title) + kind)
    target = Path(os.path.realpath(path))
    if path.is_symlink() and target.suffix.lower() != path.suffix.lower():
        raise FeelmapError(f"{path} is a link to {target}", "choose another name, or remove the link")
    old = _old_of_ours(path, data) if output is None and isinstance(data, bytes) else None
    if old is not None and isinstance(data, bytes):
        write_over(path, old, data)
    else:
        atomic_write(path, data, replace=output is not None)
    return path


def _old_of_ours(path: Path, new: bytes) -> bytes | None:
    """What is in a file that Feelmap wrote for the same song; None for any other, a link, or no file."""
    if path.is_symlink() or not path.is_file():
        return None
    try:
        old = path.read_bytes()
    except OSError:
        return None
    mark = written_for(old)
    return old if mark is not None and mark == written_for(new) else None


def written_for(data: bytes) -> tuple[bytes, ...] | None:
    """What a PDF or MusicXML file of Feelmap's is for, as its own marks have it; None for any other file.

    A song's page and an export have its title, a gig's folder the gig's, road maps together each title. A PDF
    in which another program has noted something has a second end, and is not Feelmap's any more.
    """
    score = _SCORE_MARK.match(data)
    if score:
        return b"score", score[1]
    marks = _PDF_MARK.findall(data)
    if not data.startswith(b"%PDF") or len(marks) != 1 or data.count(b"startxref") != 1:
        return None
    titles = _PDF_TITLE.findall(data)
    if b"/EmbeddedFile" in data:
        return b"folder", marks[0]
    return (b"page", marks[0]) if marks[0] in titles[:-1] else (b"pages", *titles)
