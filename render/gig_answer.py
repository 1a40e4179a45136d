"""What ``gig --json`` answers."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from typing import Any

from charts.source import Finding
from charts.wording import length, time_words
from setlists.gig import Gig, GigBreak, GigSet, GigSong


def gig_json(gig: Gig) -> dict[str, Any]:
    """The running order: seconds to 0.001, every key there, null where it does not apply."""
    setlist = gig.setlist
    return {
        "gig": setlist.gig,
        "date": setlist.date.isoformat() if setlist.date else None,
        "start": None if gig.starts_at is None else time_words(gig.starts_at),
        "curfew": None if setlist.ends is None else time_words(setlist.ends),
        "sets": [_part(part, gig) for part in gig.parts],
    }


def _part(part: GigSet | GigBreak, gig: Gig) -> dict[str, Any]:
    """A set, or a break in its place; ``break`` tells which."""
    if isinstance(part, GigBreak):
        return {
            "name": None,
            "break": length(part.shown),
            "starts_at": _moment(part.starts_at, gig.has_date),
            "songs": [],
            "seconds": _seconds(part.lasts),
            "slot": None,
            "over_by": None,
        }
    slot = part.part.length
    return {
        "name": part.name,
        "break": None,
        "starts_at": _moment(part.starts_at, gig.has_date),
        "songs": [_song(song, gig) for song in part.songs],
        "seconds": _seconds(part.seconds),
        "slot": None if slot is None else _seconds(float(slot)),
        "over_by": None if part.over_by is None else _seconds(part.over_by),
    }


def _song(song: GigSong, gig: Gig) -> dict[str, Any]:
    return {
        "title": song.title,
        "starts_at": _moment(song.starts_at, gig.has_date),
        "seconds": _seconds(song.seconds),
        "tempo": None if song.tempo is None else _number(song.tempo),
        "feel": song.feel.name if song.feel else None,
        "count_in": None if song.count_in is None else str(song.count_in),
        "key": song.key or None,
        "segue": song.segue,
        "skip": list(song.item.changes.skip),
        "note": song.note or None,
        "hazards": [_hazard(finding) for finding in song.hazards],
    }


def _hazard(finding: Finding) -> dict[str, str]:
    return {"rule": finding.rule, "level": finding.level, "message": finding.message}


def _moment(at: datetime | None, dated: bool) -> str | None:
    """Date and time; the time alone where the set list gives no date."""
    if at is None:
        return None
    return at.isoformat(timespec="seconds") if dated else at.time().isoformat(timespec="seconds")


def _seconds(value: float) -> float:
    return round(value, 3)


def _number(value: Fraction) -> float:
    return round(float(value), 3)
