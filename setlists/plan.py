"""The gig of a set list: songs with their changes made, and the clock run."""

from __future__ import annotations

from pathlib import Path

from charts.book import Book
from charts.performance import count_in_seconds
from charts.played import song_seconds
from charts.reading.chart import ChartRead
from charts.song import Song
from setlists.clock import timed
from setlists.gig import Gig, GigBreak, GigSet, GigSong
from setlists.setlist import Break, SetList, SongItem
from setlists.tonight import tonight


def plan(setlist: SetList, book: Book) -> Gig:
    """The gig of a set list; every chart is read once.

    A song whose chart is missing or cannot be read has no ``song`` and no length; the rule ``unknown``
    says so.
    """
    reads: dict[Path, ChartRead] = {}
    number = 0
    parts: list[GigSet | GigBreak] = []
    for part in setlist.parts:
        if isinstance(part, Break):
            parts.append(GigBreak(float(part.seconds)))
            continue
        songs = tuple(
            _song(item, number + place, book, reads) for place, item in enumerate(part.items, start=1)
        )
        number += len(songs)
        parts.append(GigSet(part.name, part, songs))
    return timed(Gig(setlist, tuple(parts)))


def _song(item: SongItem, number: int, book: Book, reads: dict[Path, ChartRead]) -> GigSong:
    read = chart = song = None
    if item.path is not None:
        if item.path not in reads:
            reads[item.path] = book.read_chart(item.path)
        read = reads[item.path]
        chart = read.song
    if chart is not None:
        song = tonight(chart, item.changes)
    title = song.title if song else item.name
    return GigSong(number, item, title, song, _seconds(song, item), chart=chart, read=read)


def _seconds(song: Song | None, item: SongItem) -> float:
    """The length that the set list gives, else the chart's with its count-in; 0 where there is neither."""
    if item.changes.length is not None:
        return float(item.changes.length)
    return count_in_seconds(song) + song_seconds(song) if song else 0.0
