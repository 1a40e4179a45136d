"""The heights of one line of engraving: stem ends, rows of signs, brackets and words.

All in staff spaces from the staff's top line, downwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from charts.notevalues import Event
from charts.pattern import CLOSED, DRAG, FLAM
from render.page import ink
from render.page.fonts import capital_height
from render.page.staff import COUNT_SIZE, BeatColumns, staff_y

UP, DOWN = -1, 1
STEM_LENGTH = 2.45  # least, from the outermost head to the outermost beam
GRACE_LENGTH = 0.5  # more where grace notes stand beside the head
HIGHEST_BEAM, LOWEST_BEAM = -1.4, 6.0  # stems reach at least so far
NO_HANDS, NO_FEET = -0.4, 4.4  # where the staff alone ends
EDGE = 0.2  # between stem ends and the first row
ROW, TUPLET_ROW, TEXT_ROW = 1.2, 1.65, 1.9  # heights of a row of signs, of brackets, of words


@dataclass(frozen=True)
class Levels:
    """Where stems end above and below; the middle of each row; baselines of words; the line's own reach."""

    up: float
    down: float
    hats: float
    accents: float
    tuplets: float
    low_accents: float
    low_tuplets: float
    counts: float
    sticking: float
    top: float
    bottom: float


@lru_cache(maxsize=2048)
def levels_of(beats: tuple[BeatColumns, ...]) -> Levels:
    """Heights of one line of beats, whatever its width."""
    columns = [column for beat in beats for column in beat.columns]
    hands = [column.hands for column in columns if column.hands]
    feet = [column.feet for column in columns if column.feet]
    up = min(HIGHEST_BEAM, *(stem_end(note, UP) for note in hands)) if hands else NO_HANDS
    down = max(LOWEST_BEAM, *(stem_end(note, DOWN) for note in feet)) if feet else NO_FEET
    open_hats = any(stroke.hat != CLOSED for note in hands for stroke in note.strokes)
    tuplets = any(beat.hands.tuplet for beat in beats)
    above, top = _rows(up, UP, [(ROW, open_hats), (ROW, _accented(hands)), (TUPLET_ROW, tuplets)])
    tuplets = any(beat.feet.tuplet for beat in beats)
    below, bottom = _rows(down, DOWN, [(ROW, _accented(feet)), (TUPLET_ROW, tuplets)])
    counts = bottom + 0.35 + capital_height() * COUNT_SIZE
    last = counts + TEXT_ROW if any(column.hand for column in columns) else counts
    return Levels(
        up, down, above[0], above[1], above[2], below[0], below[1],
        counts, counts + TEXT_ROW, min(top, -0.3), last + 0.15 * COUNT_SIZE,
    )  # fmt: skip


def _rows(edge: float, way: int, rows: Sequence[tuple[float, bool]]) -> tuple[list[float], float]:
    """Each row's middle, outwards from the stems, and where the last ends; one unused takes no room."""
    middles, at = [], edge + way * EDGE
    for height, used in rows:
        middles.append(at + way * height / 2)
        at += way * height if used else 0.0
    return middles, at


def _accented(notes: Sequence[Event]) -> bool:
    return any(stroke.accent for note in notes for stroke in note.strokes)


def stem_end(note: Event, way: int) -> float:
    """How far the note's stem must reach, for its beams and the grace notes beside it."""
    places = [staff_y(stroke.voice) for stroke in note.strokes]
    grace = GRACE_LENGTH if any(stroke.kind in (FLAM, DRAG) for stroke in note.strokes) else 0.0
    beams = ink.BEAM_STEP * max(0, note.flags - 1)
    return (min if way == UP else max)(places) + way * (STEM_LENGTH + beams + grace)
