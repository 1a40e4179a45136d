"""An exercise as it is played: round and round, one tempo after another, and what of it is heard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from charts.pattern import Pattern
from charts.performance import Performance, PlayedBar
from charts.song import CountIn, Section, Song
from charts.strokes import BeatStrokes, Struck
from charts.wording import figure
from render.sound.clicks import Click, clicks
from render.sound.practice import Exercise
from render.sound.striking import Hit, drum_hits

ALL, NO_FILL, NO_DRUMS = "all", "no-fill", "no-drums"


@dataclass(frozen=True)
class Mix:
    """How a loop is heard: times round at each tempo, which drums, the click, the peak in dB of full scale.

    ``click_db`` is how much louder the click is beside the drums than it usually is.
    """

    times: int = 4
    level_db: float = -6.0
    click_db: float = 0.0
    subdivide: bool = False
    drums: str = ALL


def exercise_song(exercise: Exercise, tempos: Sequence[Fraction], times: int) -> Song:
    """The loop as a song: counted in, that often at each tempo, and one bar to land in where a fill does.

    Each tempo after the first is counted in with click alone; so is each time round of a crossing into
    another tempo or meter. A crossing has a bar of click at its end for its last drums to ring in.
    """
    form: list[Section] = []
    for tempo in tempos:
        if form:
            form.append(_count_in(exercise, tempo))
        form += _rounds(exercise, tempo, times, named=len(tempos) > 1)
    if exercise.into is not None:
        form.append(_count_in(exercise, tempos[-1]))
    elif exercise.lands:
        form.append(replace(_count_in(exercise, tempos[-1]), name="Landing", phrases=(1,)))
    looped = form[0]
    count = CountIn(bars=_bars_of_count(exercise))
    return Song(exercise.name, tuple(form), looped.feel, looped.tempo, looped.meter, count_in=count)


def _rounds(exercise: Exercise, tempo: Fraction, times: int, named: bool) -> Iterator[Section]:
    section = _at_tempo(exercise.section, tempo / exercise.tempo, tempo)
    if named:
        section = replace(section, name=f"{section.name} {figure(tempo, 3)} bpm")
    if exercise.into is None:
        yield replace(section, times=times)
        return
    into = _at_tempo(exercise.into, tempo / exercise.tempo)
    for place in range(times):
        if place and counts_back(exercise):
            yield _count_in(exercise, tempo)
        yield section
        yield into


def _at_tempo(section: Section, factor: Fraction, tempo: Fraction | None = None) -> Section:
    """A section so much faster; its own tempo changes with it."""
    marks = tuple(
        replace(mark, tempo=mark.tempo * factor, to=mark.to and mark.to * factor) for mark in section.tempos
    )
    return replace(section, tempo=tempo or section.tempo * factor, tempos=marks)


def counts_back(exercise: Exercise) -> bool:
    """True where the way back to the start of a crossing is a jump: another tempo, or other beats."""
    there, back = exercise.into, exercise.section
    if there is None:
        return False
    moving = bool(there.tempos or back.tempos)
    return moving or there.tempo != back.tempo or there.meter_of(there.bars) != back.meter_of(1)


def _bars_of_count(exercise: Exercise) -> int:
    return 1 if len(exercise.section.meter_of(1).beats) > 2 else 2


def _count_in(exercise: Exercise, tempo: Fraction) -> Section:
    """Bars of click; drums that land there ring on."""
    section = exercise.section
    return Section("Count-in", (_bars_of_count(exercise),), section.feel, section.meter_of(1), tempo)


def loop_grooves(section: Section) -> Pattern | None:
    """What is played in a loop: its groove, and nothing but a landing in bars of click."""
    return section.groove_pattern


def loop_hits(line: Performance, exercise: Exercise, drums: str = ALL) -> tuple[Hit, ...]:
    """The drums that are heard."""

    def heard(bar: PlayedBar, strokes: BeatStrokes) -> list[Struck]:
        if drums == NO_DRUMS or _is_one_of(bar, exercise.silent | exercise.answered):
            return []
        return (replace(strokes, fill=[]) if drums == NO_FILL else strokes).struck()

    return drum_hits(line, loop_grooves, lambda _form, _index, use, _pass: exercise.feel_of(use), heard)


def loop_clicks(line: Performance, exercise: Exercise, subdivide: bool = False) -> tuple[Click, ...]:
    """The click, outside silent bars."""
    counted = tuple(bar for bar in line.bars if not _is_one_of(bar, exercise.silent))
    return clicks(replace(line, bars=counted), subdivide)


def silences(line: Performance, exercise: Exercise) -> list[float]:
    """The seconds at which a silence begins."""
    return [
        bar.seconds
        for before, bar in pairwise(line.bars)
        if _is_one_of(bar, exercise.silent) and not _is_one_of(before, exercise.silent)
    ]


def _is_one_of(bar: PlayedBar, bars: frozenset[int]) -> bool:
    """True for one of these bars of the exercise, not for a bar of count or landing."""
    return bar.bar in bars and bar.part is not None and bar.part.section.groove_pattern is not None


def loop_places(line: Performance, exercise: Exercise) -> tuple[float, float]:
    """Where a player that knows loops goes round: the second time to the last, led into by the first."""
    parts = line.parts
    if exercise.into is None:
        first = line.by_place[0, 2, 1].seconds
        return first, line.lead + parts[0].seconds + parts[0].length
    return line.lead + parts[2].seconds, line.lead + parts[-1].seconds
