"""The command ``count``: the count-in at tempo on the screen, or in words where there is no terminal."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from charts.counting import TRIPLETS
from charts.song import Song
from charts.wording import per_minute
from render.live.frame import frame
from render.live.pulse import CountBar, CountBeat, Pulse, bars_after, count_in, pulses
from render.live.schedule import in_time
from render.live.screen import Screen

LEAD_SECONDS = 0.5  # time to look up before the first beat
LANDING = 1  # bar 1 is shown as far as its first beat, so that the count leads somewhere


def counted_bars(song: Song, bars: int, triplets: str = TRIPLETS) -> list[CountBar]:
    """The count-in, the bars after it, and the beat on which it lands."""
    after = list(bars_after(song, bars + LANDING, triplets))
    if len(after) > bars:
        last = after[-1]
        after[-1] = CountBar(last.label, last.beats[:1])
    return [*count_in(song, triplets), *after]


def again_and_again(bars: tuple[CountBar, ...]) -> Iterator[CountBar]:
    """The same bars without end, each round after the last."""
    length = sum(beat.length for bar in bars for beat in bar.beats)
    rounds = 0
    while bars:
        for bar in bars:
            yield CountBar(bar.label, tuple(_later(beat, rounds * length) for beat in bar.beats))
        rounds += 1


def _later(beat: CountBeat, seconds: float) -> CountBeat:
    return replace(beat, seconds=beat.seconds + seconds)


def words(bars: list[CountBar]) -> Iterator[str]:
    """The count in plain lines: seconds, and what is said."""
    for bar in bars:
        said = "  ".join(" ".join(word for _, word in beat.marks) for beat in bar.beats)
        yield f"{bar.beats[0].seconds:9.3f}  {said}   ({bar.label}, {per_minute(bar.beats[0].tempo)})"


def run(bars: list[CountBar] | Iterator[CountBar], head: str, block: str = "#") -> None:
    """Show the bars in time until they end or a key quits."""
    moments = pulses(iter(bars))
    first = next(moments, None)
    if first is None:
        return
    with Screen() as shown:
        start = time.monotonic() + LEAD_SECONDS
        waiting = Pulse(first.seconds, first.bar, first.beat, -1, False)
        shown.draw(frame(waiting, head, shown.width, block))
        for pulse in in_time(chain([first], moments), start, shown.wait_or_quit):
            shown.draw(frame(pulse, head, shown.width, block))
