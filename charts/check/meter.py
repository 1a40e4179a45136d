"""meter: a fill suits the meter it is played in.

Listens for: fills made for one meter over bars of another.

Why it matters: a fill made for 6/8 has three eighths in each beat, which mean something else in
4/4. A fill made for 2+2+3 lands a beat off in 3+2+2.

Wrong:
    title: Tin Roof
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8):
          fill: {rows: "SD oo|oo|ooo", meter: 7/8 (2+2+3)}

Right:
    title: Tin Roof
    tempo: 100
    feel: straight eighths
    meter: 7/8 (2+2+3)
    form:
      - Verse (8):
          fill: {rows: "SD oo|oo|ooo", meter: 7/8 (2+2+3)}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.subject import Spot, Subject, rule
from charts.source import ERROR, Finding


@rule("meter")
def meter(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        wrong = next((spot for spot in written.spots if not _suits(spot)), None)
        if wrong is not None:
            under = wrong.section.meter_of(max(1, wrong.laid.slots[-1][0]))
            needs = wrong.laid.pattern.meter
            message = f"this fill is made for {needs}, and {wrong.section.name} is in {under} here"
            hint = f"choose one for {under}: feelmap fills lists them"
            yield Finding("meter", ERROR, message, written.use.span, hint, wrong.where)


def _suits(spot: Spot) -> bool:
    needs = spot.laid.pattern.meter
    if needs is None:
        return True
    bar, count = needs.beats, len(spot.laid.slots)
    made_for = [bar[place % len(bar)] for place in range(-count % len(bar), -count % len(bar) + count)]
    return all(
        (own.units, own.ternary) == (under.units, under.ternary)
        for own, (_, _, under) in zip(made_for, spot.laid.slots, strict=True)
    )
