"""The gig folder: the set sheet, then every road map in order, linked both ways."""

from __future__ import annotations

import re
import zlib
from collections.abc import Sequence
from itertools import chain, zip_longest
from typing import Any

from charts.book import Book
from charts.timing import COMMON
from render.page.canvas import draw
from render.page.documents import Follow, options_for, pages_of
from render.page.model import Page
from render.page.report import Printed, Reading, sizes_of, too_small
from render.page.setback import sheet_pages
from render.page.setsheet import DISTANCE, MINUTES
from render.page.setwords import LEAST_WORDS, entered_from, songs_of
from render.page.sheet import Following, InFolder, Options, spoken_count, tempo_text
from render.page.theme import theme_for
from setlists.facts import Difference, Facts, differences, facts_of, mark_of, read_facts, written
from setlists.gig import Gig, GigSong

SET_SHEET = "set-sheet"
ATTACHED = "feelmap-gig.json"  # what the folder says, inside it, for a later one to compare with
MOST_BYTES = 1 << 24  # of what is attached
MOST_TOLD = 3  # changes that a page names
_ATTACHMENT = re.compile(rb"/EmbeddedFile\b.*?\bstream\r?\n(.*?)\r?\nendstream", re.DOTALL)


# what else is on the set sheet is for before the song
STANDING = Reading(
    DISTANCE,
    {
        **dict.fromkeys(("title", "tempo", "key"), MINUTES),
        **dict.fromkeys(("feel", "meter", "count-in", "tempo note"), MINUTES * LEAST_WORDS),
    },
    frozenset({"set", "aside", "notes", "changes", "arc"}),
)


def folder_pdf(gig: Gig, book: Book) -> Printed:
    """The folder as the book's settings have it."""
    return folder_of(gig, options_for(book.settings))


def folder_of(
    gig: Gig,
    options: Options,
    follow: Follow[tuple[GigSong, GigSong | None]] = iter,
    since: Facts | None = None,
) -> Printed:
    """Set sheet and road maps; ``follow`` watches the songs go by, ``since`` are the facts of an older one.

    A song without a chart is on the set sheet and in the foot of the page before it.
    """
    songs, facts = gig.songs, facts_of(gig)
    news = None if since is None else differences(since, facts)
    targets = {song.number: f"song-{song.number}" for song in songs if song.song}
    entered = entered_from(gig)

    def road_map(pair: tuple[GigSong, GigSong | None]) -> tuple[tuple[Page, ...], dict[str, Any]] | None:
        song, after = pair
        if song.song is None:
            return None
        within = InFolder(
            f"song {song.number} of {len(songs)}",
            "; ".join(filter(None, (_changed(song, since, news or ()), song.note))),
            SET_SHEET,
            entered.get(song.number, ""),
            _following(song, after, targets, entered),
            song.chart if song.chart != song.song else None,
        )
        return pages_of(song.song, options, targets[song.number], within)

    laid = list(filter(None, map(road_map, follow(list(zip_longest(songs, songs[1:]))))))
    mark = f"mark {mark_of(facts)}" + (f", changes since {mark_of(since)}" if since is not None else "")
    lines = songs_of(gig, targets, frozenset(new.number for new in news or ()))
    sheets = sheet_pages(gig, lines, mark, news, options, SET_SHEET)
    pages = [*(page for page, _ in sheets), *chain.from_iterable(pages for pages, _ in laid)]
    report = [*(_sheet_report(gig, *sheet, options) for sheet in sheets), *(row for _, row in laid)]
    attached = (ATTACHED, written(facts))
    data = draw(pages, theme_for(options.dark, options.plain), gig.setlist.gig, attached)
    return Printed(data, report)


def facts_in(data: bytes) -> Facts | None:
    """The facts that a folder carries; None for what is not a folder of ours."""
    for found in _ATTACHMENT.finditer(data):
        try:
            facts = read_facts(zlib.decompressobj().decompress(found[1], MOST_BYTES))
        except zlib.error:
            continue
        if facts is not None:
            return facts
    return None


def _changed(song: GigSong, since: Facts | None, news: Sequence[Difference]) -> str:
    """What is new about a song, for its page."""
    told = [new.words for new in news if new.number == song.number]
    if since is None or not told:
        return ""
    more = f" and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
    return f"changed since {mark_of(since)}: {', '.join(told[:MOST_TOLD])}{more}"


def _following(
    song: GigSong, after: GigSong | None, targets: dict[int, str], entered: dict[int, str]
) -> Following | None:
    if after is None:
        return None
    tempo = tempo_text(after.meter or COMMON, after.tempo) if after.tempo else ""
    count = "" if after.song is None or after.number in entered else spoken_count(after.song)
    return Following(after.title, tempo, count, targets.get(after.number, ""), song.segue)


def _sheet_report(gig: Gig, page: Page, scale: float, options: Options) -> dict[str, Any]:
    """The row of a page of the set sheet in the report; it is read standing."""
    return {
        "title": page.title,
        "file": gig.setlist.file or None,
        "paper": options.paper,
        "landscape": options.landscape,
        "distance_m": DISTANCE,
        "scale": round(scale, 3),
        "fallbacks": [],
        "sizes": sizes_of([page], STANDING),
        "warnings": too_small(page, STANDING),
    }
