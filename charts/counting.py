"""How a beat is counted aloud: the groove's own grid, and whatever a fill plays.

Counts are the trade's: 1 &, 1 e & a, 1 trip let (or 1 & a, or 1 la li, as the book says), compound eighths
1 & a. “1 & a” also means an eighth and two sixteenths, so a count is always drawn on its grid. Strokes
between the words are “ta”; grid places that the groove does not speak are “-”.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.feel import HALF, Feel, Grid
from charts.pattern import division
from charts.ruler import Mark, ruler_for
from charts.timing import Beat
from charts.verdict import BeatVerdict, sounding_place, written_on

TRIPLETS = "1 trip let"  # the style unless a book says another
COMPOUND = "1 & a"
BETWEEN, UNSPOKEN = "ta", "-"
_BINARY = {Fraction(1, 4): "e", HALF: "&", Fraction(3, 4): "a"}


def place_word(at: Fraction, cells: int, number: int, triplets: str, thirds_first: bool) -> str:
    """The word for one place of a beat that is divided into ``cells``.

    ``thirds_first`` says whether six cells are a triplet halved or a half in triplets.

    >>> [place_word(Fraction(n, 4), 4, 2, TRIPLETS, False) for n in range(4)]
    ['2', 'e', '&', 'a']
    >>> [place_word(Fraction(n, 6), 6, 1, TRIPLETS, True) for n in range(6)]
    ['1', 'ta', 'trip', 'ta', 'let', 'ta']
    """
    if not at:
        return str(number)
    if cells % 3:
        return _BINARY.get(at, BETWEEN)
    second, third = triplets.split()[1:3]
    if cells == 3 or thirds_first:
        return {Fraction(1, 3): second, Fraction(2, 3): third}.get(at, BETWEEN)
    if at in _BINARY:
        return _BINARY[at]
    if triplets == COMPOUND:  # “&” is taken by the half
        second, third = TRIPLETS.split()[1:3]
    return {Fraction(1, 3): second, Fraction(2, 3): third}.get(at * 2 % 1, BETWEEN)


def count_grid(
    feel: Feel, beat: Beat, bpm: Fraction, number: int = 1, triplets: str = TRIPLETS
) -> tuple[Mark, ...]:
    """The home grid of one beat as the groove counts it, at its sounding places.

    >>> from charts.timing import Meter
    >>> quarter = Meter.read("4/4").beats[0]
    >>> count_grid(Feel("swing", (3,), Fraction(3, 2), count="1 trip let"), quarter, Fraction(100))
    ((Fraction(0, 1), '1'), (Fraction(3, 10), 'trip'), (Fraction(3, 5), 'let'))
    """
    grid = feel.grid(beat, bpm)
    spoken = _spoken(feel, grid, beat.ternary, number, triplets)
    return tuple((grid.bend(at), word) for at, word in spoken.items())


def _spoken(feel: Feel, grid: Grid, ternary: bool, number: int, triplets: str) -> dict[Fraction, str]:
    """Word by nominal place; home places that are not spoken get a dash."""
    words = (TRIPLETS if not feel.count else feel.count).split()[1:]
    home = [Fraction(cell, grid.home) for cell in range(grid.home)]
    if ternary or not feel.count or (feel.count == TRIPLETS and triplets != TRIPLETS):
        style = COMPOUND if ternary else triplets
        named = 3 if grid.divides[0] == 3 else grid.home
        spoken = [Fraction(cell, named) for cell in range(named)]
        words = [place_word(at, named, number, style, grid.divides[0] == 3) for at in spoken][1:]
    elif len(words) + 1 == len(grid.swung_nominal) != grid.home:
        spoken = sorted(grid.swung_nominal)
    elif grid.home % (len(words) + 1) == 0:
        spoken = [Fraction(cell, len(words) + 1) for cell in range(len(words) + 1)]
    else:
        spoken = home
        words = [place_word(at, grid.home, number, triplets, grid.divides[0] == 3) for at in home][1:]
    found = dict(zip(spoken, [str(number), *words], strict=True))
    return {at: found.get(at, UNSPOKEN) for at in sorted({*home, *found})}


def spoken_grid(
    feel: Feel, beat: Beat, bpm: Fraction, number: int = 1, triplets: str = TRIPLETS
) -> tuple[Mark, ...]:
    """What is said in a beat, at the places where it sounds."""
    counted = count_grid(feel, beat, bpm, number, triplets)
    return tuple((at, word) for at, word in counted if word != UNSPOKEN)


def count_onsets(
    onsets: Sequence[Fraction], feel: Feel, beat: Beat, bpm: Fraction,
    number: int = 1, triplets: str = TRIPLETS,
) -> tuple[Mark, ...]:  # fmt: skip
    """A fill's beat as it counts itself, at its sounding places; ``onsets`` are nominal, as in a verdict.

    Where the groove has a word for every stroke the words are the groove's, else those of the fill's own
    division.
    """
    grid = feel.grid(beat, bpm)
    spoken = _spoken(feel, grid, beat.ternary, number, triplets)
    cells = division(onsets)
    if written_on(onsets, grid) and all(spoken.get(at, UNSPOKEN) != UNSPOKEN for at in onsets):
        words = [spoken[at] for at in onsets]
    else:
        style = COMPOUND if beat.ternary else triplets
        words = [place_word(at, cells, number, style, grid.divides[0] == 3) for at in onsets]
    return tuple((sounding_place(at, onsets, grid), word) for at, word in zip(onsets, words, strict=True))


@dataclass(frozen=True, slots=True)
class CountLines:
    """Two counts of one beat on a common ruler, and the strokes that are off in words."""

    groove: str
    fill: str
    offsets: str

    @property
    def fill_and_offsets(self) -> str:
        """The fill's count with its offsets after it."""
        return f"{self.fill}     {self.offsets}" if self.offsets else self.fill


def count_lines(
    verdict: BeatVerdict, feel: Feel, beat: Beat, bpm: Fraction, number: int = 1, triplets: str = TRIPLETS
) -> CountLines:
    """The groove's count and the fill's own, one under the other in proportion to time.

    >>> from charts.timing import Meter
    >>> from charts.verdict import TOLERANCE_MS, judge_beat
    >>> quarter = Meter.read("4/4").beats[0]
    >>> shuffle = Feel("half-time shuffle", (3,), Fraction(2), count="1 & a")
    >>> onsets = tuple(Fraction(n, 4) for n in range(4))
    >>> judged = judge_beat(onsets, shuffle.grid(quarter, Fraction(96)), Fraction(625), TOLERANCE_MS)
    >>> lines = count_lines(judged, shuffle, quarter, Fraction(96))
    >>> print(lines.groove, lines.fill_and_offsets, sep="\\n")
    1 . . . & . . . a . . .
    1 . . e . . & . . a . .     e 52 ms early, a 52 ms late
    """
    groove = count_grid(feel, beat, bpm, number, triplets)
    fill = count_onsets(verdict.onsets, feel, beat, bpm, number, triplets)
    drawn = ruler_for([[groove, fill]]).lines(groove, fill)
    words = [word for _, word in fill]
    return CountLines(drawn[0].rstrip(), drawn[1].rstrip(), offsets_in_words(words, verdict.offsets_ms))


def offsets_in_words(words: Sequence[str], offsets_ms: Sequence[float]) -> str:
    """Which strokes are off, by how many ms, early or late; nothing where none is.

    >>> offsets_in_words(["1", "&"], [0.0, -108.7])
    '& 109 ms early'
    """
    clear = len(set(words)) == len(words)
    told = []
    for place, (word, off) in enumerate(zip(words, offsets_ms, strict=True), start=1):
        if off:
            size = f"{abs(off):.0f} ms" if abs(off) >= 0.95 else "under 1 ms"
            told.append(f"{word if clear else f'stroke {place}'} {size} {'early' if off < 0 else 'late'}")
    return ", ".join(told)
