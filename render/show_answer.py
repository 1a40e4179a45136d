"""The answer of ``show --json``: the song, and a row a section as played."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from charts.appearances import named
from charts.equations import Equation
from charts.fills import Fill, Fills, played_fills
from charts.outline import equation_into
from charts.placing import PlacedFill
from charts.played import PlayedSection, played, song_seconds
from charts.song import FillUse, Place, Song


def show_json(song: Song, section: str | None = None) -> dict[str, Any]:
    """Everything that ``show`` knows; with a section's name only its rows in ``form``.

    Seconds of places count from the start of the song, pickup included, count-in not; what is played on
    several passes has the seconds of the first of them.
    """
    parts, fills = played(song), Fills(song)
    chosen = parts if section is None else [parts[place] for place in named(song, section).places]
    return {
        "title": song.title,
        "by": song.by or None,
        "key": song.key or None,
        "meter": str(song.meter),
        "tempo": _tempo(song.tempo),
        "feel": song.feel.name,
        "count_in": str(song.count_in),
        "pickup": float(song.pickup) or None,
        "ending": song.ending or None,
        "bars": song.bars,
        "seconds": _seconds(song_seconds(song)),
        "form": [_row(fills, parts, part) for part in chosen],
    }


def _row(fills: Fills, parts: Sequence[PlayedSection], part: PlayedSection) -> dict[str, Any]:
    section = part.section
    return {
        "section": section.name,
        "times": section.times,
        "open": section.open,
        "bars": section.bars,
        "meter": str(section.meter),
        "tempo": _tempo(section.tempo),
        "tempo_to": _tempo(section.tempo_to) if section.tempo_to is not None else None,
        "equation": str(equal) if (equal := _equation(parts, part)) else None,  # with the tempo before
        "feel": section.feel.name,
        "first_bar": part.first_bar,
        "seconds": _seconds(part.length),
        "cues": [{**_place(part, cue.place), "text": cue.text} for cue in section.cues],
        "hits": [_place(part, hit) for hit in section.hits],
        "stops": [
            {**_place(part, stop.start), "to": _place(part, stop.end) if stop.end else None}
            for stop in section.stops
        ],
        "holds": [
            {**_place(part, hold.place), "lasts": _seconds(float(hold.seconds)) if hold.seconds else None}
            for hold in section.holds
        ],
        "fills": [_fill(fills[use], parts, part, use) for use in section.fills],
        "dynamics": " to ".join(section.dynamics) or None,
    }


def _equation(parts: Sequence[PlayedSection], part: PlayedSection) -> Equation | None:
    return equation_into(parts[part.index - 1], part.section) if part.index else None


def _place(part: PlayedSection, place: Place) -> dict[str, Any]:
    """A place on the first pass; ``at`` is where it sounds, as a fraction of its beat."""
    start = part.clock.beat_start(1, place.bar, place.beat)
    beat = part.section.meter_of(place.bar).beats[place.beat - 1]
    at = place.at(beat, part.section.feel, part.clock.tempo_at(start))
    seconds = part.seconds + part.clock.seconds_at(start + at * beat.units)
    return {"bar": place.bar, "beat": place.beat, "at": str(at), "seconds": _seconds(seconds)}


def _fill(fill: Fill, parts: Sequence[PlayedSection], part: PlayedSection, use: FillUse) -> dict[str, Any]:
    """A fill: the place where it starts, on the first pass that it is played on, and where it lands."""
    played_on = played_fills(parts, part.index, use)
    return {
        **(
            _start(part, played_on[0].placed)
            if played_on
            else {"bar": use.bar, "beat": None, "at": None, "seconds": None}
        ),
        "number": fill.number,
        "title": fill.title,
        "name": use.name or None,
        "beats": use.pattern.beats if use.pattern else None,
        "ends": {"bar": use.bar, "landing": str(use.landing) if use.landing else None},
        "passes": list(use.passes(part.section.times)),
        "feels": [each.feel.name for each in played_on],  # on each of those passes
        "sets_up_next": use.sets_up_next,
        "on_purpose": use.on_purpose,
        "land": use.land,
    }


def _start(part: PlayedSection, placed: PlacedFill) -> dict[str, Any]:
    first = placed.beats[0]
    seconds = part.seconds + part.clock.seconds_at(first.start)
    return {"bar": first.bar, "beat": first.number, "at": "0", "seconds": _seconds(seconds)}


def _tempo(tempo: Any) -> float:
    return round(float(tempo), 3)


def _seconds(seconds: float) -> float:
    return round(seconds, 3)
