"""meter-change: the next song is in another meter.

Listens for: songs that start in another meter than the one before ended in. A note.

Why it matters: counting four into a waltz has happened to everyone once.

Wrong:
    # Long Meadow is in 3/4, Tin Roof in 4/4
    gig: Mill Street
    sets:
      - songs: [Tin Roof, Long Meadow]

Right:
    # Short Cut is in 4/4 as well
    gig: Mill Street
    sets:
      - songs: [Tin Roof, Short Cut]
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.source import NOTE, Finding
from setlists.check.subject import Subject, leaving, opening, rule


@rule("meter-change")
def meter_change(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        left, new = leaving(before).meter, opening(after).meter
        if left is None or new is None or left == new:
            continue
        yield subject.finding(
            "meter-change",
            NOTE,
            after,
            f"from {left} to {new} after {before.title}",
            f"count it in {new}, not in {left}",
            short=f"{left} to {new}",
        )
