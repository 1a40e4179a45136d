"""The commands ``page`` and ``folder``: road maps and gig folders as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from charts.source import FeelmapError
from render.cli.common import open_book, print_json, shell_word
from render.cli.options import BookOption, JsonOption, SetlistArgument, argument, option
from render.cli.output import kind_of, output_option, write_output
from render.terminal.saying import say

if TYPE_CHECKING:
    from charts.book import Book
    from render.page.report import Printed
    from render.page.sheet import Options
    from setlists.facts import Facts

PAPERS = ("A4", "Letter")
PDF = {".pdf": ".pdf"}
OutputOption = Annotated[Path | None, output_option("OUT.pdf", "TITLE.pdf")]
PaperOption = Annotated[str | None, option("--paper", "The paper. Default: the book's.", "A4 or Letter")]
LandscapeOption = Annotated[bool, option("--landscape", "The long side across, as on a tablet.")]
DarkOption = Annotated[bool, option("--dark", "White on black, for a screen on stage.")]
SinceOption = Annotated[
    str | None, option("--since", "List what has changed: a PDF of folder, a set list or a book.", "OLD")
]
SINCE = "give the PDF of an older feelmap folder, another set list, or the folder of an older book"
PlainOption = Annotated[bool, option("--plain", "No colour; nothing is lost without it.")]


def page(
    names: Annotated[list[str], argument("NAME...", "Titles, files, or parts of titles; or a set list.")],
    output: OutputOption = None,
    paper: PaperOption = None,
    landscape: LandscapeOption = False,
    dark: DarkOption = False,
    plain: PlainOption = False,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Print road maps: one song, one page, readable from the stand at the book's distance.

    --json tells how large each class of text came out, and from how far it reads. Of a set list it prints the
    gig folder, as folder does.

    Example: feelmap page harbour -o harbour.pdf
    """
    kind_of(output, PDF, "a PDF")
    opened = open_book(book)
    paths, setlist = _charts(opened, names)
    options = _options(opened, paper, landscape, dark, plain)
    if setlist is not None:
        _print_folder(opened, setlist, options, output, None, as_json)
    else:
        _print_pages(opened, paths, options, output, as_json)


def _charts(book: Book, names: list[str]) -> tuple[list[Path], Path | None]:
    """The files of the charts; or the one set list that was named alone."""
    from render.lookups import chart_or_setlist

    found = [chart_or_setlist(book, name) for name in names]
    setlist = next((path for path, is_setlist in found if is_setlist), None)
    if setlist is not None and len(found) > 1:
        named = book.name_of(setlist)
        raise FeelmapError(f"{named} is a set list", f"print it alone: feelmap folder {shell_word(named)}")
    return [path for path, _ in found], setlist


def _print_pages(book: Book, paths: list[Path], options: Options, output: Path | None, as_json: bool) -> None:
    from render.page.documents import road_map
    from render.terminal.progress import Progress

    songs = list({song.file: song for song in map(book.song_at, paths)}.values())  # slow river: one song
    with Progress("road maps") as progress:
        printed = road_map(songs, options, progress.follow)
    title = songs[0].title if len(songs) == 1 else "road maps"
    _deliver(printed, output, title, {"page": printed.pages} if as_json else None)


def folder(
    setlist: SetlistArgument,
    output: OutputOption = None,
    paper: PaperOption = None,
    landscape: LandscapeOption = False,
    dark: DarkOption = False,
    plain: PlainOption = False,
    since: SinceOption = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Print the gig folder: the set sheet for the floor, then every road map in order, linked.

    Includes tonight's changes: tempo, key, feel, skipped sections. --since lists what has changed since an
    older printing on the set sheet and marks the pages. Of a chart it prints the road map, as page does.

    Example: feelmap folder quay -o friday.pdf
    """
    from render.lookups import setlist_or_chart

    kind_of(output, PDF, "a PDF")
    opened = open_book(book)
    path, is_chart = setlist_or_chart(opened, setlist)
    options = _options(opened, paper, landscape, dark, plain)
    if not is_chart:
        older = None if since is None else _facts_since(since, opened, setlist)
        _print_folder(opened, path, options, output, older, as_json)
    elif since is None:
        _print_pages(opened, [path], options, output, as_json)
    else:
        named = opened.name_of(path)
        raise FeelmapError(f"--since needs a set list, and {named} is a chart", "leave --since off")


def _print_folder(
    book: Book, setlist: Path, options: Options, output: Path | None, older: Facts | None, as_json: bool
) -> None:
    from render.page.folder import folder_of
    from render.terminal.progress import Progress
    from setlists.book import plan_of

    gig = plan_of(book, setlist)
    with Progress("gig folder") as progress:
        printed = folder_of(gig, options, progress.follow, older)
    _deliver(printed, output, gig.setlist.gig, {"folder": printed.pages} if as_json else None)


def _facts_since(since: str, book: Book, setlist: str) -> Facts:
    """What an older folder says: a PDF of ours, another set list, or this one in an older book."""
    from charts.book import Book
    from render.page.folder import facts_in
    from setlists.book import gig_named
    from setlists.facts import facts_of

    path = Path(since)
    if path.suffix.lower() != ".pdf":
        return facts_of(gig_named(Book.find(path), setlist) if path.is_dir() else gig_named(book, since))
    try:
        facts = facts_in(path.read_bytes())
    except OSError as error:
        raise FeelmapError(f"{since} cannot be read: {error.strerror}", SINCE) from None
    if facts is None:
        raise FeelmapError(f"{since} is not a gig folder that this version of Feelmap printed", SINCE)
    return facts


def _options(book: Book, paper: str | None, landscape: bool, dark: bool, plain: bool) -> Options:
    from render.page.documents import options_for

    chosen = next((known for known in PAPERS if paper and known.casefold() == paper.casefold()), None)
    if paper is not None and chosen is None:
        raise FeelmapError(f"“{paper}” is not a paper size", "write A4 or Letter")
    return options_for(book.settings, paper=chosen, landscape=landscape, dark=dark, plain=plain)


def _deliver(printed: Printed, output: Path | None, title: str, answer: dict[str, Any] | None) -> None:
    """Write the file; say what was written and what to mind, or answer as JSON."""
    path = write_output(output, title, ".pdf", printed.data)
    if answer is not None:
        print_json(answer)
    for warning in printed.warnings:
        say(f"warning: {warning}")
    say(f"wrote {path}")
