"""The file that a command writes: named with ``-o``, else by the title, in the current folder."""

from __future__ import annotations

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
    """Write a file and return its path; one that is there is replaced only where its name was given."""
    from charts.writing import atomic_write
    from render.plain_text import slug

    path = output if output is not None else Path(slug(title) + kind)
    target = path.resolve()
    if path.is_symlink() and target.suffix.lower() != path.suffix.lower():
        raise FeelmapError(f"{path} is a link to {target}", "choose another name, or remove the link")
    atomic_write(path, data, replace=output is not None)
    return path
