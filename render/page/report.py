"""What was printed, in figures: each class of text, its smallest size and the distance at which it reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from charts.song import Song
from render.page.fonts import capital_height, code_name
from render.page.model import Page
from render.page.plan import CUE_MINUTES, LEAST_MINUTES, NEAR, SIGN_MINUTES
from render.page.roadmap import Fitted
from render.page.sheet import Options, missing_characters
from render.page.theme import ESSENTIAL_MINUTES, POINTS_PER_MM, PRIME_MINUTES, minutes_of, reads_at

MINUTES = {  # of arc that each class of text needs, from the page's distance
    **dict.fromkeys(("title", "tempo"), PRIME_MINUTES),
    **dict.fromkeys(
        ("feel", "meter", "key", "count-in", "section", "times", "open", "dynamics", "until", "fill number",
         "ending", "next"),
        LEAST_MINUTES,
    ),
    **dict.fromkeys(("tempo change", "feel change", "meter change"), SIGN_MINUTES),
    **dict.fromkeys(("cue", "groove", "notes", "stop", "time", "tonight"), CUE_MINUTES),
}  # fmt: skip
NEAR_MINUTES = {  # of what is read from the near distance, before the song
    **dict.fromkeys(("by", "totals", "mark", "fill label", "fill", "fill note"), LEAST_MINUTES),
    **dict.fromkeys(("fill count", "sticking"), 8.0),
    **dict.fromkeys(("set", "aside"), ESSENTIAL_MINUTES),
}
KINDS = (*MINUTES, *NEAR_MINUTES)
SLACK = 0.005  # of a size, for rounding


@dataclass(frozen=True)
class Printed:
    """A document: its bytes, a row of the report for every page, and the warnings in words."""

    data: bytes
    pages: list[dict[str, Any]] = field(default_factory=list)

    @property
    def warnings(self) -> list[str]:
        """Every page's warnings, each once, with the page's title."""
        return list(
            dict.fromkeys(f"{page['title']}: {text}" for page in self.pages for text in page["warnings"])
        )


@dataclass(frozen=True)
class Reading:
    """From where a page is read, in metres: what each class of text needs, and what is read from nearer."""

    distance: float
    minutes: Mapping[str, float] = field(default_factory=lambda: {**MINUTES, **NEAR_MINUTES})
    aside: frozenset[str] = frozenset(NEAR_MINUTES)

    def minutes_for(self, kind: str) -> float:
        """Minutes of arc that a class of text needs.

        >>> Reading(1.0).minutes_for("title"), Reading(1.0).minutes_for("cue")
        (22.0, 10.0)
        """
        return self.minutes.get(kind, ESSENTIAL_MINUTES)


def sizes_of(pages: Iterable[Page], reading: Reading) -> dict[str, dict[str, float]]:
    """Each class of text on pages: its smallest size, and the distance at which that reads."""
    smallest: dict[str, float] = {}
    for words in (words for page in pages for words in page.words):
        smallest[words.kind] = min(words.size, smallest.get(words.kind, words.size))
    capital = capital_height()
    return {
        kind.replace(" ", "_").replace("-", "_"): {
            "points": round(smallest[kind], 2),
            "capital_mm": round(smallest[kind] * capital / POINTS_PER_MM, 2),
            "arc_minutes": round(minutes_of(smallest[kind], reading.distance, capital), 1),
            "reads_at_m": round(reads_at(smallest[kind], reading.minutes_for(kind), capital), 2),
        }
        for kind in KINDS
        if kind in smallest
    }


def too_small(page: Page, reading: Reading) -> list[str]:
    """A warning where text that must be read from the page's distance is too small for it."""
    capital = capital_height()
    reach: dict[str, float] = {}
    for words in page.words:
        if words.kind not in reading.aside:
            found = reads_at(words.size, reading.minutes_for(words.kind), capital)
            reach[words.kind] = min(found, reach.get(words.kind, found))
    worst = min(reach, key=reach.__getitem__, default=None)
    if worst is None or reach[worst] >= reading.distance * (1 - SLACK):
        return []
    return [
        f"too much for one page: {worst} reads at {reach[worst]:.2f} m, not at {reading.distance:g} m"
        " (leave something out, or come nearer)"
    ]


def page_report(fitted: Fitted, song: Song, options: Options) -> dict[str, Any]:
    """One song's page in the report."""
    reading = Reading(options.distance)
    missing = [
        f"no font has {code_name(char)} ({place}); a box stands for it"
        for char, place in missing_characters(song)
    ]
    return {
        "title": song.title,
        "file": song.file or None,
        "paper": options.paper,
        "landscape": options.landscape,
        "distance_m": options.distance,
        "near_m": round(NEAR * options.distance, 2),
        "scale": round(fitted.plan.smaller, 3),
        "pages": len(fitted.pages),
        "fallbacks": list(fitted.plan.used),
        "sizes": sizes_of(fitted.pages, reading),
        "warnings": [*too_small(fitted.page, reading), *missing],
    }
