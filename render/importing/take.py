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
from render.importing.opening import opened
from render.importing.road import road_of
from render.importing.score import plain
from render.importing.sections import drafts_of
from render.importing.words import sort_words

LONGEST_TITLE = 120
STAGES = 4


@dataclass(frozen=True)
class Taken:
    """The chart's text and its song; what was found in the notes, guessed, or lost."""

    text: str
    song: Song
    found: tuple[str, ...]
    guessed: tuple[str, ...]
    lost: tuple[str, ...]


def take_in(path: Path, book: Book, step: Callable[[], None] = lambda: None) -> Taken:
    """Read a score and write a chart of it; the feels and fills it names are those of the book.

    ``step`` is called after each of the ``STAGES``.

    :raises FeelmapError: a file that is not a score, too large, broken, or made to do harm.
    """
    read = opened(path)
    step()
    score = read()
    step()
    sort_words(score, book.feels)
    road = road_of(score)
    step()
    drafts = drafts_of(road, score, book)
    step()
    title = plain(score.title, LONGEST_TITLE) or plain(path.stem, LONGEST_TITLE) or "untitled"
    if not plain(score.title):
        score.guess(f"title: {title}, after the file")
    text = chart_text(score, drafts, title, road.pickup)
    chart = read_chart(Source(f"{path.name} as a chart", text), book)
    if chart.song is None:
        errors = tuple(finding for finding in chart.findings if finding.is_error)
        raise FeelmapError(f"{path} cannot be written as a chart", "the reasons are listed above", errors)
    song = replace(chart.song, file="")
    return Taken(text, song, tuple(score.found), tuple(score.guessed), tuple(score.lost))
