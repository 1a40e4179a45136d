"""near-tempo: two songs have nearly the same tempo and different feels.

Listens for: two songs in a row with tempos within 5 % of each other and different feels. A warning.

Why it matters: with the old tempo still in the body, the hands play the old groove. Call the new
feel before the count.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle}
          - Tin Roof: {length: 3:10, tempo: 94, feel: straight eighths}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle}
          - Tin Roof: {length: 3:10, tempo: 108, feel: straight eighths}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.feel import plain_name
from charts.source import WARNING, Finding
from charts.wording import figure
from setlists.check.subject import Subject, leaving, left_at, opening, rule
from setlists.check.thresholds import SAME_TEMPO


@rule("near-tempo")
def near_tempo(subject: Subject) -> Iterator[Finding]:
    for before, after in subject.neighbours():
        left, new = leaving(before), opening(after)
        if left.feel is None or new.feel is None or left.tempo is None or new.tempo is None:
            continue
        same_feel = plain_name(left.feel.name) == plain_name(new.feel.name)
        if same_feel or abs(new.tempo / left.tempo - 1) > SAME_TEMPO:
            continue
        tempos = (
            "" if new.tempo == left.tempo else f" ({left_at(before, left.tempo)}, then {figure(new.tempo)})"
        )
        same = f"{'nearly ' if tempos else ''}the same tempo"
        message = f"{same} as {before.title}{tempos}, another feel: {left.feel.name}, then {new.feel.name}"
        hint = f"sing a bar of {after.title} before counting it, or put another song between them"
        yield subject.finding(
            "near-tempo", WARNING, after, message, hint, short="tempo close to the last song"
        )
