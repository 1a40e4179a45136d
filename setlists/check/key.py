"""key: tonight's key is one that a musician would write.

What it does: notes a key in the set list that is no key, as the check does for a chart's own.

Why: the night's key goes on the set sheet and on the wall; who reads it there cannot ask back.

Example:
    gig: Mill Street
    sets:
      - songs:
          - Tin Roof: {key: Hb}

Use instead:
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
