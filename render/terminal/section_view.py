"""One section, larger: what happens in each bar, and its fills drawn with count and sticking."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from charts.appearances import named
from charts.counting import count_grid
from charts.equations import Equation
from charts.feel import Feel
from charts.fills import Fill, Fills, PlayedFill, played_fills
from charts.fitting.hands import playable
from charts.hearing import Heard
from charts.outline import equation_into
from charts.placing import PlacedFill
from charts.played import PlayedSection, played
from charts.reading.settings import Settings
from charts.ruler import EMPTY, Mark
from charts.song import CRASH, FillUse, Place, Section, Song
from charts.source import ERROR
from charts.verdict import CLASHES, FITS, NEAR
from charts.wording import clock, figure, many, tempo_change
from render.terminal.boxes import HIT, HOLD, STOP, box_lines, boxes
from render.terminal.fit_view import COLOURS, Fit, fit_rows
from render.terminal.ink import BOLD, DIM, Ink, folded_words
from render.terminal.pattern_view import kit_words
from render.terminal.printable import tempo_words
from render.terminal.roadmap import when
from render.terminal.ruled import RuledRow, ruled

INDENT = 2
SAID = {FITS: "fits", NEAR: "is near enough to", CLASHES: "clashes with"}


def section_lines(song: Song, name: str, width: int, ink: Ink, settings: Settings) -> Iterator[str]:
    """Every appearance of a section; equal ones are told once, with the bars where they start.

    One that differs in words and dynamics alone is not drawn again.
    """
    parts = played(song)
    chosen = [parts[place] for place in named(song, name).places]
    yield from (ink(line, BOLD) for line in folded_words(song.title, width, "  "))
    drawn: list[PlayedSection] = []
    for _, group in groupby(
        sorted(chosen, key=lambda part: _first_alike(chosen, part)), lambda part: part.section
    ):
        same = list(group)
        yield ""
        above = next((part for part in drawn if _drawn_alike(parts, part, same[0])), None)
        yield from _heading(same, width, ink)
        if above is not None:
            where = "as above" if len(drawn) == 1 else f"as from bar {above.first_bar}"
            told = ", ".join([where, *_other_words(above.section, same[0].section)])
            yield from (" " * INDENT + line for line in folded_words(told, width - INDENT, "  "))
            continue
        drawn.append(same[0])
        yield from _one(song, parts, same[0].index, width, ink, settings)


def _first_alike(parts: Sequence[PlayedSection], part: PlayedSection) -> int:
    return next(place for place, each in enumerate(parts) if each.section == part.section)


def _drawn_alike(parts: Sequence[PlayedSection], one: PlayedSection, other: PlayedSection) -> bool:
    """True for sections of which the second would be drawn as the first was, fills in the same feels."""
    above = one.section
    section = replace(
        other.section, dynamics=above.dynamics, groove=above.groove, groove_pattern=above.groove_pattern,
        until=above.until, cues=above.cues,
    )  # fmt: skip
    return section == above and _feels(parts, one) == _feels(parts, other)


def _feels(parts: Sequence[PlayedSection], part: PlayedSection) -> list[Feel]:
    return [fill.feel for use in part.section.fills for fill in played_fills(parts, part.index, use)]


def _other_words(above: Section, section: Section) -> Iterator[str]:
    """What one section says otherwise than one that is drawn alike."""
    if section.dynamics != above.dynamics:
        yield " to ".join(section.dynamics) or "no dynamics"
    if section.groove != above.groove:
        yield f"groove: {section.groove}" if section.groove else "no groove"
    if section.until != above.until:
        yield f"open until {section.until}" if section.until else "open"
    if section.cues != above.cues:
        yield "; ".join(f"{cue.place}: {cue.text}" for cue in section.cues) or "no cues"


def _heading(same: Sequence[PlayedSection], width: int, ink: Ink) -> Iterator[str]:
    """The name with its repeats, and the bars where it starts."""
    part, section = same[0], same[0].section
    times = f" x{section.times}" if section.times > 1 else ""
    starts = ", ".join(str(each.first_bar) for each in same)
    bars = f"from bar{'s' if len(same) > 1 else ''} {starts}"
    told = [many(section.bars, "bar"), bars, clock(part.length)]
    yield from (ink(line, BOLD) for line in folded_words(section.name + times, width, "  "))
    yield from (" " * INDENT + line for line in folded_words(", ".join(told), width - INDENT, "  "))


def _one(
    song: Song, parts: Sequence[PlayedSection], index: int, width: int, ink: Ink, settings: Settings
) -> Iterator[str]:
    part, section = parts[index], parts[index].section
    equal = equation_into(parts[index - 1], section) if index else None
    for text in _facts(section, equal, ink):
        yield from (" " * INDENT + line for line in folded_words(text, width - INDENT, "  "))
    yield ""
    fills = Fills(song)
    drawn = box_lines(section, boxes(part, fills), width - INDENT, section.times)
    yield from (" " * INDENT + line for line in drawn)
    yield from _bars(part, width, ink, settings.triplet_count)
    for use in section.fills:
        yield ""
        yield from _fill(fills[use], use, played_fills(parts, index, use), width, ink, settings)


def _facts(section: Section, equal: Equation | None, ink: Ink) -> Iterator[str]:
    tempo = tempo_words(section.meter, section.tempo, ink.signs, section.tempo_to)
    related = f"{equal} of the section before" if equal else ""
    yield ", ".join(
        filter(None, [tempo, related, section.feel.name, str(section.meter), " to ".join(section.dynamics)])
    )
    if section.open:
        yield (
            f"open until {section.until}"
            if section.until
            else "open: the number of times is decided on stage"
        )
    if section.groove:
        yield f"groove: {section.groove}"
    for mark in section.tempos:
        yield f"bar {mark.bar}: tempo {tempo_change(mark.tempo, mark.to)}{when(mark.pass_, section.times)}"
    for bar, meter in section.odd_bars.items():
        yield f"bar {bar} is in {meter}"


def _bars(part: PlayedSection, width: int, ink: Ink, triplets: str) -> Iterator[str]:
    """The bars in which something happens, each counted, with hits, stops and holds where they sound."""
    section = part.section
    for bar in range(1, section.bars + 1):
        cues = [cue for cue in section.cues if cue.place.bar == bar]
        marks = _bar_marks(part, bar)
        if not cues and not any(marks):
            continue
        yield ""
        words = "; ".join(
            cue.text if not cue.has_beat else f"{cue.text} (beat {cue.place.beat})" for cue in cues
        )
        yield from (" " * INDENT + line for line in folded_words(f"bar {bar}  {words}", width - INDENT, "  "))
        if any(marks):
            beats = section.meter_of(bar).beats
            counted = tuple(
                count_grid(
                    section.feel,
                    beat,
                    part.clock.tempo_at(part.clock.beat_start(1, bar, place)),
                    place,
                    triplets,
                )
                for place, beat in enumerate(beats, start=1)
            )
            rows = [RuledRow("count", counted, EMPTY, (DIM,)), RuledRow("band", marks, codes=(BOLD,))]
            yield from ruled(rows, width, len(beats), ink, INDENT + 2)


def _bar_marks(part: PlayedSection, bar: int) -> tuple[tuple[Mark, ...], ...]:
    """Hits, stops and holds of one bar, beat by beat, at their sounding places."""
    section = part.section
    beats: list[dict[Fraction, str]] = [{} for _ in section.meter_of(bar).beats]

    def put(place: Place, sign: str) -> None:
        if place.bar == bar:
            beats[place.beat - 1][_sounding(part, place)] = sign

    for hit in section.hits:
        put(hit, HIT)
    for stop in section.stops:
        end = stop.end or stop.start
        for number_, marks in enumerate(beats, start=1):
            if (stop.start.bar, stop.start.beat) < (bar, number_) <= (end.bar, end.beat):
                marks[Fraction(0)] = STOP
        put(stop.start, STOP)
    for hold in section.holds:
        put(hold.place, HOLD)
    return tuple(tuple(sorted(marks.items())) for marks in beats)


def _sounding(part: PlayedSection, place: Place) -> Fraction:
    start = part.clock.beat_start(1, place.bar, place.beat)
    beat = part.section.meter_of(place.bar).beats[place.beat - 1]
    return place.at(beat, part.section.feel, part.clock.tempo_at(start))


def _fill(
    fill: Fill, use: FillUse, played_on: Sequence[PlayedFill], width: int, ink: Ink, settings: Settings
) -> Iterator[str]:
    """A fill on the last time that plays it; where it is played in two feels, once in each."""
    if not played_on:
        yield f"  {fill.numbered}: " + ("no such pattern" if use.pattern is None else "never played")
        return
    yield from (f"  {ink(line, BOLD)}" for line in folded_words(fill.numbered, width - 2, "  "))
    for place, each in enumerate({each.feel: each for each in played_on}.values()):
        yield from [""] * bool(place)
        yield from _judged(each, width, ink, settings)
    yield ""
    yield from (f"    {line}" for line in folded_words(kit_words(played_on[0].placed.pattern), width - 4))


def _judged(fill: PlayedFill, width: int, ink: Ink, settings: Settings) -> Iterator[str]:
    """How a fill sits on a feel, where it is played, and its strokes under the groove's count."""
    placed, feel = fill.placed, fill.feel
    under = [(beat.beat, beat.tempo) for beat in placed.beats]
    heard = fill.heard(settings.tolerance)
    verdicts = () if heard.across else heard.beats  # the offsets are in the beats that are drawn
    playing = playable(placed.pattern, feel, under, settings.limits, settings.left_handed)
    fit = Fit(placed.pattern, feel, under[0][1], under, verdicts, playing)
    yield f"    {_said(heard, placed.use, ink)}"
    for text in _fill_facts(placed):
        yield from (f"    {line}" for line in folded_words(text, width - 4, "  "))
    yield ""
    numbers = [beat.number for beat in placed.beats]
    bar = len(placed.part.section.meter_of(placed.use.bar).beats)
    rows = fit_rows(fit, numbers, settings.triplet_count)
    yield from ruled(rows[1:] if heard.fits or heard.across else rows, width, bar, ink, INDENT + 2)


def _said(heard: Heard, use: FillUse, ink: Ink) -> str:
    """The verdict in words; what is kept on purpose or only crosses is called what it is."""
    feel, verdict = heard.feel.name, heard.verdict
    plain = verdict in SAID and (verdict != CLASHES or heard.level(use.on_purpose) == ERROR)
    said = (
        f"{ink(SAID[verdict] if plain else heard.words, COLOURS[verdict])}{'' if plain else ' over'} {feel}"
    )
    if not heard.across:
        return said
    equal = f" ({heard.equation})" if heard.equation else ""
    return f"{said} at {figure(heard.under[-1][1])}{equal}"


def _fill_facts(placed: PlacedFill) -> Iterator[str]:
    use, first = placed.use, placed.beats[0]
    lands = f"lands on {use.landing}" if use.landing else f"ends with bar {use.bar}"
    land = "" if use.land == CRASH else f", landing: {use.land}"
    before = "before bar 1" if first.bar < 1 else f"from bar {first.bar}, beat {first.number}"
    yield f"{before}, {lands}{land}{when(use.pass_, placed.part.section.times)}"
    if use.sets_up_next:
        yield "sets up the next section"
    if use.on_purpose:
        yield f"on purpose: {use.on_purpose}"
