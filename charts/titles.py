"""Titles: read out of files without parsing them, compared, and charts and set lists found by them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from pathlib import Path

from charts.reading.nodes import MOST_BYTES, compose, file_bytes
from charts.source import FeelmapError, Source, UnknownName
from charts.spelling import nearest

MOST_LISTED = 12  # files that a message names
_MARKS = str.maketrans("", "", "'’‘ʼ`´¿¡?!.,;:\"“”„«»")
TITLE, GIG = (re.compile(rf"^{key}[ ]*:[ ]+(.+?)[ \t\r]*$", re.MULTILINE) for key in ("title", "gig"))


def folded(text: str) -> str:
    """A text without case, accents and marks such as apostrophes, for looking things up.

    >>> folded("Café ŒUVRE"), folded("¿Qué?"), folded("Ain’t It")
    ('cafe œuvre', 'que', 'aint it')
    """
    plain = text.casefold()
    if not plain.isascii():
        plain = "".join(c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c))
    return plain.translate(_MARKS) or plain


def scan_title(path: Path, pattern: re.Pattern[str]) -> str:
    """The value of a file's title line, without parsing the rest; it mostly is at the top."""
    for most in (4096, MOST_BYTES):
        try:
            data = file_bytes(path, most)
        except OSError:
            return path.stem
        text = data.decode("utf-8-sig", "replace").replace("\r\n", "\n").replace("\r", "\n")
        found = pattern.search(text)
        if len(data) < most or (found and found.end() < len(text)):
            break
    return _unquoted(found[1]) if found else path.stem


def _unquoted(value: str) -> str:
    if value[:1] in ("'", '"'):
        node = compose(Source("", value)).root
        return str(node.value) if node is not None and isinstance(node.value, str) else value
    return re.split(r"\s+#", value, maxsplit=1)[0]


def look_up(
    text: str, paths: list[Path], title: re.Pattern[str], noun: str, name_of: Callable[[Path], str]
) -> Path:
    """A file by its path, its name, its title, or an unmistakable part of its title.

    ``name_of`` gives what messages call a file: its path in the book.
    """
    direct = _by_path(text, paths, name_of)
    if direct is not None:
        return direct
    wanted = folded(text.strip())
    titles = [(folded(scan_title(path, title)), path) for path in paths]
    for match in (
        [path for name, path in titles if name == wanted],
        [path for name, path in titles if wanted and wanted in name],
        [path for path in paths if wanted and wanted in folded(path.stem)],
    ):
        if len(match) == 1:
            return match[0]
        if match:
            raise FeelmapError(
                f"“{text}” could be several {noun}s:{_listed(match, title, name_of)}",
                "write more of the title, or the file name",
            )
    like = nearest(wanted, [name for name, _ in titles])
    near = next((scan_title(path, title) for name, path in titles if name == like), None)
    lists = f"feelmap find lists every {noun}"
    raise UnknownName(
        noun, text, near, lists if paths else f"this book has no {noun} yet: feelmap new writes one"
    )


def _listed(paths: list[Path], title: re.Pattern[str], name_of: Callable[[Path], str]) -> str:
    """A line for each, the title and the file; the first of many."""
    lines = [f"\n    {scan_title(path, title)} ({name_of(path)})" for path in paths[:MOST_LISTED]]
    more = len(paths) - len(lines)
    return "".join(lines) + (f"\n    and {more} more" if more else "")


def _by_path(text: str, paths: list[Path], name_of: Callable[[Path], str]) -> Path | None:
    names = {text, f"{text}.yaml", f"{text}.yml"}
    for path in paths:
        if path.name in names or name_of(path) == text:
            return path
    given = Path(text)
    try:
        return given if given.suffix in (".yaml", ".yml") and given.is_file() else None
    except (OSError, ValueError):
        return None
