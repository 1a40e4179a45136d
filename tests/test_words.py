"""Plain English: the marks of the old style in what a user reads and in what a developer reads."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
OLD_STYLE = {
    "X is no Y": r"(?<!there )\b(is|are) no (?!longer\b)",
    "stands": r"\bstands\b(?! still| for)",
    "behind": r"\bbehind\b",
    "parted": r"\bparted\b",
    "unless said": r"\bunless said\b",
    "a minute": r"\ba minute\b",
    "so many": r"\bso many\b",
    "tempi": r"\btempi\b",
}
# Where a mark is right: the words around it, and why.
JUSTIFIED = {
    "a minute on the clock": "the minute that a clock shows",
}


def texts() -> Iterator[tuple[str, str]]:
    """Every text in the program with its place: messages, help, docstrings; and the README."""
    for room in ("charts", "setlists", "render"):
        for path in sorted((ROOT / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    yield f"{path.relative_to(ROOT)}:{node.lineno}", node.value
    for name in ("README.md", "DEVELOPERS.md"):
        for number, line in enumerate((ROOT / name).read_text(encoding="utf-8").splitlines(), 1):
            yield f"{name}:{number}", line


@pytest.mark.parametrize("mark", OLD_STYLE)
def test_no_text_is_in_the_old_style(mark: str) -> None:
    """A good drum teacher says it otherwise."""
    pattern = re.compile(OLD_STYLE[mark], re.IGNORECASE)
    found = [
        f"{place}: …{text[max(0, match.start() - 40) : match.end() + 30]}…".replace("\n", " ")
        for place, text in texts()
        for match in pattern.finditer(text)
        if not any(words in text for words in JUSTIFIED)
    ]
    assert [] == found
