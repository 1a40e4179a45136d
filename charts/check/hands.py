"""hands: two hands and two feet can play every fill at its tempo.

Listens for: how long each hand and each foot has between its strokes, with the sticking in the fill
or the easiest one there is. An error where one hand or foot has to be in two places at once. A
warning where it has to be faster than the player's limits. Default limits: one hand 140 ms between
strokes and 70 ms for the second stroke of a double, one foot 150 and 90 ms; set your own under
player in book.yaml.

Why it matters: a fill that is comfortable in rehearsal falls apart when the song is counted in
faster, and the groove after it suffers.

Wrong:
    title: Glass Ferry
    tempo: 150
    feel: straight sixteenths
    form:
      - Verse (8):
          fill: {rows: "SD oooo|oooo", stick: "RRRR|RRRR"}

Right:
    title: Glass Ferry
    tempo: 150
    feel: straight sixteenths
    form:
      - Verse (8):
          fill: {rows: "SD oooo|oooo", stick: "RLRL|RLRL"}

Build speed up slowly, and stop when it hurts.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from charts.check.subject import Spot, Subject, rule
from charts.fitting.hands import TOO_FAST, TWO_PLACES, Breach
from charts.pattern import Stroke
from charts.source import ERROR, WARNING, Finding
from charts.wording import per_minute

MOST_TOLD = 3


@rule("hands")
def hands(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        if all(spot.easy for spot in written.spots):
            continue
        bad = [(spot, breaches) for spot in written.spots if (breaches := spot.playing().breaches)]
        if bad:
            first = max(bad, key=lambda each: (_impossible(each[1]), len(each[1])))
            yield _finding(*first, [spot for spot, _ in bad if spot is not first[0]])


def _impossible(breaches: tuple[Breach, ...]) -> bool:
    return any(breach.kind == TWO_PLACES for breach in breaches)


def _finding(spot: Spot, breaches: tuple[Breach, ...], others: list[Spot]) -> Finding:
    ordered = sorted(breaches, key=lambda breach: breach.kind == TOO_FAST)  # the impossible first
    more = len(ordered) - MOST_TOLD
    lines = [("and", breach_words(spot, breach)) for breach in ordered[1:MOST_TOLD]]
    lines += [("and", f"{more} more like these")] if more > 0 else []
    level, hint = ERROR if _impossible(breaches) else WARNING, _hint(spot, ordered[0])
    return Finding(
        "hands",
        level,
        breach_words(spot, ordered[0]),
        spot.use.span,
        hint,
        spot.where,
        at_tempo(spot.under[0][1]),
        (*lines, ("", hint)),
        fill_detail(spot, others),
    )


def at_tempo(bpm: Fraction) -> str:
    """What is after the caret.

    >>> at_tempo(Fraction(133, 2))
    'at 66.5 bpm'
    """
    return f"at {per_minute(bpm)}"


def fill_detail(spot: Spot, others: list[Spot]) -> dict[str, object]:
    """What a finding on a fill says in JSON besides its words."""
    return {
        "fill": spot.use.title, "feel": spot.feel.name,
        "tempo": round(float(spot.under[0][1]), 3), "on_purpose": spot.use.on_purpose,
        "also": [other.also() for other in others],
    }  # fmt: skip


def breach_words(spot: Spot, breach: Breach) -> str:
    """Which limb, which two strokes, how many ms.

    The sentence of a limb that is too late reads “the right hand has 94 ms from SD on 3 to SD on 3+1/4, and
    needs 140”.
    """
    first, second = _place(spot, breach.first), _place(spot, breach.second)
    if breach.kind == TWO_PLACES:
        if breach.first.voice == breach.second.voice:
            return f"the {breach.limb} is asked for {first} twice at once"
        flam = " (a flam or drag takes both hands)" if breach.first.kind in ("flam", "drag") else ""
        return f"the {breach.limb} is asked to be in two places: {first} and {breach.second.voice}{flam}"
    gap, limit = float(breach.gap_ms), float(breach.limit_ms)
    return f"the {breach.limb} has {gap:.0f} ms from {first} to {second}, and needs {limit:.0f}"


def _place(spot: Spot, stroke: Stroke) -> str:
    """A voice and the beat where it is struck, as the bar counts: SD on 3+1/4."""
    slots, landing = spot.laid.slots, spot.use.landing
    lands_on = landing.beat if landing else 1
    number = slots[stroke.beat][1] if stroke.beat < len(slots) else lands_on
    return f"{stroke.voice} on {number}" + (f"+{stroke.at}" if stroke.at else "")


def _hint(spot: Spot, breach: Breach) -> str:
    if breach.kind == TWO_PLACES:
        return "leave one of the strokes out, or give it to another limb"
    stuck = spot.laid.pattern.stuck and breach.limb.endswith("hand")
    change = "let the hands alternate" if stuck else "leave strokes out"
    return f"{change}, choose an easier fill (feelmap suggest), or say in book.yaml how fast you are"
