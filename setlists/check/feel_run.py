"""feel-run: three songs in a row have the same feel.

Listens for: three or more songs in a row with the same feel and no break between them. A note.

Why it matters: to the room they sound like one long song. A change of feel is the cheapest way to
wake it up.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle}
          - Tin Roof: {length: 3:10, tempo: 118, feel: shuffle}
          - Short Cut: {length: 2:50, tempo: 140, feel: shuffle}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Slow Ferry: {length: 3:30, tempo: 92, feel: shuffle}
          - Tin Roof: {length: 3:10, tempo: 118, feel: straight eighths}
          - Short Cut: {length: 2:50, tempo: 140, feel: shuffle}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from charts.feel import plain_name
from charts.source import NOTE, Finding
from setlists.check.subject import Subject, rule
from setlists.check.thresholds import IN_A_ROW


@rule("feel-run")
def feel_run(subject: Subject) -> Iterator[Finding]:
    for run in subject.runs:
        for name, group in groupby(run, key=lambda song: plain_name(song.feel.name) if song.feel else ""):
            songs = list(group)
            if not name or len(songs) < IN_A_ROW:
                continue
            third = songs[IN_A_ROW - 1]
            assert third.feel is not None  # it has a name
            others = ", ".join(song.title for song in songs if song is not third)
            yield subject.finding(
                "feel-run", NOTE, third, f"{len(songs)} in a row of {third.feel.name}, with {others}",
                "put a song of another feel between them",
                short=f"{len(songs)} in a row of {third.feel.name}",
            )  # fmt: skip
