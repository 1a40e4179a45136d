"""length: a fill stays inside its section.

Listens for: fills that start before their section does, and fills that start before the one ahead
has ended.

Why it matters: a fill that reaches back over the bar line is played over another section, often
over another feel. Two fills at once are one too many.

Wrong:
    title: Low Door
    tempo: 100
    feel: shuffle
    form:
      - Verse (8)
      - Turn (1): {fill: {rows: "SD ooo|ooo|ooo|ooo|ooo|ooo|ooo|ooo"}}

Right:
    title: Low Door
    tempo: 100
    feel: shuffle
    form:
      - Verse (8)
      - Turn (2): {fill: {rows: "SD ooo|ooo|ooo|ooo|ooo|ooo|ooo|ooo"}}
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from itertools import pairwise

from charts.check.subject import Spot, Subject, Tune, rule, where_written
from charts.source import ERROR, WARNING, Finding


@rule("length")
def length(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        early = next((spot for spot in written.spots if spot.laid.reaches_back), None)
        if early is not None:
            yield _reaches_back(subject, early)
    yield from _overlaps(subject)


def _reaches_back(subject: Subject, spot: Spot) -> Finding:
    section, slots = spot.section, spot.laid.slots
    over = sum(1 for bar, _, _ in slots if bar < 1)
    before = subject.song.form[spot.index - 1] if spot.index else None
    message = f"this fill is {over} beat{'s' * (over > 1)} longer than what {section.name} has before it ends"
    if before is not None and before.feel != section.feel:
        message += f", and reaches back over the change from {before.feel.name}"
    hint = f"use a fill of at most {len(slots) - over} beats, or put it in the section before"
    return Finding("length", ERROR, message, spot.use.span, hint, spot.where)


def _overlaps(subject: Subject) -> Iterator[Finding]:
    """Fills of one section and one pass that lie over one another."""
    told: set[Hashable] = set()
    tune = Tune(subject.book, subject.song)
    for index, section in enumerate(subject.song.form):
        uses = [use for use in section.fills if use.pattern is not None]
        for pass_ in range(1, section.times + 1):
            playing = [use for use in uses if use.on_pass(pass_, section.times)]
            spots = [Spot(tune, index, use, pass_) for use in playing if len(playing) > 1]
            spots.sort(key=lambda spot: spot.placed.end)
            for first, second in pairwise(spots):
                which = where_written(second.use)
                if second.placed.beats[0].start < first.placed.end and which not in told:
                    told.add(which)
                    message = f"this fill starts before {first.use.title} has ended"
                    hint = "shorten one of the two, or move it"
                    yield Finding("length", WARNING, message, second.use.span, hint, second.where)
