"""A small invented book for the tests of set lists, and set lists read from text that is in the test."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

from support import write_book

from charts.book import Book
from charts.source import Finding, Source
from setlists.check.run import checked_gig
from setlists.gig import Gig, GigSong
from setlists.reading import read_setlist
from setlists.setlist import SetList

# 32 bars of 4/4 at 120 are 64 s, and a bar of count-in is 2 s: 66 s
TIN_ROOF = """
    title: Tin Roof
    tempo: 120
    key: G
    feel: straight eighths
    form:
      - Verse (8) x2
      - Chorus (16): {fill: plain sixteenths}
"""
# the same length in the same tempo, with sections of their own feel and tempo
SHORT_CUT = """
    title: Short Cut
    tempo: 100
    feel: straight eighths
    count-in: none
    groove: plain rock
    form:
      - Verse (8)
      - Bridge (8): {feel: shuffle, tempo: 110}
      - Verse
      - Tag (4): {tempo: 100 to 50}
"""
LONG_MEADOW = """
    title: Long Meadow
    tempo: 180
    meter: 3/4
    feel: waltz
    pickup: 1 beat
    form:
      - Head (32) x2
"""
CAFE = """
    title: Café au Coin, dernière
    tempo: 60
    meter: 12/8
    feel: slow 12/8
    form: [Head (12)]
"""
OPENER = """
    title: Opener
    tempo: 100
    feel: shuffle
    form:
      - Verse (8)
      - Solo (8) x3 open: {until: the nod}
      - End (1): {holds: {1.4: 5}}
"""
BROKEN = """
    title: Broken Bell
    tempo: fast
    feel: shuffle
    form: [Verse (8)]
"""


def band(folder: Path) -> Book:
    """The book in a folder."""
    return write_book(
        folder,
        charts__tin_roof=TIN_ROOF,
        charts__short_cut=SHORT_CUT,
        charts__long_meadow=LONG_MEADOW,
        charts__cafe=CAFE,
        charts__opener=OPENER,
        charts__broken_bell=BROKEN,
    )


def read(text: str, book: Book) -> tuple[SetList | None, list[Finding]]:
    """A set list as read."""
    return read_setlist(Source("setlists/test.yaml", dedent(text).lstrip("\n")), book)


def setlist(text: str, book: Book) -> SetList:
    """A set list that must read without an error."""
    found, findings = read(text, book)
    assert found is not None, [(finding.message, finding.hint) for finding in findings]
    return found


def gig(text: str, book: Book) -> Gig:
    """The gig of a set list that must read without an error."""
    return checked_gig(setlist(text, book), book)


def one_set(*songs: str, head: str = "") -> str:
    """The text of a set list with one set of these lines."""
    return f"gig: Test\n{head}sets:\n  - songs:\n" + "".join(f"      - {song}\n" for song in songs)


def played(book: Book, *songs: str, head: str = "") -> list[GigSong]:
    """The songs of a gig with one set."""
    return list(gig(one_set(*songs, head=head), book).songs)


def told(book: Book, rule: str, *songs: str, head: str = "") -> list[Finding]:
    """What one rule says about a set of these songs."""
    return [finding for finding in gig(one_set(*songs, head=head), book).findings if finding.rule == rule]
