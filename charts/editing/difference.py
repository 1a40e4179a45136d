"""The difference between two texts as a patch program reads it."""

from __future__ import annotations

import re

_NO_END = "\\ No newline at end of file\n"


def difference(name: str, old: str, new: str) -> str:
    """A unified diff; line ends inside the lines are kept, a missing last one is told.

    >>> print(difference("a.yaml", "x: 1", "x: 2"), end="")
    --- a.yaml
    +++ a.yaml
    @@ -1 +1 @@
    -x: 1
    \\ No newline at end of file
    +x: 2
    \\ No newline at end of file
    """
    from difflib import unified_diff

    lines = unified_diff(_lines(old), _lines(new), name, name)
    return "".join(line if line.endswith("\n") else f"{line}\n{_NO_END}" for line in lines)


def _lines(text: str) -> list[str]:
    """Only a line feed ends a line here, as patch programs have it."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)
