"""What hangs over or under a line of bars: each at its bar, as near as it can be, tied to it by a thin line.

Laid from right to left, so that no tie crosses what hangs from another bar. Lengths in points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from render.page.model import Laid, Pen
from render.page.strips import Bar
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
    """What hangs from a place of a bar: ``lay`` sets it in a width, ``natural`` is what it would like.

    It is not laid in less than its ``least`` where there is another way.
    """

    kind: str
    bar: Bar
    anchor: float
    natural: float
    least: float
    lay: Callable[[float], Block]


@dataclass(frozen=True)
class Spot:
    """Where one of them lies: left, right, and how far from the bars it begins and ends."""

    left: float
    right: float
    near: float
    far: float


@dataclass(frozen=True)
class Hung:
    """One of them in its place; ``tie`` is how far from the bars its tie begins, None where it has none."""

    item: Hanging | None
    block: Block
    spot: Spot
    tie: float | None = None

    def paint(self, pen: Pen, way: int) -> None:
        top = self.spot.near if way > 0 else -self.spot.near - self.block.height
        self.block.laid.paint(pen, self.spot.left, top)
        if self.item:
            bar, x = self.item.bar, self.item.anchor
            pen.mark(self.item.kind, None, x, bar.left, bar.right)
            if self.tie is not None:
                pen.line(x, way * self.tie, x, way * self.spot.near, TIE, SOFT)


@dataclass(frozen=True)
class Lanes:
    """All that hangs on one side of a line of bars."""

    hung: tuple[Hung, ...]
    height: float

    def paint(self, pen: Pen, way: int) -> None:
        """Draw; the pen is at the edge of the bars, ``way`` is -1 upwards, 1 downwards."""
        for each in self.hung:
            each.paint(pen, way)


def hang(
    items: Sequence[Hanging],
    right: float,
    unit: float,
    taken: Sequence[Spot] = (),
    ends: Sequence[tuple[float, Block]] = (),
) -> Lanes:
    """Hang everything, in order of its place; of two at one place the later is nearer to the bars.

    ``taken`` is there already; ``ends`` are words that end at an x, which need no tie.
    """
    spots, hung, gap = list(taken), list[Hung](), GAP * unit
    ordered = sorted(items, key=lambda item: item.anchor)
    for place in reversed(range(len(ordered))):
        item = ordered[place]
        before = max((other.anchor + gap for other in ordered if other.anchor < item.anchor), default=0.0)
        after = min((other.anchor - gap for other in ordered if other.anchor > item.anchor), default=right)
        tries = [_wide(item, before, right)]
        if item.natural > after - item.anchor >= item.least:
            tries.insert(0, (item.anchor, item.lay(after - item.anchor)))
        found = [(_settle(left, block, spots, gap), block) for left, block in tries]
        spot, block = min(found, key=lambda pair: pair[0].far)
        tie = max(
            (other.spot.far for other in hung if other.item and other.item.anchor == item.anchor), default=0.0
        )
        tied = spot.near - tie > gap / 2
        if tied:
            spots.append(Spot(item.anchor - gap / 4, item.anchor + gap / 4, 0.0, spot.near))
        hung.append(Hung(item, block, spot, tie if tied else None))
        spots.append(spot)
    for end, block in ends:
        spots.append(_settle(max(0.0, end - block.width), block, spots, gap))
        hung.append(Hung(None, block, spots[-1]))
    return Lanes(tuple(hung[::-1]), max((spot.far for spot in spots), default=0.0))


def _wide(item: Hanging, before: float, right: float) -> tuple[float, Block]:
    """From its place on to the right edge; where that is too narrow, back to the place before it."""
    room = right - item.anchor
    if item.natural <= room or (item.least <= room and item.natural > right - before):
        return item.anchor, item.lay(room)
    block = item.lay(right - before)
    return min(item.anchor, right - block.width), block


def _settle(left: float, block: Block, spots: Sequence[Spot], gap: float) -> Spot:
    """The level nearest to the bars on which it touches nothing."""
    spot = Spot(left, left + block.width, 0.0, block.height)
    for near in sorted({0.0, *(spot.far for spot in spots)}):
        spot = Spot(left, left + block.width, near, near + block.height)
        if not any(_meet(spot, other, gap) for other in spots):
            break
    return spot


def _meet(one: Spot, other: Spot, gap: float) -> bool:
    across = other.left < one.right + gap and one.left - gap < other.right
    return across and other.near < one.far - 1e-6 and one.near < other.far - 1e-6
