"""The road through a score: its bars as played, cut into sections and passes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from render.importing.joining import Played, played_bars, without_pickup
from render.importing.limits import PLAYED, SECTIONS
from render.importing.playing import JUMP, NEXT, REPEAT, Step, play
from render.importing.score import Bar, Score, plain
from render.importing.words import DAL_SEGNO, is_open, times_said

MOST_NAME = 60
MOST_ORDER = 1_000  # letters in the order of the parts
_MANNER = re.compile(r"(?: +(?:open|[x×] ?\d+))+$", re.IGNORECASE)


@dataclass
class Appearance:
    """A section as it comes up on the road: its passes, each a list of bars."""

    name: str
    passes: list[list[Played]]


@dataclass
class Road:
    """The whole road, and the silent quarters before it."""

    appearances: list[Appearance]
    pickup: Fraction


def road_of(score: Score) -> Road:
    """Play a score out and cut it into sections."""
    _believe_marks(score.bars)
    _believe_times(score.bars)
    steps = _in_order(score)
    pickup, rest = without_pickup(score, steps)
    led_by = steps[0] if len(rest) < len(steps) else None
    return Road(_sections(score, list(played_bars(score, led_by, rest, pickup))), pickup)


def _believe_marks(bars: Sequence[Bar]) -> None:
    """``Solo x4 (open)`` as a mark is a name, and what words over the bar are elsewhere."""
    for bar in bars:
        bar.mark = plain(bar.mark.replace("(", " ").replace(")", " "))
        found = _MANNER.search(bar.mark)
        for text in re.findall(r"open|[x×] ?\d+", found[0], re.IGNORECASE) if found else ():
            bar.open = bar.open or is_open(text)
            bar.said_times = bar.said_times or times_said(text)
        bar.mark = re.sub(r"[:#{}\[\]]+$", "", _MANNER.sub("", bar.mark[:MOST_NAME])).strip()


def _believe_times(bars: Sequence[Bar]) -> None:
    """A repeat sign without a number is played as often as the words over its stretch ask for."""
    said = 0
    for bar in bars:
        said = bar.said_times or (0 if bar.opens else said)
        if bar.times:
            bar.times = said if said > 1 and bar.times == 2 and not bar.ending_stops else bar.times
            said = 0


def _in_order(score: Score) -> list[Step]:
    """The steps; part by part where the file gives the order of its parts."""
    names = _letters(score.order)
    starts = [place for place, bar in enumerate(score.bars) if bar.mark]
    parts = {score.bars[first].mark: (first, end) for first, end in pairwise([*starts, len(score.bars)])}
    if not names or not set(names) <= set(parts):
        if score.order and parts:
            why = "it names parts that are not there" if names else "it cannot be read"
            score.lose(f"the order of the parts, {plain(score.order)}: {why}")
        return play(score.bars)
    found = play(score.bars[: starts[0]])
    played = {name: play(score.bars[slice(*parts[name])]) for name in set(names)}
    for name in names:
        first = parts[name][0]
        found += [
            Step(first + each.bar, each.how if place else JUMP) for place, each in enumerate(played[name])
        ]
        PLAYED.hold(len(found))
    return found


def _letters(order: str) -> list[str]:
    """``A2(BC)2`` letter by letter; empty where it is more than letters and numbers.

    >>> "".join(_letters("A2(BC)2")), _letters("slowly")
    ('AABCBC', ['s', 'l', 'o', 'w', 'l', 'y'])
    """
    text = re.sub(r"[\s.]", "", order[:MOST_ORDER])
    if not re.fullmatch(r"(?:[A-Za-z()]\d?)+", text):
        return []
    while (found := re.search(r"\(([A-Za-z0-9]*)\)(\d?)", text)) is not None:
        text = text[: found.start()] + found[1] * int(found[2] or 1) + text[found.end() :]
        if len(text) > MOST_ORDER:
            return []
    if "(" in text or ")" in text:
        return []
    return [letter for letter, times in re.findall(r"([A-Za-z])(\d?)", text) for _ in range(int(times or 1))]


def _sections(score: Score, bars: Sequence[Played]) -> list[Appearance]:
    marks = _marks(score, bars)
    found: list[Appearance] = []
    start: set[int] = set()  # written bars where the section now played begins
    name = ""
    for place, bar in enumerate(bars):
        again = bar.how == REPEAT and not start.isdisjoint((bar.index, bar.own))
        if found and (again or (bar.bar.nth and bar.how == NEXT)):
            found[-1].passes.append([])
        elif place == 0 or bar.index in marks or bar.how == JUMP:
            name = marks.get(bar.index) or _covering(marks, bar.index)
            found.append(Appearance(name, [[]]))
            SECTIONS.hold(len(found))
            start = {bar.index, bar.own}
        found[-1].passes[-1].append(bar)
    return found


def _covering(marks: dict[int, str], index: int) -> str:
    """The name of the section around a bar."""
    before = [place for place in marks if place <= index]
    return marks[max(before)] if before else next(iter(marks.values()), "A")


def _marks(score: Score, bars: Sequence[Played]) -> dict[int, str]:
    """Written bar -> the section that starts there; letters where the score names none."""
    first = min(bar.index for bar in bars)
    marks = {bar.index: bar.mark for bar in bars if bar.mark}
    if not marks:
        jumps = {bar.jump for bar in score.bars}
        starts = [
            index
            for index in sorted({bar.index for bar in bars})
            if index == first or _begins(score.bars, index, jumps)
        ]
        score.guess("the score names no sections: letters by its repeats and double bars")
        return {index: _letter(number) for number, index in enumerate(starts)}
    if first < min(marks):
        taken = {name.casefold() for name in marks.values()}
        name = "A" if marks[min(marks)] == "B" else "Intro" if "intro" not in taken else "Opening"
        score.guess(f"the bars before the first mark are called {name}")
        marks[first] = name
    return dict(sorted(marks.items()))


def _begins(bars: Sequence[Bar], index: int, jumps: set[str]) -> bool:
    """True where a section starts by its signs alone."""
    bar, before = bars[index], bars[index - 1]
    inside = bar.ending_starts and bool(before.times)
    aimed_at = (bar.segno and DAL_SEGNO in jumps) or (bar.coda and bool(jumps - {""}))
    return bar.opens or aimed_at or ((before.double or bool(before.times)) and not inside)


def _letter(number: int) -> str:
    """A to Z, then A2.

    >>> _letter(0), _letter(27)
    ('A', 'B2')
    """
    again, place = divmod(number, 26)
    return chr(ord("A") + place) + (str(again + 1) if again else "")
