"""The fills of a song: each once, lettered in order of appearance, with what the grid says of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.feel import Feel
from charts.pattern import Pattern
from charts.placing import PlacedFill, place_fill
from charts.played import PlayedSection
from charts.song import EACH, LAST, FillUse
from charts.timing import Beat
from charts.verdict import CLASHES, FITS, judge, worst

ANY_TEMPO = Fraction(100)  # beats a minute, where the feel's grid is the same at all


@dataclass(frozen=True, eq=False)
class PageFill:
    """One fill as a page shows it; ``beats`` are the beats it is first played over, with number and tempo."""

    letter: str
    title: str
    pattern: Pattern | None
    feel: Feel
    beats: tuple[tuple[Beat, int, Fraction], ...]
    said: str = ""  # of a clash, accepted or not
    at_odds: bool = False  # what is said wants mending


def letter_of(place: int) -> str:
    """A to Z, then AA, AB and so on.

    >>> letter_of(0), letter_of(25), letter_of(26), letter_of(700)
    ('A', 'Z', 'AA', 'ZY')
    """
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


@dataclass(frozen=True)
class Lettered:
    """One use of a fill: its letter, and where it is played; None where no such pattern exists."""

    use: FillUse
    letter: str
    placed: PlacedFill | None


def letter_fills(
    parts: Sequence[PlayedSection], tolerance: Fraction
) -> tuple[list[PageFill], list[list[Lettered]]]:
    """The fills, and for every section its uses of them."""
    found: dict[tuple[str, Pattern | None], PageFill] = {}
    uses: list[list[Lettered]] = []
    for part, following in zip(parts, [*parts[1:], None], strict=True):
        uses.append([])
        for use in part.section.fills:
            title = use.name or f"{part.section.name} fill"
            key = (title, use.pattern)
            placed = _placed(part, use)
            fill = found.get(key) or PageFill(
                letter_of(len(found)), title, use.pattern, part.section.feel, ()
            )
            found[key] = _told(fill, placed, following, tolerance)
            uses[-1].append(Lettered(use, fill.letter, placed))
    return list(found.values()), uses


def _told(
    fill: PageFill, placed: PlacedFill | None, following: PlayedSection | None, tolerance: Fraction
) -> PageFill:
    """The fill with what this use of it adds: the beats under it, and a clash."""
    if placed is None:
        return replace(fill, said="no fill of this name in the book", at_odds=True)
    beats = fill.beats or _beats(placed)
    if fill.at_odds:
        return replace(fill, beats=beats)
    said, at_odds = _said(placed, following, tolerance)
    return replace(fill, beats=beats, said=said if at_odds else fill.said or said, at_odds=at_odds)


def _placed(part: PlayedSection, use: FillUse) -> PlacedFill | None:
    times = part.section.times
    return place_fill(part, use, times if use.pass_ in (EACH, LAST) else int(use.pass_))


def _beats(placed: PlacedFill) -> tuple[tuple[Beat, int, Fraction], ...]:
    """The beats under the fill; where it is pushed off the beat, those it would fill on the beat."""
    pattern = placed.use.pattern
    assert pattern is not None  # it was placed
    by_tempo = isinstance(placed.part.section.feel.swing, str)
    return tuple(
        (under.beat, under.number, under.tempo if by_tempo else ANY_TEMPO)
        for under in placed.beats[-pattern.beats :]
    )


def _said(placed: PlacedFill, following: PlayedSection | None, tolerance: Fraction) -> tuple[str, bool]:
    """What the page says of a fill that fights its feel, and whether nobody has accepted that."""
    use, section = placed.use, placed.part.section
    if use.sets_up_next and following is not None and placed.pass_ == section.times:
        against = following.section.feel
        ahead = f"sets up {against.name}"
    else:
        against, ahead = section.feel, ""
    verdicts = judge(
        placed.pattern, against, [(under.beat, under.tempo) for under in placed.beats], tolerance
    )
    verdict = worst(verdicts)
    if use.on_purpose and verdict != FITS:
        return f"{verdict} on purpose: {use.on_purpose}", False
    if verdict == CLASHES:
        return f"clashes with {against.name}", True
    return ahead, False
