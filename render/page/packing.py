"""Paper, and what is stacked in columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from render.page.sheet import Options

T = TypeVar("T")
PAPERS = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}  # points
MARGIN = 26.0  # points: 9 mm, more than any printer needs
HALVINGS = 12  # how exactly columns are leveled


def page_size(options: Options) -> tuple[float, float]:
    """Width and height of the paper in points.

    >>> page_size(Options(landscape=True))
    (841.89, 595.28)
    """
    width, height = PAPERS[options.paper]
    return (height, width) if options.landscape else (width, height)


def in_columns(
    items: Sequence[T], heights: Sequence[float], count: int, most: float, gap: float
) -> tuple[tuple[T, ...], ...] | None:
    """Items in that many columns, in order, as level as they can be; None where one would be too high."""
    cuts = _cuts(heights, most, gap, count)
    if cuts is None:
        return None
    low, high = 0.0, most
    for _ in range(HALVINGS if count > 1 else 0):
        middle = (low + high) / 2
        found = _cuts(heights, middle, gap, count)
        low, high = (middle, high) if found is None else (low, middle)
        cuts = found or cuts
    return tuple(tuple(items[start:end]) for start, end in zip([0, *cuts], [*cuts, len(items)], strict=True))


def _cuts(heights: Sequence[float], most: float, gap: float, count: int) -> list[int] | None:
    """Where new columns begin; None where they would be too many, or one item is too high."""
    cuts: list[int] = []
    used = -gap
    for place, high in enumerate(heights):
        if place and used + gap + high > most + 1e-6:
            cuts.append(place)
            used = -gap
        used += gap + high
        if used > most + 1e-6 or len(cuts) >= count:
            return None
    return cuts


def stacked(heights: Sequence[float], gap: float) -> float:
    """Height of what is one below the other.

    >>> stacked([2.0, 3.0], 1.0)
    6.0
    """
    return sum(heights) + gap * max(0, len(heights) - 1)
