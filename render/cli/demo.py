"""The command ``demo``: the main job in one go."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from charts.source import FeelmapError
from render.cli.common import print_lines, shell_word
from render.cli.options import argument

if TYPE_CHECKING:
    from charts.book import Book

DEFAULT = "feelmap-demo"
SETLIST = "setlists/quay-street-social-club.yaml"  # the gig that the demo shows


def demo(
    folder: Annotated[Path, argument("[DIR]", f"Where the demo book goes. Default: ./{DEFAULT}")] = Path(
        DEFAULT
    ),
) -> None:
    """Write a demo book, check it, time its set list, and print every road map into one PDF.

    Three of its fills clash on purpose of showing it, so the status is 0 all the same.

    Example: feelmap demo
    """
    from charts.book import Book
    from render.page.folder import folder_pdf
    from render.terminal.running_order import show_gig
    from setlists.book import plan_of
    from setlists.demo import ROOT

    _ask_for_room(folder)
    book = Book(ROOT)
    gig = plan_of(book, ROOT / SETLIST)
    pdf = folder / f"{Path(SETLIST).stem}.pdf"
    _write(folder, pdf, folder_pdf(gig, book).data)
    _check(Book(folder))
    show_gig(gig, sys.stdout)
    print_lines(_next_steps(folder, pdf).splitlines())


def _ask_for_room(folder: Path) -> None:
    """A folder that holds something is left alone."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FeelmapError(
            f"{folder} is already there and not empty", "name another folder: feelmap demo DIR"
        )


def _write(folder: Path, pdf: Path, data: bytes) -> None:
    """The demo book and its print."""
    from charts.writing import write_together
    from setlists.demo import demo_files

    files = {folder / name: content for name, content in demo_files()}
    write_together({**files, pdf: data}, replace=False, folders=True)
    print_lines([f"wrote the demo book into {folder}", ""])


def _check(book: Book) -> None:
    from render.cli.checking import summary
    from render.terminal.findings import findings_lines
    from setlists.whole_book import check_book

    checked = check_book(book)
    told = [finding for finding in checked.findings if finding.is_error]
    print_lines(findings_lines(told, sys.stdout))
    print_lines(["", summary(checked.findings, checked.counts)])
    print_lines(["the errors are there to show what the check says: straight fills over swung grooves", ""])


def _next_steps(folder: Path, pdf: Path) -> str:
    """Commands that work in the shell where the demo ran, whatever book it has set."""
    run, book = called_as(sys.argv[0], shutil.which("feelmap")), f"--book {shell_word(str(folder))}"
    loops = shell_word(str(folder / "practice"))
    return f"""
printed the set sheet and every road map into {pdf}

next, what the check reports and what fits instead:
    {run} check {book}
one chart on the screen:
    {run} show porch {book}
fills that fit the end of a chorus:
    {run} suggest "harbour lights" chorus {book}
loops to practice with:
    {run} practice "stairs in threes" --feel "half-time shuffle" --tempo 60 --tempo 92 -o {loops} {book}
a song of your own:
    {run} new "Our Song" --feel shuffle --tempo 120 --form "Intro (4), Verse (8), Chorus (8) x2" {book}
"""


def called_as(program: str, on_path: str | None) -> str:
    """How the shell finds the program again: by its name where that leads to it, else by its path as called.

    ``program`` is the path that it was started by, ``on_path`` what the shell finds under the name.
    """
    started = Path(program)
    if not started.with_suffix(".exe").exists() and not started.exists():  # Windows leaves the ending off
        return "feelmap"
    if on_path is not None and Path(on_path).with_suffix("").resolve() == started.with_suffix("").resolve():
        return "feelmap"
    return shell_word(program)
