"""A score file as a chart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from charts.book import Book
from charts.reading.chart import read_chart
from charts.song import Song
from charts.source import FeelmapError, Source
from render.importing.charttext import chart_text
from render.importing.facts import clean
from render.importing.opening import ABC, MIDI, Opened, open_score
from render.importing.road import road_of
from render.importing.score import Score
from render.importing.sections import drafts_of

LONGEST_TITLE = 120


@dataclass(frozen=True)
class Taken:
    """The chart's text, the song that it reads as, and what had to be guessed or left behind."""

    text: str
    song: Song
    guessed: tuple[str, ...]
    lost: tuple[str, ...]


STAGES = 4


def _nothing() -> None:
    """For those who do not watch."""


def take_in(path: Path, book: Book, step: Callable[[], None] = _nothing) -> Taken:
    """Read a score and write a chart of it; the feels and fills it names are those of the book.

    ``step`` is called after each of the ``STAGES``.

    :raises FeelmapError: a file that is no score, too large, broken, or made to do harm.
    """
    opened = open_score(path)
    step()
    sheet = _sheet(opened)
    step()
    road = road_of(sheet)
    step()
    drafts = drafts_of(road, sheet, book)
    step()
    title = clean(sheet.title)[:LONGEST_TITLE] or clean(path.stem) or "untitled"
    if not clean(sheet.title):
        sheet.guess(f"title: {title}, after the file")
    text = chart_text(sheet, drafts, title, road.pickup)
    read = read_chart(Source(f"{path.name} as a chart", text), book)
    if read.song is None:
        errors = tuple(finding for finding in read.findings if finding.is_error)
        raise FeelmapError(f"{path} cannot be said in a chart", "see what stands in its way above", errors)
    return Taken(text, replace(read.song, file=""), tuple(sheet.guessed), tuple(sheet.lost))


def _sheet(opened: Opened) -> Score:
    if opened.kind == MIDI:
        from render.importing.midi import read_midi

        return read_midi(opened.data)
    if opened.kind == ABC:
        from render.importing.abc import read_abc

        return read_abc(opened.text)
    from render.importing.scores import read_musicxml

    assert opened.root is not None  # what is neither is XML
    return read_musicxml(opened.root)
