"""A score as it stands on paper: bars with their signs, before repeats and jumps are played out."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from charts.pattern import Stroke
from charts.source import FeelmapError
from charts.timing import Meter, MeterError
from render.musicxml.keys import key_name

MOST_PLAYED = 10_000  # bars of a song; what a chart holds


@dataclass(frozen=True, slots=True)
class Tempo:
    """A tempo at a place of a bar: quarters from the barline, quarters a minute."""

    at: Fraction
    quarters: Fraction
    shown: bool = True  # printed, not only for the ear


@dataclass(frozen=True, slots=True)
class Struck:
    """A drum stroke at a place of a bar, in quarters; the stroke's own place says nothing yet."""

    at: Fraction
    stroke: Stroke


@dataclass
class Bar:
    """One written bar. ``quarters`` is how long it is, ``meter`` the meter in force in it."""

    number: str
    meter: Meter
    quarters: Fraction
    mark: str = ""  # the section that starts here
    opens: bool = False
    times: int = 0  # a backward repeat sign: how often in all, 2 where the score does not say
    ending: tuple[int, ...] = ()
    ending_starts: bool = False
    ending_stops: bool = False
    double: bool = False  # a double or final bar line at the end
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    fine: bool = False
    jump: str = ""  # D.C. or D.S.
    goal: str = ""  # fine or coda, where the jump says so
    before: bool = False  # it stands before bar 1: a pickup
    nth: bool = False  # a later pass, written out, starts here
    words: list[tuple[Fraction, str]] = field(default_factory=list)
    tempos: list[Tempo] = field(default_factory=list)
    dynamics: list[tuple[Fraction, str]] = field(default_factory=list)  # p, or < > where a hairpin starts
    holds: list[Fraction] = field(default_factory=list)
    swing: tuple[Fraction, str] | None = None  # ratio and note of the pair
    straight: bool = False  # swing ends here
    strokes: list[Struck] | None = None  # None where there is no drum part


@dataclass
class Score:
    """The whole score, and what had to be guessed or could not be kept, in order."""

    bars: list[Bar]
    title: str = ""
    by: str = ""
    key: str = ""
    notes: str = ""
    order: str = ""  # the parts in the order they are played, as ABC has it
    count_in: Fraction | None = None  # quarters, where the file has one
    file_feel: str = ""  # what the file calls the rhythm
    guessed: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)

    def guess(self, text: str) -> None:
        """Say once that something was guessed."""
        if text not in self.guessed:
            self.guessed.append(text)

    def lose(self, text: str) -> None:
        """Say once that something could not be kept."""
        if text not in self.lost:
            self.lost.append(text)


def key_text(key: Any) -> str:
    """music21's key as musicians write it: A, F# minor, D dorian; empty for what has no name."""
    mode = getattr(key, "mode", None) or "major"
    if mode not in ("major", "minor") and getattr(key, "tonic", None) is not None:
        return f"{str(key.tonic.name).replace('-', 'b')} {mode}"
    return key_name(key.sharps, mode) if key.sharps is not None and abs(key.sharps) <= 7 else ""


def meter_of(upper: list[int], lower: int, sheet: Score, number: str) -> Meter:
    """A time signature as a meter; groups that it does not say are guessed, and said so.

    ``upper`` has one figure, or the groups of an additive signature.

    :raises FeelmapError: a meter that charts cannot count.
    """
    total = sum(upper)
    while lower > 8 and lower % 2 == 0 and total % 2 == 0 and all(part % 2 == 0 for part in upper):
        upper, lower = [part // 2 for part in upper], lower // 2
        total = sum(upper)
    if lower == 1:
        upper, lower, total = [part * 2 for part in upper], 2, total * 2
    groups = f" ({'+'.join(map(str, upper))})" if len(upper) > 1 and lower == 8 else ""
    for text in (f"{total}/{lower}{groups}", f"{total}/{lower}"):
        try:
            return Meter.read(text)
        except MeterError as error:
            reason = str(error)
    usual = _usual(total) if lower == 8 and total >= 2 else ""
    try:
        meter = Meter.read(f"{total}/{lower} ({usual})")
    except MeterError:
        raise FeelmapError(f"bar {number}: {reason}", "write that bar another way in the score") from None
    sheet.guess(f"{total}/{lower} is felt in {usual}")
    return meter


def _usual(upper: int) -> str:
    """Twos with a three at the end where one is left over."""
    return "+".join(["2"] * (upper // 2 - upper % 2) + ["3"] * (upper % 2))


def meter_of_length(quarters: Fraction, like: Meter) -> Meter | None:
    """A meter for a bar of so many quarters, of the same kind of beat where that is possible.

    >>> str(meter_of_length(Fraction(3, 2), Meter.read("6/8")))
    '3/8'
    """
    for lower in dict.fromkeys((like.lower, 4, 8)):
        upper = quarters * lower / 4
        if upper.denominator == 1 and upper >= 1:
            for text in (f"{upper}/{lower}", f"{upper}/{lower} ({_usual(int(upper))})"):
                try:
                    return Meter.read(text)
                except MeterError:
                    continue
    return None
