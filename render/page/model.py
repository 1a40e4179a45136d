"""A page as data: words, shapes, lines and links at measured places, in points from the upper left corner.

Nothing here knows how a PDF is written; tests look at these objects, the canvas draws them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from render.page.fonts import REGULAR, capital_height, extent, set_text
from render.page.theme import INK, SOFT

ASCENT, DESCENT = 0.74, 0.22  # how far ink reaches above and below the line, in ems (b, p and parentheses)

Outline = Sequence[tuple[float, float]]
Area = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(slots=True)
class Words:
    """One line of text; ``y`` is its baseline, ``size`` in points, ``kind`` what the report calls it."""

    x: float
    y: float
    text: str
    size: float
    style: str
    role: str
    kind: str

    @property
    def width(self) -> float:
        return set_text(self.text, self.style).width * self.size

    @property
    def area(self) -> Area:
        """What its ink may cover."""
        return (self.x, self.y - ASCENT * self.size, self.x + self.width, self.y + DESCENT * self.size)

    @property
    def core(self) -> Area:
        """From the baseline to the top of the capitals."""
        return (self.x, self.y - capital_height() * self.size, self.x + self.width, self.y)


@dataclass(slots=True)
class Rect:
    """A rectangle, filled where ``line`` is 0, else its border of that width, drawn inside it."""

    x: float
    y: float
    width: float
    height: float
    role: str
    line: float = 0.0

    @property
    def area(self) -> Area:
        return (self.x, self.y, self.x + self.width, self.y + self.height)


@dataclass(slots=True)
class Line:
    """A straight line of a width."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    role: str

    @property
    def area(self) -> Area:
        half = self.width / 2
        across, down = (
            (0.0, half) if self.y1 == self.y2 else (half, 0.0) if self.x1 == self.x2 else (half, half)
        )
        return (
            min(self.x1, self.x2) - across, min(self.y1, self.y2) - down,
            max(self.x1, self.x2) + across, max(self.y1, self.y2) + down,
        )  # fmt: skip


@dataclass(slots=True)
class Shape:
    """A filled outline."""

    outline: Outline
    role: str

    @property
    def area(self) -> Area:
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        return (min(xs), min(ys), max(xs), max(ys))


@dataclass(slots=True)
class Disc:
    """A filled disc round a middle; its right half lies ``longer`` to the right where that is not 0."""

    x: float
    y: float
    radius: float
    role: str
    longer: float = 0.0

    @property
    def area(self) -> Area:
        x, y, radius = self.x, self.y, self.radius
        return (x - radius, y - radius, x + radius + self.longer, y + radius)


@dataclass(slots=True)
class Sign:
    """A sign of the music font: its left edge on its line of the staff; a staff ``space`` in points."""

    x: float
    y: float
    sign: str
    space: float
    role: str

    @property
    def area(self) -> Area:
        left, top, right, bottom = extent(self.sign)
        x, y, space = self.x, self.y, self.space
        return (x + left * space, y + top * space, x + right * space, y + bottom * space)


Item = Words | Rect | Line | Shape | Disc | Sign


@dataclass(slots=True)
class Mark:
    """What belongs to a bar, for tests: what it is, where it lies, and the edges of its bar."""

    kind: str
    what: object  # the same for two marks that look alike
    x: float
    left: float
    right: float


@dataclass(slots=True)
class Link:
    """A part of the page that leads to another page of the same document, by that page's name."""

    area: Area
    target: str


@dataclass
class Page:
    """One page; sizes in points."""

    name: str
    title: str
    width: float
    height: float
    items: list[Item] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)

    @property
    def words(self) -> Iterable[Words]:
        return (item for item in self.items if isinstance(item, Words))


class Pen:
    """Puts things on a page: lengths are given in units, the page holds points.

    A unit is the size of essential text; ``k`` is its points.
    """

    __slots__ = ("items", "k", "left", "links", "marks", "top")

    def __init__(self, page: Page, k: float, left: float, top: float) -> None:
        self.items, self.links, self.marks = page.items, page.links, page.marks
        self.k, self.left, self.top = k, left, top

    def words(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        style: str = REGULAR,
        role: str = INK,
        kind: str = "",
    ) -> None:
        k = self.k
        self.items.append(Words(self.left + x * k, self.top + y * k, text, size * k, style, role, kind))

    def rect(
        self, x: float, y: float, width: float, height: float, role: str = INK, line: float = 0.0
    ) -> None:
        k = self.k
        self.items.append(Rect(self.left + x * k, self.top + y * k, width * k, height * k, role, line * k))

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float, role: str = SOFT) -> None:
        k, left, top = self.k, self.left, self.top
        self.items.append(Line(left + x1 * k, top + y1 * k, left + x2 * k, top + y2 * k, width * k, role))

    def shape(self, outline: Outline, role: str = INK) -> None:
        k, left, top = self.k, self.left, self.top
        self.items.append(Shape([(left + x * k, top + y * k) for x, y in outline], role))

    def disc(self, x: float, y: float, radius: float, role: str = INK, longer: float = 0.0) -> None:
        k = self.k
        self.items.append(Disc(self.left + x * k, self.top + y * k, radius * k, role, longer * k))

    def mark(self, kind: str, what: object, x: float, left: float, right: float) -> None:
        """Note where something of a bar lies."""
        self.marks.append(Mark(kind, what, *(self.left + at * self.k for at in (x, left, right))))

    def sign(self, x: float, y: float, sign: str, scale: float = 1.0, role: str = INK) -> None:
        """A sign of the music font; the pen's unit is a staff space, unless ``scale`` says another."""
        k = self.k
        self.items.append(Sign(self.left + x * k, self.top + y * k, sign, k * scale, role))

    def link(self, x: float, y: float, width: float, height: float, target: str) -> None:
        k, left, top = self.k, self.left + x * self.k, self.top + y * self.k
        self.links.append(Link((left, top, left + width * k, top + height * k), target))

    def at(self, x: float, y: float, scale: float = 1.0) -> Pen:
        """The same page from another corner, in larger or smaller units."""
        pen = Pen.__new__(Pen)
        pen.items, pen.links, pen.marks, pen.k = self.items, self.links, self.marks, self.k * scale
        pen.left, pen.top = self.left + x * self.k, self.top + y * self.k
        return pen


@dataclass(frozen=True)
class Laid:
    """Something measured: its height, and how to draw it from its upper left corner."""

    height: float
    paint: Callable[[Pen, float, float], object]
