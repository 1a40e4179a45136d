"""length: a fill stays inside its section.

What it does: tells every fill that starts before its section does, and every fill that starts
before the one ahead of it has ended.

Why: a fill that reaches back over the barline is played over another section, often over another
feel; two fills at once are one too many.

Example:
    title: Low Door
    tempo: 100
    feel: shuffle
    form:
      - Verse (8)
      - Turn (1): {fill: two bars of threes}

Use instead:
    title: Low Door
    tempo: 100
    feel: shuffle
    form:
      - Verse (8)
      - Turn (2): {fill: two bars of threes}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from charts.check.subject import Spot, Subject, rule
from charts.source import ERROR, WARNING, Finding


@rule("length")
def length(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        early = [spot for spot in written.spots if spot.placed.reaches_back]
        if early:
            yield _reaches_back(subject, early[0])
    yield from _overlaps(subject)


def _reaches_back(subject: Subject, spot: Spot) -> Finding:
    section, beats = spot.part.section, spot.placed.beats
    over = sum(1 for beat in beats if beat.bar < 1)
    before = subject.song.form[spot.part.index - 1] if spot.part.index else None
    message = f"this fill is {over} beat{'s' * (over > 1)} longer than what {section.name} has before it ends"
    if before is not None and before.feel is not section.feel:
        message += f", and reaches back over the change from {before.feel.name}"
    return Finding(
        "length",
        ERROR,
        message,
        spot.use.span,
        f"use a fill of at most {len(beats) - over} beats, or put it in the section before",
        spot.where(subject.song),
    )


def _overlaps(subject: Subject) -> Iterator[Finding]:
    told: set[int] = set()
    for part in subject.parts if subject.fills else ():
        spots = sorted(
            (spot for written in subject.fills for spot in written.spots if spot.part is part),
            key=lambda spot: spot.placed.end,
        )
        for first, second in pairwise(spots):
            if second.placed.beats[0].start < first.placed.end and id(second.use) not in told:
                told.add(id(second.use))
                yield Finding(
                    "length",
                    WARNING,
                    f"this fill starts before {first.use.title} has ended",
                    second.use.span,
                    "shorten one of the two, or move it",
                    second.where(subject.song),
                )
