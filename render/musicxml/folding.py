"""Which bars are written: passes that are alike between repeat signs, others with endings or written out."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from itertools import groupby

from render.musicxml.bars import BarPart


@dataclass
class WrittenBar:
    """A bar as it is on the page.

    ``times`` is how often the stretch that ends here is played; ``ending`` the passes that take the bracket
    above it, whose first and last bar are marked.
    """

    bar: BarPart
    landing: bool = True
    opens: bool = False  # a forward repeat sign
    times: int = 0  # a backward repeat sign
    ending: str = ""
    ending_starts: bool = False
    ending_stops: bool = False
    nth: int = 0  # the first bar of a later pass that is written out
    exits: bool = False  # the section's last written bar


def written_bars(bars: list[BarPart]) -> list[WrittenBar]:
    """The bars of the song as they are written."""
    found: list[WrittenBar] = []
    for _, group in groupby(bars, key=lambda bar: bar.part.index):
        passes = [list(each) for _, each in groupby(group, key=lambda bar: bar.pass_)]
        block = [WrittenBar(bar) for bar in passes[0]] if len(passes) == 1 else _folded(passes)
        block[-1].exits = True
        found += block
    return found


def _folded(passes: list[list[BarPart]]) -> list[WrittenBar]:
    every = [True] * len(passes[0])
    for landing in (every, list(_common_landings(passes))):
        keys = [[_key(bar, kept) for bar, kept in zip(each, landing, strict=True)] for each in passes]
        alike = len({tuple(key) for key in keys[:-1]}) == 1
        differs = [first != last for first, last in zip(keys[0], keys[-1], strict=True)]
        tail = differs.index(True) if True in differs else None
        if alike and tail is None:
            return _repeated(passes, landing)
        if alike and tail:
            return _with_endings(passes, landing, tail)
    return _written_out(passes)


def _common_landings(passes: list[list[BarPart]]) -> Iterator[bool]:
    """A bar keeps its landing where every pass lands there; one that differs is left to the player."""
    for bars in zip(*passes, strict=True):
        yield len({tuple(tuple(beat.strokes.landing) for beat in bar.beats) for bar in bars}) == 1


def _key(bar: BarPart, landing: bool) -> Hashable:
    """What must be the same for two passes to share one written bar."""
    beats = tuple((beat.tempo, frozenset(beat.struck(landing)), beat.free, beat.swing) for beat in bar.beats)
    return beats, bar.ramp_to, tuple(bar.fills)


def _repeated(passes: list[list[BarPart]], landing: list[bool]) -> list[WrittenBar]:
    block = [WrittenBar(bar, kept) for bar, kept in zip(passes[0], landing, strict=True)]
    block[0].opens = True
    block[-1].times = len(passes)
    return block


def _with_endings(passes: list[list[BarPart]], landing: list[bool], tail: int) -> list[WrittenBar]:
    block = [WrittenBar(bar, kept) for bar, kept in zip(passes[0], landing, strict=True)]
    last = [WrittenBar(bar, kept) for bar, kept in zip(passes[-1], landing, strict=True)][tail:]
    block[0].opens = True
    block[-1].times = 2  # the brackets say which passes take them
    early = ", ".join(str(number) for number in range(1, len(passes)))
    for bars, ending in ((block[tail:], early), (last, str(len(passes)))):
        for bar in bars:
            bar.ending = ending
        bars[0].ending_starts = bars[-1].ending_stops = True
    return block + last


def _written_out(passes: list[list[BarPart]]) -> list[WrittenBar]:
    block = [WrittenBar(bar) for each in passes for bar in each]
    for number in range(1, len(passes)):
        block[number * len(passes[0])].nth = number + 1
    return block
