"""The running clock: when every song starts, how long a set lasts, and what runs over.

A set lasts from its first count-in to its last note: what passes after its last song is not part of it.
After a song passes its own ``between``, nothing where it segues, else the set list's ``between``; after the
last one before a break, or of the gig, nothing that was not written for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from setlists.gig import Gig, GigBreak, GigSet, GigSong
from setlists.setlist import SetList

NO_DATE = date(1, 1, 1)  # is in where a set list gives times and no date


def timed(gig: Gig) -> Gig:
    """The same gig with every time filled in."""
    setlist = gig.setlist
    start = gig_start(setlist)
    curfew = next_at(start, setlist.ends) if start is not None and setlist.ends is not None else None
    last = None if start is None or curfew is None else (curfew - start).total_seconds()
    parts = [
        _over(part, last) if isinstance(part, GigSet) else part
        for part in _laid_out(gig.parts, setlist, start)
    ]
    return replace(gig, parts=tuple(parts), starts_at=start, curfew=curfew)


def gig_start(setlist: SetList) -> datetime | None:
    """When the gig starts: its own start, else its first set's; None where neither is given."""
    at = setlist.start or (setlist.sets[0].start if setlist.sets else None)
    return None if at is None else datetime.combine(setlist.date or NO_DATE, at)


def next_at(after: datetime, at: time) -> datetime:
    """The first moment at or after another when it is that time of day.

    >>> next_at(datetime(2026, 12, 4, 20, 30), time(0, 15)).isoformat()
    '2026-12-05T00:15:00'
    """
    found = datetime.combine(after.date(), at)
    return found if found >= after else found + timedelta(days=1)


def when(start: datetime | None, offset: float) -> datetime | None:
    """The moment that many seconds after the start, to the nearest second; None without one."""
    return None if start is None else start + timedelta(seconds=round(offset))


def _laid_out(
    parts: Sequence[GigSet | GigBreak], setlist: SetList, start: datetime | None
) -> list[GigSet | GigBreak]:
    found: list[GigSet | GigBreak] = []
    at, due_at = 0.0, start
    for part, after in zip(parts, [*parts[1:], None], strict=False):
        if isinstance(part, GigBreak):
            found.append(replace(part, offset=at, starts_at=when(start, at), lasts=part.seconds))
            at += part.seconds
        else:
            due = None
            if part.part.start is not None and due_at is not None and start is not None:
                due_at = next_at(due_at, part.part.start)
                due = (due_at - start).total_seconds()
                at = max(at, due)
                if found and isinstance(found[-1], GigBreak):
                    found[-1] = replace(found[-1], lasts=at - found[-1].offset)
            laid = _set(part, setlist, start, at, followed=isinstance(after, GigSet))
            found.append(replace(laid, due=due))
            at = laid.ends + (laid.songs[-1].gap if laid.songs else 0.0)
    return found


def _set(part: GigSet, setlist: SetList, start: datetime | None, offset: float, followed: bool) -> GigSet:
    songs, at = [], offset
    for place, song in enumerate(part.songs, start=1):
        gap = _gap(song, setlist, place < len(part.songs) or followed)
        songs.append(replace(song, offset=at, gap=gap, starts_at=when(start, at)))
        at += song.seconds + gap
    ends = songs[-1].ends if songs else offset
    return replace(
        part, songs=tuple(songs), offset=offset, seconds=ends - offset, starts_at=when(start, offset)
    )


def _gap(song: GigSong, setlist: SetList, followed: bool) -> float:
    """Seconds that pass after a song."""
    changes = song.item.changes
    if changes.segue:
        return 0.0
    if changes.between is not None:
        return float(changes.between)
    return float(setlist.between) if followed else 0.0


def _over(part: GigSet, curfew: float | None) -> GigSet:
    """The set with the seconds that it runs over its slot and past the curfew."""
    slot = None if part.part.length is None else max(0.0, part.seconds - float(part.part.length))
    past = None if curfew is None else max(0.0, part.ends - curfew)
    return replace(part, over_slot=slot, past_curfew=past)


def without(gig: Gig, numbers: frozenset[int]) -> Gig:
    """The gig with some songs dropped, by their numbers, and the clock run again."""
    parts = [
        replace(part, songs=tuple(song for song in part.songs if song.number not in numbers))
        if isinstance(part, GigSet)
        else part
        for part in gig.parts
    ]
    return timed(replace(gig, parts=tuple(parts)))
