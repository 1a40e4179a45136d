"""segue: a segue into another tempo has a count-in, and one at the same tempo has none.

Listens for: segues into another tempo with no count-in: a warning. Segues at the same tempo with
one: a note.

Why it matters: without a gap and a count the new tempo comes from four people in four places. At
the same tempo the band plays on, and half of it waits for a count that nobody gives.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle, segue: yes}
          - Old Kettle: {length: 3:10, tempo: 118, feel: shuffle, count-in: none}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle, segue: yes}
          - Old Kettle: {length: 3:10, tempo: 118, feel: shuffle, count-in: 1 bar}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.song import CountIn
from charts.source import NOTE, WARNING, Finding
from charts.wording import figure
from setlists.check.subject import Subject, last_tempo, opening, rule
from setlists.check.thresholds import SEGUE


@rule("segue")
def segue(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        left, new = last_tempo(before), opening(after).tempo
        if not before.segue or after.count_in is None or left is None or new is None:
            continue
        same, counted = abs(new / left - 1) <= SEGUE, after.count_in != CountIn()
        if not same and not counted:
            change = f"from {figure(left)} to {figure(new)}"
            message = f"{before.title} segues into this {change} with no count-in"
            hint = f"write count-in: 1 bar here, or end {before.title} with an even change to {figure(new)}"
            yield subject.finding(
                "segue", WARNING, after, message, hint, short=f"{figure(left)} to {figure(new)}, no count"
            )
        elif same and counted:
            message = f"segue, and {after.title} is counted in for {after.count_in}"
            told = f"{message}: say count-in: none if nobody counts"
            hint = f"the clock counts it; {{count-in: none}} after {after.title} takes it away"
            yield subject.finding("segue", NOTE, after, told, hint, short="counted in after a segue")
