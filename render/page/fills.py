"""The fills of a song as its page shows them: each once, with what the grid says of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.feel import Feel
from charts.fills import Fill, Fills, PlayedFill, played_fills
from charts.pattern import Pattern
from charts.placing import PlacedFill
from charts.played import PlayedSection
from charts.song import FillUse, Song
from charts.timing import ANY_TEMPO, Beat
from charts.verdict import CLASHES, FITS


@dataclass(frozen=True, eq=False)
class PageFill:
    """One fill as a page shows it; ``beats`` are the beats it is first played over, with number and tempo."""

    number: str
    title: str
    pattern: Pattern | None
    feel: Feel
    beats: tuple[tuple[Beat, int, Fraction], ...]
    said: str = ""  # of a clash, accepted or not
    at_odds: bool = False  # what is said wants mending


@dataclass(frozen=True)
class UsedFill:
    """One use of a fill: its number, and where it is played the last time; None where it never is."""

    use: FillUse
    number: str
    placed: PlacedFill | None


def page_fills(
    song: Song, parts: Sequence[PlayedSection], tolerance: Fraction
) -> tuple[list[PageFill], list[list[UsedFill]]]:
    """The fills, and for every section its uses of them."""
    fills = Fills(song)
    found: dict[int, PageFill] = {}
    uses: list[list[UsedFill]] = []
    for index, part in enumerate(parts):
        uses.append([])
        for use in part.section.fills:
            fill, played = fills[use], played_fills(parts, index, use)
            known = found.get(fill.number) or _shown(fill, part, played)
            found[fill.number] = _told(known, played, tolerance)
            uses[-1].append(UsedFill(use, known.number, played[-1].placed if played else None))
    return list(found.values()), uses


def _shown(fill: Fill, part: PlayedSection, played: Sequence[PlayedFill]) -> PageFill:
    number = str(fill.number)
    if not played:
        missing = "" if fill.pattern else "no fill of this name in the book"
        return PageFill(number, fill.title, fill.pattern, part.section.feel, (), missing, not fill.pattern)
    return PageFill(number, fill.title, fill.pattern, played[-1].feel, _beats(played[-1]))


def _told(fill: PageFill, played: Sequence[PlayedFill], tolerance: Fraction) -> PageFill:
    """The fill with what this use adds: the first clash that nobody has accepted, else what it leads to."""
    for each in played:
        said, at_odds = _said(each, tolerance)
        if not fill.at_odds and (at_odds or not fill.said):
            fill = replace(fill, said=said, at_odds=at_odds)
    return fill


def _beats(played: PlayedFill) -> tuple[tuple[Beat, int, Fraction], ...]:
    """The beats under the fill; where it is pushed off the beat, those it would fill on the beat."""
    pattern = played.use.pattern
    assert pattern is not None  # it was placed
    by_tempo = played.feel.swings_by_tempo
    return tuple(
        (under.beat, under.number, under.tempo if by_tempo else ANY_TEMPO)
        for under in played.placed.beats[-pattern.beats :]
    )


def _said(played: PlayedFill, tolerance: Fraction) -> tuple[str, bool]:
    """What the page says of a fill that fights its feel, and whether nobody has accepted that."""
    verdict = played.verdict(tolerance)
    if played.use.on_purpose and verdict != FITS:
        return f"{verdict} on purpose: {played.use.on_purpose}", False
    if verdict == CLASHES:
        return f"clashes with {played.feel.name}", True
    leads_on = played.feel != played.placed.part.section.feel
    return (f"sets up {played.feel.name}" if leads_on else ""), False
