"""Options and words of the command line that several commands take, each defined once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer


def option(
    names: str, help: str, metavar: str | None = None, min: float | None = None, max: float | None = None
) -> Any:
    """An option by its names, what it does, and what comes after it, within limits if any."""
    declared: list[Any] = names.split()
    return typer.Option(*declared, help=help, metavar=metavar, min=min, max=max)


def argument(metavar: str, help: str) -> Any:
    """A word of the command line, and what it says."""
    return typer.Argument(metavar=metavar, help=help)


BookOption = Annotated[
    Path | None, option("--book", "The book's folder; else FEELMAP_BOOK, else the nearest one upward.", "DIR")
]
JsonOption = Annotated[bool, option("--json", "Answer as JSON.")]
NameArgument = Annotated[str, argument("NAME", "Title, file, or an unmistakable part of the title.")]
SetlistArgument = Annotated[
    str, argument("SETLIST", "The set list: its gig, file, or part of the gig's name.")
]
PatternArgument = Annotated[
    str, argument("PATTERN", "A pattern's name or part of it, a file of rows, or - for standard input.")
]
MeterOption = Annotated[
    str | None, option("--meter", "Laid back from a barline of this meter: 7/8 (2+2+3).", "METER")
]
