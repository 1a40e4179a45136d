"""The verdict: does a fill move on the feel's grid?

Beat by beat, with an ear for what leads across the beats. The rules are those of design 2 and 11, in order: a
beat on the feel's grid fits; so does one with a short ornament into a beat; strokes at equal spacing from one
beat to another cross; whatever is left is near or clashes, by its distance from the grid.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from charts.feel import HALF, TWO_THIRDS, Feel, Grid
from charts.figures import Line, Run, StruckBeat
from charts.nearest import measure
from charts.pattern import GROOVE, Pattern, division
from charts.timing import ANY_TEMPO, Beat

FITS, CROSSES, NEAR, CLASHES = "fits", "crosses", "near", "clashes"
SEVERITY = {FITS: 0, CROSSES: 1, NEAR: 2, CLASHES: 3}
TOLERANCE_MS = Fraction(20)  # order of two sounds is heard from about 20 ms: Hirsh 1959
NEXT_BEAT = Fraction(1)  # a landing at the end of the last beat


class BeatVerdict(NamedTuple):
    """One beat judged. ``offsets_ms`` go with ``onsets``, early negative.

    ``ornament`` is true where the beat fits by an ornament; ``run`` is the run across the beat that it is in.
    """

    onsets: tuple[Fraction, ...]
    division: int
    level: int
    verdict: str
    offsets_ms: tuple[float, ...]
    ornament: bool = False
    run: Run | None = None

    @property
    def worst_ms(self) -> float:
        """The largest offset by size, signed, the earliest of equals."""
        return max(self.offsets_ms, key=abs, default=0.0)


def judge_beat(
    onsets: tuple[Fraction, ...], grid: Grid, beat_ms: Fraction, tolerance: Fraction, then_struck: bool = True
) -> BeatVerdict:
    """Judge one beat by itself, all voices together; ``beat_ms`` is its own length.

    >>> shuffle = Grid((3,), 3, Fraction(2))
    >>> beat = Fraction(60000, 92)
    >>> pair = judge_beat((Fraction(0), Fraction(1, 2)), shuffle, beat, TOLERANCE_MS)
    >>> pair.verdict, round(pair.worst_ms, 1)
    ('clashes', -108.7)
    """
    (found,) = judge_beats([StruckBeat(onsets, grid, Fraction(1), beat_ms)], then_struck, tolerance)
    return found


def judge_beats(
    beats: Sequence[StruckBeat], then_struck: bool, tolerance: Fraction
) -> tuple[BeatVerdict, ...]:
    """Judge a whole fill; ``then_struck`` where the beat after it is struck too. The tolerance is in ms."""
    line = Line(beats, then_struck)
    runs = {number: run for run in line.crossings() for number in range(run.first, run.last)}
    found: list[BeatVerdict] = []
    taken = then_struck
    for number, beat in reversed(list(enumerate(beats))):
        cells, run = division(beat.onsets), runs.get(number)
        fits_plain = line.on_grid(number)
        if fits_plain or line.ornamented(number):
            still = (0.0,) * len(beat.onsets)
            found.append(BeatVerdict(beat.onsets, cells, cells, FITS, still, not fits_plain, run))
            taken = 0 in beat.onsets
            continue
        sounding = [sounding_place(at, beat.onsets, beat.grid) for at in beat.onsets]
        level, points = measure(sounding, beat.grid, taken)
        off = [(at - point) * beat.ms for at, point in zip(sounding, points, strict=True)]
        said = CROSSES if run else _by_distance(max(map(abs, off)), tolerance)
        found.append(BeatVerdict(beat.onsets, cells, level, said, tuple(map(float, off)), run=run))
        taken = 0 in points
    return tuple(reversed(found))


def _by_distance(largest_ms: Fraction, tolerance: Fraction) -> str:
    if not largest_ms:
        return CROSSES
    return NEAR if largest_ms < tolerance else CLASHES


def fits_grid(onsets: Sequence[Fraction], grid: Grid, then_struck: bool = True) -> bool:
    """True where one beat by itself is on the feel's grid, ornaments aside.

    >>> shuffle = Grid((3,), 3, Fraction(2))
    >>> fits_grid((Fraction(0), Fraction(1, 3), Fraction(1, 2), Fraction(2, 3)), shuffle)
    True
    >>> fits_grid((Fraction(0), Fraction(1, 2)), shuffle)
    False
    """
    alone = StruckBeat(tuple(onsets), grid, Fraction(1), Fraction(0))
    return Line([alone], then_struck).on_grid(0)


def swing_pairs(onsets: tuple[Fraction, ...], pairs: int = 1) -> tuple[Fraction, ...]:
    """Even pairs read as swung ones: [0, 1/2] onto [0, 2/3] and [1/2, 1] onto [2/3, 1], in each pair.

    >>> swing_pairs((Fraction(0), Fraction(1, 2)))
    (Fraction(0, 1), Fraction(2, 3))
    """
    return tuple(swing_place(at, pairs) for at in onsets)


def swing_place(at: Fraction, pairs: int = 1) -> Fraction:
    """One written-even place read as swung."""
    pair, inside = divmod(at * pairs, 1)
    if inside <= HALF:
        inside = inside / HALF * TWO_THIRDS
    else:
        inside = TWO_THIRDS + (inside - HALF) / HALF * (1 - TWO_THIRDS)
    return (pair + inside) / pairs


def nominal_onsets(pattern: Pattern, beat: int, grid: Grid) -> tuple[Fraction, ...]:
    """The onsets of a pattern's beat as the verdict takes them."""
    onsets = pattern.onsets[beat]
    return swing_pairs(onsets, grid.pairs) if pattern.swung else onsets


def fits_before(onsets: Sequence[Fraction], following: Sequence[Fraction], grid: Grid) -> bool:
    """True where one beat fits by what is struck in the next, on the same grid.

    >>> straight = Grid((2, 2), 4, None)
    >>> ruff = [Fraction(0), Fraction(1, 2), Fraction(2, 3), Fraction(5, 6)]
    >>> [fits_before(ruff, following, straight) for following in ([Fraction(0)], [])]
    [True, False]
    """
    pair = [StruckBeat(tuple(each), grid, Fraction(1), Fraction(0)) for each in (onsets, following)]
    line = Line(pair, False)
    return line.on_grid(0) or line.ornamented(0)


def own_end(pattern: Pattern) -> Fraction | None:
    """What follows a pattern by itself: the landing of a fill, a groove's own first stroke."""
    return NEXT_BEAT if pattern.kind != GROOVE or 0 in pattern.onsets[0] else None


def judge(
    pattern: Pattern,
    feel: Feel,
    beats: Sequence[tuple[Beat, Fraction]],
    tolerance: Fraction = TOLERANCE_MS,
    lands: Fraction | None = NEXT_BEAT,
) -> tuple[BeatVerdict, ...]:
    """Judge every beat of a pattern; ``beats`` gives each beat's shape and its tempo where it starts.

    ``lands`` is where in the last beat the stroke after the fill falls: 1 is the next beat, None nowhere.
    """
    shapes, tempos = zip(*beats, strict=True) if beats else ((), ())
    return _judge(pattern, feel, shapes, tempos, tolerance, lands)


@lru_cache(maxsize=16384)
def _judge(
    pattern: Pattern, feel: Feel, shapes: tuple[Beat, ...], tempos: tuple[Fraction, ...],
    tolerance: Fraction, lands: Fraction | None,
) -> tuple[BeatVerdict, ...]:  # fmt: skip
    struck = _struck(pattern, feel, shapes, tempos, lands)
    judged = judge_beats(struck, lands == NEXT_BEAT, tolerance)
    return (*judged[:-1], _without_landing(judged[-1], len(pattern.onsets[-1]))) if judged else ()


def _struck(
    pattern: Pattern, feel: Feel, shapes: Sequence[Beat], tempos: Sequence[Fraction], lands: Fraction | None
) -> list[StruckBeat]:
    """What is struck in each beat, a landing inside the last one with it."""
    found = []
    for place, (shape, bpm) in enumerate(zip(shapes, tempos, strict=True)):
        grid = feel.grid(shape, bpm)
        onsets = nominal_onsets(pattern, place, grid)
        if place == len(shapes) - 1 and lands is not None and lands < NEXT_BEAT:
            onsets = (*(at for at in onsets if at < lands), lands)
        found.append(StruckBeat(onsets, grid, shape.units, 60000 * shape.units / bpm))
    return found


def _without_landing(beat: BeatVerdict, own: int) -> BeatVerdict:
    """A last beat with its own strokes only."""
    return beat._replace(onsets=beat.onsets[:own], offsets_ms=beat.offsets_ms[:own])


def fits(
    pattern: Pattern,
    feel: Feel,
    beats: Sequence[tuple[Beat, Fraction]],
    lands: Fraction | None = NEXT_BEAT,
) -> bool:
    """True where every beat fits; tempos count only where the swing goes by them."""
    shapes = tuple([shape for shape, _ in beats])
    tempos = tuple([bpm if feel.swings_by_tempo else ANY_TEMPO for _, bpm in beats])
    return _fits(pattern, feel, shapes, tempos, lands)


@lru_cache(maxsize=16384)
def _fits(
    pattern: Pattern, feel: Feel, shapes: tuple[Beat, ...], tempos: tuple[Fraction, ...],
    lands: Fraction | None,
) -> bool:  # fmt: skip
    line = Line(_struck(pattern, feel, shapes, tempos, lands), lands == NEXT_BEAT)
    return all(line.on_grid(place) or line.ornamented(place) for place in range(len(shapes)))


def worst(beats: Sequence[BeatVerdict]) -> str:
    """The worst verdict of the beats, in the order fits, crosses, near, clashes."""
    return max((beat.verdict for beat in beats), key=SEVERITY.__getitem__, default=FITS)


def written_on(onsets: Sequence[Fraction], grid: Grid) -> bool:
    """True where a beat is written on the feel's even grid, whatever the verdict on it."""
    return grid.admits(division(onsets)) or grid.swung_nominal.issuperset(onsets)


def sounding_place(at: Fraction, onsets: Sequence[Fraction], grid: Grid) -> Fraction:
    """Where a nominal place of a beat sounds, given all the beat's onsets.

    A beat that is written on the feel's own grid bends with it; one that is written where it sounds already,
    or on another grid, is played as written.
    """
    if not grid.swings or grid.swung_sounding.issuperset(onsets) or not written_on(onsets, grid):
        return at
    return grid.bend(at)


@lru_cache(maxsize=16384)
def sounding_places(
    onsets: tuple[Fraction, ...], swung: bool, grid: Grid
) -> dict[Fraction, tuple[Fraction, Fraction]]:
    """Each written place of a beat: on the feel's even grid, and where it sounds. Pairs may be written even.

    >>> swing = Grid((3,), 3, Fraction(3, 2))
    >>> [str(at) for at in sounding_places((Fraction(1, 2),), True, swing)[Fraction(1, 2)]]
    ['2/3', '3/5']
    """
    nominal = swing_pairs(onsets, grid.pairs) if swung else onsets
    return {
        at: (place, sounding_place(place, nominal, grid)) for at, place in zip(onsets, nominal, strict=True)
    }


def beat_json(number: int, beat: BeatVerdict) -> dict[str, object]:
    """One beat's verdict as ``fit --json`` and ``check --json`` give it; ms to 0.1."""
    return {
        "beat": number,
        "onsets": [str(at) for at in beat.onsets],
        "grid": beat.division,
        "level": beat.level,
        "verdict": beat.verdict,
        "offsets_ms": [round(off, 1) for off in beat.offsets_ms],
        "ornament": beat.ornament,
        "run": run_json(beat.run),
    }


def run_json(run: Run | None) -> dict[str, object] | None:
    """A run across the beat: from one beat to another, ``in`` that many strokes over that many beats."""
    if run is None:
        return None
    return {
        "from": {"beat": run.first + 1, "at": "0"},
        "to": {"beat": run.last + 1, "at": "0"},
        "in": run.parts,
        "over": run.over,
        "beats": run.beats,
    }
