"""The row notation, written: one common division a beat, rows in the kit's order."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import lcm

from charts.kit import VOICES
from charts.notation import HAT_LETTERS, MOST_CELLS, STICK
from charts.pattern import BUZZ, DRAG, FLAM, GHOST, PLAIN, Pattern, Stroke, division

_LETTERS = {GHOST: "g", FLAM: "f", DRAG: "d", BUZZ: "z"}
_HAT_CELLS = {how: letter for letter, how in HAT_LETTERS.items()}


def cell_of(stroke: Stroke) -> str:
    """The letter of a stroke in its row."""
    if stroke.kind != PLAIN:
        letter = _LETTERS[stroke.kind]
    elif stroke.voice == "HH":
        letter = _HAT_CELLS[stroke.hat]
    else:
        letter = "x" if VOICES[stroke.voice].family == "cymbal" else "o"
    return letter.upper() if stroke.accent else letter


def write_rows(pattern: Pattern, divisions: Iterable[int] | None = None) -> str:
    """The pattern in row notation: one common division a beat, the coarsest that holds it.

    ``divisions`` asks for at least these cells per beat (each a multiple of what the beat needs).
    """
    wanted = list(divisions) if divisions is not None else [1] * pattern.beats
    beats = [lcm(division(onsets), cells) for onsets, cells in zip(pattern.onsets, wanted, strict=True)]
    split = [cells > MOST_CELLS for cells in beats]
    labels = [*pattern.voices, *([STICK] if pattern.stuck else [])]
    width = max((len(label) for label in labels), default=2) + 1
    rows = [(v, [s for s in pattern.strokes if s.voice == v], cell_of) for v in pattern.voices]
    if pattern.stuck:
        rows.append((STICK, [s for s in pattern.strokes if s.hand], _hand_of))
    lines = []
    for label, strokes, letter in rows:
        groups = [_group(strokes, n, cells, split[n], letter) for n, cells in enumerate(beats)]
        lines.append(f"{label:<{width}}{'|'.join(groups)}")
    if not lines:
        lines = ["SD " + "|".join("." * cells for cells in beats)]
    return "\n".join(lines) + "\n"


def _hand_of(stroke: Stroke) -> str:
    return stroke.hand


def _group(strokes: list[Stroke], beat: int, cells: int, split: bool, letter: Callable[[Stroke], str]) -> str:
    here = [s for s in strokes if s.beat == beat]
    if split:
        cells = division(s.at for s in here)
    row = ["."] * cells
    for stroke in here:
        row[int(stroke.at * cells)] = letter(stroke)
    return "".join(row)
