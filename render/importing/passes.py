"""A section's passes as one: what all of them have, and what only one has at a place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar, Union

from charts.feel import Feel
from charts.pattern import Pattern
from charts.quoting import scalar
from charts.timing import Meter
from charts.wording import nth_time
from render.importing.drums import FoundFill
from render.importing.joining import Played
from render.importing.places import place_text
from render.importing.score import START, Said, plain

NONE = "none"
Value = Union[str, Pattern, dict[str, "Value"]]  # noqa: UP007  # a string cannot be joined by |
Values = dict[str, Value]  # keys, or places, with their values as YAML has them
Key = TypeVar("Key")
Found = TypeVar("Found")


@dataclass
class Draft:
    """One line of the form: its head, and every key with its value."""

    name: str
    phrases: tuple[int, ...]
    times: int = 1
    open: bool = False
    values: Values = field(default_factory=dict)

    @property
    def bars(self) -> int:
        return sum(self.phrases)


class CannotJoin(Exception):
    """Passes that differ in what a chart has once for all of them."""


def by_place(passes: Sequence[Mapping[Key, Found]]) -> dict[Key, tuple[Found, str]]:
    """What is found at each place, with its passes in a chart's words: each, last, or a number.

    >>> by_place([{2: "fill"}, {2: "fill", 4: "hit"}])
    {2: ('fill', 'each'), 4: ('hit', 'last')}

    :raises CannotJoin: passes that differ at a place, or some of them that are neither one nor all.
    """
    found: dict[Key, tuple[Found, str]] = {}
    for place in dict.fromkeys(place for every in passes for place in every):
        on = [number for number, every in enumerate(passes, start=1) if place in every]
        first = passes[on[0] - 1][place]
        if any(passes[number - 1][place] != first for number in on) or 1 < len(on) < len(passes):
            raise CannotJoin
        last = "last" if on[0] == len(passes) else str(on[0])
        found[place] = first, "each" if len(on) == len(passes) else last
    return found


def phrases_of(bars: Sequence[Played]) -> tuple[int, ...]:
    """Bars in phrases, which end at double bars."""
    ends = [number for number, each in enumerate(bars, start=1) if each.bar.double or number == len(bars)]
    return tuple(end - start for start, end in zip([0, *ends], ends, strict=False))


def usual_meter(bars: Sequence[Played]) -> Meter:
    """The meter of most bars, the first of equals."""
    meters = [each.bar.meter for each in bars]
    return max(dict.fromkeys(meters), key=meters.count)


def odd_bars(bars: Sequence[Played], meter: Meter) -> Value:
    return {
        str(number): str(each.bar.meter)
        for number, each in enumerate(bars, start=1)
        if each.bar.meter != meter
    }


def holds(passes: Sequence[Sequence[Played]], feel: Feel) -> Value:
    """Holds of all passes, in time."""
    found = {
        (number, said.at): place_text(number, said.at, each.bar.meter, feel)
        for bars in passes
        for number, each in enumerate(bars, start=1)
        for said in each.bar.holds
    }
    return " ".join(found[key] for key in sorted(found))


def cues(passes: Sequence[Sequence[Played]], feel: Feel) -> Value:
    """Cues of all passes, in time; one that only a later pass has is marked so."""
    found: dict[tuple[int, Fraction], dict[str, str]] = {}
    places: dict[tuple[int, Fraction], str] = {}
    for pass_, bars in enumerate(passes, start=1):
        for number, each in enumerate(bars, start=1):
            for cue in each.cues:
                at = number, cue.at
                places[at] = place_text(number, cue.at, each.bar.meter, feel, always=False)
                text = cue.text if pass_ == 1 else f"{nth_time(pass_)}: {cue.text}"
                found.setdefault(at, {}).setdefault(cue.text, text)
    return {places[at]: spelled("; ".join(found[at].values())) for at in sorted(found)}


def spelled(text: str) -> str:
    """Words as YAML has them; empty for none.

    >>> spelled("hats: closed"), spelled("none")
    ('"hats: closed"', '"none"')
    """
    shown = plain(text)
    return f'"{shown}"' if shown.casefold() == NONE else scalar(shown, flow=False) if shown else ""


def fills(passes: Sequence[Sequence[FoundFill]], bars: int) -> Values:
    """Fills by the bar that they end, each on the passes that play it; the last bar's by a key of its own.

    :raises CannotJoin: passes that differ in a way that one key cannot say.
    """
    last: Values = {}
    places: Values = {}
    found = by_place([{each.bar: each for each in pass_} for pass_ in passes])
    for bar, (fill, which) in sorted(found.items()):
        value: Values = {"use": spelled(fill.name)} if fill.name else {"rows": fill.pattern}
        if bar == bars and (which == "last" or len(passes) == 1):
            last["fill"] = spelled(fill.name) or value
        elif which == "each":
            places[str(bar)] = spelled(fill.name) or value
        else:
            places[str(bar)] = {**value, "pass": which}
    return {**last, "fills": places}


def dynamics(passes: Sequence[Sequence[Played]]) -> str:
    """The dynamic at the start, and after a hairpin the one it reaches; others become cues."""
    found: list[str] = []
    hairpin = False
    for pass_, bars in enumerate(passes):
        for number, each in enumerate(bars):
            begins = pass_ == number == 0
            for said in each.bar.dynamics:
                if said.text in "<>":
                    hairpin = hairpin or begins
                elif begins and not said.at and not found:
                    found.append(said.text)
                elif hairpin and found:
                    found[1:] = [said.text]
                elif not found or said.text != found[0]:
                    each.cues.append(Said(START, said.text))
    return " to ".join(found)
