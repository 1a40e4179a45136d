"""One song on one page: the largest scale at which everything fits, found by bisection."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

from render.page.fill_blocks import FillGeometry, lay_fills
from render.page.fonts import capital_height
from render.page.form import Row
from render.page.head_foot import lay_foot, lay_head
from render.page.model import Page, Pen
from render.page.packing import EXACT, MARGIN, READS, SMALLEST, in_columns, largest, page_size, stack_height
from render.page.plan import Plan, plan_of, plans, with_back
from render.page.rows import Geometry, Laid, geometry_for, lay_row, least_height
from render.page.sheet import Options, Sheet
from render.page.theme import ESSENTIAL_MINUTES, SOFT, points_for

LARGEST = 30.0  # points of essential text: a short chart grows no further
ROW_GAP, ROW_GAP_MOST = 0.36, 1.25  # between rows, at least and where there is room
SECTION_GAP = 0.4  # under the head, over the foot
FILL_GAP = 0.6  # over the fills
COLUMN_GAP = 1.0


@dataclass(frozen=True)
class Fitted:
    """A song's page, the plan and the scale that it took."""

    page: Page
    plan: Plan
    scale: float


@dataclass(frozen=True)
class _Body:
    """Everything on a page measured for one scale; heights in units."""

    head: Laid
    columns: tuple[tuple[Laid, ...], ...]
    fills: Laid
    foot: Laid
    width: float

    @property
    def form_height(self) -> float:
        return max(stack_height(column, ROW_GAP) for column in self.columns)

    @property
    def height(self) -> float:
        fills = self.fills.height + FILL_GAP if self.fills.height else 0.0
        return self.head.height + SECTION_GAP + self.form_height + fills + SECTION_GAP + self.foot.height


def unit_points(options: Options) -> float:
    """Points of essential text at scale 1: 16 minutes of arc at the book's distance."""
    return points_for(ESSENTIAL_MINUTES, options.distance, capital_height())


def fit(sheet: Sheet, options: Options, name: str) -> Fitted:
    """The page of a song: the first plan on which everything reads, else the one that comes nearest."""
    fitter = _Fitter(sheet, options)
    most = max(READS, LARGEST / fitter.unit)
    for taken in plans(sheet):
        if fitter.reads(plan_of(taken)):
            plan = with_back(taken, fitter.reads)
            most = min(most, fitter.bound(plan))
            return fitter.page(plan, largest(partial(fitter.fits, plan), READS, most), name)
    return fitter.page(*fitter.nearest(), name)


class _Fitter:
    """Lays one sheet out at any scale; what was laid out last is kept."""

    def __init__(self, sheet: Sheet, options: Options) -> None:
        self.sheet, self.options = sheet, options
        self.unit = unit_points(options)
        self.size = page_size(options)
        self.kept: dict[tuple[Plan, float], _Body | None] = {}
        self.laid: dict[tuple[Geometry, int], list[Laid]] = {}  # folded or not, forms differ in length
        self.edges: dict[float, tuple[Laid, Laid]] = {}
        self.fills = lru_cache(maxsize=64)(partial(lay_fills, sheet.fills))

    def room(self, scale: float) -> tuple[float, float]:
        """Width and height inside the margins, in units."""
        k = self.unit * scale
        return (self.size[0] - 2 * MARGIN) / k, (self.size[1] - 2 * MARGIN) / k

    def fits(self, plan: Plan, scale: float) -> bool:
        return self.body(plan, scale) is not None

    def reads(self, plan: Plan) -> bool:
        """True where everything fits at reading size."""
        return self.fits(plan, READS)

    def bound(self, plan: Plan) -> float:
        """No scale above this fits: what is larger takes no fewer lines."""
        body = self.body(plan, READS)
        assert body is not None
        return max(READS, self.room(READS)[1] / body.height)

    def body(self, plan: Plan, scale: float) -> _Body | None:
        """Everything laid out, None where it does not fit."""
        if (plan, scale) not in self.kept:
            self.kept[plan, scale] = self._lay(plan, scale)
        return self.kept[plan, scale]

    def _lay(self, plan: Plan, scale: float) -> _Body | None:
        width, height = self.room(scale)
        sheet = self.sheet
        rows = sheet.folded if plan.folded else sheet.rows
        column_width = (width - COLUMN_GAP * (plan.columns - 1)) / plan.columns
        if column_width < 3:
            return None
        if scale not in self.edges:
            self.edges[scale] = lay_head(sheet, width, scale), lay_foot(sheet, width)
        head, foot = self.edges[scale]
        geometry = geometry_for(rows, column_width, plan)
        least = sum([least_height(row, geometry) + ROW_GAP for row in rows]) / plan.columns - ROW_GAP
        if least > height - head.height - foot.height - 2 * SECTION_GAP:
            return None  # before the fills are laid out, which takes longest
        fills = self.fills(
            FillGeometry(width, geometry.side_width, plan.across, plan.fills, self.options.triplets)
        )
        left = height - _Body(head, ((),), fills, foot, width).height
        laid = self.rows(rows, geometry, (left + ROW_GAP) * plan.columns) if least <= left else None
        columns = None if laid is None else in_columns(laid, plan.columns, left, ROW_GAP)
        return None if columns is None else _Body(head, columns, fills, foot, width)

    def rows(self, rows: Sequence[Row], geometry: Geometry, room: float) -> list[Laid] | None:
        """All rows laid out, unless they were before; None as soon as they and their gaps exceed the room."""
        laid = self.laid.setdefault((geometry, len(rows)), [])
        for place, row in enumerate(rows):
            if place == len(laid):
                laid.append(lay_row(row, geometry))
            room -= laid[place].height + ROW_GAP
            if room < -1e-9:
                return None
        return laid

    def nearest(self) -> tuple[Plan, float]:
        """The plan with the largest scale, where none reads."""
        best: tuple[Plan, float] | None = None
        for taken in plans(self.sheet):
            plan = plan_of(taken)
            floor = best[1] * (1 + 2 * EXACT) if best else SMALLEST
            if self.fits(plan, floor):
                best = (plan, largest(partial(self.fits, plan), floor, READS))
        assert best is not None, "a page holds anything at a hundredth of its size"
        return best

    def page(self, plan: Plan, scale: float, name: str) -> Fitted:
        """Draw what was laid out onto a page."""
        body = self.body(plan, scale)
        assert body is not None
        page = Page(name, self.sheet.song.title, *self.size)
        pen = Pen(page, self.unit * scale, MARGIN, MARGIN)
        _paint(pen, body, self.room(scale)[1])
        return Fitted(page, plan, scale)


def _paint(pen: Pen, body: _Body, height: float) -> None:
    """Head at the top, foot and fills at the bottom, the form between with what room is left."""
    body.head.paint(pen, 0.0, 0.0)
    spare = height - body.height
    most_rows = max(map(len, body.columns))
    gap = min(ROW_GAP_MOST, ROW_GAP + spare / (most_rows + 1))
    top = body.head.height + SECTION_GAP + (gap - ROW_GAP) / 2
    column_width = (body.width - COLUMN_GAP * (len(body.columns) - 1)) / len(body.columns)
    for place, column in enumerate(body.columns):
        x, y = place * (column_width + COLUMN_GAP), top
        for row in column:
            row.paint(pen, x, y)
            y += row.height + gap
        if place:
            edge = x - COLUMN_GAP / 2
            pen.line(edge, top, edge, top + body.form_height, 0.04, SOFT)
    foot = height - body.foot.height
    if body.fills.height:
        body.fills.paint(pen, 0.0, foot - SECTION_GAP - body.fills.height)
        pen.line(
            0.0,
            foot - SECTION_GAP - body.fills.height - FILL_GAP / 2,
            body.width,
            foot - SECTION_GAP - body.fills.height - FILL_GAP / 2,
            0.04,
            SOFT,
        )
    body.foot.paint(pen, 0.0, foot)
