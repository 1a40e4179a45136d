"""Running the rules over a gig, and checking a set list from its file on."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from charts.book import Book
from charts.check.run import in_order
from charts.reading.nodes import read_source
from charts.source import Finding
from setlists.check.subject import RULES, Subject
from setlists.gig import Gig, GigBreak, GigSet
from setlists.plan import plan
from setlists.reading import read_setlist
from setlists.setlist import SetList


def checked_gig(setlist: SetList, book: Book) -> Gig:
    """The gig of a set list with all that the rules find, and each song with what is found at it."""
    gig = plan(setlist, book)
    subject = Subject(gig, book)
    findings = in_order([finding for rule in RULES.rules.values() for finding in rule.check(subject)])
    parts = tuple(_told(part, subject) for part in gig.parts)
    return replace(gig, parts=parts, findings=tuple(findings))


def _told(part: GigSet | GigBreak, subject: Subject) -> GigSet | GigBreak:
    if isinstance(part, GigBreak):
        return part
    songs = (replace(song, hazards=tuple(in_order(subject.told.get(song.number, [])))) for song in part.songs)
    return replace(part, songs=tuple(songs))


def check_setlist(path: Path, book: Book) -> list[Finding]:
    """What reading a set list found, then what the rules found in it, by place in the file."""
    source = read_source(path, book.name_of(path))
    if isinstance(source, Finding):
        return [source]
    setlist, findings = read_setlist(source, book)
    return findings if setlist is None else in_order([*findings, *checked_gig(setlist, book).findings])
