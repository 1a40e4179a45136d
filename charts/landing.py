"""What is struck where a fill ends, and whether the hands and feet get there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.feel import Feel
from charts.pattern import Stroke
from charts.song import CRASH, DYNAMICS, NO_LANDING, FillUse, Place, Section, Stop
from charts.timing import Beat
from charts.verdict import NEXT_BEAT

CRASH_VOICES = ("C1", "BD")  # the fill hands back with crash and bass drum on the next one: common practice
SOFT = DYNAMICS.index("p")  # no crash into this and softer


@dataclass(frozen=True)
class Landing:
    """Where a fill ends: the section (None after the last bar) and the place in it."""

    form: Sequence[Section]
    index: int
    place: Place

    @property
    def section(self) -> Section | None:
        return self.form[self.index] if self.index < len(self.form) else None

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
    def goes_on(self) -> bool:
        """True where the band plays on from there."""
        return self.section is not None and not self.stopped

    @property
    def voices(self) -> tuple[str, ...]:
        """Crash and bass drum; nothing after the last bar, into a stop, or into p and softer."""
        if not self.goes_on or (self.level is not None and self.level <= SOFT):
            return ()
        return CRASH_VOICES


def landing_after(
    form: Sequence[Section], index: int, pass_: int, bar: int, place: Place | None = None
) -> Landing:
    """Where a fill ends that leads out of a bar, or to a ``place`` inside the section."""
    section = form[index]
    if place is not None:
        return Landing(form, index, place)
    if bar < section.bars:
        return Landing(form, index, Place(bar + 1))
    if pass_ < section.times:
        return Landing(form, index, Place(1))
    return Landing(form, index + 1, Place(1))


def _within(place: Place, stop: Stop) -> bool:
    """True where a stop begins on a place or lasts over it."""
    at, first = (place.bar, place.beat), (stop.start.bar, stop.start.beat)
    if at == first:
        return stop.end is not None or place.offset == stop.start.offset
    return stop.end is not None and first < at <= (stop.end.bar, stop.end.beat)


def landing_voices(form: Sequence[Section], index: int, pass_: int, use: FillUse) -> tuple[str, ...]:
    """What is struck where a fill ends: what the chart says, else what its place asks for."""
    if use.land_given:
        return {CRASH: CRASH_VOICES, NO_LANDING: ()}.get(use.land, (use.land,))
    return landing_after(form, index, pass_, use.bar, use.landing).voices


def struck_after(
    form: Sequence[Section], index: int, pass_: int, use: FillUse, last: Beat
) -> Fraction | None:
    """Where in a fill's last beat the stroke after it falls: 1 is the next beat, None nowhere.

    On a beat the groove that comes back counts too; inside a beat only what the fill lands on.
    """
    inside = use.landing.nominal(last, form[index].feel) if use.landing else Fraction(0)
    comes_back = not inside and landing_after(form, index, pass_, use.bar, use.landing).goes_on
    if comes_back or landing_voices(form, index, pass_, use):
        return inside or NEXT_BEAT
    return None


def landing_strokes(
    place: Place | None, feel: Feel, under: Sequence[tuple[Beat, Fraction]], voices: tuple[str, ...]
) -> tuple[Stroke, ...]:
    """Strokes on these voices where a fill over the beats ``under`` ends: on the barline, or at a place."""
    if place is None:
        return tuple(Stroke(len(under), Fraction(0), voice) for voice in voices)
    shape, bpm = under[-1]
    at = place.at(shape, feel, bpm)
    return tuple(Stroke(len(under) - bool(at), at, voice) for voice in voices)
