"""stop: a fill does not run through a stop or a hold.

Listens for: fills that run into or out of a stop of the band, and fills that go on after a hold. A
fill that stays within the stop is the drummer's own break. A note.

Why it matters: the silence is the point of a stop, and everybody hears one fill through it.

Wrong:
    title: Cold Tea
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8): {stops: 8.3-8.4, fill: {rows: "SD oo|oo|oo|oo"}}

Right:
    title: Cold Tea
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8): {stops: 8.3-8.4, fills: {8.3: {rows: "SD oo|oo"}}}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.subject import Spot, Subject, rule
from charts.fitting.standstill import hold_under, stop_under
from charts.source import NOTE, Finding


@rule("stop")
def stop(subject: Subject) -> Iterator[Finding]:
    if not any(section.stops or section.holds for section in subject.song.form):
        return
    for written in subject.fills:
        if written.use.on_purpose:
            continue
        found = (_through(spot) for spot in written.spots if spot.section.stops or spot.section.holds)
        yield from [each for each in found if each is not None][:1]


def _through(spot: Spot) -> Finding | None:
    stopped = stop_under(spot.section, spot.laid)
    held = None if stopped else hold_under(spot.section, spot.laid)
    found = stopped or held
    if found is None:
        return None
    place = found.in_full
    what = "runs through the stop of the band" if stopped else "goes on after the hold"
    land = f"let it land there: fills: {{{place}: {spot.use.name or '...'}}}"
    hint = f"leave it if the drums go on alone; else {land}" if stopped else land
    return Finding("stop", NOTE, f"this fill {what} at {place}", spot.use.span, hint, spot.where)
