"""The words below a section's bars: cues, hits, stops, holds, fills and changes, each with its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from charts.played import PlayedSection
from charts.song import FillUse, Place, Section, Stop, TempoMark, which_time
from charts.timing import Meter
from charts.wording import figure
from render.page.fills import UsedFill
from render.page.fonts import BOLD
from render.page.marks import MOST_LETTERS, place_in_bar
from render.page.signs import HALF, QUARTER
from render.page.signs import TEXT_DOT as DOT
from render.page.text import Piece, sign, tied, unbroken, words
from render.page.theme import ACCENT

NOTES = {Fraction(1): QUARTER, Fraction(3, 2): QUARTER + DOT, Fraction(2): HALF}
NOTE_GAP = 0.8  # units between notes in a running line


@dataclass(frozen=True)
class Note:
    """Words that belong to a bar, ``at`` its place in it; ``place`` is how the bar is called."""

    bar: int
    at: float
    place: str
    pieces: tuple[Piece, ...]
    exit: bool = False  # belongs to the section's end
    boxed: bool = False  # the box of its bar says as much already
    ends: bool = False  # is played at the bar's end, behind all else in it
    first: float = 0.0  # where what it tells starts, if not where it hangs
    listed: tuple[str, str] = ("", "")  # what is said in a running text of all of a kind: noun, place

    @cached_property
    def spaced(self) -> tuple[Piece, ...]:
        """Its words with room before them, to stand behind another note."""
        return (self.pieces[0]._replace(space=NOTE_GAP), *self.pieces[1:])


def tempo_text(meter: Meter, tempo: Fraction) -> str:
    """A tempo with the note that it counts.

    >>> tempo_text(Meter.read("4/4"), Fraction(96))
    '♩ = 96'
    """
    return f"{NOTES[meter.unit_quarters]} = {figure(tempo)}"


def tempo_sign(meter: Meter, tempo: Fraction, to: Fraction | None, tip: bool = True) -> list[Piece]:
    """A tempo as a sign that may break before where it leads."""
    parts = [unbroken(tempo_text(meter, tempo), "tempo change")]
    if to is not None:
        parts.append(unbroken(f"to {figure(to)}", "tempo change", space=0.26))
    return sign(parts, space=0.4, tip=tip)


def section_notes(part: PlayedSection, fills: Sequence[UsedFill]) -> list[Note]:
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
    notes += _hits(part)
    notes += [_stop(part, stop) for stop in section.stops]
    for hold in section.holds:
        text = f"hold {hold.place.in_bar}" + (f" ({figure(hold.seconds)} s)" if hold.seconds else "")
        add(hold.place.bar, place_in_bar(part, hold.place), str(hold.place.bar), words(text, "hits"))
    for fill in fills:
        said = _fill_words(section, fill.use)
        letter = unbroken(fill.number, "fill letter", BOLD, role=ACCENT)
        boxed = not (said or _crowded(section, fill.use))
        label, pieces = str(fill.use.bar), tuple(tied([letter, *said]))
        notes.append(Note(fill.use.bar, 0.0, label, pieces, boxed=boxed, ends=True))
    notes = [_hung_in_order(note, notes) for note in notes]
    notes.sort(key=lambda note: (note.bar, note.ends, max(note.at, note.first)))
    if section.until:
        until = [unbroken("→", "cue", BOLD), *words(f"until {section.until}", "cue", BOLD, space=0.25)]
        notes.append(Note(section.bars, 1.0, "", tuple(tied(until)), exit=True))
    return notes


def _tempo_mark(section: Section, mark: TempoMark) -> list[Piece]:
    marked = tempo_sign(section.meter, mark.tempo, mark.to, tip=False)
    when = which_time(mark.pass_, section.times)
    return [*marked, *words(when, "cue", space=0.3)] if when else marked


def _fill_words(section: Section, use: FillUse) -> list[Piece]:
    """Said of a fill below its bar: on which pass, and where it lands if not on the bar line."""
    said = [which_time(use.pass_, section.times)]
    if use.landing is not None:
        said.append(f"lands {use.landing.in_bar}")
    return words(", ".join(part for part in said if part), "cue", space=0.28)


def _crowded(section: Section, use: FillUse) -> bool:
    """More fills end in one bar than its box can name."""
    return sum(other.bar == use.bar for other in section.fills) > MOST_LETTERS


def _hits(part: PlayedSection) -> list[Note]:
    """Each bar's hits as they are counted, from the first on: “hits 1 2&”."""
    bars: dict[int, dict[float, Place]] = {}
    for hit in part.section.hits:
        bars.setdefault(hit.bar, {})[place_in_bar(part, hit)] = hit
    notes = []
    for bar, found in bars.items():
        hits = [found[at] for at in sorted(found)]
        told = tuple(words(f"hits {' '.join(hit.in_bar for hit in hits)}", "hits"))
        listed = ("hits", " ".join(hit.in_full for hit in hits))
        notes.append(Note(bar, 0.0, str(bar), told, listed=listed, first=min(found)))
    return notes


def _hung_in_order(note: Note, notes: Sequence[Note]) -> Note:
    """A note hangs at its bar's start; where another comes before it in the bar, at its own place."""
    between = any(other.bar == note.bar and 0 < other.at < note.first for other in notes)
    return replace(note, at=note.first) if between else note


def _stop(part: PlayedSection, stop: Stop) -> Note:
    """A stop as it is counted: “stop 2–4” in its own bar, “stop 1.2–4.2” over several."""
    start, end = stop.start, stop.end
    if end is None:
        told, full = start.in_bar, start.in_full
    elif end.bar == start.bar:
        told, full = f"{start.in_bar}–{end.in_bar}", f"{start.in_full}–{end.in_bar}"
    else:
        told = full = f"{start.in_full}–{end.in_full}"
    pieces = tuple(words(f"stop {told}", "hits"))
    return Note(start.bar, place_in_bar(part, start), str(start.bar), pieces, listed=("stop", full))
