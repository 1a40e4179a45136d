"""grid: a fill uses the same subdivision as the groove under it.

Listens for: strokes that are off the feel's subdivision, by how many ms, where each fill is played.
An error where a beat clashes. A warning where the feel is straight and only triplets clash, because
players do that on purpose. A note where a beat is near enough to pass or crosses the beat evenly.

Why it matters: over a shuffle the whole kit moves in threes. Straight sixteenths pull against
everyone else's upbeat, and the band does not land together on the next one.

Wrong:
    title: Slack Tide
    tempo: 92
    feel: half-time shuffle
    form:
      - Verse (8): {fill: sixteenths round the kit}

Right:
    title: Slack Tide
    tempo: 92
    feel: half-time shuffle
    form:
      - Verse (8): {fill: stairs in threes}

A mismatch that you want is kept with its reason: fill: {use: sixteenths round the kit, on-purpose:
the band plays it with us}. A fill that is already in the feel of the next section says sets-up:
next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.check.subject import Spot, Subject, WrittenFill, rule
from charts.counting import count_lines
from charts.feel import Feel
from charts.hearing import Heard
from charts.song import FillUse
from charts.source import Finding
from charts.verdict import CLASHES, CROSSES, FITS, NEAR, SEVERITY, beat_json, run_json
from charts.wording import per_minute


@dataclass(frozen=True)
class Judged:
    """One spot with its verdict."""

    spot: Spot

    @property
    def heard(self) -> Heard:
        return self.spot.heard

    @property
    def feel(self) -> Feel:
        return self.heard.feel

    @property
    def verdict(self) -> str:
        return self.heard.verdict

    @property
    def worst_ms(self) -> float:
        """The largest offset of all beats by size, signed, the earliest of equals."""
        return max((beat.worst_ms for beat in self.heard.beats), key=abs)

    @property
    def first_bad(self) -> int:
        """The first beat with the worst verdict, from 0."""
        return next(place for place, beat in enumerate(self.heard.beats) if beat.verdict == self.verdict)

    @property
    def fits_next(self) -> bool:
        """True where it would fit what follows, were it to lead there."""
        spot, form = self.spot, self.spot.tune.song.form
        leading = replace(spot, use=replace(spot.use, sets_up_next=True), pass_=spot.section.times)
        return spot.index + 1 < len(form) and leading.heard.fits


@rule("grid")
def grid(subject: Subject) -> Iterator[Finding]:
    for written in subject.fills:
        bad = [each for each in map(Judged, written.spots) if each.verdict != FITS]
        if bad:
            worst_one = max(bad, key=lambda each: SEVERITY[each.verdict])
            yield _finding(subject, written, worst_one, [each for each in bad if each is not worst_one])


def _finding(subject: Subject, written: WrittenFill, judged: Judged, others: list[Judged]) -> Finding:
    use, spot = written.use, judged.spot
    instead = _instead(subject, judged) if judged.verdict == CLASHES else []
    return Finding(
        "grid",
        judged.heard.level(use.on_purpose),
        _message(judged),
        use.span,
        _hint(judged, instead),
        spot.where,
        _caption(spot),
        tuple(_lines(subject, judged, instead)),
        {
            "fill": use.title,
            "feel": judged.feel.name,
            "tempo": round(float(spot.under[0][1]), 3),
            "verdict": judged.verdict,
            "offset_ms": round(judged.worst_ms, 1),
            "beats": [beat_json(number, beat) for number, beat in enumerate(judged.heard.beats, start=1)],
            "ornament": any(beat.ornament for beat in judged.heard.beats),
            "run": run_json(judged.heard.beats[judged.first_bad].run),
            "equation": str(judged.heard.equation) if judged.heard.equation else None,
            "instead": instead,
            "on_purpose": use.on_purpose,
            "also": [each.spot.also() for each in others],
        },
    )


def _message(judged: Judged) -> str:
    beat = judged.heard.beats[judged.first_bad]
    section, feel = judged.spot.section, judged.feel
    shape, bpm = judged.heard.under[judged.first_bad]
    cells = str(feel.grid(shape, bpm).home)
    if shape.ternary and feel.divides[0] != 3:
        cells += " in this beat of three eighths"
    leads_on = judged.heard.across or feel != section.feel
    who, there = ("it sets up", f" at {per_minute(bpm)}") if leads_on else (f"{section.name} is", "")
    named = f"{who} {_a_feel(feel)} ({cells}){there if judged.heard.across else ''}"
    if judged.verdict == CROSSES:
        return f"this fill goes {judged.heard.words}, and {named}"
    if judged.verdict == NEAR:
        return f"this fill divides the beat in {beat.division}, near enough to pass, and {named}"
    return f"this fill divides the beat in {beat.division}, and {named}"


_COUNTED = ("shuffle", "waltz", "ballad", "beat", "march", "samba", "polka", "nova")


def _a_feel(feel: Feel) -> str:
    """The feel as a sentence needs it: “a half-time shuffle”, “in straight eighths”."""
    return f"a {feel.name}" if feel.name.endswith(_COUNTED) else f"in {feel.name}"


def _caption(spot: Spot) -> str:
    (bar, beat, _), (last_bar, last_beat, _) = spot.laid.slots[0], spot.laid.slots[-1]
    if bar == last_bar:
        place = f"bar {bar}, beat {beat}" if beat == last_beat else f"bar {bar}, beats {beat} to {last_beat}"
    else:
        place = f"bar {bar} beat {beat} to bar {last_bar} beat {last_beat}"
    return f"{place}, at {per_minute(spot.under[0][1])}"


def _lines(subject: Subject, judged: Judged, instead: list[str]) -> Iterator[tuple[str, str]]:
    shape, bpm = judged.heard.under[judged.first_bad]
    beat = judged.heard.beats[judged.first_bad]
    counted = count_lines(beat, judged.feel, shape, bpm, 1, subject.book.settings.triplet_count)
    yield "the groove counts", counted.groove
    yield "the fill counts", counted.fill_and_offsets
    if judged.spot.use.on_purpose:
        yield "on purpose", f"{judged.heard.words}: {judged.spot.use.on_purpose}"
        return
    following = subject.after(judged.spot.index)
    if following is not None and judged.fits_next:
        yield "it fits", f"{following.name}, the next section{_leads_there(judged.spot.use)}"
    if judged.verdict == CLASHES:
        if instead:
            yield "fits instead", "; ".join(instead)
        if judged.spot.use.name:
            yield "or re-lay it", _regrid(judged)


def _leads_there(use: FillUse) -> str:
    """What to write where a fill fits only what follows; one that says it already does so too early."""
    if use.sets_up_next:
        return ", which it leads into the last time only: say pass: last"
    return ": say sets-up: next if it leads there"


def _regrid(judged: Judged) -> str:
    command = f'feelmap regrid "{judged.spot.use.name}" --feel "{judged.feel.name}"'
    spot = judged.spot
    if any(shape.ternary or shape.units != 1 for shape, _ in spot.under):
        command += f' --meter "{spot.section.meter_of(max(1, spot.laid.slots[-1][0]))}"'
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
    under, (last_bar, _, _) = judged.spot.under, judged.spot.laid.slots[-1]
    assert use.pattern is not None  # only fills whose pattern exists have spots
    found = instead_of(
        use.pattern,
        judged.feel,
        under,
        subject.book.patterns,
        subject.book.feels,
        settings.limits,
        settings.left_handed,
        use.landing.nominal(under[-1][0], judged.feel) if use.landing else Fraction(0),
        judged.spot.section.meter_of(max(1, last_bar)),
    )
    return [pattern.name for pattern in found]
