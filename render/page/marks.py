"""What stands in a section's bars: hits, stops, holds and fills at their exact places, and the words below.

Places in a bar run from 0 to 1 of its length, as they sound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property, lru_cache

from charts.played import PlayedSection
from charts.song import EACH, LAST, FillUse, Place, Section, Stop, TempoMark
from charts.timing import Meter
from render.page.fills import Lettered
from render.page.fonts import BOLD
from render.page.glyphs import DOT, HALF, QUARTER
from render.page.text import Piece, sign, unbroken, words
from render.page.theme import ACCENT
from render.terminal.words import number

NOTES = {Fraction(1): QUARTER, Fraction(3, 2): QUARTER + DOT, Fraction(2): HALF}
NOTE_GAP = 0.8  # units between notes in a running line
MOST_LETTERS = 2  # fills lettered inside one bar; more stand below it


@dataclass
class BarMarks:
    """The marks of one bar."""

    hits: list[float] = field(default_factory=list)
    stops: list[tuple[float, float | None]] = field(default_factory=list)  # a stop, or a span of the bar
    holds: list[float] = field(default_factory=list)
    bands: list[tuple[float, float, bool]] = field(default_factory=list)  # fills: from, to, reaches back
    letters: list[str] = field(default_factory=list)
    beats: tuple[float, ...] = ()

    @property
    def timed(self) -> bool:
        """True where something stands at a place that must be read exactly."""
        return bool(self.hits or self.stops or self.holds)


@dataclass(frozen=True)
class Note:
    """Words that belong to a bar, ``at`` its place in it; ``place`` is how the bar is called."""

    bar: int
    at: float
    place: str
    pieces: tuple[Piece, ...]
    exit: bool = False  # belongs to the section's end
    boxed: bool = False  # the box of its bar says as much already
    listed: tuple[str, str] = ("", "")  # what is said in a running text of all of a kind: noun, place

    @cached_property
    def spaced(self) -> tuple[Piece, ...]:
        """Its words with room before them, to stand behind another note."""
        return (replace(self.pieces[0], space=NOTE_GAP), *self.pieces[1:])


def tempo_text(meter: Meter, tempo: Fraction, to: Fraction | None = None) -> str:
    """A tempo with the note that it counts.

    >>> tempo_text(Meter.read("4/4"), Fraction(96), Fraction(72))
    '♩ = 96 to 72'
    """
    ending = "" if to is None else f" to {number(to)}"
    return f"{NOTES[meter.unit_quarters]} = {number(tempo)}{ending}"


def tempo_sign(meter: Meter, tempo: Fraction, to: Fraction | None, tip: bool = True) -> list[Piece]:
    """A tempo as a sign that may break before where it leads."""
    parts = [unbroken(tempo_text(meter, tempo), "tempo change")]
    if to is not None:
        parts.append(unbroken(f"to {number(to)}", "tempo change", space=0.26))
    return sign(parts, space=0.4, tip=tip)


@lru_cache(maxsize=512)
def beat_places(meter: Meter) -> tuple[float, ...]:
    """Where each beat starts, 0 to 1 of the bar."""
    found, at = [], Fraction(0)
    for beat in meter.beats:
        found.append(float(at / meter.units))
        at += beat.units
    return tuple(found)


def place_in_bar(part: PlayedSection, place: Place) -> float:
    """Where a place sounds, 0 to 1 of its bar, in the section's last pass."""
    section = part.section
    meter = section.meter_of(place.bar)
    beat = meter.beats[place.beat - 1]
    before = sum((b.units for b in meter.beats[: place.beat - 1]), Fraction(0))
    tempo = section.tempo
    if place.offset and section.feel.swings:
        tempo = part.clock.tempo_at(part.clock.beat_start(section.times, place.bar, place.beat))
    return float((before + place.at(beat, section.feel, tempo) * beat.units) / meter.units)


def bar_marks(part: PlayedSection, fills: Sequence[Lettered]) -> dict[int, BarMarks]:
    """The marks of every bar that has any."""
    section = part.section
    found: dict[int, BarMarks] = {}

    def bar(number_: int) -> BarMarks:
        if number_ not in found:
            found[number_] = BarMarks(beats=beat_places(section.meter_of(number_)))
        return found[number_]

    for hit in section.hits:
        bar(hit.bar).hits.append(place_in_bar(part, hit))
    for stop in section.stops:
        for number_, start, end in _stretch(part, stop.start, stop.end):
            bar(number_).stops.append((start, end))
    for hold in section.holds:
        bar(hold.place.bar).holds.append(place_in_bar(part, hold.place))
    for fill in fills:
        for number_, start, end, back in _fill_stretch(part, fill):
            bar(number_).bands.append((start, end, back))
        named = bar(fill.use.bar).letters
        if fill.letter not in named:
            named.append(fill.letter)
    for marks in found.values():
        marks.hits = sorted(set(marks.hits))
        marks.bands = _merged(marks.bands)
    return found


def _stretch(
    part: PlayedSection, start: Place, end: Place | None
) -> Iterator[tuple[int, float, float | None]]:
    """A stop, bar by bar; the end of a span counts whole."""
    first = place_in_bar(part, start)
    if end is None:
        yield start.bar, first, None
        return
    for number_ in range(start.bar, end.bar + 1):
        last = 1.0
        if number_ == end.bar:
            beats = (*beat_places(part.section.meter_of(end.bar)), 1.0)
            last = beats[end.beat]
        yield number_, first if number_ == start.bar else 0.0, last


def _fill_stretch(part: PlayedSection, fill: Lettered) -> list[tuple[int, float, float, bool]]:
    """Where a fill is played, bar by bar of the section: from, to, and whether it began before bar 1."""
    section, use = part.section, fill.use
    end_bar, end = use.bar, 1.0
    if use.landing is not None:
        end_bar, end = use.landing.bar, place_in_bar(part, use.landing)
        if end == 0.0 and end_bar > 1:
            end_bar, end = end_bar - 1, 1.0
    if fill.placed is None:
        return [(end_bar, max(0.0, end - 0.25), end, False)]
    first = fill.placed.beats[0]
    back = first.bar < 1
    start = 0.0 if back else beat_places(section.meter_of(first.bar))[first.number - 1]
    found = []
    for number_ in range(max(1, first.bar), end_bar + 1):
        left = start if number_ == max(1, first.bar) else 0.0
        right = end if number_ == end_bar else 1.0
        if right > left:
            found.append((number_, left, right, back and number_ == 1))
    return found


def _merged(bands: Sequence[tuple[float, float, bool]]) -> list[tuple[float, float, bool]]:
    merged: list[tuple[float, float, bool]] = []
    for start, end, back in sorted(bands):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]), merged[-1][2] or back)
        else:
            merged.append((start, end, back))
    return merged


def section_notes(part: PlayedSection, fills: Sequence[Lettered]) -> list[Note]:
    """The words below the bars, in order of place: odd bars, tempo marks, cues, hits, stops, holds, fills."""
    section = part.section
    notes: list[Note] = []

    def add(bar: int, at: float, label: str, pieces: Sequence[Piece]) -> None:
        notes.append(Note(bar, at, label, tuple(pieces)))

    for bar, meter in sorted(section.odd_bars.items()):
        add(bar, 0.0, str(bar), sign([unbroken(str(meter), "meter")]))
    for mark in section.tempos:
        add(mark.bar, 0.0, str(mark.bar), _tempo_mark(section, mark))
    for cue in section.cues:
        at = place_in_bar(part, cue.place)
        add(cue.place.bar, at, str(cue.place), words(cue.text, "cue"))
    notes += _hits(section)
    notes += [_stop(part, stop) for stop in section.stops]
    for hold in section.holds:
        text = f"hold {_in_bar(hold.place)}" + (f" ({number(hold.seconds)} s)" if hold.seconds else "")
        add(hold.place.bar, place_in_bar(part, hold.place), str(hold.place.bar), words(text, "hits"))
    for fill in fills:
        said = _fill_words(section, fill.use)
        letter = unbroken(fill.letter, "fill letter", BOLD, role=ACCENT)
        boxed = not (said or _crowded(section, fill.use))
        notes.append(Note(fill.use.bar, 0.0, str(fill.use.bar), (letter, *said), boxed=boxed))
    notes.sort(key=lambda note: (note.bar, note.at))
    if section.until:
        until = [unbroken("→", "cue", BOLD), *words(f"until {section.until}", "cue", BOLD, space=0.25)]
        notes.append(Note(section.bars, 1.0, "", tuple(until), exit=True))
    return notes


def _tempo_mark(section: Section, mark: TempoMark) -> list[Piece]:
    marked = tempo_sign(section.meter, mark.tempo, mark.to, tip=False)
    when = _pass_words(section, mark.pass_)
    return [*marked, *words(when, "cue", space=0.3)] if when else marked


def _pass_words(section: Section, pass_: str | int) -> str:
    """On which pass, in words; nothing where it is every one."""
    if section.times == 1 or pass_ == EACH:
        return ""
    if section.open:
        return "last time" if pass_ in (LAST, section.times) else f"{ordinal(int(pass_))} time"
    return f"{ordinal(section.times if pass_ == LAST else int(pass_))} time"


def ordinal(value: int) -> str:
    """A number as it is read in a row.

    >>> ordinal(1), ordinal(2), ordinal(11), ordinal(23)
    ('1st', '2nd', '11th', '23rd')
    """
    ending = "th" if 10 < value % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(value % 10, "th")
    return f"{value}{ending}"


def _fill_words(section: Section, use: FillUse) -> list[Piece]:
    """Said of a fill below its bar: on which pass, and where it lands if not on the bar line."""
    said = [_pass_words(section, use.pass_)]
    if use.landing is not None:
        said.append(f"lands {_in_bar(use.landing)}")
    return words(", ".join(part for part in said if part), "cue", space=0.28)


def _crowded(section: Section, use: FillUse) -> bool:
    """More fills end in one bar than its box can name."""
    return sum(other.bar == use.bar for other in section.fills) > MOST_LETTERS


def _hits(section: Section) -> list[Note]:
    """Each bar's hits as they are counted: “hits 1 2&”."""
    bars: dict[int, dict[str, str]] = {}
    for hit in section.hits:
        bars.setdefault(hit.bar, {})[_in_bar(hit)] = _full(hit)
    return [
        Note(
            bar, 0.0, str(bar), tuple(words(f"hits {' '.join(found)}", "hits")),
            listed=("hits", " ".join(found.values())),
        )
        for bar, found in bars.items()
    ]  # fmt: skip


def _stop(part: PlayedSection, stop: Stop) -> Note:
    """A stop as it is counted: “stop 2–4” in its own bar, “stop 1.2–4.2” over several."""
    start, end = stop.start, stop.end
    if end is None:
        told, full = _in_bar(start), _full(start)
    elif end.bar == start.bar:
        told, full = f"{_in_bar(start)}–{_in_bar(end)}", f"{_full(start)}–{_in_bar(end)}"
    else:
        told = full = f"{_full(start)}–{_full(end)}"
    pieces = tuple(words(f"stop {told}", "hits"))
    return Note(start.bar, place_in_bar(part, start), str(start.bar), pieces, listed=("stop", full))


def _full(place: Place) -> str:
    """A place with its bar, as a chart writes it.

    >>> _full(Place(7)), _full(Place(7, 2, "&"))
    ('7.1', '7.2&')
    """
    return f"{place.bar}.{_in_bar(place)}"


def _in_bar(place: Place) -> str:
    """A place as it is counted inside its bar.

    >>> _in_bar(Place(3, 2, "&"))
    '2&'
    """
    if not place.offset:
        return str(place.beat)
    return f"{place.beat}{place.offset}" if isinstance(place.offset, str) else f"{place.beat}+{place.offset}"
