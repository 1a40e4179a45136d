"""One section, larger: what happens in each bar, and its fills drawn with count and sticking."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from charts.appearances import named
from charts.counting import count_grid
from charts.fitting.hands import playable
from charts.placing import PlacedFill, place_fill
from charts.played import PlayedSection, played
from charts.reading.settings import Settings
from charts.ruler import EMPTY, Mark
from charts.song import CRASH, FillUse, Place, Section, Song
from charts.verdict import CLASHES, CROSSES, FITS, NEAR, judge
from charts.wording import clock, figure, many
from render.terminal.boxes import HIT, HOLD, STOP, box_lines, boxes
from render.terminal.fit_view import COLOURS, Fit, fit_rows
from render.terminal.ink import BOLD, DIM, Ink, folded_words
from render.terminal.pattern_view import kit_words
from render.terminal.roadmap import fill_letters, when
from render.terminal.staff import Row, staff
from render.terminal.words import tempo_words

INDENT = 2
SAID = {FITS: "fits", CROSSES: "crosses", NEAR: "is near enough to", CLASHES: "clashes with"}


def section_lines(song: Song, name: str, width: int, ink: Ink, settings: Settings) -> Iterator[str]:
    """Every appearance of a section; equal ones are told once, with the bars where they start.

    One that differs in words and dynamics alone is not drawn again.
    """
    parts = played(song)
    chosen = [parts[place] for place in named(song, name).places]
    yield from (ink(line, BOLD) for line in folded_words(song.title, width, "  "))
    drawn: list[tuple[PlayedSection, Section | None]] = []
    for _, group in groupby(
        sorted(chosen, key=lambda part: _first_alike(chosen, part)), lambda part: part.section
    ):
        same = list(group)
        yield ""
        after = parts[same[0].index + 1 :][:1]
        following = after[0].section if after else None
        above = next(
            (part for part, then in drawn if _drawn_alike(part.section, then, same[0], following)), None
        )
        yield from _heading(same, width, ink)
        if above is not None:
            where = "as above" if len(drawn) == 1 else f"as from bar {above.first_bar}"
            told = ", ".join([where, *_other_words(above.section, same[0].section)])
            yield from (" " * INDENT + line for line in folded_words(told, width - INDENT, "  "))
            continue
        drawn.append((same[0], following))
        yield from _one(song, same[0], following, width, ink, settings)


def _first_alike(parts: Sequence[PlayedSection], part: PlayedSection) -> int:
    return next(place for place, each in enumerate(parts) if each.section == part.section)


def _drawn_alike(
    above: Section, above_following: Section | None, part: PlayedSection, following: Section | None
) -> bool:
    """True for sections of which the second would be drawn as the first was, and set up the same feel."""
    section = replace(
        part.section, dynamics=above.dynamics, groove=above.groove, groove_pattern=above.groove_pattern,
        until=above.until, cues=above.cues,
    )  # fmt: skip
    feels = [each.feel if each else None for each in (above_following, following)]
    return section == above and (feels[0] == feels[1] or not any(use.sets_up_next for use in above.fills))


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
    song: Song, part: PlayedSection, following: Section | None, width: int, ink: Ink, settings: Settings
) -> Iterator[str]:
    section = part.section
    for text in _facts(section, ink):
        yield from (" " * INDENT + line for line in folded_words(text, width - INDENT, "  "))
    yield ""
    letters = fill_letters(song)
    drawn = box_lines(section, boxes(part, letters), width - INDENT, section.times)
    yield from (" " * INDENT + line for line in drawn)
    yield from _bars(part, width, ink, settings.triplet_count)
    for use in section.fills:
        yield ""
        yield from _fill(part, use, following, letters[use.title], width, ink, settings)


def _facts(section: Section, ink: Ink) -> Iterator[str]:
    tempo = tempo_words(section.meter, section.tempo, ink.signs, section.tempo_to)
    yield ", ".join(
        filter(None, [tempo, section.feel.name, str(section.meter), " to ".join(section.dynamics)])
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
        to = f" to {figure(mark.to)}" if mark.to is not None else ""
        yield f"bar {mark.bar}: tempo {figure(mark.tempo)}{to}{when(mark.pass_, section.times)}"
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
            rows = [Row("count", counted, EMPTY, (DIM,)), Row("band", marks, codes=(BOLD,))]
            yield from staff(rows, width, len(beats), ink, INDENT + 2)


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
    part: PlayedSection,
    use: FillUse,
    following: Section | None,
    letter: str,
    width: int,
    ink: Ink,
    settings: Settings,
) -> Iterator[str]:
    times = part.section.times
    passes = [pass_ for pass_ in range(1, times + 1) if use.on_pass(pass_, times)]
    placed = place_fill(part, use, passes[-1]) if passes else None
    if placed is None:
        yield f"  {letter} {use.title}: " + ("no such pattern" if use.pattern is None else "never played")
        return
    feel = following.feel if use.sets_up_next and following else part.section.feel
    under = [(beat.beat, beat.tempo) for beat in placed.beats]
    verdicts = judge(placed.pattern, feel, under, settings.tolerance)
    playing = playable(placed.pattern, feel, under, settings.limits, settings.left_handed)
    fit = Fit(placed.pattern, feel, under[0][1], under, verdicts, playing)
    verdict = ink(SAID[fit.verdict], COLOURS[fit.verdict])
    yield from (f"  {ink(line, BOLD)}" for line in folded_words(f"{letter} {use.title}", width - 2, "  "))
    yield f"    {verdict} {feel.name}"
    for text in _fill_facts(placed):
        yield from (f"    {line}" for line in folded_words(text, width - 4, "  "))
    yield ""
    numbers = [beat.number for beat in placed.beats]
    bar = len(part.section.meter_of(use.bar).beats)
    rows = fit_rows(fit, numbers, settings.triplet_count)
    yield from staff(rows if fit.verdict != FITS else rows[1:], width, bar, ink, INDENT + 2)
    yield ""
    yield from (f"    {line}" for line in folded_words(kit_words(placed.pattern), width - 4))


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
