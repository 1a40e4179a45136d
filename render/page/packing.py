"""Paper, the largest scale that fits it, and rows in columns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt

from render.page.model import Laid
from render.page.sheet import Options

PAPERS = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}  # points
MARGIN = 26.0  # points: 9 mm, more than any printer needs
READS = 1.0  # the scale at which everything reads
SMALLEST = 0.01
EXACT = 0.008  # bisection stops here: a sixth of a point


def page_size(options: Options) -> tuple[float, float]:
    """Width and height of the paper in points.

    >>> page_size(Options(landscape=True))
    (841.89, 595.28)
    """
    width, height = PAPERS[options.paper]
    return (height, width) if options.landscape else (width, height)


def largest(fits: Callable[[float], bool], low: float, high: float) -> float:
    """The largest scale that fits, by bisection; ``low`` is known to fit.

    >>> round(largest(lambda scale: scale <= 1.3, 1.0, 2.0), 1)
    1.3
    """
    if fits(high):
        return high
    while high > low * (1 + EXACT):
        middle = sqrt(low * high)
        if fits(middle):
            low = middle
        else:
            high = middle
    return low


def in_columns(
    laid: Sequence[Laid], count: int, height: float, gap: float
) -> tuple[tuple[Laid, ...], ...] | None:
    """Rows in so many columns, in order, as level as they can be; None where one would be too high."""
    if count == 1:
        return (tuple(laid),) if stack_height(laid, gap) <= height + 1e-9 else None
    packed = _pack(laid, count, height, gap)
    if packed is None:
        return None
    low, high = 0.0, height
    for _ in range(12):
        middle = (low + high) / 2
        found = _pack(laid, count, middle, gap)
        if found is None:
            low = middle
        else:
            packed, high = found, middle
    return packed


def _pack(laid: Sequence[Laid], count: int, height: float, gap: float) -> tuple[tuple[Laid, ...], ...] | None:
    columns: list[list[Laid]] = [[]]
    used = -gap
    for row in laid:
        if columns[-1] and used + gap + row.height > height + 1e-9:
            columns.append([])
            used = -gap
        if len(columns) > count or row.height > height + 1e-9:
            return None
        columns[-1].append(row)
        used += gap + row.height
    return tuple(map(tuple, columns))


def stack_height(laid: Sequence[Laid], gap: float) -> float:
    """Height of rows one below the other."""
    return sum(row.height for row in laid) + gap * max(0, len(laid) - 1)
