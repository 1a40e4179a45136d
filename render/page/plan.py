"""The sizes of a page, and the fixed order in which it gives things up. Sizes change, the look never does."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from render.page.fonts import capital_height
from render.page.theme import ESSENTIAL_MINUTES, POINTS_PER_MM, PRIME_MINUTES, points_for

LEAST_MINUTES, CUE_MINUTES = 14.0, 10.0  # of what is read from the stand; of cues
SIGN_MINUTES = 11.0
STAVES = (1.75, 1.6, 1.45, 1.3)  # staff spaces of fills in mm, at the near distance of the usual one
TIGHTER = (0.35, 0.7, 1.0)
NEAR = 0.65  # of the distance: from where fills are read
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

    def and_(self, name: str, what: str, value: object) -> Plan:
        """The same with one more fall-back."""
        used = self.used if name in self.used else (*self.used, name)
        return replace(self, used=used, **{what: value})  # type: ignore[arg-type]


GROOVE, STAFF, TIGHT = "groove left out", "smaller staff", "smaller cues and boxes"
COUNTS, FOLDED, COLUMNS = "counts and sticking left out", "equal sections in one row", "two columns"
APART, SMALLER_YET = "fills on a second page", "smaller than reads"
STEPS: tuple[tuple[str, str, object], ...] = (  # the order in which things are given up: name, field, value
    (GROOVE, "groove", False),
    *((STAFF, "staff", staff) for staff in STAVES[1:]),
    *((TIGHT, "tight", tight) for tight in TIGHTER),
    (COUNTS, "counts", False),
    (FOLDED, "folded", True),
    (COLUMNS, "columns", 2),
)
OF_FILLS = {GROOVE, STAFF, COUNTS}


def plans(useless: Collection[str]) -> Iterator[Plan]:
    """Every plan in its order, the first that fits is taken; ``useless`` fall-backs would change nothing.

    >>> [plan.used[-1] for plan in plans({STAFF, COUNTS, FOLDED}) if plan.used][:3]
    ['groove left out', 'smaller cues and boxes', 'smaller cues and boxes']
    """
    plan = Plan()
    yield from (plan := step for step in _steps(plan, useless))
    if APART not in useless:
        yield from (plan := step for step in _steps(Plan().and_(APART, "apart", True), OF_FILLS | {*useless}))
    while plan.smaller > SMALLEST:
        plan = plan.and_(SMALLER_YET, "smaller", plan.smaller * SMALLER)
        yield plan


def _steps(plan: Plan, useless: Collection[str]) -> Iterator[Plan]:
    yield plan
    for name, what, value in STEPS:
        if name not in useless:
            plan = plan.and_(name, what, value)
            yield plan


def fill_plans() -> Iterator[Plan]:
    """Sizes of fills that have a page to themselves, the largest first."""
    yield from (Plan(staff=staff) for staff in STAVES)
    size = 1.0
    while size > SMALLEST:
        size *= SMALLER
        yield Plan(staff=STAVES[-1] * size, counts=False)


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
        return (0.98 - 0.06 * self.tight) * self.essential

    @cached_property
    def band(self) -> float:
        return (0.2 - 0.03 * self.tight) * self.essential

    @cached_property
    def box(self) -> float:
        return self.disc + self.band + (0.5 - 0.42 * self.tight) * self.essential

    @cached_property
    def gap(self) -> float:
        """Between rows, at least."""
        return (0.55 - 0.38 * self.tight) * self.essential

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
