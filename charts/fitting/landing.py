"""What is struck where a fill ends, and whether the hands and feet get there."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from charts.feel import Feel
from charts.fitting.hands import Breach, Playing, playable
from charts.fitting.limits import Limits
from charts.pattern import Pattern, Stroke
from charts.song import CRASH, DYNAMICS, NO_LANDING, FillUse, Place, Section, Song, Stop
from charts.timing import Beat

Under = tuple[tuple[Beat, Fraction], ...]  # each beat's shape and its tempo where it starts
CRASH_VOICES = ("C1", "BD")  # the fill hands back with crash and bass drum on the next one: common practice
SOFT = DYNAMICS.index("p")  # no crash into this and softer


@dataclass(frozen=True)
class Landing:
    """Where a fill ends: the section (None after the last bar) and the place in it."""

    song: Song
    index: int
    place: Place

    @property
    def section(self) -> Section | None:
        return self.song.form[self.index] if self.index < len(self.song.form) else None

    @property
    def level(self) -> int | None:
        """How loud it is there, as a number in ``DYNAMICS``; None where the section does not say.

        Inside a swell only its start is known.
        """
        stated = self.section.dynamics if self.section else ()
        known = len(stated) == 1 or self.place.bar == self.place.beat == 1
        return DYNAMICS.index(stated[0]) if stated and known else None

    @property
    def stopped(self) -> bool:
        """True where the band stops there."""
        return self.section is not None and any(_within(self.place, stop) for stop in self.section.stops)

    @property
    def voices(self) -> tuple[str, ...]:
        """Crash and bass drum; nothing after the last bar, into a stop, or into p and softer."""
        if self.section is None or self.stopped or (self.level is not None and self.level <= SOFT):
            return ()
        return CRASH_VOICES


def landing_after(song: Song, index: int, pass_: int, bar: int, place: Place | None = None) -> Landing:
    """Where a fill ends that leads out of a bar, or to a ``place`` inside the section."""
    section = song.form[index]
    if place is not None:
        return Landing(song, index, place)
    if bar < section.bars:
        return Landing(song, index, Place(bar + 1))
    if pass_ < section.times:
        return Landing(song, index, Place(1))
    return Landing(song, index + 1, Place(1))


def _within(place: Place, stop: Stop) -> bool:
    """True where a stop begins on a place or lasts over it."""
    at, first = (place.bar, place.beat), (stop.start.bar, stop.start.beat)
    if at == first:
        return stop.end is not None or place.offset == stop.start.offset
    return stop.end is not None and first < at <= (stop.end.bar, stop.end.beat)


def landing_voices(song: Song, index: int, pass_: int, use: FillUse) -> tuple[str, ...]:
    """What is struck where a fill ends: what the chart says, else what its place asks for."""
    if use.land_given:
        return {CRASH: CRASH_VOICES, NO_LANDING: ()}.get(use.land, (use.land,))
    return landing_after(song, index, pass_, use.bar, use.landing).voices


# a song plays the same fill over and over: what was judged once is remembered
_playing = lru_cache(maxsize=8192)(playable)


def hands_of(laid: Pattern, feel: Feel, under: Under, limits: Limits, left_handed: bool) -> Playing:
    """How a fill is played over the beats ``under``, whatever follows."""
    return _playing(laid, feel, under, limits, left_handed)


def missed(
    laid: Pattern,
    feel: Feel,
    under: Under,
    limits: Limits,
    left_handed: bool,
    voices: tuple[str, ...],
    use: FillUse | None = None,
) -> tuple[Breach, ...]:
    """What of a landing on these voices cannot be reached; on the barline unless ``use`` lands elsewhere."""
    if not voices:
        return ()
    beat, at = len(under), Fraction(0)
    if use is not None and use.landing is not None:
        shape, bpm = under[-1]
        at = use.landing.at(shape, feel, bpm)
        beat -= bool(at)
    return _missed(laid, feel, under, limits, left_handed, voices, beat, at)


@lru_cache(maxsize=8192)
def _missed(
    laid: Pattern,
    feel: Feel,
    under: Under,
    limits: Limits,
    left_handed: bool,
    voices: tuple[str, ...],
    beat: int,
    at: Fraction,
) -> tuple[Breach, ...]:
    landing = tuple(Stroke(beat, at, voice) for voice in voices)
    breaches = playable(laid, feel, under, limits, left_handed, landing).breaches
    return tuple(breach for breach in breaches if breach.second in landing)
