"""The sizes of a page, and the fixed order in which it gives things up. Sizes change, the look never does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from render.page.fonts import capital_height
from render.page.theme import ESSENTIAL_MINUTES, POINTS_PER_MM, PRIME_MINUTES, points_for

LEAST_MINUTES, CUE_MINUTES = 14.0, 10.0  # of what is read from the stand; of cues
SIGN_MINUTES = 11.0
STAVES = (1.75, 1.6, 1.45, 1.3)  # staff spaces of fills in mm, at the near distance of the usual one
TIGHTER = (0.35, 0.7, 1.0)
NEAR = 0.65  # of the distance: from where fills are read
MANY_ROWS, MANY_ROWS_LANDSCAPE = 20, 7  # from so many on, two columns help
SMALLER, SMALLEST = 0.96, 0.02


@dataclass(frozen=True)
class Plan:
    """How a page is laid out; ``used`` are the fall-backs taken so far, in words."""

    groove: bool = True
    staff: float = STAVES[0]
    tight: float = 0.0  # 0 to 1: how far cues, names and boxes are from their largest to their least
    counts: bool = True
    folded: bool = False
    columns: int = 1
    apart: bool = False  # fills on a page of their own
    smaller: float = 1.0
    used: tuple[str, ...] = ()

    def and_(self, name: str, **changes: object) -> Plan:
        """The same with one more fall-back."""
        used = self.used if name in self.used else (*self.used, name)
        return replace(self, used=used, **changes)  # type: ignore[arg-type]


def plans(rows: int, folds: bool, engraved: bool, grooves: bool, landscape: bool) -> Iterator[Plan]:
    """Every plan in its order: the first that fits is taken. What would change nothing is passed over."""
    plan = Plan()
    if grooves:
        yield plan
        plan = plan.and_("groove left out")
    plan = replace(plan, groove=False)
    yield plan
    if engraved:
        for staff in STAVES[1:]:
            plan = plan.and_("smaller staff", staff=staff)
            yield plan
    for tight in TIGHTER:
        plan = plan.and_("smaller cues and boxes", tight=tight)
        yield plan
    if engraved:
        plan = plan.and_("counts and sticking left out", counts=False)
        yield plan
    many = rows >= (MANY_ROWS_LANDSCAPE if landscape else MANY_ROWS)
    for plan in _denser(plan, folds, many):
        yield plan
    if engraved:
        apart = Plan(groove=False).and_("fills on a second page", apart=True)
        yield apart
        for tight in TIGHTER:
            apart = apart.and_("smaller cues and boxes", tight=tight)
            yield apart
        for plan in (apart, *_denser(apart, folds, many)):
            yield plan
    while plan.smaller > SMALLEST:
        plan = plan.and_("smaller than reads", smaller=plan.smaller * SMALLER)
        yield plan


def _denser(plan: Plan, folds: bool, many: bool) -> Iterator[Plan]:
    if folds:
        plan = plan.and_("equal sections in one row", folded=True)
        yield plan
    if many:
        yield plan.and_("two columns", columns=2)


@dataclass(frozen=True)
class Sizes:
    """Sizes in points for a plan and a reading distance in metres."""

    distance: float
    tight: float
    smaller: float

    def _minutes(self, most: float, least: float | None = None) -> float:
        minutes = most if least is None else most + (least - most) * self.tight
        return points_for(minutes, self.distance * self.smaller, capital_height())

    @cached_property
    def name(self) -> float:
        return self._minutes(ESSENTIAL_MINUTES, LEAST_MINUTES)

    @cached_property
    def essential(self) -> float:
        """Fill numbers, OPEN, until, the head."""
        return self._minutes(LEAST_MINUTES)

    @cached_property
    def prime(self) -> float:
        """The least size of title and tempo."""
        return self._minutes(PRIME_MINUTES)

    @cached_property
    def cue(self) -> float:
        return self._minutes(LEAST_MINUTES, CUE_MINUTES)

    @cached_property
    def least(self) -> float:
        """What is small beside what is read from afar."""
        return self._minutes(CUE_MINUTES)

    @cached_property
    def sign(self) -> float:
        """Flags of meter, feel and tempo."""
        return self._minutes(LEAST_MINUTES, SIGN_MINUTES)

    @cached_property
    def near(self) -> float:
        """Words that are read from the near distance."""
        return NEAR * self._minutes(LEAST_MINUTES)

    @cached_property
    def disc(self) -> float:
        return 0.98 * self.essential

    @cached_property
    def band(self) -> float:
        return 0.2 * self.essential

    @cached_property
    def box(self) -> float:
        return self.disc + self.band + (0.5 - 0.36 * self.tight) * self.essential

    @cached_property
    def gap(self) -> float:
        """Between rows, at least."""
        return (0.55 - 0.33 * self.tight) * self.essential

    @cached_property
    def pen(self) -> float:
        """The unit of line widths and small distances: a point at one metre."""
        return self.distance * self.smaller

    @cached_property
    def hit(self) -> float:
        """Staff space of the hits over the bars."""
        return (0.3 - 0.04 * self.tight) * self.essential

    def space(self, staff: float) -> float:
        """Staff space of the fills."""
        return staff * POINTS_PER_MM * self.pen
