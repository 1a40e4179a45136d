"""A score as written: bars with their signs, before repeats and jumps are played out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TypeVar

from charts.feel import Feel
from charts.pattern import Stroke
from charts.timing import Meter
from charts.wording import one_line
from render.importing.limits import WORDS

START = Fraction(0)


@dataclass(frozen=True)
class Said:
    """Words or a sign at a place of a bar, in quarters from the barline."""

    at: Fraction
    text: str = ""


@dataclass(frozen=True)
class Tempo:
    """A tempo from a place of a bar on, in quarters per minute."""

    at: Fraction
    quarters: Fraction


@dataclass(frozen=True)
class Struck:
    """A drum stroke at a place of a bar, in quarters; the stroke's own place is not set yet."""

    at: Fraction
    stroke: Stroke


Placed = TypeVar("Placed", Said, Tempo, Struck)


def later(things: Iterable[Placed], by: Fraction) -> list[Placed]:
    """The same things that many quarters later."""
    return [replace(each, at=each.at + by) for each in things]


@dataclass
class Bar:
    """One written bar. ``quarters`` is its length, ``meter`` the meter in force in it."""

    number: str
    meter: Meter
    quarters: Fraction
    mark: str = ""  # the section that starts here
    opens: bool = False
    times: int = 0  # a backward repeat sign: how often in all, 2 where the score gives no number
    ending: tuple[int, ...] = ()
    ending_starts: bool = False
    ending_stops: bool = False
    double: bool = False  # a double or final bar line at the end
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    fine: bool = False
    jump: str = ""  # D.C. or D.S.
    goal: str = ""  # fine or coda, where the jump names one
    before: bool = False  # a pickup, before bar 1
    nth: bool = False  # a later pass, written out, starts here
    swing: tuple[Fraction, str] | None = None  # ratio and note of the pair
    straight: bool = False  # swing ends here
    feel: Feel | None = None  # named by words at the start of the bar
    feel_words: str = ""
    open: bool = False  # the number of passes is decided on stage
    said_times: int = 0  # how often, in words
    words: list[Said] = field(default_factory=list)  # what the words mean is taken out, cues stay
    fills: list[Said] = field(default_factory=list)
    holds: list[Said] = field(default_factory=list)
    dynamics: list[Said] = field(default_factory=list)  # p, or < > where a hairpin starts
    tempos: list[Tempo] = field(default_factory=list)
    strokes: list[Struck] = field(default_factory=list)

    def say(self, at: Fraction, text: str) -> None:
        """Put words over the bar."""
        self.words.append(Said(at, text))
        WORDS.hold(len(self.words), self.number)


@dataclass
class Score:
    """The whole score, and what was found, guessed or could not be kept, in order."""

    bars: list[Bar] = field(default_factory=list)
    title: str = ""
    by: str = ""
    key: str = ""
    order: str = ""  # the parts in the order they are played, as ABC has it
    count_in: Fraction = START  # quarters
    file_feel: str = ""  # the name of the rhythm in the file
    found: list[str] = field(default_factory=list)
    guessed: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)

    def find(self, text: str) -> None:
        """List once what the notes themselves show."""
        self.found += [text] if text not in self.found else []

    def guess(self, text: str) -> None:
        """List once what was guessed."""
        self.guessed += [text] if text not in self.guessed else []

    def lose(self, text: str) -> None:
        """List once what could not be kept."""
        self.lost += [text] if text not in self.lost else []


def plain(text: str, most: int = 200) -> str:
    """Words without signs that a chart cannot hold, cut at a length.

    >>> plain(" look \\a out ")
    'look out'
    """
    return one_line(text[: 4 * most])[:most].strip()
