"""feel-change: a change between straight and swung is marked.

Listens for: a straight section after a swung one, or a swung one after a straight one, where the
first bar has no cue and no fill ends the section before. A note.

Why it matters: the change from twos to threes is where bands fall apart. A word on the page, or a
fill into it, lets everyone hear it coming.

Wrong:
    title: Both Banks
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
      - Bridge (8): {feel: shuffle}

Right:
    title: Both Banks
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
      - Bridge (8): {feel: shuffle, cue: swing it}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from charts.check.subject import Subject, rule
from charts.song import Section
from charts.source import NOTE, Finding


@rule("feel-change")
def feel_change(subject: Subject) -> Iterator[Finding]:
    form = subject.song.form
    for before, section in pairwise(form):
        if before.feel.swings == section.feel.swings or _marked(before, section):
            continue
        way = "straight to swung" if section.feel.swings else "swung to straight"
        yield subject.finding(
            "feel-change",
            NOTE,
            section.span_of("feel"),
            f"{section.name} goes from {way} ({before.feel.name} to {section.feel.name}), unmarked",
            f"give {section.name} a cue, or {before.name} a fill that ends it",
            section,
        )


def _marked(before: Section, section: Section) -> bool:
    """True where a cue is on the first bar, or a fill ends the section before on its last time."""
    ending = [use for use in before.fills if use.on_pass(before.times, before.times) and use.landing is None]
    return any(cue.place.bar == 1 for cue in section.cues) or any(use.bar == before.bars for use in ending)
