"""One complete invented book: charts, fills, a set list."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent


def demo_files() -> Iterator[tuple[str, bytes]]:
    """The files of the demo book: path in the book, content."""
    for path in sorted(ROOT.rglob("*.yaml")):
        yield path.relative_to(ROOT).as_posix(), path.read_bytes()
