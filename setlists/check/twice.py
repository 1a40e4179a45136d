"""twice: a song is on the list twice.

Listens for: every song that the gig has played before, with its number there. A note.

Why it matters: a line copied from the last gig's list stays in both sets. If you mean a reprise,
say so to the band.

Wrong:
    gig: Mill Street
    sets:
      - songs: [Tin Roof, Long Meadow, Tin Roof]

Right:
    gig: Mill Street
    sets:
      - songs: [Tin Roof, Long Meadow]
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from charts.feel import plain_name
from charts.source import NOTE, Finding
from setlists.check.subject import Subject, rule
from setlists.gig import GigSong


@rule("twice")
def twice(subject: Subject) -> Iterator[Finding]:
    first: dict[Hashable, int] = {}
    for song in subject.gig.songs:
        number = first.setdefault(_same(song), song.number)
        if number != song.number:
            message = f"{song.title} is number {number} of this gig already"
            hint = "take one of them out, unless it is a reprise"
            yield subject.finding("twice", NOTE, song, message, hint, short=f"again: song {number}")


def _same(song: GigSong) -> Hashable:
    """What two entries of one song have in common: the chart, else the name."""
    return song.item.path or plain_name(song.title)
