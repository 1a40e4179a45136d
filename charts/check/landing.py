"""landing: the crash and bass drum where a fill ends are within reach.

What it does: adds what is struck where each fill ends to its last strokes, and tells the limb
that cannot get there in time. That is crash and bass drum on the next one, unless the chart says
otherwise with land; nothing by default after the song's last bar, into a stop, or into p and
softer.

Why: the fill is only the way back to one; when the last strokes keep both hands or the foot busy,
the one is late or missing, and that is the stroke the band waits for.

Example:
    title: Salt Stairs
    tempo: 140
    feel: straight sixteenths
    form:
      - Verse (8): {fill: {rows: "SD oooo\\nBD ..oo"}}
      - Chorus (8): {dynamics: f}

Use instead:
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
from charts.fitting.landing import CRASH_VOICES, landing_voices, missed
from charts.source import WARNING, Finding


@rule("landing")
def landing(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        if not any(_missed(spot, _most(spot)) for spot in written.distinct):
            continue  # what can land on crash and bass drum can land on less
        judged = [(spot, _missed(spot, _voices(spot))) for spot in written.spots]
        bad = [(spot, out_of_reach) for spot, out_of_reach in judged if out_of_reach]
        if bad:
            yield _finding(*bad[0], [spot for spot, _ in bad[1:]])


def _most(spot: Spot) -> tuple[str, ...]:
    """The most that the fill may have to land on, wherever it is played."""
    return _voices(spot) if spot.use.land_given else CRASH_VOICES


def _voices(spot: Spot) -> tuple[str, ...]:
    return landing_voices(spot.subject.song, spot.index, spot.pass_, spot.use)


def _missed(spot: Spot, voices: tuple[str, ...]) -> tuple[Breach, ...]:
    settings = spot.subject.book.settings
    player = (settings.limits, settings.left_handed)
    return missed(spot.laid.pattern, spot.section.feel, spot.under, *player, voices, spot.use)


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
