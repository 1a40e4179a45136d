"""odd-length: sections with an odd number of bars, and bars in another meter, are listed.

Listens for: sections of 3, 5, 7 or more bars where the number is odd, and single bars in a meter of
their own. A note.

Why it matters: this is where people fall off. The notes are a list of what to go over before the
gig, and the page marks the same places.

Wrong:
    title: Short Straw
    tempo: 120
    feel: straight eighths
    form:
      - Verse (7)

Right:
    title: Short Straw
    tempo: 120
    feel: straight eighths
    form:
      - Verse (8)
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.subject import Subject, rule
from charts.song import Section
from charts.source import NOTE, Finding, Span


@rule("odd-length")
def odd_length(subject: Subject) -> Iterator[Finding]:
    told: set[object] = set()  # what a repeat inherits is told once
    for section in subject.song.form:
        if section.bars % 2 == 0 and not section.odd_bars:
            continue
        for key, span, message in _odd(section):
            if key not in told:
                told.add(key)
                hint = "count it once aloud with the band"
                yield subject.finding("odd-length", NOTE, span, message, hint, section)


def _odd(section: Section) -> Iterator[tuple[object, Span | None, str]]:
    """What is odd about a section: what tells it apart, where it is, in words."""
    if section.bars % 2 and section.bars > 1:
        yield section.name, section.span, f"{section.name} has {section.bars} bars"
    span = section.span_of("odd-bars") if section.odd_bars else None
    for bar, meter in sorted(section.odd_bars.items()):
        yield (span.line if span else 0, bar), span, f"bar {bar} of {section.name} is a bar of {meter}"
