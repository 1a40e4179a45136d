"""Random charts as text, for tests of what is written from them; small, so that many can be tried."""

from __future__ import annotations

from functools import lru_cache

from hypothesis import strategies as st
from support import BOOK, chart

from charts.pattern import Pattern
from charts.timing import Meter

METERS = {"4/4": 4, "3/4": 3, "6/8": 2, "7/8 (2+2+3)": 3, "2/2": 2}  # with their felt beats
THREE = Meter.read("3/4")
GROOVES = ("plain rock", "plain sixteenths", "ghosted half-time", "bossa nova", "slow six", "free & <easy>")
FEELS = ("straight sixteenths", "half-time shuffle", "sixteenth shuffle", "swing")
ALWAYS = ("hits: 1.1 1.1&", "dynamics: p to f", "stops: 1.1", "holds: 1.2", "cue: watch & <listen>")


@lru_cache(maxsize=1)
def fills_by_beats() -> dict[int, list[Pattern]]:
    """The shipped fills by their length; those of a meter only where they are for three beats."""
    found: dict[int, list[Pattern]] = {}
    for fill in BOOK.patterns.fills():
        if fill.meter is None or fill.meter == THREE:
            found.setdefault(fill.beats, []).append(fill)
    return found


@st.composite
def random_lines(draw: st.DrawFn, name: str) -> str:
    """A form line with anything that changes how its bars are written."""
    bars, times = draw(st.integers(1, 4)), draw(st.sampled_from([1, 1, 2, 3]))
    meter = draw(st.sampled_from(["4/4", *METERS]))
    keys = {"meter": meter, "feel": draw(st.sampled_from(FEELS))}
    if draw(st.booleans()):
        fills = fills_by_beats()
        beats = draw(st.sampled_from([beats for beats in fills if beats <= min(METERS[meter], 4)]))
        fill = draw(st.sampled_from(fills[beats]))
        pass_ = draw(st.sampled_from(["each", "last", "1"]))
        keys["fills"] = f"{{{draw(st.integers(1, bars))}: {{use: {fill.name}, pass: {pass_}}}}}"
    elif draw(st.booleans()):
        keys["odd-bars"] = f"{{{draw(st.integers(1, bars))}: 2/4}}"
    if draw(st.booleans()):
        keys["groove"] = draw(st.sampled_from(GROOVES))
    keys["tempo"] = draw(st.sampled_from(["90", "90", "66.5", "90 to 110"]))
    more = dict(each.split(": ") for each in draw(st.sets(st.sampled_from(ALWAYS), max_size=2)))
    opened = " open" if draw(st.booleans()) else ""
    body = ", ".join(
        f'{key}: "{value}"' if value[0] not in "{" else f"{key}: {value}"
        for key, value in {**keys, **more}.items()
    )
    return f"{name} ({bars}) x{times}{opened}: {{{body}}}"


@st.composite
def random_charts(draw: st.DrawFn, most: int = 3) -> str:
    """A chart's text that reads without an error."""
    lines = [draw(random_lines(name)) for name in "ABC"[: draw(st.integers(1, most))]]
    head = draw(st.sampled_from(["", "pickup: 1 beat\n", "key: Bb\nby: Us & them\nending: cold on 1\n"]))
    return chart(*lines, head=head)
