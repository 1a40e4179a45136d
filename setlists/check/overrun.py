"""overrun: a set keeps to its slot, and the gig to its curfew.

Listens for: sets that run over their length, past the start of the next set, or past the curfew: by
how much, and which songs to drop. A warning, because open repeats and talk are estimates.

Why it matters: whoever is at the desk cuts the last song. It is better to choose it at home.

Wrong:
    gig: Mill Street
    sets:
      - length: 6 min
        songs:
          - Slow Ferry: {length: 3:30}
          - Tin Roof: {length: 3:10}

Right:
    gig: Mill Street
    sets:
      - length: 7 min
        songs:
          - Slow Ferry: {length: 3:30}
          - Tin Roof: {length: 3:10}
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from charts.source import WARNING, Finding
from charts.wording import clock, length, listed, time_words
from setlists.check.subject import Subject, rule
from setlists.check.thresholds import OVER
from setlists.dropping import Offer, offers
from setlists.gig import Gig, GigSet, GigSong

NO_OFFER = "dropping a few songs is not enough: leave sections out with skip, or plan another set"


@rule("overrun")
def overrun(subject: Subject) -> Iterator[Finding]:
    yield from _slots(subject)
    yield from _late_starts(subject)
    yield from _curfew(subject)


def _slots(subject: Subject) -> Iterator[Finding]:
    """Sets that last longer than their slot."""
    gig = subject.gig
    for index, part in enumerate(gig.sets):
        over = _over_slot(index, gig)
        if over < OVER or part.part.length is None:
            continue
        found = offers(gig, part.songs, over, partial(_over_slot, index))
        message = f"{part.name} runs {length(over)} over its {length(part.part.length)}{_dropping(found)}"
        which = _first_past(part.songs, part.offset + float(part.part.length))
        span = part.part.span_of("length")
        yield subject.finding("overrun", WARNING, which, message, "" if found else NO_OFFER, span=span)


def _over_slot(index: int, gig: Gig) -> float:
    """Seconds that a set runs over its slot; under 0 where there is room."""
    part = gig.sets[index]
    return 0.0 if part.part.length is None else part.seconds - float(part.part.length)


def _late_starts(subject: Subject) -> Iterator[Finding]:
    """Sets that cannot start at their own time, since what is before them runs on."""
    gig = subject.gig
    for index, part in enumerate(gig.sets):
        late = _late(index, gig)
        if late < OVER or part.part.start is None or not part.songs:
            continue
        found = offers(gig, _since_own_start(gig.sets[:index]), late, partial(_late, index))
        cannot = f"{part.name} cannot start at {time_words(part.part.start)}"
        message = f"{cannot}: what comes before runs {length(late)} past it{_dropping(found)}"
        hint = "" if found else "shorten the break, or start the set later"
        span = part.part.span_of("start")
        yield subject.finding("overrun", WARNING, part.songs[0], message, hint, span=span)


def _late(index: int, gig: Gig) -> float:
    """Seconds that a set starts after its own time."""
    part = gig.sets[index]
    return 0.0 if part.due is None else part.offset - part.due


def _since_own_start(sets: tuple[GigSet, ...]) -> list[GigSong]:
    """The songs that move what follows: from the last set on that waited for its own start."""
    first = max(
        (index for index, part in enumerate(sets) if part.due is not None and part.offset == part.due),
        default=0,
    )
    return [song for part in sets[first:] for song in part.songs]


def _curfew(subject: Subject) -> Iterator[Finding]:
    gig = subject.gig
    over = _past_curfew(gig)
    if over < OVER or gig.curfew is None or gig.starts_at is None or not gig.songs:
        return
    found = offers(gig, _since_own_start(gig.sets), over, _past_curfew)
    which = _first_past(gig.songs, (gig.curfew - gig.starts_at).total_seconds())
    message = f"the gig runs {length(over)} past {time_words(gig.curfew)}{_dropping(found)}"
    span = gig.setlist.span_of("ends")
    yield subject.finding("overrun", WARNING, which, message, "" if found else NO_OFFER, span=span)


def _past_curfew(gig: Gig) -> float:
    if gig.curfew is None or gig.starts_at is None:
        return 0.0
    return gig.seconds - (gig.curfew - gig.starts_at).total_seconds()


def _first_past(songs: tuple[GigSong, ...], limit: float) -> GigSong:
    """The first song that is still running then."""
    return next((song for song in songs if song.ends > limit), songs[-1])


def _dropping(found: list[Offer]) -> str:
    """Which songs would bring it in, with their lengths."""
    if not found:
        return ""
    several = len(found[0]) > 1
    names = [_named(song) for song in (found[0] if several else [offer[0] for offer in found])]
    return f"; dropping {listed(names, 'and' if several else 'or')} would bring it in"


def _named(song: GigSong) -> str:
    return f"{song.title} ({clock(song.seconds)})"
