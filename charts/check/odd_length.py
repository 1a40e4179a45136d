"""odd-length: odd numbers of bars and odd bars are told.

What it does: notes every section of an odd number of bars from three up, and every bar in a meter
of its own.

Why: this is where people fall off; the note is a list of what to look at twice before the gig, and
the page makes the same places stand out.

Example:
    title: Short Straw
    tempo: 120
    feel: straight eighths
    form:
      - Verse (7)

Use instead:
    title: Short Straw
    tempo: 120
    feel: straight eighths
    form:
      - Verse (8)
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.subject import Subject, rule
from charts.source import NOTE, Finding


@rule("odd-length")
def odd_length(subject: Subject) -> Iterator[Finding]:
    told: set[str] = set()
    for section in subject.song.form:
        if section.name in told:
            continue
        if section.bars % 2 and section.bars > 1:
            told.add(section.name)
            yield subject.finding(
                "odd-length",
                NOTE,
                None,
                f"{section.name} has {section.bars} bars",
                "count it once aloud with the band",
                section,
            )
        for bar, meter in sorted(section.odd_bars.items()):
            told.add(section.name)
            yield subject.finding(
                "odd-length",
                NOTE,
                section.span_of("odd-bars"),
                f"bar {bar} of {section.name} is a bar of {meter}",
                "count it once aloud with the band",
                section,
            )
