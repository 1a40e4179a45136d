"""grid: a fill moves on the same grid as the groove under it.

What it does: lays each fill over the beats where it is played and measures how far its strokes
stand from the feel's grid. An error where a beat clashes; a warning where the feel is straight and
every clashing beat is in triplets or sextuplets, since players do that on purpose; a note where a
beat is near (within the book's tolerance) or crosses (a cross-rhythm on the grid).

Why: over a shuffle the whole kit moves in threes; straight sixteenths there pull against everyone
else's upbeat, and the band does not land together on the next one.

Example:
    title: Slack Tide
    tempo: 92
    feel: half-time shuffle
    form:
      - Verse (8): {fill: sixteenths round the kit}

Use instead:
    title: Slack Tide
    tempo: 92
    feel: half-time shuffle
    form:
      - Verse (8): {fill: stairs in threes}

A mismatch that you want is kept with its reason: fill: {use: sixteenths round the kit, on-purpose:
the band plays it with us}. A fill that is already in the feel of the next section says sets-up:
next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from charts.check.subject import Spot, Subject, WrittenFill, rule
from charts.counting import count_lines
from charts.feel import Feel
from charts.pattern import Pattern
from charts.source import ERROR, NOTE, WARNING, Finding
from charts.verdict import (
    CLASHES,
    CROSSES,
    FITS,
    NEAR,
    SEVERITY,
    BeatVerdict,
    beat_json,
    judge,
    worst,
    worst_at,
)

TRIPLET_DIVISIONS = (3, 6, 12, 24)
MOST_INSTEAD = 3


@dataclass(frozen=True)
class Judged:
    """One spot with its verdict."""

    spot: Spot
    feel: Feel

    @cached_property
    def beats(self) -> tuple[BeatVerdict, ...]:
        return self.against(self.feel)

    def against(self, feel: Feel) -> tuple[BeatVerdict, ...]:
        """The beats' verdicts against any feel."""
        placed = self.spot.placed
        under = [(beat.beat, beat.tempo) for beat in placed.beats]
        return judge(placed.pattern, feel, under, self.spot.subject.book.settings.tolerance)

    @property
    def verdict(self) -> str:
        return worst(self.beats)

    @property
    def worst_ms(self) -> float:
        """The largest offset of all beats by size, signed, the earliest of equals."""
        return max((beat.worst_ms for beat in self.beats), key=abs)

    @cached_property
    def first_bad(self) -> int:
        """The first beat with the worst verdict, from 0."""
        return next(place for place, beat in enumerate(self.beats) if beat.verdict == self.verdict)


@rule("grid")
def grid(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        if all(_fits(subject, spot) for spot in written.distinct):
            continue
        judged = [Judged(spot, _feel_for(subject, spot)) for spot in written.spots]
        bad = [each for each in judged if each.verdict != FITS]
        worst_one = max(bad, key=lambda each: SEVERITY[each.verdict])
        yield _finding(subject, written, worst_one, [each for each in bad if each is not worst_one])


def _feel_for(subject: Subject, spot: Spot) -> Feel:
    """The feel a fill is judged against: its section's, or the next one's where it sets that up."""
    following = subject.after(spot.index) if spot.use.sets_up_next else None
    last_pass = spot.pass_ == spot.section.times
    return following.feel if following and last_pass else spot.section.feel


def _fits(subject: Subject, spot: Spot) -> bool:
    """The verdict alone; at a steady tempo it is remembered and needs no clock."""
    feel = _feel_for(subject, spot)
    if not spot.section.steady:
        return Judged(spot, feel).verdict == FITS
    shapes = tuple([shape for shape, _ in spot.under])
    tolerance = subject.book.settings.tolerance
    return worst_at(spot.laid.pattern, feel, shapes, spot.section.tempo, tolerance) == FITS


def _finding(subject: Subject, written: WrittenFill, judged: Judged, others: list[Judged]) -> Finding:
    use, spot = written.use, judged.spot
    instead = _instead(subject, judged) if judged.verdict == CLASHES else []
    return Finding(
        "grid",
        _level(judged),
        _message(judged),
        use.span,
        _hint(judged, instead),
        spot.where,
        _caption(spot),
        tuple(_lines(subject, judged, instead)),
        {
            "fill": use.title,
            "feel": judged.feel.name,
            "tempo": round(float(spot.placed.beats[0].tempo), 3),
            "verdict": judged.verdict,
            "offset_ms": round(judged.worst_ms, 1),
            "beats": [beat_json(number, beat) for number, beat in enumerate(judged.beats, start=1)],
            "instead": instead,
            "on_purpose": use.on_purpose,
            "also": [each.spot.also() for each in others],
        },
    )


def _level(judged: Judged) -> str:
    if judged.verdict in (NEAR, CROSSES) or judged.spot.use.on_purpose:
        return NOTE
    clashing = [beat for beat in judged.beats if beat.verdict == CLASHES]
    straight = not judged.feel.swings and judged.feel.divides[0] != 3
    return WARNING if straight and all(beat.division in TRIPLET_DIVISIONS for beat in clashing) else ERROR


def _message(judged: Judged) -> str:
    beat = judged.beats[judged.first_bad]
    section, feel = judged.spot.section, judged.feel
    shape = judged.spot.placed.beats[judged.first_bad]
    cells = str(feel.grid(shape.beat, shape.tempo).home)
    if shape.beat.ternary and feel.divides[0] != 3:
        cells += " in this beat of three eighths"
    who = f"{section.name} is" if feel is section.feel else "it sets up"
    named = f"{who} {_a_feel(feel)} ({cells})"
    if judged.verdict == CROSSES:
        return f"this fill crosses the beat in {beat.division}, and {named}"
    if judged.verdict == NEAR:
        return f"this fill divides the beat in {beat.division}, near enough to pass, and {named}"
    return f"this fill divides the beat in {beat.division}, and {named}"


_COUNTED = ("shuffle", "waltz", "ballad", "beat", "march", "samba", "polka", "nova")


def _a_feel(feel: Feel) -> str:
    """The feel as a sentence needs it: “a half-time shuffle”, “in straight eighths”."""
    return f"a {feel.name}" if feel.name.endswith(_COUNTED) else f"in {feel.name}"


def _caption(spot: Spot) -> str:
    first, last = spot.placed.beats[0], spot.placed.beats[-1]
    if first.bar == last.bar:
        beats = (
            f"beat {first.number}"
            if first.number == last.number
            else f"beats {first.number} to {last.number}"
        )
        place = f"bar {first.bar}, {beats}"
    else:
        place = f"bar {first.bar} beat {first.number} to bar {last.bar} beat {last.number}"
    return f"{place}, at {float(first.tempo):.4g} a minute"


def _lines(subject: Subject, judged: Judged, instead: list[str]) -> Iterator[tuple[str, str]]:
    under = judged.spot.placed.beats[judged.first_bad]
    beat = judged.beats[judged.first_bad]
    counted = count_lines(beat, judged.feel, under.beat, under.tempo, 1, subject.book.settings.triplet_count)
    yield "the groove counts", counted.groove
    yield "the fill counts", counted.fill_and_offsets
    if judged.spot.use.on_purpose:
        yield "on purpose", judged.spot.use.on_purpose
    elif judged.verdict == CLASHES:
        following = subject.after(judged.spot.index)
        if (
            following is not None
            and following.feel is not judged.feel
            and worst(judged.against(following.feel)) == FITS
        ):
            yield "it fits", f"{following.name}, the next section: say sets-up: next if it leads there"
        if instead:
            yield "fits instead", "; ".join(instead)
        if judged.spot.use.name:
            yield "or re-lay it", _regrid(judged)


def _regrid(judged: Judged) -> str:
    command = f'feelmap regrid "{judged.spot.use.name}" --feel "{judged.feel.name}"'
    section, placed = judged.spot.section, judged.spot.placed
    if any(beat.beat.ternary or beat.beat.units != 1 for beat in placed.beats):
        command += f' --meter "{section.meter_of(max(1, placed.beats[-1].bar))}"'
    return command


def _hint(judged: Judged, instead: list[str]) -> str:
    if judged.verdict != CLASHES:
        return "keep it if you like the rub, or say on-purpose with your reason"
    if judged.spot.use.on_purpose:
        return "kept on purpose"
    relay = f"re-lay it: {_regrid(judged)}" if judged.spot.use.name else ""
    return "; or ".join(part for part in (f"use {instead[0]}" if instead else "", relay) if part)


def _instead(subject: Subject, judged: Judged) -> list[str]:
    """Up to three fills of about the same length, busyness and drums that fit the spot."""
    from charts.fitting.suggest import instead_of

    settings, use = subject.book.settings, judged.spot.use
    under = [(beat.beat, beat.tempo) for beat in judged.spot.placed.beats]
    assert use.pattern is not None  # only fills whose pattern exists have spots
    found: Sequence[Pattern] = instead_of(
        use.pattern,
        judged.feel,
        under,
        subject.book.patterns.fills(),
        settings.limits,
        settings.left_handed,
        use.landing.nominal(under[-1][0], judged.feel) if use.landing else Fraction(0),
    )
    return [pattern.name for pattern in found[:MOST_INSTEAD]]
