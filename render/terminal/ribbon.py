"""A set as one line: each song as long as it lasts and as high as its tempo, its number in front."""

from __future__ import annotations

from charts.wording import figure
from render.terminal.ink import Ink
from setlists.arc import arc_of
from setlists.gig import Gig, GigSet

LEVELS, PLAIN_LEVELS = "▁▂▃▄▅▆▇█", "_-^"  # from the slowest tempo to the fastest
LEAST = 4  # columns for a song; a narrower screen has no ribbon


def ribbon(part: GigSet, gig: Gig, width: int, ink: Ink) -> str:
    """The set's tempo over the clock; empty where a screen is too narrow, or no song has a tempo."""
    arcs = [arc_of(song) for song in part.songs]
    tempos = [float(song.tempo) for song in gig.songs if song.tempo]
    low, high = min(tempos, default=0.0), max(tempos, default=0.0)
    ends = f" {figure(low)} to {figure(high)}" if high > low else ""
    room, levels = width - len(ends), ink.sign(LEVELS, PLAIN_LEVELS)
    if not arcs or not tempos or room < LEAST * len(arcs):
        return ""
    line = [" "] * room
    for arc in arcs:
        first, last = (
            round((at - part.offset) / (part.seconds or 1) * room) for at in (arc.song.offset, arc.song.ends)
        )
        for column in range(first, min(last, room)):
            tempo = arc.tempo_at(part.offset + (column + 0.5) / room * part.seconds)
            if tempo is not None:
                share = (tempo - low) / (high - low) if high > low else 0.5
                line[column] = levels[round(min(1.0, max(0.0, share)) * (len(levels) - 1))]
        number = str(arc.song.number)
        line[first : first + len(number)] = number
    return "".join(line)[:room] + ends
