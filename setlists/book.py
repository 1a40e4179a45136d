"""Set lists of a book: finding one by name, reading it, making the gig of it."""

from __future__ import annotations

from pathlib import Path

from charts.book import Book
from charts.reading.nodes import read_source
from charts.source import FeelmapError, Finding, UnknownName, unreadable
from charts.titles import GIG, look_up, scan_title
from setlists.check.run import checked_gig
from setlists.gig import Gig
from setlists.reading import read_setlist
from setlists.setlist import SetList

NONE_YET = "this book has no set list yet: write setlists/NAME.yaml with gig: and sets:, songs by title"
MISSING = "unknown"  # the rule that tells a song without a chart or a length


def setlist_title(path: Path) -> str:
    """A set list's name by scanning for it; its file name where it has none."""
    return scan_title(path, GIG)


def look_up_setlist(book: Book, text: str) -> Path:
    """The set list of that name, file name, path, or clear part of a name; raises with what there is."""
    paths = book.setlist_paths()
    try:
        return look_up(text, paths, GIG, "set list", book.name_of)
    except UnknownName as unknown:
        if unknown.near:
            raise
        listed = "; ".join(setlist_title(path) for path in paths[:12])
        raise UnknownName("set list", text, None, f"this book has {listed}" if paths else NONE_YET) from None


def setlist_at(book: Book, path: Path) -> SetList:
    """The set list in a file; raises with everything that keeps it from being read."""
    source = read_source(path, book.name_of(path))
    setlist, findings = (None, [source]) if isinstance(source, Finding) else read_setlist(source, book)
    if setlist is None:
        raise unreadable(book.name_of(path), findings)
    return setlist


def gig_named(book: Book, text: str) -> Gig:
    """The gig of the set list of that name, whole; raises as ``plan_of`` does."""
    return plan_of(book, look_up_setlist(book, text))


def plan_of(book: Book, path: Path) -> Gig:
    """The gig of the set list in a file; raises where a song of it is unknown or cannot be read."""
    gig = checked_gig(setlist_at(book, path), book)
    missing = tuple(finding for finding in gig.findings if finding.is_error and finding.rule == MISSING)
    if missing:
        raise FeelmapError(f"{book.name_of(path)} cannot be timed", "the messages above say why", missing)
    return gig
