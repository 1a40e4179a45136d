"""A fill on the drum staff, measured: columns of notes at even distances, broken into lines where it must be.

All lengths in staff spaces. Equal lengths of time get equal room, so that twos, threes and fours show.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from charts.counting import count_onsets
from charts.feel import Feel
from charts.kit import VOICES
from charts.notevalues import Event
from charts.pattern import DRAG, FLAM, GHOST, Pattern, Stroke
from charts.timing import Beat
from charts.verdict import nominal_onsets
from render.page.fonts import BOLD, REGULAR, width_of
from render.page.rhythm import VoiceBeat, write_beat

COUNT_SIZE = 1.95  # of counts and sticking, staff spaces to the em
CLEF_WIDTH = 2.2
BAR_GAP = 0.9  # after a bar line
WORD_GAP = 0.6  # least room between two count words
HEAD, PAREN, DOT, FLAG, SECOND = 0.68, 0.62, 0.7, 0.75, 1.22  # half a head, and what stands beside one
GRACE = {FLAM: 1.75, DRAG: 2.55}  # grace notes before a head
MOST_STRETCH = 1.3
_STEPS = {letter: place for place, letter in enumerate("CDEFGAB")}
_TOP_LINE = 5 * 7 + _STEPS["F"]


def staff_y(voice: str) -> float:
    """Spaces below the top line; above it negative.

    >>> staff_y("SD"), staff_y("BD"), staff_y("HH"), staff_y("C1")
    (1.5, 3.5, -0.5, -1.0)
    """
    letter, octave = VOICES[voice].staff[0], int(VOICES[voice].staff[1:])
    return (_TOP_LINE - octave * 7 - _STEPS[letter]) / 2


@dataclass(frozen=True)
class Notes:
    """What is engraved: a pattern over a feel's beats (shape, number, tempo); how triplets are counted."""

    pattern: Pattern
    feel: Feel
    beats: tuple[tuple[Beat, int, Fraction], ...]
    triplets: str

    def __hash__(self) -> int:
        return hash((self.pattern.name, self.pattern.beats, self.feel.name, self.beats))


@dataclass
class Column:
    """What stands at one moment of a fill; ``x`` is the middle of its heads once it is placed."""

    at: Fraction
    hands: Event | None
    feet: Event | None
    rest: Event | None
    word: str
    hand: str
    x: float = 0.0

    def placed(self, x: float) -> Column:
        """The same at a place of its own."""
        return Column(self.at, self.hands, self.feet, self.rest, self.word, self.hand, x)

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        return (self.hands.strokes if self.hands else ()) + (self.feet.strokes if self.feet else ())

    @property
    def word_style(self) -> str:
        return BOLD if self.word.isdigit() else REGULAR

    @property
    def word_half(self) -> float:
        words = max(width_of(self.word, self.word_style), width_of(self.hand, REGULAR))
        return words * COUNT_SIZE / 2

    @property
    def before(self) -> float:
        """Room that its ink takes left of the heads' middle."""
        kinds = {stroke.kind for stroke in self.strokes}
        paren = PAREN if GHOST in kinds else 0.0
        return max(HEAD + paren, *(HEAD + GRACE[kind] for kind in kinds if kind in GRACE), 0.0)

    def after(self, beamed: bool) -> float:
        """Room that its ink takes right of the heads' middle."""
        room = HEAD + (PAREN if any(s.kind == GHOST for s in self.strokes) else 0.0)
        written = [note for note in (self.hands, self.feet) if note]
        if any(has_second(note) for note in written):
            room += SECOND
        if any(note.dots for note in written) or (self.rest and self.rest.dots):
            room += DOT
        return room + (FLAG if not beamed and any(note.flags for note in written) else 0.0)


def has_second(note: Event) -> bool:
    """True where two heads are so near that one must stand aside."""
    places = sorted(staff_y(stroke.voice) for stroke in note.strokes)
    return any(b - a < 1 for a, b in pairwise(places))


@dataclass(eq=False)
class BeatColumns:
    """One beat: its columns, its two voices, its number in the bar; known by itself, as fills are."""

    number: int
    columns: list[Column]
    hands: VoiceBeat
    feet: VoiceBeat
    gaps: list[tuple[Fraction, float]]  # after each column: how long it lasts in quarters, least room


@dataclass
class StaffLine:
    """Beats on one staff, placed from the left; ``bars`` are the x of the bar lines."""

    beats: list[BeatColumns]
    width: float
    bars: list[float] = field(default_factory=list)


def columns_of(notes: Notes) -> tuple[BeatColumns, ...]:
    """A fill's beats as columns."""
    pattern, feel = notes.pattern, notes.feel
    found = []
    for place, (strokes, (beat, number, tempo)) in enumerate(zip(pattern.by_beat, notes.beats, strict=True)):
        onsets = pattern.onsets[place]
        nominal = nominal_onsets(pattern, place, feel.grid(beat, tempo))
        counted = count_onsets(nominal, feel, beat, tempo, number, notes.triplets)
        words = {at: word for at, (_, word) in zip(onsets, counted, strict=True)}
        found.append(_beat(strokes, beat, number, words))
    return tuple(found)


def _beat(strokes: Sequence[Stroke], beat: Beat, number: int, words: dict[Fraction, str]) -> BeatColumns:
    hands, feet = write_beat(strokes, beat)
    rests = {rest.at: rest for rest in (hands if hands.notes or not feet.notes else feet).rests}
    above = {note.at: note for note in hands.notes}
    below = {note.at: note for note in feet.notes}
    columns = []
    for at in sorted({*above, *below, *rests}):
        letter = next((s.hand for s in (above[at].strokes if at in above else ()) if s.hand), "")
        columns.append(Column(at, above.get(at), below.get(at), rests.get(at), words.get(at, ""), letter))
    beamed = {voice.notes[n].at for voice in (hands, feet) for a, b in voice.beams for n in range(a, b + 1)}
    gaps = []
    for here, following in zip(columns, [*columns[1:], None], strict=True):
        until = following.at if following else Fraction(1)
        room = here.after(here.at in beamed) + (following.before if following else 0.0) + 0.3
        talk = here.word_half + (following.word_half + WORD_GAP if following else WORD_GAP / 2)
        gaps.append(((until - here.at) * beat.quarters, max(room, talk)))
    return BeatColumns(number, columns, hands, feet, gaps)


@dataclass(frozen=True)
class Spacing:
    """Room by length of time, and the room before each beat's first column."""

    lead: float
    rooms: dict[Fraction, float]

    def width(self, beat: BeatColumns, stretch: float = 1.0) -> float:
        return self.lead + stretch * sum(self.rooms[length] for length, _ in beat.gaps)


def spacing_of(beats: Sequence[BeatColumns]) -> Spacing:
    """Equal times equal room: the most that any of that length needs, never less than a shorter one's."""
    needs: dict[Fraction, float] = {}
    for beat in beats:
        for length, need in beat.gaps:
            needs[length] = max(need, needs.get(length, 0.0), 1.7 + 2.4 * float(length))
    rooms, least = {}, 0.0
    for length in sorted(needs):
        least = rooms[length] = max(needs[length], least)
    lead = (
        max((max(b.columns[0].before, b.columns[0].word_half) for b in beats if b.columns), default=HEAD)
        + 0.3
    )
    return Spacing(lead, rooms)


@dataclass(frozen=True)
class Measured:
    """A fill's beats in lines, not placed yet; ``width`` is that of the widest line as it comes."""

    lines: tuple[tuple[BeatColumns, ...], ...]
    spacing: Spacing
    width: float


@lru_cache(maxsize=512)
def measure(notes: Notes) -> tuple[Measured, Measured]:
    """A fill on one line, and with a line a bar."""
    beats = columns_of(notes)
    spacing = spacing_of(beats)
    bars: list[list[BeatColumns]] = []
    for beat in beats:
        if not bars or beat.number <= bars[-1][-1].number:
            bars.append([])
        bars[-1].append(beat)
    return _measured([beats], spacing), _measured(bars, spacing)


def _measured(lines: Sequence[Sequence[BeatColumns]], spacing: Spacing) -> Measured:
    widest = max(CLEF_WIDTH + natural_width(line, spacing) for line in lines)
    return Measured(tuple(map(tuple, lines)), spacing, widest)


def break_lines(notes: Notes, width: float) -> Measured:
    """Beats in lines of a width: all on one, else a bar each, else as many beats as fit."""
    for measured in measure(notes):
        if measured.width <= width:
            return measured
    lines: list[list[BeatColumns]] = []
    for bar in measured.lines:
        lines.append([])
        for beat in bar:
            if lines[-1] and CLEF_WIDTH + natural_width([*lines[-1], beat], measured.spacing) > width:
                lines.append([])
            lines[-1].append(beat)
    return _measured(lines, measured.spacing)


def natural_width(line: Sequence[BeatColumns], spacing: Spacing) -> float:
    """Width of a line of beats as it comes, without the clef."""
    return sum(spacing.width(beat) for beat in line) + BAR_GAP * len(_bar_breaks(line))


def _bar_breaks(line: Sequence[BeatColumns]) -> list[int]:
    """The beats, by place, before which a new bar starts."""
    return [place for place in range(1, len(line)) if line[place].number <= line[place - 1].number]


def place_line(beats: Sequence[BeatColumns], spacing: Spacing, width: float) -> StaffLine:
    """Give every column its x; lines stretch to the width, but not so far that a beat falls apart."""
    room = width - CLEF_WIDTH
    breaks = _bar_breaks(beats)
    free = room - natural_width(beats, spacing)
    loose = sum(spacing.width(beat) - spacing.lead for beat in beats)
    stretch = min(MOST_STRETCH, 1 + max(0.0, free) / loose) if loose else 1.0
    x, bars, placed = CLEF_WIDTH, [], []
    for place, beat in enumerate(beats):
        if place in breaks:
            bars.append(x)
            x += BAR_GAP
        at, columns = x + spacing.lead, []
        for column, (length, _) in zip(beat.columns, beat.gaps, strict=True):
            columns.append(column.placed(at))
            at += spacing.rooms[length] * stretch
        placed.append(BeatColumns(beat.number, columns, beat.hands, beat.feet, beat.gaps))
        x += spacing.width(beat, stretch)
    return StaffLine(placed, x, [*bars, x])
