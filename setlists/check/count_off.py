"""count-off: after a segue the next tempo is on a subdivision that the last song sounds.

Listens for: a song that runs into the next without a gap, with tempos within 3 % of 3:2, 2:1 or 4:3,
either way round, where the first song itself sounds the subdivision that they share. Reports which
of their notes is which of yours. A note.

Why it matters: a drummer who still hears the last song counts off at its beat, and the next song
starts at the wrong speed. If you know the relation you can use it: hear their triplets, call them
eighths, and count.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle, segue: yes}
          - Tin Roof: {length: 3:10, tempo: 138, feel: straight eighths}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle, segue: yes}
          - Tin Roof: {length: 3:10, tempo: 110, feel: straight eighths}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.equations import note, relation, sounds
from charts.source import NOTE, Finding
from charts.wording import figure
from setlists.check.subject import Subject, leaving, left_at, opening, rule
from setlists.check.thresholds import COUNT_OFF


@rule("count-off")
def count_off(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        left, new = leaving(before), opening(after)
        if not before.segue or left.tempo is None or new.tempo is None or left.feel is None:
            continue
        found = relation(left.tempo, new.tempo, COUNT_OFF)
        if found in (None, (1, 1)) or not sounds(left.feel, left.meter, left.tempo, found[0]):
            continue
        theirs, yours = note(left.meter, found[0]), note(new.meter, found[1])
        ratio = f"{figure(new.tempo)} after {left_at(before, left.tempo)} is {found[0]}:{found[1]}"
        how = "count from that, not from their beat" if found[0] > 1 else "count every second one of theirs"
        message = f"{ratio}: their {theirs} is your {yours}; {how}"
        hint = f"use it: hear the {theirs}s of {before.title}, call them {yours}s, and count in from there"
        yield subject.finding("count-off", NOTE, after, message, hint, short=f"their {theirs} = your {yours}")
