"""The fixed order in which a page gives things up until it fits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from render.page.sheet import Sheet

STAFF, ROWS, NAMES = "staff", "rows", "names"


@dataclass(frozen=True)
class Plan:
    """How a page is laid out; ``used`` are the fall-backs taken so far, in words."""

    folded: bool = False
    across: bool = False  # fills two across
    own_line: bool = False  # cues on a line of their own
    columns: int = 1
    counted: bool = False  # counted phrases instead of boxes
    fills: str = STAFF
    used: tuple[str, ...] = ()


@dataclass(frozen=True)
class Step:
    """One fall-back: its name, and what it changes in the plan."""

    name: str
    field: str
    value: object


FOLDED = Step("equal neighbours folded", "folded", True)
ACROSS = Step("fills two across", "across", True)
OWN_LINE = Step("cues on a line of their own", "own_line", True)
TWO_COLUMNS = Step("two columns", "columns", 2)
COUNTED = Step("counted phrases", "counted", True)
IN_ROWS = Step("fills in row notation", "fills", ROWS)
BY_NAME = Step("fills by name only", "fills", NAMES)
THREE_COLUMNS = Step("three columns", "columns", 3)
ORDER = (FOLDED, ACROSS, OWN_LINE, TWO_COLUMNS, COUNTED, IN_ROWS, BY_NAME, THREE_COLUMNS)


def steps(sheet: Sheet) -> tuple[Step, ...]:
    """The fall-backs in their order, without those that would change nothing on this page."""
    engraved = any(fill.pattern for fill in sheet.fills)
    helps = {
        FOLDED: len(sheet.folded) < len(sheet.rows),
        ACROSS: engraved and len(sheet.fills) > 1,
        OWN_LINE: any(row.hung_notes for row in sheet.rows),
        TWO_COLUMNS: len(sheet.rows) > 1,
        IN_ROWS: engraved,
        BY_NAME: engraved,
        THREE_COLUMNS: len(sheet.rows) > 2,
    }
    return tuple(step for step in ORDER if helps.get(step, True))


def plan_of(taken: Sequence[Step]) -> Plan:
    """The plan that takes these fall-backs; of two that change the same, the later holds.

    >>> plan_of([TWO_COLUMNS, COUNTED, THREE_COLUMNS]).used
    ('counted phrases', 'three columns')
    """
    last = {step.field: step for step in taken}
    used = tuple(step.name for step in taken if last[step.field] is step)
    return replace(Plan(), **{step.field: step.value for step in taken}, used=used)  # type: ignore[arg-type]


def plans(sheet: Sheet) -> Iterator[tuple[Step, ...]]:
    """The fall-backs taken so far: none, then one more each time."""
    order = steps(sheet)
    yield from (order[:count] for count in range(len(order) + 1))


def with_back(taken: tuple[Step, ...], fits: Callable[[Plan], bool]) -> Plan:
    """The plan of these fall-backs with everything given back that the last one made needless.

    What was given up latest is worth most and comes back first.
    """
    for step in taken[-2::-1]:
        fewer = tuple(other for other in taken if other is not step)
        if plan_of(fewer) != plan_of(taken) and fits(plan_of(fewer)):
            taken = fewer
    return plan_of(taken)
