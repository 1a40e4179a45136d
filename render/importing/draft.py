"""Sections as a chart will say them: every key with its value, before names are repeated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from charts.feel import Feel
from charts.pattern import Pattern
from charts.timing import Meter
from charts.wording import nth_time
from render.importing.drums import FoundFill
from render.importing.facts import Facts, place_text

Maps = dict[str, "str | dict[str, str | Pattern]"]
LAST_BARLINE = "fill"  # the key of a fill that ends the section, on its last pass


@dataclass
class Draft:
    """One line of the form. ``values`` are plain keys, ``maps`` those with a value for each place."""

    name: str
    phrases: tuple[int, ...]
    times: int = 1
    open: bool = False
    values: dict[str, str] = field(default_factory=dict)
    maps: dict[str, Maps] = field(default_factory=dict)

    @property
    def bars(self) -> int:
        return sum(self.phrases)


class CannotJoin(Exception):
    """Passes that differ in what a chart says once for all of them."""


@dataclass(frozen=True)
class Pass:
    """One pass: its bars and its fills."""

    facts: Sequence[Facts]
    fills: Sequence[FoundFill]


def phrases_of(facts: Sequence[Facts]) -> tuple[int, ...]:
    """Bars in phrases, parted by double bars."""
    found, start = [], 0
    for number, each in enumerate(facts, start=1):
        if each.bar.sheet.double or number == len(facts):
            found.append(number - start)
            start = number
    return tuple(found)


def odd_bars(facts: Sequence[Facts], meter: Meter) -> Maps:
    return {str(number): str(each.meter) for number, each in enumerate(facts, start=1) if each.meter != meter}


def usual_meter(facts: Sequence[Facts]) -> Meter:
    """The meter of most bars, the first of equals."""
    meters = [each.meter for each in facts]
    return max(meters, key=meters.count)


def hits(passes: Sequence[Pass], feel: Feel) -> str:
    """Hits of all passes, in time."""
    found = {
        (number, *place): place_text(number, place, each.meter, feel)
        for every in passes
        for number, each in enumerate(every.facts, start=1)
        for place in each.hits
    }
    return " ".join(found[key] for key in sorted(found))


def stops(passes: Sequence[Pass], feel: Feel) -> str:
    """Stops of all passes, in time; a span whose end is no place of the section is told by its start."""
    found = {}
    facts = passes[0].facts
    for every in passes:
        for number, each in enumerate(every.facts, start=1):
            for place, end in each.stops.items():
                bar, _, beat = end.partition(".")
                inside = (
                    end
                    and number <= int(bar) <= len(facts)
                    and 1 <= int(beat) <= len(facts[int(bar) - 1].meter.beats)
                )
                text = place_text(number, place, each.meter, feel)
                found[number, *place] = (
                    f"{text}-{end}" if inside and (int(bar), int(beat)) >= (number, place[0]) else text
                )
    return " ".join(found[key] for key in sorted(found))


def holds(passes: Sequence[Pass], feel: Feel) -> tuple[str, Maps]:
    """Holds of all passes: their places, or places with seconds where any is said."""
    found = {
        (number, *place): (place_text(number, place, each.meter, feel), seconds)
        for every in passes
        for number, each in enumerate(every.facts, start=1)
        for place, seconds in each.holds.items()
    }
    said = [found[key] for key in sorted(found)]
    if any(seconds for _, seconds in said):
        return "", {place: seconds or "0" for place, seconds in said}
    return " ".join(place for place, _ in said), {}


def cues(passes: Sequence[Pass], feel: Feel) -> Maps:
    """Cues of all passes; one that a later pass alone has says so."""
    found: dict[tuple[int, int, Fraction], tuple[str, list[str]]] = {}
    for number, every in enumerate(passes, start=1):
        for bar, each in enumerate(every.facts, start=1):
            for beat, at, text in each.cues:
                place = place_text(bar, (beat, at), each.meter, feel, always=False)
                texts = found.setdefault((bar, beat, at), (place, []))[1]
                if text not in texts and not any(known.endswith(f": {text}") for known in texts):
                    texts.append(text if number == 1 else f"{nth_time(number)}: {text}")
    return {found[key][0]: "; ".join(found[key][1]) for key in sorted(found)}


def fills(passes: Sequence[Pass], feel: Feel) -> Maps:
    """Fills by where they end, each on the passes that play it.

    :raises CannotJoin: passes that differ in a way that one key cannot say.
    """
    by_place: dict[tuple[int, int, Fraction], dict[int, FoundFill]] = {}
    for number, every in enumerate(passes, start=1):
        for fill in every.fills:
            beat, at = fill.landing or (0, Fraction(0))
            by_place.setdefault((fill.bar, beat, at), {})[number] = fill
    return dict(_fill(key, on, passes, feel) for key, on in sorted(by_place.items()))


def _fill(
    key: tuple[int, int, Fraction], on: dict[int, FoundFill], passes: Sequence[Pass], feel: Feel
) -> tuple[str, str | dict[str, str | Pattern]]:
    fill = next(iter(on.values()))
    if any(other.pattern != fill.pattern for other in on.values()):
        raise CannotJoin
    which = on_passes(list(on), len(passes))
    meter = passes[min(on) - 1].facts[fill.bar - 1].meter
    place = place_text(fill.bar, key[1:], meter, feel) if fill.landing else str(fill.bar)
    ends = not fill.landing and fill.bar == len(passes[0].facts)
    if ends and (which == "last" or len(passes) == 1):
        place, which = LAST_BARLINE, "each"  # that key means the last pass
    if fill.name and which == "each":
        return place, fill.name
    said: dict[str, str | Pattern] = {"use": fill.name} if fill.name else {"rows": fill.pattern}
    if which != "each":
        said["pass"] = which
    return place, said


def on_passes(numbers: Sequence[int], times: int) -> str:
    """The passes in a chart's words.

    >>> on_passes([1, 2], 2), on_passes([3], 3), on_passes([2], 3)
    ('each', 'last', '2')

    :raises CannotJoin: some passes, neither one nor all.
    """
    if len(numbers) == times:
        return "each"
    if len(numbers) != 1:
        raise CannotJoin
    return "last" if numbers[0] == times else str(numbers[0])


def dynamics(passes: Sequence[Pass]) -> str:
    """The dynamic at the start, and after a hairpin the one it reaches; others become cues."""
    first = passes[0].facts[0]
    found: list[str] = []
    hairpin = False
    for every in passes:
        for number, each in enumerate(every.facts):
            for at, sign in each.bar.sheet.dynamics:
                if sign in "<>":
                    hairpin = hairpin or (number == 0 and every is passes[0])
                elif number == 0 and at == 0 and each is first and not found:
                    found.append(sign)
                elif hairpin and found:
                    found[1:] = [sign]
                elif not found or sign != found[0]:
                    each.cues.append((1, Fraction(0), sign))
    return " to ".join(found)
