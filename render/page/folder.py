"""The gig folder: the set sheet, then every road map in order, linked both ways."""

from __future__ import annotations

from itertools import chain, zip_longest
from typing import Any

from charts.book import Book
from charts.timing import COMMON
from render.page.canvas import draw
from render.page.documents import Follow, options_for, pages_of
from render.page.model import Page
from render.page.report import NEAR_MINUTES, Printed, Reading, sizes_of, too_small
from render.page.setsheet import DISTANCE, set_sheet
from render.page.setwords import entered_from
from render.page.sheet import Following, InFolder, Options, spoken_count, tempo_text
from render.page.theme import theme_for
from setlists.gig import Gig, GigSong

SET_SHEET = "set-sheet"
# key, count-in and notes give way to titles on a long sheet; what size is left for them is in the report
STANDING = Reading(DISTANCE, {}, frozenset(NEAR_MINUTES) | {"key", "count-in", "notes"})


def folder_pdf(gig: Gig, book: Book) -> Printed:
    """The folder as the book's settings have it."""
    return folder_of(gig, options_for(book.settings))


def folder_of(gig: Gig, options: Options, follow: Follow[tuple[GigSong, GigSong | None]] = iter) -> Printed:
    """Set sheet and road maps; ``follow`` watches the songs go by.

    A song without a chart is on the set sheet and in the foot of the page before it.
    """
    songs = gig.songs
    targets = {song.number: f"song-{song.number}" for song in songs if song.song}
    entered = entered_from(gig)

    def road_map(pair: tuple[GigSong, GigSong | None]) -> tuple[tuple[Page, ...], dict[str, Any]] | None:
        song, after = pair
        if song.song is None:
            return None
        within = InFolder(
            f"song {song.number} of {len(songs)}",
            song.note,
            SET_SHEET,
            entered.get(song.number, ""),
            _following(song, after, targets, entered),
            song.chart if song.chart != song.song else None,
        )
        return pages_of(song.song, options, targets[song.number], within)

    laid = filter(None, map(road_map, follow(list(zip_longest(songs, songs[1:])))))
    sheet, scale = set_sheet(gig, targets, options, SET_SHEET)
    maps, report = zip(((sheet,), _sheet_report(gig, sheet, scale, options)), *laid, strict=True)
    pages = list(chain.from_iterable(maps))
    data = draw(pages, theme_for(options.dark, options.plain), gig.setlist.gig)
    return Printed(data, list(report))


def _following(
    song: GigSong, after: GigSong | None, targets: dict[int, str], entered: dict[int, str]
) -> Following | None:
    if after is None:
        return None
    tempo = tempo_text(after.meter or COMMON, after.tempo) if after.tempo else ""
    count = "" if after.song is None or after.number in entered else spoken_count(after.song)
    return Following(after.title, tempo, count, targets.get(after.number, ""), song.segue)


def _sheet_report(gig: Gig, page: Page, scale: float, options: Options) -> dict[str, Any]:
    """The set sheet's row of the report; it is read standing."""
    return {
        "title": gig.setlist.gig,
        "file": gig.setlist.file or None,
        "paper": options.paper,
        "landscape": options.landscape,
        "distance_m": DISTANCE,
        "scale": round(scale, 3),
        "fallbacks": [],
        "sizes": sizes_of([page], STANDING),
        "warnings": too_small(page, STANDING),
    }
