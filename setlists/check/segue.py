"""segue: a segue into another tempo is counted.

What it does: warns where a song segues into one of another tempo that has no count-in.

Why: with no gap and no count the new tempo arrives from four people in four places.

Example:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle, segue: yes}
          - Old Kettle: {length: 3:10, tempo: 118, feel: shuffle, count-in: none}

Use instead:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle, segue: yes}
          - Old Kettle: {length: 3:10, tempo: 118, feel: shuffle, count-in: 1 bar}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.song import CountIn
from charts.source import WARNING, Finding
from setlists.check.subject import Subject, figure, last_tempo, opening, rule
from setlists.check.thresholds import SEGUE


@rule("segue")
def segue(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        left, new = last_tempo(before), opening(after).tempo
        if not before.segue or after.count_in != CountIn() or left is None or new is None:
            continue
        if abs(new / left - 1) > SEGUE:
            change = f"from {figure(left)} to {figure(new)}"
            message = f"{before.title} segues into this {change} with no count-in"
            hint = f"write count-in: 1 bar here, or end {before.title} with an even change to {figure(new)}"
            yield subject.finding("segue", WARNING, after, message, hint)
