"""A fill's notes at their places on the staff: the beats as one voice, in proportion to time.

Lengths in staff spaces. Equal times are equally far apart on the whole fill, so that swing is seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain, pairwise

from charts.counting import count_onsets
from charts.notevalues import Event
from charts.pattern import Stroke
from charts.verdict import nominal_onsets
from render.page.fills import PageFill
from render.page.fonts import BOLD, REGULAR, width_of
from render.page.voice import HALF_HEAD, Written, ink_after, ink_before, write

COUNT_SIZE, HAND_SIZE = 1.9, 1.6  # of counts and sticking, staff spaces to the em
CLEF_ROOM = 2.4
LEAD = 0.55  # from the clef or a bar line to the ink after it
INK_GAP, HEADS_APART, WORD_GAP = (
    0.35,
    2.1,
    0.75,
)  # least room: between two signs, two heads' middles, two words
LEAST_QUARTER, MOST_QUARTER = 4.5, 22.0  # room that a quarter takes where time sets the distances


@dataclass(frozen=True)
class Column:
    """What is at one moment: a note or rest, the word and hand below it; ``grey`` is the landing's."""

    event: Event
    beamed: bool
    word: str
    hand: str
    grey: bool = False

    @property
    def soft(self) -> bool:
        """True where the count is only thought: of a silent beat or of the landing."""
        return self.grey or self.word.startswith("(")

    @property
    def style(self) -> str:
        return BOLD if self.word.isdigit() and not self.grey else REGULAR

    @property
    def before(self) -> float:
        return max(ink_before(self.event), self.word_half)

    @property
    def word_half(self) -> float:
        return max(width_of(self.word, self.style) * COUNT_SIZE, width_of(self.hand) * HAND_SIZE) / 2

    def gap(self, following: Column | None) -> float:
        """Least distance to the column after it; None stands for a bar line."""
        ink = (
            ink_after(self.event, self.beamed) + (ink_before(following.event) if following else 0.0) + INK_GAP
        )
        words = self.word_half + (following.word_half + WORD_GAP if following else 0.0)
        return max(ink, words, HEADS_APART)


@dataclass(frozen=True)
class FillBeat:
    """One beat of a fill: its number in the bar, its notes, a column for each."""

    number: int
    written: Written
    columns: tuple[Column, ...]
    starts_bar: bool


def fill_beats(fill: PageFill, triplets: str, words: bool) -> list[FillBeat]:
    """The beats of a fill, its landing among them where it ends inside a beat."""
    assert fill.pattern is not None
    pattern, lands, last = fill.pattern, fill.lands, len(fill.beats) - 1
    if lands.at:
        landing = [Stroke(last, lands.at, voice) for voice in lands.voices]
        pattern = pattern.with_strokes([*pattern.strokes, *landing])
    found: list[FillBeat] = []
    for place, ((beat, number, tempo), strokes) in enumerate(zip(fill.beats, pattern.by_beat, strict=True)):
        onsets = pattern.onsets[place]
        nominal = nominal_onsets(pattern, place, fill.feel.grid(beat, tempo))
        counted = count_onsets(nominal, fill.feel, beat, tempo, number, triplets) if words else ()
        places = onsets if fill.feel.swings else nominal  # a feel that does not swing has no sign to read by
        at = dict(zip(onsets, places, strict=True))
        written = write(beat, [replace(stroke, at=at[stroke.at]) for stroke in strokes])
        said = {here: word for here, (_, word) in zip(places, counted, strict=False)}
        grey_from = lands.at if lands.at and place == last else Fraction(1)
        columns = tuple(_columns(written, number, said, grey_from, words))
        found.append(FillBeat(number, written, columns, bool(found) and number <= found[-1].number))
    return found


def _columns(
    written: Written, number: int, counted: dict[Fraction, str], grey_from: Fraction, words: bool
) -> Iterator[Column]:
    for event, beam in zip(written.events, written.beams, strict=True):
        word = counted.get(event.at, "")
        if words and not event.at and not event.strokes:
            word = f"({number})"
        hand = "".join(dict.fromkeys(stroke.hand for stroke in event.strokes)) if words else ""
        yield Column(event, bool(beam), word, hand, event.at >= grey_from)


def landing_column(fill: PageFill, words: bool) -> Column | None:
    """The stroke that the fill leads to, where that is on a beat."""
    lands = fill.lands
    if lands.at or not lands.number or not (words or lands.voices):
        return None
    strokes = tuple(Stroke(0, Fraction(0), voice) for voice in lands.voices)
    event = Event(Fraction(0), Fraction(1), strokes, "quarter")
    return Column(event, False, str(lands.number) if words else "", "", True)


@dataclass(frozen=True)
class Spacing:
    """The room of each length of time: the same for the same length, more for more."""

    rooms: dict[Fraction, float]

    @staticmethod
    def of(beats: Sequence[FillBeat], even: bool) -> Spacing:
        """``even``: in proportion to time; else as narrow as the signs allow."""
        needs: dict[Fraction, float] = {}
        columns = list(chain.from_iterable(beat.columns for beat in beats))
        starts = {id(beat.columns[0]) for beat in beats if beat.starts_bar}
        for here, following in zip(columns, [*columns[1:], None], strict=True):
            after = None if following is None or id(following) in starts else following
            length = here.event.quarters
            needs[length] = max(needs.get(length, 0.0), here.gap(after))
        quarter = max(LEAST_QUARTER, *(need / float(length) for length, need in needs.items()))
        quarter = min(quarter, MOST_QUARTER) if even else LEAST_QUARTER
        rooms, least = {}, 0.0
        for length in sorted(needs):
            least = rooms[length] = max(needs[length], least, quarter * float(length) if even else 0.0)
        return Spacing(rooms)


@dataclass(frozen=True)
class StaffLine:
    """Beats placed on one staff: x of each column, of the bar lines, of the landing; the width in all."""

    beats: tuple[FillBeat, ...]
    xs: tuple[tuple[float, ...], ...]
    bars: tuple[float, ...]
    staff: float  # how far the staff lines reach
    landing: tuple[float, Column] | None
    width: float


def place_line(
    beats: Sequence[FillBeat], spacing: Spacing, landing: Column | None, closes: bool
) -> StaffLine:
    """Give each column its x; ``closes`` says whether a bar line ends the staff."""
    x, xs, bars = CLEF_ROOM - LEAD, [], []
    for place, beat in enumerate(beats):
        if not place or beat.starts_bar:
            if place:
                bars.append(x)
            x += LEAD + beat.columns[0].before
        at = []
        for column in beat.columns:
            at.append(x)
            x += spacing.rooms[column.event.quarters]
        xs.append(tuple(at))
    if closes:
        bars.append(x)
    if landing is None:
        return StaffLine(tuple(beats), tuple(xs), tuple(bars), x, None, x)
    at_landing = x + LEAD + landing.before if closes else x
    end = at_landing + max(ink_after(landing.event, False), landing.word_half)
    staff = x if closes else at_landing + HALF_HEAD
    return StaffLine(tuple(beats), tuple(xs), tuple(bars), staff, (at_landing, landing), end)


def lay_lines(fill: PageFill, triplets: str, words: bool, width: float) -> tuple[StaffLine, ...]:
    """A fill on one staff where a width allows it, else narrower, else on several.

    A bar is never broken: one that is wider than the width stays so.
    """
    beats = fill_beats(fill, triplets, words)
    landing = landing_column(fill, words)
    laid: list[StaffLine] = []
    for most in (float("inf"), width):
        for even in (True, False):
            laid = _broken(beats, Spacing.of(beats, even), (landing, fill.lands.new_bar), most)
            if max(line.width for line in laid) <= width:
                return tuple(laid)
    return tuple(laid)


def _broken(
    beats: Sequence[FillBeat], spacing: Spacing, lands: tuple[Column | None, bool], width: float
) -> list[StaffLine]:
    """As many bars on each staff as a width holds; inside a bar only a landing ends the last."""
    ends = [place for place, beat in enumerate(beats) if beat.starts_bar] + [len(beats)]
    found: list[StaffLine] = []
    start = 0
    for before, end in pairwise([0, *ends]):
        landing, closes = lands if end == len(beats) else (None, True)
        line = place_line(beats[start:end], spacing, landing, closes)
        if found and line.width > width:
            start = before
            found.append(place_line(beats[start:end], spacing, landing, closes))
        else:
            found[-1:] = [line]
    return found
