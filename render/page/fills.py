"""The fills of a song as its page shows them: each once, with what the grid says of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import cycle, islice

from charts.feel import Feel
from charts.fills import Fill, Fills, PlayedFill, played_fills
from charts.landing import landing_voices
from charts.pattern import Pattern
from charts.placing import PlacedFill
from charts.played import PlayedSection
from charts.song import FillUse, Song
from charts.source import ERROR
from charts.timing import ANY_TEMPO, Beat
from charts.verdict import CLASHES, CROSSES


@dataclass(frozen=True)
class Lands:
    """Where a fill ends: what is struck, on which beat, how far into it, whether a bar line is before it."""

    voices: tuple[str, ...] = ()
    number: int = 1
    at: Fraction = Fraction(0)
    new_bar: bool = True


@dataclass(frozen=True, eq=False)
class PageFill:
    """One fill as a page shows it; ``beats`` are the beats it is drawn over, with number and tempo."""

    number: str
    title: str
    pattern: Pattern | None
    feel: Feel
    beats: tuple[tuple[Beat, int, Fraction], ...]
    said: str = ""  # of a clash, accepted or not
    at_odds: bool = False  # what is said wants mending
    lands: Lands = Lands()

    @property
    def written_straight(self) -> bool:
        """True where the notes are even and the feel swings them."""
        return self.pattern is not None and self.pattern.swung and self.feel.swings


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
            known = found.get(fill.number) or _shown(song, index, fill, part, played)
            found[fill.number] = _told(known, played, tolerance)
            uses[-1].append(UsedFill(use, known.number, played[-1].placed if played else None))
    return list(found.values()), uses


def page_groove(song: Song) -> PageFill | None:
    """The song's own groove, drawn as fills are; None where the book has no pattern of its name."""
    pattern = song.groove_pattern
    if pattern is None or not pattern.beats:
        return None
    beats = islice(cycle(enumerate(song.meter.beats, start=1)), pattern.beats)
    tempo = song.tempo if song.feel.swings_by_tempo else ANY_TEMPO
    under = tuple((beat, number, tempo) for number, beat in beats)
    return PageFill("", song.groove, pattern, song.feel, under, lands=Lands(number=0))


def _shown(song: Song, index: int, fill: Fill, part: PlayedSection, played: Sequence[PlayedFill]) -> PageFill:
    number, feel = str(fill.number), part.section.feel
    if not fill.pattern:
        return PageFill(number, fill.title, None, feel, (), "no fill of this name in the book", True)
    if not played:
        beats = islice(cycle(enumerate(part.section.meter.beats, start=1)), fill.pattern.beats)
        under = tuple((beat, place, ANY_TEMPO) for place, beat in beats)
        return PageFill(number, fill.title, fill.pattern, feel, under)
    placed, feel = played[-1].placed, played[-1].feel
    lands = _lands(placed, landing_voices(song.form, index, placed.pass_, placed.use))
    return PageFill(number, fill.title, placed.pattern, feel, _beats(played[-1]), lands=lands)


def _lands(placed: PlacedFill, voices: tuple[str, ...]) -> Lands:
    """Where a fill ends as it is written: on the next bar, on a beat, or inside the last beat under it."""
    place, section = placed.use.landing, placed.part.section
    if place is None:
        return Lands(voices)
    at = place.nominal(section.meter_of(place.bar).beats[place.beat - 1], section.feel)
    return Lands(voices, place.beat, at, place.beat == 1 and not at)


def _told(fill: PageFill, played: Sequence[PlayedFill], tolerance: Fraction) -> PageFill:
    """The fill with what this use adds: the first clash that nobody has accepted, else what it leads to."""
    for each in played:
        said, at_odds = _said(each, tolerance)
        if not fill.at_odds and (at_odds or not fill.said):
            fill = replace(fill, said=said, at_odds=at_odds)
    return fill


def _beats(played: PlayedFill) -> tuple[tuple[Beat, int, Fraction], ...]:
    """The beats under the fill."""
    by_tempo = played.feel.swings_by_tempo
    return tuple(
        (under.beat, under.number, under.tempo if by_tempo else ANY_TEMPO) for under in played.placed.beats
    )


def _said(played: PlayedFill, tolerance: Fraction) -> tuple[str, bool]:
    """What the page says of a fill that fights its feel, and whether nobody has accepted that."""
    heard, why = played.heard(tolerance), played.use.on_purpose
    if why and not heard.fits:
        return f"{heard.words} on purpose: {why}", False
    if heard.verdict == CLASHES:
        what = "clashes with" if heard.level() == ERROR else f"{heard.words} over"
        return f"{what} {heard.feel.name}", True
    if heard.verdict == CROSSES:
        return heard.words, False
    leads_on = played.feel != played.placed.part.section.feel
    return (f"sets up {played.feel.name}" if leads_on else ""), False
