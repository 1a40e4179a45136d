"""What hangs over or under a line of bars: each at its bar, as near as it can be, tied to it by a thin line.

Laid from right to left, so that no tie crosses what hangs from another bar. Lengths in points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from render.page.model import Laid, Pen
from render.page.theme import SOFT

GAP, TIE = 4.0, 0.7  # between two on one level; the tie


class Block(NamedTuple):
    """Something laid out in a width."""

    width: float
    laid: Laid

    @property
    def height(self) -> float:
        return self.laid.height


@dataclass(frozen=True)
class Hanging:
    """What hangs from a place: ``lay`` sets it in at most a width, ``natural`` is the width it would like."""

    bar: int
    anchor: float
    natural: float
    least: float  # no narrower than this is worth trying
    lay: Callable[[float], Block]
    kind: str = ""
    edges: tuple[float, float] = (0.0, 0.0)  # of its bar


@dataclass(frozen=True)
class Spot:
    """Where one of them lies: left, right, and how far from the bars it begins and ends."""

    left: float
    right: float
    near: float
    far: float


@dataclass(frozen=True)
class Hung:
    """One of them in its place; ``tie`` is how far from the bars its tie begins, None where it touches them."""

    item: Hanging
    block: Block
    spot: Spot
    tie: float | None


@dataclass(frozen=True)
class Lanes:
    """All that hangs on one side of a line of bars."""

    hung: tuple[Hung, ...] = ()
    height: float = 0.0

    def paint(self, pen: Pen, x: float, edge: float, way: int) -> None:
        """Draw from the edge of the bars: ``way`` is -1 upwards, 1 downwards."""
        for each in self.hung:
            spot, item = each.spot, each.item
            top = edge + spot.near if way > 0 else edge - spot.near - each.block.height
            if each.tie is not None:
                pen.line(x + item.anchor, edge + way * each.tie, x + item.anchor, edge + way * (spot.near + 1), TIE, SOFT)
            each.block.laid.paint(pen, x + spot.left, top)
            if item.kind:
                pen.mark(item.kind, None, x + item.anchor, *(x + at for at in item.edges))


def hang(items: Sequence[Hanging], right: float, taken: Sequence[Spot] = (), unit: float = 1.0) -> Lanes:
    """Hang everything, in order of its place; of two at one place the later is nearer to the bars."""
    spots, hung = list(taken), []
    ordered = sorted(items, key=lambda item: item.anchor)
    gap = GAP * unit
    for place in range(len(ordered) - 1, -1, -1):
        item = ordered[place]
        before = max((other.anchor + gap for other in ordered if other.anchor < item.anchor), default=0.0)
        after = min((other.anchor - gap for other in ordered if other.anchor > item.anchor), default=right)
        tries = [_wide(item, before, right)]
        if item.natural > after - item.anchor >= item.least:
            tries.append((item.anchor, item.lay(after - item.anchor)))
        found = [_settle(left, block, spots, gap, item.anchor) for left, block in tries]
        best = min(range(len(tries)), key=lambda n: found[n].far)
        spot, block = found[best], tries[best][1]
        same = [other.spot.far for other in hung if other.item.anchor == item.anchor]
        tie = max(same, default=0.0)
        if spot.near - tie > gap / 2:
            spots.append(Spot(item.anchor - gap / 4, item.anchor + gap / 4, 0.0, spot.near))
        hung.append(Hung(item, block, spot, tie if spot.near - tie > gap / 2 else None))
        spots.append(spot)
    return Lanes(tuple(hung[::-1]), max((spot.far for spot in spots), default=0.0))


def _wide(item: Hanging, before: float, right: float) -> tuple[float, Block]:
    """From its place on to the right edge; where that is too narrow, back to the place before it."""
    room = right - item.anchor
    if item.natural <= room or (item.least <= room and item.natural > right - before):
        return item.anchor, item.lay(room)
    block = item.lay(right - before)
    return min(item.anchor, right - block.width), block


def _settle(left: float, block: Block, spots: Sequence[Spot], gap: float, anchor: float) -> Spot:
    """The level nearest to the bars on which it touches nothing."""
    right = left + block.width
    near = 0.0
    for near in sorted({0.0, *(spot.far for spot in spots)}):
        far = near + block.height
        if not any(
            spot.left < right + gap and left - gap < spot.right and spot.near < far - 1e-6 and near < spot.far - 1e-6
            for spot in spots
        ):
            break
    return Spot(left, right, near, near + block.height)


def exit_lanes(lanes: Lanes, block: Block, left: float, item: Hanging, unit: float) -> Lanes:
    """The same with what belongs to the line's end, nearest to the bars where it touches nothing."""
    spots = [spot for each in lanes.hung for spot in _covered(each)]
    spot = _settle(left, block, spots, GAP * unit, left)
    return Lanes((*lanes.hung, Hung(item, block, spot, None)), max(lanes.height, spot.far))


def _covered(hung: Hung) -> list[Spot]:
    tie = [] if hung.tie is None else [Spot(hung.item.anchor, hung.item.anchor, 0.0, hung.spot.near)]
    return [hung.spot, *tie]
