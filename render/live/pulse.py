"""What is to be seen when: the count-in, and the bars after it, as pulses with exact times."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice

from charts.counting import TRIPLETS, spoken_grid
from charts.performance import BAR, COUNT_IN, PlayedBar, PlayedBeat, lead_in, played_bars
from charts.ruler import Mark
from charts.song import Song

FLASH_SECONDS = 0.12  # how long a beat lights up, at most a third of the beat


@dataclass(frozen=True, slots=True)
class CountBeat:
    """One beat on the screen: its number, what is counted in it, and seconds from the start.

    ``moments`` are the seconds into the beat at which each of the ``marks`` sounds.
    """

    number: int
    marks: tuple[Mark, ...]
    seconds: float
    length: float
    tempo: Fraction
    moments: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class CountBar:
    """One bar on the screen, with the words above it."""

    label: str
    beats: tuple[CountBeat, ...]


@dataclass(frozen=True, slots=True)
class Pulse:
    """A moment at which the screen changes: seconds from the start of the count-in.

    ``word`` is the place in the beat's marks that sounds now; ``lit`` says whether the beat flashes.
    """

    seconds: float
    bar: CountBar
    beat: int
    word: int
    lit: bool


def count_in(song: Song, triplets: str = TRIPLETS) -> tuple[CountBar, ...]:
    """The count-in: whole bars of the first section's meter, then single beats; then the pickup, if any."""
    bars = list(lead_in(song))
    counted = sum(bar.kind == COUNT_IN for bar in bars)
    found = []
    for place, bar in enumerate(bars, start=1):
        more = f", bar {place} of {counted}" if bar.kind == COUNT_IN and counted > 1 else ""
        found.append(_count_bar(bar.kind + more, bar, triplets))
    return tuple(found)


def bars_after(song: Song, bars: int, triplets: str = TRIPLETS) -> Iterator[CountBar]:
    """The song's first bars as played, after its count-in."""
    for bar in islice((bar for bar in played_bars(song) if bar.kind == BAR), bars):
        section = song.form[bar.index]
        passes = f", pass {bar.pass_} of {section.times}" if section.times > 1 else ""
        yield _count_bar(f"{section.name}, bar {bar.bar} of {section.bars}{passes}", bar, triplets)


def _count_bar(label: str, bar: PlayedBar, triplets: str) -> CountBar:
    return CountBar(label, tuple(_count_beat(beat, triplets) for beat in bar.beats))


def _count_beat(beat: PlayedBeat, triplets: str) -> CountBeat:
    """What is said in a beat and when; one that starts inside a beat is counted from there."""
    spoken = spoken_grid(beat.feel, beat.beat, beat.tempo, beat.number, triplets)
    said = [(at, word) for at, word in spoken if at >= beat.skip]
    marks = tuple(((at - beat.skip) / (1 - beat.skip), word) for at, word in said)
    moments = tuple(beat.seconds_at(at) - beat.seconds for at, _ in said)
    return CountBeat(beat.number, marks, beat.seconds, beat.length, beat.tempo, moments)


def pulses(bars: Iterator[CountBar] | tuple[CountBar, ...]) -> Iterator[Pulse]:
    """The moments of some bars in order: every word, and the end of every flash."""
    for bar in bars:
        for place, beat in enumerate(bar.beats):
            yield from _beat_pulses(bar, place, beat)


def _beat_pulses(bar: CountBar, place: int, beat: CountBeat) -> Iterator[Pulse]:
    flash = min(FLASH_SECONDS, beat.length / 3)
    lit = bool(beat.marks) and not beat.marks[0][0]
    for word, seconds in enumerate(beat.moments):
        if lit and seconds > flash:
            yield Pulse(beat.seconds + flash, bar, place, word - 1, False)
            lit = False
        yield Pulse(beat.seconds + seconds, bar, place, word, lit)
    if lit:
        yield Pulse(beat.seconds + flash, bar, place, len(beat.marks) - 1, False)
