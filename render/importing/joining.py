"""The bars of a score at their full length: pickups carried over, short bars joined, the rest as odd bars."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from charts.timing import Meter
from charts.wording import figure
from render.importing.playing import Step
from render.importing.score import START, Bar, Said, Score, Tempo, later
from render.importing.signatures import meter_of_length

SHORTEST = Fraction(1)  # quarters; what is shorter is not a bar of its own


@dataclass
class Played:
    """A bar as played: one written bar, or two that share one (a pickup and the short bar before it).

    ``index`` is the written bar where it begins for the form: that of the pickup which leads into it;
    ``own`` is its own.
    """

    bar: Bar
    how: str
    index: int
    own: int
    mark: str
    cues: list[Said] = field(default_factory=list)


def without_pickup(score: Score, steps: list[Step]) -> tuple[Fraction, list[Step]]:
    """The quarters before bar 1, or of a first bar that is short; and the steps from there on."""
    bars = [score.bars[step.bar] for step in steps]
    count = next((place for place, bar in enumerate(bars) if not bar.before), 0)
    if not count and len(bars) > 1:
        count = int(bars[0].quarters < bars[0].meter.quarters)
    for bar in reversed(bars[:count]):
        _carry(bar, bars[count])
    return _length(bars[:count]), steps[count:]


def _carry(bar: Bar, first: Bar) -> None:
    """What is set in the pickup holds from bar 1 on."""
    if bar.tempos and all(tempo.at for tempo in first.tempos):
        first.tempos.insert(0, Tempo(START, bar.tempos[-1].quarters))
    first.swing = first.swing or bar.swing
    if first.feel is None:
        first.feel, first.feel_words = bar.feel, bar.feel_words
    first.words = [replace(said, at=START) for said in bar.words] + first.words


def played_bars(
    score: Score, led_by: Step | None, steps: Sequence[Step], pickup: Fraction
) -> Iterator[Played]:
    """Bars of full length; ``led_by`` is the pickup that leads into the first."""
    place = 0
    while place < len(steps):
        step = steps[place]
        bar = score.bars[step.bar]
        after = steps[place + 1] if place + 1 < len(steps) else None
        begins, led_by = led_by or step, None
        mark = score.bars[begins.bar].mark or bar.mark
        if bar.quarters != bar.meter.quarters:
            if after is not None and _share(bar, score.bars[after.bar]):
                bar, led_by = _joined(bar, score.bars[after.bar]), after
                place += 1
            elif bar.quarters + pickup == bar.meter.quarters and (after is None or bar.times or bar.double):
                score.guess(f"bar {bar.number} is short for the pickup: a whole bar")
            elif bar.quarters < SHORTEST and after is not None:
                score.guess(f"bar {bar.number} only leads into the next one: not counted")
                place, led_by = place + 1, begins
                continue
            else:
                bar = replace(bar, meter=_odd(score, bar))
        yield Played(bar, begins.how, begins.bar, step.bar, mark, list(bar.words))
        place += 1


def _length(bars: Sequence[Bar]) -> Fraction:
    return sum((bar.quarters for bar in bars), START)


def _share(bar: Bar, after: Bar) -> bool:
    """True for two short bars that make one."""
    return after.quarters < after.meter.quarters and bar.quarters + after.quarters == bar.meter.quarters


def _joined(bar: Bar, after: Bar) -> Bar:
    """Two short bars as one. A mark over the second belongs to the bar that follows it."""
    by = bar.quarters
    return replace(
        bar,
        quarters=by + after.quarters,
        double=after.double,
        words=bar.words + later(after.words, by),
        fills=bar.fills + later(after.fills, by),
        holds=bar.holds + later(after.holds, by),
        dynamics=bar.dynamics + later(after.dynamics, by),
        tempos=bar.tempos + later(after.tempos, by),
        strokes=bar.strokes + later(after.strokes, by),
    )


def _odd(score: Score, bar: Bar) -> Meter:
    """A meter of its own for a bar of another length than its meter."""
    found = meter_of_length(bar.quarters, bar.meter)
    lasts = f"bar {bar.number} lasts {figure(bar.quarters, 5)} quarter{'' if bar.quarters == 1 else 's'}"
    if found is None:
        score.lose(f"{lasts}: no meter is as long, {bar.meter} kept")
        return bar.meter
    score.guess(f"{lasts}, not a bar of {bar.meter}: {found}")
    return found
