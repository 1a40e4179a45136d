"""What one stroke of the notation is in sound: ghosts, accents, flams, drags and buzzes as separate strokes.

Common practice, no source: a flam's grace note 25 ms before, a drag's two at 60 and 30 ms, a buzz as
bounces 24 ms apart that die away, stopped by the next stroke on the same drum.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from charts.fills import fill_feel
from charts.kit import GM_HALF_OPEN_HAT, GM_OPEN_HAT, ORDER, VOICES
from charts.pattern import BUZZ, DRAG, FLAM, GHOST, HALF_OPEN, OPEN, Stroke
from charts.performance import Performance, PlayedBar
from charts.strokes import BeatStrokes, FeelOf, Grooves, Struck, play_drums

Heard = Callable[[PlayedBar, BeatStrokes], list[Struck]]  # which strokes of a beat sound

HAT, HAT_FOOT = "HH", "HF"
GRACES = {FLAM: (-0.025,), DRAG: (-0.060, -0.030)}  # seconds from the stroke
BOUNCE, BOUNCES = 0.024, 7
GHOST_VELOCITY, GRACE_VELOCITY, PLAIN_VELOCITY, ACCENT_VELOCITY = 36, 44, 92, 120  # MIDI, 1 to 127


@dataclass(frozen=True, slots=True)
class Hit:
    """A stroke of the notation where it falls on the line."""

    quarters: Fraction
    seconds: float
    stroke: Stroke


def all_struck(_bar: PlayedBar, strokes: BeatStrokes) -> list[Struck]:
    """Groove, fills and landings."""
    return strokes.struck()


def drum_hits(
    line: Performance, grooves: Grooves, feel_of: FeelOf = fill_feel, heard: Heard = all_struck
) -> tuple[Hit, ...]:
    """Every stroke of the song that is ``heard``, in time, swung as each section's feel swings."""
    drums = iter(play_drums(line, grooves, feel_of).beats)
    hits = [
        Hit(beat.quarters_at(each.at), beat.seconds_at(each.at), each.stroke)
        for bar in line.bars
        for beat, strokes in zip(bar.beats, drums, strict=False)
        for each in heard(bar, strokes)
    ]
    return tuple(sorted(hits, key=lambda hit: (hit.quarters, ORDER[hit.stroke.voice])))


@dataclass(frozen=True, slots=True)
class Sound:
    """One sound: seconds after (or before) its stroke's own place, and how hard, as a MIDI velocity."""

    after: float
    velocity: int


def sounds_of(stroke: Stroke, room: float = 1.0) -> Iterator[Sound]:
    """The sounds of a stroke in time; ``room`` is the seconds until the same drum is struck again.

    >>> [sound.after for sound in sounds_of(Stroke(0, Fraction(0), "SD", FLAM))]
    [-0.025, 0.0]
    """
    for early in GRACES.get(stroke.kind, ()):
        yield Sound(early, GRACE_VELOCITY)
    yield Sound(0.0, velocity_of(stroke))
    if stroke.kind == BUZZ:
        for place in range(1, BOUNCES + 1):
            if place * BOUNCE < room - BOUNCE / 2:
                yield Sound(place * BOUNCE, round(velocity_of(stroke) * 0.72**place))


def velocity_of(stroke: Stroke) -> int:
    """How hard a stroke is, as a MIDI velocity."""
    if stroke.accent:
        return ACCENT_VELOCITY
    return GHOST_VELOCITY if stroke.kind == GHOST else PLAIN_VELOCITY


def note_of(stroke: Stroke) -> int:
    """The General MIDI percussion note of a stroke.

    >>> note_of(Stroke(0, Fraction(0), "HH", hat=OPEN)), note_of(Stroke(0, Fraction(0), "SD"))
    (46, 38)
    """
    if stroke.voice == HAT:
        return {OPEN: GM_OPEN_HAT, HALF_OPEN: GM_HALF_OPEN_HAT}.get(stroke.hat, VOICES[HAT].gm)
    return VOICES[stroke.voice].gm


def rooms(hits: Iterable[Hit]) -> list[tuple[Hit, float]]:
    """Each hit with the seconds until its drum is struck again (60 where it is not)."""
    following: dict[str, float] = {}
    found = []
    for hit in reversed(list(hits)):
        found.append((hit, following.get(hit.stroke.voice, hit.seconds + 60.0) - hit.seconds))
        following[hit.stroke.voice] = hit.seconds
    return found[::-1]


def chokes(hits: Iterable[Hit]) -> list[tuple[Hit, float | None]]:
    """Each hit with the second at which the hi-hat is closed on it; None for what rings out.

    The foot, a closed stroke and any other stroke on the hi-hat end an open one, unless they fall together.
    """
    closing: float | None = None
    after: float | None = None  # the closing after that
    found = []
    for hit in reversed(list(hits)):
        if hit.stroke.voice in (HAT, HAT_FOOT) and (closing is None or hit.seconds < closing):
            closing, after = hit.seconds, closing
        found.append((hit, after if hit.stroke.voice == HAT else None))
    return found[::-1]
