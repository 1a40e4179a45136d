"""The commands ``export`` and ``import``: notation to and from other programs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from render.cli.common import open_book, open_book_or_shipped, print_json
from render.cli.options import BookOption, JsonOption, NameArgument, argument
from render.cli.output import kind_of, output_option, write_output
from render.terminal.saying import say

if TYPE_CHECKING:
    from render.importing.take import Taken

SCORES = {".musicxml": ".musicxml", ".xml": ".musicxml", ".mxl": ".mxl"}
CHARTS = {".yaml": ".yaml", ".yml": ".yaml"}


def export(
    name: NameArgument,
    output: Annotated[
        Path | None, output_option("OUT.musicxml, or OUT.mxl, compressed", "TITLE.musicxml")
    ] = None,
    book: BookOption = None,
) -> None:
    """Write a chart as MusicXML 4.0: a drum part with repeats, cues, tempos, grooves and fills.

    Example: feelmap export harbour -o harbour.musicxml
    """
    from render.musicxml.score import compressed, musicxml
    from render.terminal.progress import Progress

    kind = kind_of(output, SCORES, "MusicXML")
    song = open_book(book).song(name)
    with Progress(f"score of {song.title}", song.bars) as progress:
        data = musicxml(song, progress.follow)
    path = write_output(output, song.title, kind, compressed(data) if kind == ".mxl" else data)
    say(f"wrote {path}")
    for fill in dict.fromkeys(use.name for each in song.form for use in each.fills if use.pattern is None):
        say(f"  not written: no fill is called “{fill}”")


def import_(
    score: Annotated[Path, argument("SCORE", "A .musicxml, .mxl, .xml, .mid or .abc file.")],
    output: Annotated[Path | None, output_option("OUT.yaml", "TITLE.yaml")] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Make a chart from a score: MusicXML, MIDI or ABC.

    Rehearsal marks become sections, repeats and jumps are written out as played, drum fills are kept.
    Anything that had to be guessed or could not be kept is listed.

    Example: feelmap import tune.musicxml -o charts/tune.yaml
    """
    from render.importing.take import STAGES, take_in
    from render.terminal.progress import Progress

    kind = kind_of(output, CHARTS, "a chart")
    opened = open_book_or_shipped(book)
    with Progress(f"reading {score.name}", STAGES) as progress:
        taken = take_in(score, opened, progress.step)
    path = write_output(output, taken.song.title, kind, taken.text.encode("utf-8"))
    if as_json:
        print_json(_answer(taken, path))
        return
    _tell(taken, path)
    if output is None and opened.root is not None:
        _tell_where(path, opened.root)


def _tell(taken: Taken, path: Path) -> None:
    from charts.wording import many

    sections = many(len(taken.song.form), "line")
    say(f"wrote {path}: {sections}, {many(taken.song.bars, 'bar')} as played")
    for label, lines in (("found", taken.found), ("guessed", taken.guessed), ("not kept", taken.lost)):
        for line in lines:
            say(f"  {label}: {line}")


def _tell_where(path: Path, root: Path) -> None:
    """Say so where a chart went into the current folder and not into the book."""
    from charts.book import CHARTS
    from render.cli.common import shown_path

    charts = root / CHARTS
    if path.resolve().parent != charts.resolve():
        say(f"  it is not in the book yet: move it to {shown_path(charts)}/, where every command looks")


def _answer(taken: Taken, path: Path) -> dict[str, object]:
    form = [
        {"section": each.name, "bars": each.bars, "times": each.times, "open": each.open}
        for each in taken.song.form
    ]
    return {
        "file": str(path),
        "title": taken.song.title,
        "bars": taken.song.bars,
        "form": form,
        "found": list(taken.found),
        "guessed": list(taken.guessed),
        "not_kept": list(taken.lost),
    }
