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


@dataclass(frozen=True, eq=False)
class PageFill:
    """One fill as a page shows it; ``beats`` are the beats it is first played over, with number and tempo.

    Two are never equal, so that what was engraved for one is found by it alone.
    """

    letter: str
    title: str
    pattern: Pattern | None
    feel: Feel
    beats: tuple[tuple[Beat, int, Fraction], ...]
    said: str = ""  # of a clash, accepted or not


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


def letter_fills(
    parts: Sequence[PlayedSection], tolerance: Fraction
) -> tuple[list[PageFill], dict[int, dict[int, str]]]:
    """The fills, and the letter of each use: section index -> place among its fills -> letter."""
    found: dict[tuple[str, Pattern | None], PageFill] = {}
    letters: dict[int, dict[int, str]] = {}
    for part in parts:
        following = parts[part.index + 1] if part.index + 1 < len(parts) else None
        mine = letters.setdefault(part.index, {})
        for place, use in enumerate(part.section.fills):
            title = use.name or f"{part.section.name} fill"
            key = (title, use.pattern)
            fill = found.get(key)
            if fill is None:
                fill = PageFill(letter_of(len(found)), title, use.pattern, part.section.feel, ())
            placed = _placed(part, use)
            if placed is not None and not fill.beats:
                fill = replace(fill, beats=_beats(placed))
            if placed is not None and not fill.said:
                fill = replace(fill, said=_said(placed, following, tolerance))
            elif use.pattern is None:
                fill = replace(fill, said="no fill of this name in the book")
            found[key] = fill
            mine[place] = fill.letter
    return list(found.values()), letters


def _placed(part: PlayedSection, use: FillUse) -> PlacedFill | None:
    times = part.section.times
    return place_fill(part, use, times if use.pass_ in (EACH, LAST) else int(use.pass_))


def _beats(placed: PlacedFill) -> tuple[tuple[Beat, int, Fraction], ...]:
    """The beats under the fill; where it is pushed off the beat, those it would fill on the beat."""
    pattern = placed.use.pattern
    assert pattern is not None  # it was placed
    return tuple((under.beat, under.number, under.tempo) for under in placed.beats[-pattern.beats :])


def _said(placed: PlacedFill, following: PlayedSection | None, tolerance: Fraction) -> str:
    """What the page says of a fill that fights its feel."""
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
        return f"{verdict} on purpose: {use.on_purpose}"
    if verdict == CLASHES:
        return f"clashes with {against.name}"
    return ahead
