"""One song on its page, and on a second one where its fills have no room: the first plan that fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from render.page.fill_rows import fill_rows
from render.page.fonts import BOLD
from render.page.head_foot import lay_foot, lay_head, stamp
from render.page.hit_lines import crowding
from render.page.model import Laid, Page, Pen
from render.page.names import column_width
from render.page.packing import MARGIN, in_columns, page_size, stacked
from render.page.plan import (
    APART,
    COLUMNS,
    FOLDED,
    GROOVE,
    OF_FILLS,
    Plan,
    Sizes,
    fill_plans,
    plans,
    relaxed,
)
from render.page.row_layout import lay_row
from render.page.rows import FormRow, Geometry, LaidRow
from render.page.sheet import Options, Sheet
from render.page.strips import PHRASE_GAP, bars_of, width_of_bar
from render.page.text import flow, paint_lines, words
from render.page.theme import SOFT

COLUMN_GAP, FILL_GAP = 14.0, 7.0  # points at one metre
MOST_BOX, MOST_GAP = 1.6, 2.6  # how far boxes and gaps grow where there is room, of their least
MANY, MANY_LANDSCAPE = 20, 7  # rows for which two columns are tried
TWELVE = 12
CROWDED = 0.8  # of their size: how far hits may shrink before four bars a line are tried
HALF = 0.5
NOTHING = Laid(0.0, lambda pen, x, y: None)


@dataclass(frozen=True)
class Fitted:
    """A song's page, the page of its fills where they have one, and the plan that it took."""

    page: Page
    plan: Plan
    more: tuple[Page, ...] = ()

    @property
    def pages(self) -> tuple[Page, ...]:
        return (self.page, *self.more)


@dataclass(frozen=True)
class _Body:
    """Everything on a page measured; heights in points."""

    sizes: Sizes
    head: Laid
    columns: tuple[tuple[LaidRow, ...], ...]
    fills: Laid
    foot: Laid

    @property
    def rest(self) -> float:
        """What all but the form takes."""
        fills = self.fills.height + 2 * FILL_GAP * self.sizes.unit if self.fills.height else 0.0
        return self.head.height + fills + self.sizes.gap + self.foot.height


def _height(rows: Sequence[LaidRow], box: float, gap: float) -> float:
    return stacked([row.height(box) for row in rows], gap)


def fit(sheet: Sheet, options: Options, name: str) -> Fitted:
    """The page of a song: the first plan on which everything fits, with what it need not give up."""
    fitter = _Fitter(sheet, options)
    plan = next(plan for plan in plans(_useless(sheet, options)) if fitter.body(plan))
    return fitter.draw(relaxed(plan, lambda plan: fitter.body(plan) is not None), name)


def _useless(sheet: Sheet, options: Options) -> set[str]:
    """Fall-backs that would change nothing on a page."""
    found: set[str] = set() if sheet.fills else {APART}
    if not sheet.groove:
        found.add(GROOVE)
    if not sheet.fills:
        found |= OF_FILLS - {GROOVE}
    if len(sheet.folded) == len(sheet.rows):
        found.add(FOLDED)
    if len(sheet.rows) < (MANY_LANDSCAPE if options.landscape else MANY):
        found.add(COLUMNS)
    return found


class _Fitter:
    """Lays one sheet out for any plan."""

    def __init__(self, sheet: Sheet, options: Options) -> None:
        self.sheet, self.options = sheet, options
        self.size = page_size(options)
        self.width, self.height = (side - 2 * MARGIN for side in self.size)
        self.laid: dict[object, list[LaidRow]] = {}
        self.drawn: dict[object, Laid] = {}
        self.bodies: dict[Plan, _Body | None] = {}

    def rows(self, plan: Plan) -> list[FormRow]:
        sheet = self.sheet
        rows = sheet.folded if plan.folded else sheet.rows
        last = len(rows) - 1
        return [
            FormRow(row, sheet.uses[row.part.index], sheet.song.ending if place == last else None)
            for place, row in enumerate(rows)
        ]

    def across(self, columns: int) -> list[int]:
        """Bars a line that are tried, the best first; four or eight in narrow columns."""
        return [4, 8] if columns > 1 and not self.options.landscape else self.usual_across

    @cached_property
    def usual_across(self) -> list[int]:
        """Eight, twelve where the form is in twelves, four where hits are too close for eight."""
        sections = [row.section for row in self.sheet.rows]
        twelves = sum(section.bars % TWELVE == 0 for section in sections)
        if twelves < HALF * len(sections):
            return [4, 8] if self.crowded(8) else [8]
        return sorted([TWELVE, 8], key=self.crowded)

    def crowded(self, across: int) -> bool:
        """True where hits are too close for that many bars a line."""
        sections = [row.section for row in self.sheet.rows if row.section.hits]
        if not sections:
            return False
        sizes = Sizes(self.options.distance, 0.0, 1.0)
        geometry = geometry_for(self.rows(Plan()), self.width, across, sizes)
        lines = [list(chain(*bars_of(section, across, geometry.bar_width, 0.0))) for section in sections]
        return crowding(sections, lines, sizes) < CROWDED

    def body(self, plan: Plan) -> _Body | None:
        """Everything laid out, None where it does not fit."""
        if plan not in self.bodies:
            tried = (self._body(plan, across) for across in self.across(plan.columns))
            self.bodies[plan] = next((body for body in tried if body), None)
        return self.bodies[plan]

    def _body(self, plan: Plan, across: int) -> _Body | None:
        sizes = Sizes(self.options.distance, plan.tight, plan.smaller)
        head = lay_head(self.sheet, self.width, sizes)
        foot = lay_foot(self.sheet, self.width, sizes)
        fills = NOTHING if plan.apart else self.fills(plan, sizes)
        bare = _Body(sizes, head, ((),), fills, foot)
        room = self.height - bare.rest
        rows = self.rows(plan)
        if room < len(rows) / plan.columns * sizes.box:
            return None
        laid = self._laid(rows, plan, across, sizes)
        heights = [row.height(sizes.box) for row in laid]
        columns = in_columns(laid, heights, plan.columns, room, sizes.gap)
        return None if columns is None else _Body(sizes, head, columns, fills, foot)

    def fills(self, plan: Plan, sizes: Sizes) -> Laid:
        """All fills, in points."""
        space = sizes.space(plan.staff)
        key = (space, plan.counts, plan.groove)
        if key not in self.drawn:
            groove = [self.sheet.groove] if plan.groove and self.sheet.groove else []
            laid = fill_rows(
                [*groove, *self.sheet.fills], self.options.triplets, self.width / space, plan.counts
            )
            self.drawn[key] = Laid(
                laid.height * space, lambda pen, x, y: laid.paint(pen.at(x, y, space), 0.0, 0.0)
            )
        return self.drawn[key]

    def _laid(self, rows: Sequence[FormRow], plan: Plan, across: int, sizes: Sizes) -> list[LaidRow]:
        key = (plan.folded, plan.columns, across, sizes)
        if key not in self.laid:
            column = (self.width - COLUMN_GAP * sizes.unit * (plan.columns - 1)) / plan.columns
            geometry = geometry_for(rows, column, across, sizes)
            self.laid[key] = [lay_row(row, geometry) for row in rows]
        return self.laid[key]

    def draw(self, plan: Plan, name: str) -> Fitted:
        """Draw what was laid out, its spare height spread evenly."""
        body = self.body(plan)
        assert body is not None
        page = Page(name, self.sheet.song.title, *self.size)
        _paint(Pen(page, 1.0, MARGIN, MARGIN), body, self.width, self.height)
        stamp(page)
        return Fitted(page, plan, (self.fills_page(name),) if plan.apart else ())

    def fills_page(self, name: str) -> Page:
        """All fills on a page of their own, as large as they fit there."""
        song = self.sheet.song
        page = Page(f"{name}-fills", f"{song.title}: fills", *self.size)
        pen = Pen(page, 1.0, MARGIN, MARGIN)
        sizes = Sizes(self.options.distance, 0.0, 1.0)
        foot = lay_foot(self.sheet, self.width, sizes)
        title = flow(
            [
                *words(song.title, "section", BOLD, sizes.name),
                *words("fills", "section", size=sizes.name, space=0.5 * sizes.name),
            ],
            self.width,
        )
        top = paint_lines(pen, 0.0, 0.0, title) + FILL_GAP * sizes.unit
        room = self.height - top - foot.height - FILL_GAP * sizes.unit
        tried = (self.fills(plan, sizes) for plan in fill_plans())
        fills = next(fills for fills in tried if fills.height <= room)
        fills.paint(pen, 0.0, top)
        foot.paint(pen, 0.0, self.height - foot.height)
        stamp(page)
        return page


def geometry_for(rows: Sequence[FormRow], width: float, across: int, sizes: Sizes) -> Geometry:
    """Names as wide as they need within bounds, all bars of one width."""
    names = column_width([(row.row.name, row.row.times, row.section) for row in rows], width, sizes)
    strip = width - names
    sections = [row.section for row in rows]
    bar = width_of_bar(sections, across, strip, PHRASE_GAP * sizes.unit)
    return Geometry(sizes, names, strip, across, bar)


def _paint(pen: Pen, body: _Body, width: float, height: float) -> None:
    """Head at the top, foot and fills at the bottom, the form between with what room is left."""
    sizes = body.sizes
    body.head.paint(pen, 0.0, 0.0)
    box, gap = _spread(body, height)
    count = len(body.columns)
    column_gap = COLUMN_GAP * sizes.unit
    column_width = (width - column_gap * (count - 1)) / count
    top = body.head.height
    for place, column in enumerate(body.columns):
        x, y = place * (column_width + column_gap), top
        for row in column:
            row.paint(pen, x, y, box)
            y += row.height(box) + gap
        if place:
            pen.line(
                x - column_gap / 2,
                top,
                x - column_gap / 2,
                top + _height(body.columns[0], box, gap),
                0.8 * sizes.unit,
                SOFT,
            )
    foot = height - body.foot.height
    if body.fills.height:
        fills = foot - sizes.gap - body.fills.height
        rule = fills - FILL_GAP * sizes.unit
        pen.line(0.0, rule, width, rule, 0.8 * sizes.unit, SOFT)
        body.fills.paint(pen, 0.0, fills)
    body.foot.paint(pen, 0.0, foot)


def _spread(body: _Body, height: float) -> tuple[float, float]:
    """Boxes and gaps with the spare height shared out evenly, each within its bounds."""
    sizes, room = body.sizes, height - body.rest
    share = min(
        (room - _height(column, sizes.box, sizes.gap)) / (sum(len(row.lines) for row in column) + len(column))
        for column in body.columns
    )
    box = min(sizes.box * MOST_BOX, sizes.box + share)
    left = min((room - _height(column, box, sizes.gap)) / len(column) for column in body.columns)
    return box, sizes.gap + min(MOST_GAP * sizes.essential, left)
