"""unknown: every fill, feel and song that is named exists.

Listens for: every name that is not in a chart, in the book or among the fills and feels that come
with Feelmap. The nearest name is offered.

Why it matters: the dep who reads the page on Friday cannot play a name that leads nowhere.

Wrong:
    title: Kite Weather
    tempo: 100
    feel: shuffle
    form:
      - Verse (8): {fill: stares in threes}

Right:
    title: Kite Weather
    tempo: 100
    feel: shuffle
    form:
      - Verse (8): {fill: stairs in threes}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.subject import Subject, rule
from charts.pattern import FILL
from charts.song import FillUse
from charts.source import ERROR, Finding, Where
from charts.trade import fill_hint


@rule("unknown")
def unknown(subject: Subject) -> Iterator[Finding]:
    for use in subject.uses:
        if use.pattern is None or (use.pattern.kind != FILL and use.name):
            yield _finding(subject, use)


def _finding(subject: Subject, use: FillUse) -> Finding:
    patterns = subject.book.patterns
    where = Where(subject.song.title, None, use.owner)
    if use.pattern is not None:
        return Finding(
            "unknown",
            ERROR,
            f"{use.name} is a groove, not a fill",
            use.span,
            "feelmap fills lists the fills",
            where,
        )
    if patterns.entry(use.name) is not None:
        return Finding(
            "unknown",
            ERROR,
            f"the fill “{use.name}” cannot be read",
            use.span,
            "fix it in its own file first",
            where,
        )
    like = patterns.nearest(use.name)
    hint = f"did you mean {like}?" if like else fill_hint(use.name)
    return Finding("unknown", ERROR, f"no fill is called “{use.name}”", use.span, hint, where)
