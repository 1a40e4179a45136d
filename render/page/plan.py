"""The sizes of a page, and the fixed order in which it gives things up. Sizes change, the look never does."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace

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


def relaxed(plan: Plan, fits: Callable[[Plan], bool]) -> Plan:
    """The plan with everything given back that its last step made needless, what is worth most first."""
    for name, what, values in (
        (COUNTS, "counts", (True,)),
        (TIGHT, "tight", (0.0, *TIGHTER)),
        (STAFF, "staff", STAVES),
    ):
        if name not in plan.used[:-1]:
            continue
        for value in values:
            changed = replace(plan, **{what: value})  # type: ignore[arg-type]
            if changed == plan or fits(changed):
                plan = changed
                break
        if value == values[0]:
            plan = replace(plan, used=tuple(used for used in plan.used if used != name))
    return plan


def fill_plans() -> Iterator[Plan]:
    """Sizes of fills that have a page to themselves, the largest first."""
    yield from (Plan(staff=staff) for staff in STAVES)
    size = 1.0
    while size > SMALLEST:
        size *= SMALLER
        yield Plan(staff=STAVES[-1] * size, counts=False)


@dataclass(frozen=True)
class Sizes:
    """Sizes in points for a reading distance in metres; ``tight`` from 0 to 1 is how full the page is."""

    distance: float
    tight: float
    smaller: float
    name: float = field(init=False)
    essential: float = field(init=False)  # fill numbers, OPEN, until, the head
    prime: float = field(init=False)  # the least of title and tempo
    cue: float = field(init=False)
    least: float = field(init=False)  # what is small beside what is read from afar
    sign: float = field(init=False)  # flags of meter, feel and tempo
    near: float = field(init=False)  # words that are read from the near distance
    disc: float = field(init=False)
    band: float = field(init=False)
    box: float = field(init=False)  # at least
    gap: float = field(init=False)  # between rows, at least
    hit: float = field(init=False)  # staff space of the hits over the bars

    def __post_init__(self) -> None:
        found = {
            "name": self._minutes(ESSENTIAL_MINUTES, LEAST_MINUTES),
            "essential": self._minutes(LEAST_MINUTES, LEAST_MINUTES),
            "prime": self._minutes(PRIME_MINUTES, PRIME_MINUTES),
            "cue": self._minutes(LEAST_MINUTES, CUE_MINUTES),
            "least": self._minutes(CUE_MINUTES, CUE_MINUTES),
            "sign": self._minutes(LEAST_MINUTES, SIGN_MINUTES),
            "near": NEAR * self._minutes(LEAST_MINUTES, LEAST_MINUTES),
        }
        ems = {"disc": (0.98, 0.92), "band": (0.2, 0.17), "gap": (0.55, 0.17), "hit": (0.36, 0.26)}
        found |= {what: self._between(*bounds) * found["essential"] for what, bounds in ems.items()}
        found["box"] = found["disc"] + found["band"] + self._between(0.5, 0.08) * found["essential"]
        for what, size in found.items():
            object.__setattr__(self, what, size)

    def _between(self, most: float, least: float) -> float:
        return most + (least - most) * self.tight

    def _minutes(self, most: float, least: float) -> float:
        return points_for(self._between(most, least), self.unit, capital_height())

    @property
    def unit(self) -> float:
        """The unit of line widths and small distances: a point at one metre."""
        return self.distance * self.smaller

    def space(self, staff: float) -> float:
        """Staff space of the fills."""
        return staff * POINTS_PER_MM * self.unit
