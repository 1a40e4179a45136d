"""swing-change: the next song changes from straight to swung, or back.

Listens for: a song that swings after a straight one, and a straight one after a song that swings.
Swung after 12/8, or 12/8 after swung, is not a change: both are in threes. A note.

Why it matters: bands disagree in the first bars after a change between twos and threes. A note on
the running order reminds everyone.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {length: 3:10, tempo: 120, feel: straight eighths}
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {length: 3:10, tempo: 120, feel: straight eighths}
          - Short Cut: {length: 2:50, tempo: 104, feel: straight eighths}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.source import NOTE, Finding
from setlists.check.subject import Subject, leaving, opening, rule


@rule("swing-change")
def swing_change(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        ended, starts = leaving(before), opening(after)
        left, new = ended.feel, starts.feel
        if left is None or new is None or left.swings == new.swings or ended.in_threes == starts.in_threes:
            continue
        way = "straight to swung" if new.swings else "swung to straight"
        yield subject.finding(
            "swing-change", NOTE, after, f"{way} after {before.title}: {left.name}, then {new.name}",
            "count it in with its subdivision aloud", short=way,
        )  # fmt: skip
