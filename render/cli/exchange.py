"""The commands ``export`` and ``take-in``: notation to and from other programs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from charts.source import FeelmapError
from render.cli.common import BookOption, open_book, say

ENDINGS = (".musicxml", ".xml", ".mxl")


def register(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command("export")(export)


def export(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="Title, file, or an unmistakable part of the title.")
    ],
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="OUT",
            help="OUT.musicxml, or OUT.mxl, compressed; TITLE.musicxml unless said.",
        ),
    ] = None,
    book: BookOption = None,
) -> None:
    """Write a chart as MusicXML 4.0: a drum part with repeats, cues, tempi, grooves and fills.

    Example: feelmap export harbour -o harbour.musicxml
    """
    from charts.writing import atomic_write
    from render.musicxml.score import compressed, musicxml
    from render.plain_text import slug
    from render.terminal.progress import Progress

    if output is not None and output.suffix.lower() not in ENDINGS:
        raise FeelmapError(
            f"{output} is no MusicXML file", "write OUT.musicxml, or OUT.mxl for the compressed form"
        )
    song = open_book(book).song(name)
    with Progress(f"score of {song.title}", song.bars) as progress:
        data = musicxml(song, progress.follow)
    path = output if output is not None else Path(f"{slug(song.title)}.musicxml")
    if path.suffix.lower() == ".mxl":
        data = compressed(data)
    atomic_write(path, data, replace=output is not None)
    say(f"wrote {path}")
