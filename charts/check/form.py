"""form: names, repeats and bar counts of the form add up.

Listens for: sections without a bar count, bar counts given twice, places and times through that a
section does not have, and repeats that are not written as x2. Also two fills that end at the same
bar line, and a last section that says it sets up the next one.

Why it matters: a road map with a hole in it is worse than none.

Wrong:
    title: Ferry Lane
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
      - Chorus

Right:
    title: Ferry Lane
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
      - Chorus (8)
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from itertools import pairwise

from charts.check.subject import Subject, rule, where_written
from charts.source import ERROR, WARNING, Finding


@rule("form")
def form(subject: Subject) -> Iterator[Finding]:
    told: set[Hashable] = set()
    for section in subject.song.form:
        ends = [use for use in section.fills if use.landing is None]
        for first, second in pairwise(ends):
            if (
                first.bar == second.bar
                and where_written(second) not in told
                and set(first.passes(section.times)) & set(second.passes(section.times))
            ):
                told.add(where_written(second))
                yield subject.finding(
                    "form",
                    ERROR,
                    second.span,
                    f"two fills end at bar {second.bar} of {section.name}",
                    "keep one, or put them on different passes",
                    section,
                )
    last = subject.song.form[-1]
    for use in last.fills:
        if use.sets_up_next and use.bar == last.bars:
            yield subject.finding(
                "form",
                WARNING,
                use.span,
                "nothing follows that this fill could set up",
                "leave sets-up out",
                last,
            )
