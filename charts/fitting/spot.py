"""A place in a chart where a fill could be: what is free, what is around it, what is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.feel import Feel, plain_name
from charts.fills import fill_feel
from charts.fitting.wanted import Spot, Wanted, like
from charts.landing import SOFT, Landing, landing_after, landing_voices
from charts.pattern import ENDING
from charts.placing import lay_fill
from charts.played import Clock
from charts.song import DYNAMICS, FillUse, Place, Section, Song
from charts.timing import Beat

MOST_BARS = 2  # a fill longer than that is a solo


@dataclass(frozen=True)
class ChartSpot:
    """A spot, where it is, the fill that is there now, and the one used just before.

    ``target`` is the hit of the band that the fill lands on, where no beat is free after it.
    """

    spot: Spot
    section: Section
    bar: int
    pass_: int
    now: FillUse | None
    before: FillUse | None
    landing: Landing
    target: Place | None = None


def chart_spot(song: Song, index: int, bar: int | None = None) -> ChartSpot:
    """The spot at the end of a section on its last pass, or at the end of one of its bars.

    :raises ValueError: the section has no such bar.
    """
    section = song.form[index]
    bar = section.bars if bar is None else bar
    if not 1 <= bar <= section.bars:
        raise ValueError(f"{section.name} has {section.bars} bars, there is not a bar {bar}")
    pass_ = section.times
    uses = [use for use in section.fills if use.on_pass(pass_, section.times)]
    now = next((use for use in reversed(uses) if use.bar == bar and use.landing is None), None)
    before = _before(song, index, bar, pass_)
    beats = tuple(_free(section, bar, pass_, now))
    target = None if beats or now else _last_hit(section, bar)
    if target is not None:
        beats = tuple(_free(section, bar, pass_, now, target))
    landing = landing_after(song.form, index, pass_, bar, target)
    voices = landing_voices(song.form, index, pass_, now) if now is not None else landing.voices
    feel = fill_feel(song.form, index, now, pass_) if now is not None else section.feel
    leads = landing.section.name if landing.section else ENDING
    soft = landing.level is not None and landing.level <= SOFT
    taken = frozenset(plain_name(use.name) for use in (now, before) if use is not None and use.name)
    meter = section.meter_of(bar)
    spot = Spot(
        feel,
        beats,
        Wanted(1, feel.home / 2) if target else _wanted(now, feel, section, landing, len(meter.beats)),
        leads,
        soft,
        voices,
        taken,
        target.nominal(beats[-1][0], feel) if target and beats else Fraction(0),
        meter,
        now.pattern if now else None,
        _next_feel(feel, beats, landing),
        target.in_full if target else "",
    )
    return ChartSpot(spot, section, bar, pass_, now, before, landing, target)


def _last_hit(section: Section, bar: int) -> Place | None:
    """The last hit in a bar: what a fill can set up."""
    return next((hit for hit in reversed(section.hits) if hit.bar == bar), None)


def _next_feel(feel: Feel, beats: Sequence[tuple[Beat, Fraction]], landing: Landing) -> Feel | None:
    """The feel of what follows, where it is another, at the tempo that the fill is played in."""
    after = landing.section
    if after is None or not beats or after.feel == feel or after.tempo != beats[-1][1]:
        return None
    return after.feel


def _before(song: Song, index: int, bar: int, pass_: int) -> FillUse | None:
    """The last fill played ahead of a bar: in this pass, in the pass before, in a section before."""
    section = song.form[index]
    here = [use for use in section.fills if use.on_pass(pass_, section.times) and use.bar < bar]
    if pass_ > 1:
        here = [use for use in section.fills if use.on_pass(pass_ - 1, section.times)] + here
    for part in reversed(song.form[:index]):
        if here:
            break
        here = [use for use in part.fills if use.on_pass(part.times, part.times)]
    return here[-1] if here else None


def _free(
    section: Section, bar: int, pass_: int, now: FillUse | None, target: Place | None = None
) -> Iterator[tuple[Beat, Fraction]]:
    """The beats up to the end of a bar that no hit, stop, hold or other fill takes, with their tempos.

    Up to a ``target``, where that is given, with the beat that it is in where it is not on it. What the fill
    that is there now covers is free: it is played there, whatever else the bars say.
    """
    clock = Clock(section)
    first = max(1, bar - MOST_BARS + 1)
    busy = _busy_until(section, clock, bar, pass_, now, target)
    last = clock.units_at(pass_, target) if target else None
    for number in range(first, bar + 1):
        start = clock.bar_start(pass_, number)
        for beat in section.meter_of(number).beats:
            if start >= busy and (last is None or start < last):
                yield beat, clock.tempo_at(start)
            start += beat.units


def _busy_until(
    section: Section, clock: Clock, bar: int, pass_: int, now: FillUse | None, target: Place | None
) -> Fraction:
    """Where the last thing that a fill must not cover is over, in tempo units from the section's start."""
    begun = _begun(section, clock, bar, pass_, now)
    taken = [*section.hits, *(hold.place for hold in section.holds)]
    taken += [stop.end or stop.start for stop in section.stops]
    busy = clock.bar_start(pass_, 1)
    for place in taken:
        if place.bar <= bar and (target is None or _before_target(place, target)):
            beat = section.meter_of(place.bar).beats[place.beat - 1]
            over = clock.beat_start(pass_, place.bar, place.beat) + beat.units
            busy = max(busy, over if begun is None else min(over, begun))
    for use in section.fills:
        if use is now or not use.on_pass(pass_, section.times) or use.bar > bar:
            continue
        if use.landing is not None:
            busy = max(busy, clock.units_at(pass_, use.landing))
        elif use.bar < bar:
            busy = max(busy, clock.bar_start(pass_, use.bar + 1))
    return busy


def _before_target(place: Place, target: Place) -> bool:
    """True in an earlier beat than the target: what is struck in its own beat belongs to the same figure."""
    return (place.bar, place.beat) < (target.bar, target.beat)


def _begun(section: Section, clock: Clock, bar: int, pass_: int, now: FillUse | None) -> Fraction | None:
    """Where the fill that is there now begins; None where there is none."""
    laid = lay_fill(section, now, pass_) if now is not None else None
    if laid is None:
        return None
    end = clock.bar_start(pass_, bar) + sum(beat.units for beat in section.meter_of(bar).beats)
    return end - sum(shape.units for _, _, shape in laid.slots)


def _wanted(now: FillUse | None, feel: Feel, section: Section, landing: Landing, bar: int) -> Wanted:
    """Like the fill that is there; else as big as what follows is loud. ``bar`` is a bar's beats."""
    if now is not None and now.pattern is not None:
        return like(now.pattern)
    here = DYNAMICS.index(section.dynamics[-1]) if section.dynamics else DYNAMICS.index("mf")
    there = here if landing.level is None else landing.level
    if there < here or there <= SOFT:
        return Wanted(1, feel.home / 2)
    if there > here or there >= DYNAMICS.index("f"):
        return Wanted(bar, feel.home * 3 / 4)
    return Wanted(max(1, bar // 2), feel.home * 3 / 4)
