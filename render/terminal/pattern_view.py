"""A pattern drawn with its count, accents and sticking under one another."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from charts.counting import count_onsets
from charts.feel import Feel
from charts.fitting.moments import Beats
from charts.kit import VOICES
from charts.pattern import Pattern, Stroke
from charts.rows import cell_of
from charts.ruler import EMPTY, Mark
from charts.verdict import nominal_onsets, sounding_place, swing_place
from render.terminal.ink import BOLD, DIM
from render.terminal.ruled import RuledRow

ACCENT = ">"


def heard_places(pattern: Pattern, feel: Feel, under: Beats) -> Callable[[Stroke], Fraction]:
    """Where in its beat each stroke sounds over a feel."""
    grids = [feel.grid(beat, bpm) for beat, bpm in under]
    nominal = [nominal_onsets(pattern, place, grid) for place, grid in enumerate(grids)]

    def place(stroke: Stroke) -> Fraction:
        grid = grids[stroke.beat]
        at = swing_place(stroke.at, grid.pairs) if pattern.swung else stroke.at
        return sounding_place(at, nominal[stroke.beat], grid)

    return place


def counts(
    pattern: Pattern, feel: Feel, under: Beats, numbers: Sequence[int], triplets: str
) -> list[tuple[Mark, ...]]:
    """The pattern's own count of each beat, where it sounds over a feel; empty beats say their number."""
    found = []
    for place, (beat, bpm) in enumerate(under):
        onsets = nominal_onsets(pattern, place, feel.grid(beat, bpm)) or (Fraction(0),)
        found.append(count_onsets(onsets, feel, beat, bpm, numbers[place], triplets))
    return found


def stroke_rows(
    pattern: Pattern, places: Callable[[Stroke], Fraction], found: Sequence[str] = ()
) -> list[RuledRow]:
    """A row of accents, one for each voice, and the sticking.

    ``found`` are the limbs that were worked out for a pattern that gives no hands; they are told as such.
    """
    rows = []
    if any(stroke.accent for stroke in pattern.strokes):
        rows.append(
            RuledRow("accent", _beats(pattern, places, lambda s: ACCENT if s.accent else ""), codes=(BOLD,))
        )
    for voice in pattern.voices:
        rows.append(RuledRow(voice, _beats(pattern, places, _in_voice(voice)), EMPTY))
    hands = {stroke: stroke.hand for stroke in pattern.strokes}
    if found and not pattern.stuck:
        hands = {s: limb if s.by_hand else "" for s, limb in zip(pattern.strokes, found, strict=True)}
    if any(hands.values()):
        label = "stick" if pattern.stuck else "hands"
        rows.append(
            RuledRow(label, _beats(pattern, places, lambda s: hands[s]), codes=(DIM,) if found else ())
        )
    return rows


def _beats(
    pattern: Pattern, places: Callable[[Stroke], Fraction], letter: Callable[[Stroke], str]
) -> tuple[tuple[Mark, ...], ...]:
    """The marks of one row, beat by beat; two at one place become one, both hands B."""
    found = []
    for beat in pattern.by_beat:
        marks: dict[Fraction, str] = {}
        for stroke in beat:
            said = letter(stroke)
            if said:
                known = marks.get(places(stroke), said)
                marks[places(stroke)] = said if known == said else "B"
        found.append(tuple(sorted(marks.items())))
    return tuple(found)


def _in_voice(voice: str) -> Callable[[Stroke], str]:
    return lambda stroke: cell_of(stroke) if stroke.voice == voice else ""


def kit_words(*patterns: Pattern) -> str:
    """The voices of patterns in words: SD snare, T1 high tom."""
    played = {voice for pattern in patterns for voice in pattern.voices}
    return ", ".join(f"{code} {voice.name}" for code, voice in VOICES.items() if code in played)
