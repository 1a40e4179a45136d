"""Hands and feet of a beat as they are drawn: their note values, and which share a beam."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from charts.notevalues import Event, beat_events
from charts.pattern import Stroke
from charts.timing import Beat


@dataclass(frozen=True)
class VoiceBeat:
    """One voice in one beat: notes and rests, beams (first and last note of each), the bracket's figure."""

    events: tuple[Event, ...]
    beams: tuple[tuple[int, int], ...]
    tuplet: int = 0

    @property
    def notes(self) -> tuple[Event, ...]:
        return tuple(event for event in self.events if event.strokes)

    @property
    def rests(self) -> tuple[Event, ...]:
        return tuple(event for event in self.events if not event.strokes)


def write_beat(strokes: Sequence[Stroke], beat: Beat) -> tuple[VoiceBeat, VoiceBeat]:
    """Hands and feet of one beat; where both have the same figure, it is over the hands alone."""
    hands = beat_events(beat, tuple(stroke for stroke in strokes if stroke.by_hand))
    feet = beat_events(beat, tuple(stroke for stroke in strokes if not stroke.by_hand))
    above, below = _figure(hands), _figure(feet)
    return VoiceBeat(hands, _beams(hands), above), VoiceBeat(
        feet, _beams(feet), 0 if above == below else below
    )


def _figure(events: Sequence[Event]) -> int:
    return events[0].tuplet.actual if events[0].tuplet else 0


def _beams(events: Sequence[Event]) -> tuple[tuple[int, int], ...]:
    """Neighbors with flags share a beam; a rest or a longer note ends it."""
    found: list[list[int]] = [[]]
    note = 0
    for event in events:
        if event.strokes and event.flags:
            found[-1].append(note)
        else:
            found.append([])
        note += bool(event.strokes)
    return tuple((run[0], run[-1]) for run in found if len(run) > 1)
