"""key: tonight's key is one that a musician would write.

Listens for: a key in the set list that is not a key, as in a chart. A note.

Why it matters: the key goes on the set sheet, and whoever reads it on stage cannot ask.

Wrong:
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {key: Hb}

Right:
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {key: Bb}
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.check.key import no_key
from charts.source import NOTE, Finding
from setlists.check.subject import Subject, rule


@rule("key")
def key(subject: Subject) -> Iterator[Finding]:
    for song in subject.gig.songs:
        wrong = no_key(song.item.changes.key)
        if wrong is not None:
            yield subject.finding("key", NOTE, song, *wrong, key="key")
