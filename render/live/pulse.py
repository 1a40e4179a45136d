"""What is to be seen when: the count-in, and the bars after it, as pulses with exact times."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from charts.counting import TRIPLETS, UNSPOKEN, count_grid
from charts.feel import Feel
from charts.played import PlayedBar, PlayedSection, count_in_seconds, played
from charts.ruler import Mark
from charts.song import Song
from charts.timing import Beat

FLASH_SECONDS = 0.12  # how long a beat lights up, at most a third of the beat


@dataclass(frozen=True, slots=True)
class CountBeat:
    """One beat on the screen: its number, what is counted in it, and seconds from the start."""

    number: int
    marks: tuple[Mark, ...]
    seconds: float
    length: float
    tempo: Fraction


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


def spoken_grid(feel: Feel, beat: Beat, bpm: Fraction, number: int, triplets: str) -> tuple[Mark, ...]:
    """What is said in a beat, at the places where it sounds."""
    counted = count_grid(feel, beat, bpm, number, triplets)
    return tuple((at, word) for at, word in counted if word != UNSPOKEN)


def count_in(song: Song, triplets: str = TRIPLETS) -> tuple[CountBar, ...]:
    """The count-in: whole bars of the first section's meter, then single beats; then the pickup, if any."""
    first = song.form[0]
    beats = first.meter_of(1).beats
    bars = [("count-in", beats)] * song.count_in.bars
    if song.count_in.beats:
        bars.append(("count-in", tuple(beats[place % len(beats)] for place in range(song.count_in.beats))))
    found, seconds = [], 0.0
    for place, (label, shapes) in enumerate(bars, start=1):
        label = label if len(bars) == 1 else f"{label}, bar {place} of {len(bars)}"
        laid = list(_lay(first.feel, first.tempo, shapes, 1, seconds, triplets))
        found.append(CountBar(label, tuple(laid)))
        seconds = laid[-1].seconds + laid[-1].length
    if song.pickup:
        found.append(CountBar("pickup", tuple(_pickup(song, seconds, triplets))))
    return tuple(found)


def _lay(
    feel: Feel, bpm: Fraction, shapes: tuple[Beat, ...], number: int, seconds: float, triplets: str
) -> Iterator[CountBeat]:
    units = Fraction(0)
    for shape in shapes:
        marks = spoken_grid(feel, shape, bpm, number, triplets)
        start, length = seconds + float(60 * units / bpm), float(60 * shape.units / bpm)
        yield CountBeat(number, marks, start, length, bpm)
        units += shape.units
        number += 1


def _pickup(song: Song, seconds: float, triplets: str) -> Iterator[CountBeat]:
    """The bar's last beats; one that starts inside a beat is counted from there."""
    first = song.form[0]
    beats, left = first.meter_of(1).beats, song.pickup
    number = len(beats)
    shapes = []
    while left > 0:
        shape = beats[(number - 1) % len(beats)]
        shapes.append((shape, min(left, shape.units)))
        left -= shape.units
        number -= 1
    for shape, part in reversed(shapes):
        number += 1
        silent = 1 - part / shape.units
        spoken = spoken_grid(first.feel, shape, first.tempo, (number - 1) % len(beats) + 1, triplets)
        marks = tuple(((at - silent) / (1 - silent), word) for at, word in spoken if at >= silent)
        length = float(60 * part / first.tempo)
        yield CountBeat((number - 1) % len(beats) + 1, marks, seconds, length, first.tempo)
        seconds += length


def bars_after(song: Song, bars: int, triplets: str = TRIPLETS) -> Iterator[CountBar]:
    """The song's first bars as played, after its count-in."""
    start = count_in_seconds(song)
    left = bars
    for part in played(song):
        for bar in part.bars():
            if left < 1:
                return
            yield CountBar(_bar_label(part, bar), tuple(_played_beats(bar, start, triplets)))
            left -= 1


def _played_beats(bar: PlayedBar, start: float, triplets: str) -> Iterator[CountBeat]:
    for beat in bar.beats:
        marks = spoken_grid(bar.feel, beat.beat, beat.tempo, beat.number, triplets)
        yield CountBeat(beat.number, marks, start + beat.seconds, beat.length, beat.tempo)


def _bar_label(part: PlayedSection, bar: PlayedBar) -> str:
    section = part.section
    passes = f", pass {bar.pass_} of {section.times}" if section.times > 1 else ""
    return f"{section.name}, bar {bar.bar} of {section.bars}{passes}"


def pulses(bars: Iterator[CountBar] | tuple[CountBar, ...]) -> Iterator[Pulse]:
    """The moments of some bars in order: every word, and the end of every flash."""
    for bar in bars:
        for place, beat in enumerate(bar.beats):
            yield from _beat_pulses(bar, place, beat)


def _beat_pulses(bar: CountBar, place: int, beat: CountBeat) -> Iterator[Pulse]:
    flash = min(FLASH_SECONDS, beat.length / 3)
    moments = [(float(at) * beat.length, word) for word, (at, _) in enumerate(beat.marks)]
    lit = bool(moments) and moments[0][0] == 0
    for seconds, word in moments:
        if lit and seconds > flash:
            yield Pulse(beat.seconds + flash, bar, place, word - 1, False)
            lit = False
        yield Pulse(beat.seconds + seconds, bar, place, word, lit)
    if lit:
        yield Pulse(beat.seconds + flash, bar, place, len(moments) - 1, False)
