"""landing: the crash and bass drum after a fill are within reach.

Listens for: whether the strokes that land after each fill come too soon after its last ones. The
landing is crash and bass drum on the next one, or what the chart says with land. There is none by
default after the last bar of the song, into a stop, or into p and softer.

Why it matters: the fill's job is to get you back to 1. If the last strokes keep both hands or the
foot busy, the one is late or missing, and the band waits for that stroke.

Wrong:
    title: Salt Stairs
    tempo: 140
    feel: straight sixteenths
    form:
      - Verse (8): {fill: {rows: "SD oooo\\nBD ..oo"}}
      - Chorus (8): {dynamics: f}

Right:
    title: Salt Stairs
    tempo: 140
    feel: straight sixteenths
    form:
      - Verse (8): {fill: {rows: "SD oooo\\nBD o.o."}}
      - Chorus (8): {dynamics: f}

Say land: none where the groove goes on without a crash, or land: RD for another voice.
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.hands import at_tempo, breach_words, fill_detail
from charts.check.subject import Spot, Subject, rule
from charts.fitting.hands import Breach
from charts.source import WARNING, Finding


@rule("landing")
def landing(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        if all(spot.easy for spot in written.spots):
            continue
        bad = [(spot, out_of_reach) for spot in written.spots if (out_of_reach := _missed(spot))]
        if bad:
            yield _finding(*bad[0], [spot for spot, _ in bad[1:]])


def _missed(spot: Spot) -> tuple[Breach, ...]:
    strokes = spot.landing(spot.voices)
    breaches = spot.playing(strokes).breaches if strokes else ()
    return tuple(breach for breach in breaches if breach.second in strokes)


def _finding(spot: Spot, out_of_reach: tuple[Breach, ...], others: list[Spot]) -> Finding:
    hint = "end the fill a stroke earlier, free a hand and the foot, or say land: none"
    return Finding(
        "landing",
        WARNING,
        f"the landing is out of reach: {breach_words(spot, out_of_reach[0])}",
        spot.use.span,
        hint,
        spot.where,
        at_tempo(spot.under[-1][1]),
        (*(("and", breach_words(spot, breach)) for breach in out_of_reach[1:]), ("", hint)),
        fill_detail(spot, others),
    )
