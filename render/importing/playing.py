"""Repeats, endings and jumps played out: the order in which written bars are played.

The rules are the trade's: a repeat is taken once where it gives no number; numbered endings go by the pass;
after a D.C. or D.S. repeats are not taken and only the last ending is played; To Coda counts after the jump,
as does Fine; the coda is played with its repeats.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from render.importing.limits import PLAYED
from render.importing.score import Bar
from render.importing.words import DA_CAPO

NEXT, REPEAT, JUMP = "next", "repeat", "jump"


@dataclass(frozen=True)
class Step:
    """A written bar that is played, and what leads to it: the bar before, a repeat, a jump."""

    bar: int
    how: str = NEXT


@dataclass(frozen=True)
class Bracket:
    """One numbered ending: its first and last bar."""

    first: int
    last: int
    numbers: tuple[int, ...]


@dataclass
class Stretch:
    """What a repeat sign repeats, with the endings that belong to it."""

    first: int
    last: int
    times: int
    brackets: list[Bracket] = field(default_factory=list)

    def bracket_at(self, bar: int) -> Bracket | None:
        return next((each for each in self.brackets if each.first == bar), None)


def stretches(bars: Sequence[Bar]) -> list[Stretch]:
    """The repeated stretches in order; they never overlap."""
    found: list[Stretch] = []
    start = place = 0
    while place < len(bars):
        if bars[place].opens:
            start = place
        if bars[place].ending_starts:
            found.append(_with_brackets(bars, start, place))
        elif bars[place].times:
            found.append(Stretch(start, place, bars[place].times))
        else:
            place += 1
            continue
        start = place = found[-1].last + 1
    return found


def _with_brackets(bars: Sequence[Bar], start: int, first: int) -> Stretch:
    """The endings that follow one another from ``first`` on; the first of them is for the first pass too."""
    brackets: list[Bracket] = []
    place, times, highest = first, 0, 0
    while place < len(bars) and bars[place].ending_starts:
        last = _bracket_end(bars, place)
        numbers = bars[place].ending or (highest + 1,)
        brackets.append(Bracket(place, last, numbers if brackets or 1 in numbers else (1, *numbers)))
        highest = max(highest, *numbers)
        times = max(times, bars[last].times)
        place = last + 1
    repeated = bars[brackets[-1].last].times > 0
    if len(brackets) == 1 and repeated:
        highest += 1  # a first ending alone: the second time goes on after it
    return Stretch(start, brackets[-1].last, max(highest, times if repeated else 0), brackets)


def _bracket_end(bars: Sequence[Bar], last: int) -> int:
    """The last bar of the ending that starts at a place."""
    while last + 1 < len(bars) and not (
        bars[last].ending_stops or bars[last].times or bars[last + 1].ending_starts
    ):
        last += 1
    return last


def play(bars: Sequence[Bar]) -> list[Step]:
    """The bars as they are played.

    :raises FeelmapError: more bars than a song holds, as where a jump and its sign never end.
    """
    return _Player(bars).play()


class _Player:
    def __init__(self, bars: Sequence[Bar]) -> None:
        self.bars = bars
        self.within = {
            bar: stretch for stretch in stretches(bars) for bar in range(stretch.first, stretch.last + 1)
        }
        codas = [place for place, bar in enumerate(bars) if bar.coda]
        self.to_coda = {place for place, bar in enumerate(bars) if bar.to_coda}
        if len(codas) > 1 and not self.to_coda:
            self.to_coda = {codas[0]}  # the same sign where the coda is left for and where it begins
        self.coda = codas[-1] if codas else 0
        self.goal: str | None = None  # of the jump that was taken; None before it
        self.taken: set[int] = set()
        self.round: dict[int, int] = {}  # first bar of a stretch -> pass
        self.steps: list[Step] = []

    def play(self) -> list[Step]:
        place, how = self._past_endings(0, NEXT), NEXT
        while place < len(self.bars):
            self.steps.append(Step(place, how))
            PLAYED.hold(len(self.steps))
            if self.bars[place].fine and self.goal in ("", "fine"):
                break
            place, how = self._after(place)
            place = self._past_endings(place, how)
        return self.steps

    def _past_endings(self, place: int, how: str) -> int:
        """The bar to play at a place: endings of other passes are skipped."""
        inside = self.within.get(self.steps[-1].bar) if self.steps else None
        while (stretch := self.within.get(place)) is not None:
            if how == JUMP or (how == NEXT and inside is not stretch):
                self.round[stretch.first] = 1 if self.goal is None else stretch.times
            bracket = stretch.bracket_at(place)
            if bracket is None or self._takes(stretch, bracket):
                break
            place, how, inside = bracket.last + 1, NEXT, stretch
        return place

    def _takes(self, stretch: Stretch, bracket: Bracket) -> bool:
        if self.goal is not None and stretch.brackets[-1] is bracket and len(stretch.brackets) > 1:
            return True
        return self.round[stretch.first] in bracket.numbers

    def _after(self, place: int) -> tuple[int, str]:
        """Where to go after a bar."""
        bar, stretch = self.bars[place], self.within.get(place)
        if bar.times and stretch is not None and self.round[stretch.first] < stretch.times:
            self.round[stretch.first] += 1
            return stretch.first, REPEAT
        if place in self.to_coda and self.goal in ("", "coda") and self.coda > place:
            self.goal = None
            return self.coda, JUMP
        if bar.jump and place not in self.taken:
            self.taken.add(place)
            self.goal = bar.goal
            return self._target(bar.jump, place), JUMP
        return place + 1, NEXT

    def _target(self, jump: str, place: int) -> int:
        """Bar 1, or the sign: the last one before the jump."""
        if jump == DA_CAPO:
            return 0
        return next((number for number in range(place, -1, -1) if self.bars[number].segno), 0)
