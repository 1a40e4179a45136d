"""The verdict: does a beat's set of onsets sit on the feel's grid?

This is the heart of the check; the steps are those of design 2.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from charts.feel import HALF, TWO_THIRDS, Feel, Grid
from charts.pattern import Pattern, division
from charts.timing import ANY_TEMPO, Beat

FITS, CROSSES, NEAR, CLASHES = "fits", "crosses", "near", "clashes"
SEVERITY = {FITS: 0, CROSSES: 1, NEAR: 2, CLASHES: 3}
TOLERANCE_MS = Fraction(20)  # order of two sounds is heard from about 20 ms: Hirsh 1959


class BeatVerdict(NamedTuple):
    """One beat judged. ``offsets_ms`` go with ``onsets``, early negative."""

    onsets: tuple[Fraction, ...]
    division: int
    level: int
    verdict: str
    offsets_ms: tuple[float, ...]

    @property
    def worst_ms(self) -> float:
        """The largest offset by size, signed, the earliest of equals."""
        return max(self.offsets_ms, key=abs, default=0.0)


@lru_cache(maxsize=65536)
def judge_beat(
    onsets: tuple[Fraction, ...], grid: Grid, beat_ms: Fraction, tolerance: Fraction
) -> BeatVerdict:
    """Judge the onsets of one beat, all voices together; ``beat_ms`` is the beat's own length.

    >>> shuffle = Grid((3,), 3, Fraction(2))
    >>> beat = Fraction(60000, 92)
    >>> pair = judge_beat((Fraction(0), Fraction(1, 2)), shuffle, beat, TOLERANCE_MS)
    >>> pair.verdict, round(pair.worst_ms, 1)
    ('clashes', -108.7)
    """
    cells = division(onsets)
    if fits_grid(onsets, grid):
        return BeatVerdict(onsets, cells, cells, FITS, (0.0,) * len(onsets))
    level = grid.level_of(max(grid.home, len(onsets)))
    points = grid.points(level)
    offsets = [at - _nearest(at, points, grid) for at in onsets]
    largest = max(map(abs, offsets)) * beat_ms
    verdict = CROSSES if not largest else NEAR if largest < tolerance else CLASHES
    return BeatVerdict(onsets, cells, level, verdict, tuple(float(off * beat_ms) for off in offsets))


def fits_grid(onsets: Sequence[Fraction], grid: Grid) -> bool:
    """Steps 1 and 2: on a division of the chain, or on the swung pairs.

    >>> shuffle = Grid((3,), 3, Fraction(2))
    >>> fits_grid((Fraction(0), Fraction(1, 3), Fraction(1, 2), Fraction(2, 3)), shuffle)
    True
    >>> fits_grid((Fraction(0), Fraction(1, 2)), shuffle)
    False
    """
    if grid.swings and (grid.swung_nominal.issuperset(onsets) or grid.swung_sounding.issuperset(onsets)):
        return True
    cells = division(onsets)
    return grid.admits(cells) and (not grid.swings or _neighboured(onsets, grid.home, cells))


def _neighboured(onsets: Sequence[Fraction], home: int, cells: int) -> bool:
    """In a feel that swings a stroke off the home grid leans on a stroke one cell away."""
    cell = Fraction(1, cells)
    places = [*sorted(onsets), Fraction(1)]
    for before, at, after in zip([None, *places], places[:-1], places[1:], strict=False):
        leans = after - at == cell or (before is not None and at - before == cell)
        if (at * home).denominator != 1 and not leans:
            return False
    return True


def _nearest(at: Fraction, points: tuple[Fraction, ...], grid: Grid) -> Fraction:
    """Nearest sounding point, 1 included; of equals S first, then home, then the earlier."""

    def order(point: Fraction) -> tuple[Fraction, bool, bool, Fraction]:
        start = point % 1
        return abs(at - point), start not in grid.swung_sounding, start not in grid.home_points, point

    return min((*points, Fraction(1)), key=order)


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


def judge(
    pattern: Pattern, feel: Feel, beats: Sequence[tuple[Beat, Fraction]], tolerance: Fraction = TOLERANCE_MS
) -> tuple[BeatVerdict, ...]:
    """Judge every beat of a pattern; ``beats`` gives each beat's shape and its tempo where it starts."""
    return tuple(
        judge_beat(
            nominal_onsets(pattern, place, grid := feel.grid(beat, bpm)),
            grid,
            60000 * beat.units / bpm,
            tolerance,
        )
        for place, (beat, bpm) in enumerate(beats)
    )


def fits(pattern: Pattern, feel: Feel, beats: Sequence[tuple[Beat, Fraction]]) -> bool:
    """True where the verdict on every beat is that it fits; tempi count only where the swing goes by them."""
    shapes = tuple([shape for shape, _ in beats])
    return _fits(pattern, feel, shapes, tuple([bpm for _, bpm in beats]) if feel.swings_by_tempo else None)


@lru_cache(maxsize=16384)
def _fits(pattern: Pattern, feel: Feel, shapes: tuple[Beat, ...], tempi: tuple[Fraction, ...] | None) -> bool:
    under = zip(shapes, tempi or [ANY_TEMPO] * len(shapes), strict=True)
    grids = [feel.grid(shape, bpm) for shape, bpm in under]
    return all(fits_grid(nominal_onsets(pattern, place, grid), grid) for place, grid in enumerate(grids))


def worst(beats: Sequence[BeatVerdict]) -> str:
    """The worst verdict of the beats, in the order fits, crosses, near, clashes."""
    return max((beat.verdict for beat in beats), key=SEVERITY.__getitem__, default=FITS)


def sounding_place(at: Fraction, onsets: Sequence[Fraction], grid: Grid) -> Fraction:
    """Where a nominal place of a beat sounds, given all the beat's onsets.

    A beat that is read on the feel's own grid bends with it; one that is written where it sounds already, or
    that fights the grid, is played as written.
    """
    if not grid.swings or grid.swung_sounding.issuperset(onsets) or not fits_grid(onsets, grid):
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
    }
