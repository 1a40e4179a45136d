"""One voice of rhythm drawn, stems up: heads, stems, beams, flags, rests, dots, tuplets, ornaments.

Fills on the staff, hits over a bar and the notes of a feel are all written by this. Values come from
``charts.notevalues``, which writes scores too. Lengths in staff spaces; x is the middle of a head of the
usual shape, y grows downwards from the staff's top line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from charts.kit import VOICES
from charts.notevalues import Event, beams, beat_events
from charts.pattern import BUZZ, DRAG, FLAM, GHOST, Stroke
from charts.timing import Beat
from render.page import signs
from render.page.fonts import Extent, extent, music
from render.page.model import Pen
from render.page.theme import INK

HALF_HEAD = 0.59
STEM_X = HALF_HEAD - signs.STEM / 2  # the middle of a stem, from the middle of its head
STEM_LENGTH = 3.5  # least, from the highest head to the outermost beam or the end
HIGH_STEM = 2.6  # the same of a note without flags whose head is at the top of the staff or over it
MORE_BEAMS = 0.75  # longer for each beam or flag after the second
STUB = 1.1  # of a beam that only one note has
PAREN_GAP, GRACE_GAP, DOT_GAP = 0.06, 0.22, 0.3
CHORD_PAREN = 0.66  # size of parentheses over one another
GRACE_SIZE, GRACE_STEP, GRACE_STEM, GRACE_BEAM = 0.6, 1.0, 2.1, 0.32
GRACE_ROOM = 0.5  # a stem is longer where grace notes lie under its beam
ASIDE = 1.06  # how far to the right a head lies that is a step from another
DIGIT = 0.9  # size of a tuplet's figure
FIGURE_GAP, HOOK = 0.35, 0.5
HeadAt = Callable[[str], float]  # where a voice's head lies


@dataclass(frozen=True)
class Written:
    """One beat as it is written; ``figure`` is that of its tuplet, 0 where there is none."""

    events: tuple[Event, ...]
    figure: int

    @cached_property
    def beams(self) -> list[list[str]]:
        """Each event's beams, outermost first, as in scores."""
        return beams(self.events)

    @property
    def bracketed(self) -> bool:
        """True where no single beam shows how far the tuplet goes."""
        outer = [found[0] if found else "" for found in self.beams]
        return outer[0] != "begin" or "end" not in outer[-1] or outer.count("begin") > 1


def write(beat: Beat, strokes: Sequence[Stroke]) -> Written:
    """All strokes of a beat as one voice.

    >>> from fractions import Fraction
    >>> from charts.timing import Meter
    >>> write(Meter.read("4/4").beats[0], [Stroke(0, Fraction(2, 3), "SD")]).figure
    3
    """
    events = beat_events(beat, tuple(strokes))
    return Written(events, events[0].tuplet.actual if events[0].tuplet else 0)


def ink_before(event: Event) -> float:
    """How far an event reaches left of its middle."""
    if not event.strokes:
        left, _, right, _ = rest_extent(event)
        return (right - left) / 2
    kinds = {stroke.kind for stroke in event.strokes}
    room = HALF_HEAD + _around(event)
    if FLAM in kinds:
        room += GRACE_GAP + extent(signs.FLAM)[2]
    if DRAG in kinds:
        room += GRACE_GAP + GRACE_STEP + 1.18 * GRACE_SIZE
    return room


def ink_after(event: Event, beamed: bool) -> float:
    """How far an event reaches right of its middle."""
    dots = event.dots * (DOT_GAP + 0.4)
    if not event.strokes:
        return ink_before(event) + dots
    room = HALF_HEAD + _around(event) + (ASIDE if _has_second(event) else 0.0)
    flag = 0.0 if beamed or not event.flags else STEM_X + extent(signs.FLAGS[event.flags - 1])[2]
    return max(room + dots, flag)


def _around(event: Event) -> float:
    """Room at both sides of a head: for a ghost's parentheses, or for a ledger line."""
    paren = PAREN_GAP + 0.44 if any(stroke.kind == GHOST for stroke in event.strokes) else 0.0
    ledger = signs.LEDGER_BEYOND if min(staff_y(stroke.voice) for stroke in event.strokes) <= -1 else 0.0
    return max(paren, ledger)


def _has_second(event: Event) -> bool:
    places = sorted(staff_y(stroke.voice) for stroke in event.strokes)
    return any(b - a < 1 for a, b in pairwise(places))


_STEPS = {letter: place for place, letter in enumerate("CDEFGAB")}
_TOP_LINE = 5 * 7 + _STEPS["F"]


def staff_y(voice: str) -> float:
    """Spaces below the staff's top line; above it negative.

    >>> staff_y("SD"), staff_y("BD"), staff_y("HH"), staff_y("C1")
    (1.5, 3.5, -0.5, -1.0)
    """
    letter, octave = VOICES[voice].staff[0], int(VOICES[voice].staff[1:])
    return (_TOP_LINE - octave * 7 - _STEPS[letter]) / 2


def stem_top(event: Event, at: HeadAt) -> float:
    """Where the stem must end at least, for its flags or beams and the grace notes beside it."""
    grace = GRACE_ROOM if any(stroke.kind in (FLAM, DRAG) for stroke in event.strokes) else 0.0
    longer = MORE_BEAMS * max(0, event.flags - 2) + grace
    head = min(at(stroke.voice) for stroke in event.strokes)
    return head - (HIGH_STEM if head <= 0 and not event.flags else STEM_LENGTH) - longer


def beam_level(beats: Sequence[Written], at: HeadAt, lowest: float) -> float:
    """The one height at which all beams lie, so that they are level; no lower than ``lowest``."""
    tops = (stem_top(event, at) for each in beats for event, beam in _beamed(each) if beam)
    return min(lowest, *tops, lowest)


def _beamed(beat: Written) -> Iterator[tuple[Event, bool]]:
    yield from ((e, bool(b)) for e, b in zip(beat.events, beat.beams, strict=True) if e.strokes)


def tops(beat: Written, at: HeadAt, level: float) -> list[float]:
    """How high each event's ink reaches: its stem or beam, its flag, its rest."""
    found = []
    for event, beam in zip(beat.events, beat.beams, strict=True):
        if not event.strokes:
            found.append(2.0 + rest_extent(event)[1])
            continue
        end = level if beam else stem_top(event, at)
        flags = extent(signs.FLAGS[event.flags - 1])[1] if event.flags and not beam else 0.0
        found.append(end + min(0.0, flags))
    return found


def paint_beat(
    pen: Pen, beat: Written, xs: Sequence[float], at: HeadAt, level: float, roles: Sequence[str]
) -> None:
    """Draw the notes of a beat, each event at its x in its color; rests and figures are drawn apart."""
    for event, beam, x, role in zip(beat.events, beat.beams, xs, roles, strict=True):
        if event.strokes:
            paint_note(pen, x, event, at, level if beam else None, role)
    for depth in range(max((len(found) for found in beat.beams), default=0)):
        y = level + depth * signs.BEAM_STEP
        for left, right in _beam_spans([found[depth : depth + 1] for found in beat.beams], xs):
            half = signs.STEM / 2
            pen.rect(left + STEM_X - half, y, right - left + 2 * half, signs.BEAM, roles[0])


def _beam_spans(words: Sequence[Sequence[str]], xs: Sequence[float]) -> Iterator[tuple[float, float]]:
    """From where to where the beams of one depth reach."""
    start = 0.0
    for found, x in zip(words, xs, strict=True):
        for word in found:
            if word == "begin":
                start = x
            elif word == "end":
                yield start, x
            elif word == "forward hook":
                yield x, x + STUB
            elif word == "backward hook":
                yield x - STUB, x


def paint_note(pen: Pen, x: float, event: Event, at: HeadAt, level: float | None, role: str) -> None:
    """A note or chord with its stem; ``level`` is that of its beam, None where it has flags or neither."""
    before = None
    for stroke in sorted(event.strokes, key=lambda s: -at(s.voice)):
        y = at(stroke.voice)
        aside = before is not None and before - y < 1
        _paint_head(pen, x + (ASIDE if aside else 0.0), y, stroke, event.hollow, role)
        if stroke.kind == GHOST:
            _paint_parentheses(pen, x, y, event, role)
        if stroke.kind == FLAM:
            pen.sign(x - HALF_HEAD - GRACE_GAP - extent(signs.FLAM)[2], y, signs.FLAM, 1.0, role)
        if stroke.kind == DRAG:
            _paint_drag(pen, x - HALF_HEAD - GRACE_GAP - 1.18 * GRACE_SIZE, y, role)
        before = None if aside else y
    places = [at(stroke.voice) for stroke in event.strokes]
    beside = ASIDE if _has_second(event) else 0.0
    for dot in range(event.dots):
        for y in sorted({y if y % 1 else y - 0.5 for y in places}):
            pen.sign(x + HALF_HEAD + beside + DOT_GAP + dot * 0.6, y, signs.DOT, 1.0, role)
    lowest = max(event.strokes, key=lambda s: at(s.voice))
    end = stem_top(event, at) if level is None else level
    foot = max(places) + signs.STEM_UP[_head(lowest, event.hollow)][1]
    pen.line(x + STEM_X, foot, x + STEM_X, end, signs.STEM, role)
    beams = max(0, event.flags - 1) * signs.BEAM_STEP + signs.BEAM if event.flags else 0.0
    if any(stroke.kind == BUZZ for stroke in event.strokes):
        pen.sign(x + STEM_X, (min(places) - 0.5 + end + beams) / 2, signs.BUZZ, 1.0, role)
    if event.flags and level is None:
        pen.sign(x + STEM_X - signs.STEM / 2, end, signs.FLAGS[event.flags - 1], 1.0, role)


def _head(stroke: Stroke, hollow: bool) -> str:
    return signs.HEADS[VOICES[stroke.voice].head, hollow]


def _paint_head(pen: Pen, x: float, y: float, stroke: Stroke, hollow: bool, role: str) -> None:
    sign = _head(stroke, hollow)
    left = x + HALF_HEAD - signs.STEM_UP[sign][0]
    right = left + extent(sign)[2]
    pen.sign(left, y, sign, 1.0, role)
    for ledger in range(-1, int(y) - 1, -1):
        beyond = signs.LEDGER_BEYOND
        pen.line(left - beyond, ledger, right + beyond, ledger, signs.LEDGER, role)


def _paint_parentheses(pen: Pen, x: float, y: float, event: Event, role: str) -> None:
    """Round a ghost's head, and round the one beside it; smaller where heads over one another have them."""
    size = 1.0 if sum(stroke.kind == GHOST for stroke in event.strokes) == 1 else CHORD_PAREN
    right = x + HALF_HEAD + (ASIDE if _has_second(event) else 0.0) + PAREN_GAP
    pen.sign(x - HALF_HEAD - PAREN_GAP - extent(signs.PAREN_LEFT)[2] * size, y, signs.PAREN_LEFT, size, role)
    pen.sign(right - extent(signs.PAREN_RIGHT)[0] * size, y, signs.PAREN_RIGHT, size, role)


def _paint_drag(pen: Pen, right: float, y: float, role: str) -> None:
    """Two small notes under a double beam; ``right`` is the left edge of the second."""
    lefts = (right - GRACE_STEP, right)
    stems = [left + 1.18 * GRACE_SIZE - 0.04 for left in lefts]
    for left, stem in zip(lefts, stems, strict=True):
        pen.sign(left, y, signs.HEADS["normal", False], GRACE_SIZE, role)
        pen.line(stem, y - 0.1, stem, y - GRACE_STEM, 0.08, role)
    for beam in range(2):
        pen.rect(stems[0] - 0.04, y - GRACE_STEM + beam * 0.5, GRACE_STEP + 0.08, GRACE_BEAM, role)


def _rest_sign(event: Event) -> str:
    return signs.HALF_REST if event.hollow else signs.RESTS[event.flags]


def rest_extent(event: Event) -> Extent:
    """What a rest's sign covers, from its left edge on the middle line of a staff."""
    return extent(_rest_sign(event))


def paint_rest(pen: Pen, x: float, y: float, event: Event, role: str = INK) -> None:
    """A rest round its middle; ``y`` is the middle line of its staff."""
    left, _, right, _ = rest_extent(event)
    pen.sign(x - (left + right) / 2, y, _rest_sign(event), 1.0, role)
    for dot in range(event.dots):
        pen.sign(x + (right - left) / 2 + DOT_GAP / 2 + dot * 0.6, y - 0.5, signs.DOT, 1.0, role)


def paint_figure(pen: Pen, beat: Written, left: float, right: float, y: float, role: str = INK) -> None:
    """A tuplet's figure round the height ``y``, from ``left`` to ``right``; with a bracket if needed."""
    text = [signs.DIGITS[int(digit)] for digit in str(beat.figure)]
    widths = [music().advances[ord(sign)] * signs.EM * DIGIT for sign in text]
    middle = (left + right) / 2
    x = start = middle - sum(widths) / 2
    for sign, wide in zip(text, widths, strict=True):
        pen.sign(x, y + 0.75 * DIGIT, sign, DIGIT, role)
        x += wide
    if not beat.bracketed:
        return
    for edge, inner in ((left, start - FIGURE_GAP), (right, x + FIGURE_GAP)):
        if left < inner < right:
            pen.line(edge, y, inner, y, signs.TUPLET_LINE, role)
        pen.line(edge, y - signs.TUPLET_LINE / 2, edge, y + HOOK, signs.TUPLET_LINE, role)
