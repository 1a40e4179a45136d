"""Road maps as one PDF, and what was printed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeVar

from charts.reading.settings import Settings
from charts.song import Song
from render.page.canvas import draw
from render.page.model import Page
from render.page.report import Printed, page_report
from render.page.roadmap import fit
from render.page.sheet import ALONE, InFolder, Options, sheet_of
from render.page.theme import theme_for

T = TypeVar("T")
Follow = Callable[[Sequence[T]], Iterable[T]]  # watches what is printed go by


def options_for(settings: Settings, **given: object) -> Options:
    """Options from a book's settings, changed by what is given and not None."""
    known = {
        "paper": settings.paper,
        "distance": settings.distance,
        "tolerance": settings.tolerance,
        "triplets": settings.triplet_count,
    }
    return Options(**{**known, **{key: value for key, value in given.items() if value is not None}})  # type: ignore[arg-type]


def pages_of(
    song: Song, options: Options, name: str, gig: InFolder = ALONE
) -> tuple[tuple[Page, ...], dict[str, Any]]:
    """A song's page, with a second one where its fills need it, and its row of the report."""
    fitted = fit(sheet_of(song, options, gig), options, name)
    return fitted.pages, page_report(fitted, song, options)


def road_map(songs: Sequence[Song], options: Options, follow: Follow[Song] = iter) -> Printed:
    """One page a song, in order; ``follow`` watches the songs go by."""
    pages: list[Page] = []
    report = []
    for place, song in enumerate(follow(songs), start=1):
        laid, row = pages_of(song, options, f"song-{place}")
        pages += laid
        report.append(row)
    title = songs[0].title if len(songs) == 1 else "Road maps"
    return Printed(draw(pages, theme_for(options.dark, options.plain), title), report)
