"""The bars of a score as they are played, cut into sections and passes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from charts.timing import Meter
from render.importing.playing import JUMP, NEXT, REPEAT, Step, play
from render.importing.score import Bar, Score, Struck, Tempo, meter_of_length
from render.importing.words import DAL_SEGNO, believe_times

START = Fraction(0)
MOST_NAME = 60
_ONE_MANNER = r"(?i)\bopen\b|[x×]\s?\d+"
_MANNER = re.compile(r"(?i)(?:\s+(?:open|[x×]\s?\d+))+$")
SHORTEST = Fraction(1)  # quarters; what is shorter is no bar of its own


@dataclass
class RoadBar:
    """A bar as played: one written bar, or two that share one (a pickup and the short bar before it).

    ``index`` is the written bar where it begins for the form: that of the pickup which leads into it;
    ``own`` is its own.
    """

    sheet: Bar
    meter: Meter
    how: str
    index: int
    own: int
    mark: str = ""

    @property
    def strokes(self) -> list[Struck] | None:
        return self.sheet.strokes

    @property
    def words(self) -> list[tuple[Fraction, str]]:
        return self.sheet.words

    @property
    def tempos(self) -> list[Tempo]:
        return self.sheet.tempos


@dataclass
class Appearance:
    """A section as it comes up on the road: its passes, each a list of bars."""

    name: str
    passes: list[list[RoadBar]] = field(default_factory=list)


@dataclass
class Road:
    """The whole road, and the silent quarters before it."""

    appearances: list[Appearance]
    pickup: Fraction = START


def road_of(sheet: Score) -> Road:
    """Play a sheet out and cut it into sections."""
    _believe_marks(sheet.bars)
    believe_times(sheet.bars)
    before, steps = _pickup(sheet, _in_order(sheet))
    return Road(_sections(sheet, list(_bars(sheet, before, steps))), _length(sheet, before))


def _believe_marks(bars: list[Bar]) -> None:
    """A mark like ``Solo x4 (open)`` says what words over the bar say elsewhere."""
    for bar in bars:
        found = _MANNER.search(_plain_mark(bar.mark))
        bar.words += [(START, text) for text in re.findall(_ONE_MANNER, found[0])] if found else []


def _in_order(sheet: Score) -> list[Step]:
    """The steps; where the file gives the order of its parts, part by part."""
    names = _letters(sheet.order)
    starts = [place for place, bar in enumerate(sheet.bars) if bar.mark]
    parts = {sheet.bars[first].mark: (first, end) for first, end in pairwise([*starts, len(sheet.bars)])}
    if not names or not set(names) <= set(parts):
        if sheet.order and parts:
            why = "it names parts that are not there" if names else "it cannot be read"
            sheet.lose(f"the order of the parts, {sheet.order}: {why}")
        return play(sheet.bars)
    found = play(sheet.bars[: starts[0]])
    for name in names:
        first, end = parts[name]
        for place, step in enumerate(play(sheet.bars[first:end])):
            found.append(Step(step.bar + first, step.how if place else JUMP))
    return found


def _letters(order: str) -> list[str]:
    """``A2(BC)2`` letter by letter; empty where it is more than letters and numbers.

    >>> "".join(_letters("A2(BC)2")), _letters("slowly")
    ('AABCBC', ['s', 'l', 'o', 'w', 'l', 'y'])
    """
    text = re.sub(r"[\s.]", "", order)
    if not re.fullmatch(r"(?:[A-Za-z()]\d?)+", text):
        return []
    while (found := re.search(r"\(([A-Za-z]*)\)(\d?)", text)) is not None:
        text = text[: found.start()] + found[1] * int(found[2] or 1) + text[found.end() :]
        if len(text) > 1000:
            return []
    if "(" in text or ")" in text:
        return []
    return [letter for letter, times in re.findall(r"([A-Za-z])(\d?)", text) for _ in range(int(times or 1))]


def _pickup(sheet: Score, steps: list[Step]) -> tuple[list[Step], list[Step]]:
    """Bars that stand before bar 1, else a first bar that is short; and the rest."""
    count = 0
    while count < len(steps) and sheet.bars[steps[count].bar].before:
        count += 1
    if not count and len(steps) > 1:
        first = sheet.bars[steps[0].bar]
        count = int(first.quarters < first.meter.quarters)
    if 0 < count < len(steps):
        _carry(sheet.bars, steps, count)
    return steps[:count], steps[count:]


def _carry(bars: list[Bar], steps: list[Step], count: int) -> None:
    """What the pickup's bars say is in force goes on to bar 1."""
    first = bars[steps[count].bar]
    for step in reversed(steps[:count]):
        bar = bars[step.bar]
        if bar.tempos and not any(tempo.at == 0 for tempo in first.tempos):
            first.tempos.insert(0, replace(bar.tempos[-1], at=START))
        first.swing = first.swing or bar.swing
        first.words = [(START, text) for _, text in bar.words] + first.words


def _bars(sheet: Score, before: Sequence[Step], steps: Sequence[Step]) -> Iterator[RoadBar]:
    """Bars of full length, short ones joined where they make one, the rest as odd bars."""
    pickup = _length(sheet, before)
    led_by = before[0] if before else None  # the pickup that leads into the next bar
    place = 0
    while place < len(steps):
        step = steps[place]
        bar, meter = sheet.bars[step.bar], sheet.bars[step.bar].meter
        after = steps[place + 1] if place + 1 < len(steps) else None
        begins = led_by or step
        mark = sheet.bars[begins.bar].mark or bar.mark
        led_by = None
        if bar.quarters != meter.quarters:
            if after is not None and _share(bar, sheet.bars[after.bar]):
                bar, led_by = _joined(bar, sheet.bars[after.bar]), after
                place += 1
            elif bar.quarters + pickup == meter.quarters and (after is None or bar.times or bar.double):
                sheet.guess(f"bar {bar.number} is short for the pickup: a whole bar")
            elif bar.quarters < SHORTEST and after is not None:
                sheet.guess(f"bar {bar.number} only leads into the next one: not counted")
                led_by = begins
                place += 1
                continue
            else:
                meter = _odd(sheet, bar)
        yield RoadBar(bar, meter, begins.how, begins.bar, step.bar, mark)
        place += 1


def _length(sheet: Score, steps: Sequence[Step]) -> Fraction:
    return sum((sheet.bars[step.bar].quarters for step in steps), START)


def _share(bar: Bar, after: Bar) -> bool:
    """True for two short bars that make one."""
    return after.quarters < after.meter.quarters and bar.quarters + after.quarters == bar.meter.quarters


def _joined(bar: Bar, after: Bar) -> Bar:
    """Two short bars as one. A mark over the second belongs to the bar that follows it."""
    shift = bar.quarters

    def moved(pairs: list[tuple[Fraction, str]]) -> list[tuple[Fraction, str]]:
        return [(at + shift, text) for at, text in pairs]

    strokes = None
    if bar.strokes is not None or after.strokes is not None:
        strokes = [*(bar.strokes or []), *(replace(each, at=each.at + shift) for each in after.strokes or [])]
    return replace(
        bar,
        quarters=bar.quarters + after.quarters,
        words=bar.words + moved(after.words),
        dynamics=bar.dynamics + moved(after.dynamics),
        tempos=bar.tempos + [replace(each, at=each.at + shift) for each in after.tempos],
        holds=bar.holds + [at + shift for at in after.holds],
        strokes=strokes,
        double=after.double,
    )


def _odd(sheet: Score, bar: Bar) -> Meter:
    """A bar of another length than its meter says, as a bar of its own meter."""
    found = meter_of_length(bar.quarters, bar.meter)
    lasts = f"bar {bar.number} lasts {float(bar.quarters):g} quarter{'' if bar.quarters == 1 else 's'}"
    if found is None:
        sheet.lose(f"{lasts}: no meter says that, {bar.meter} kept")
        return bar.meter
    sheet.guess(f"{lasts}, not a bar of {bar.meter}: {found}")
    return found


def _sections(sheet: Score, bars: list[RoadBar]) -> list[Appearance]:
    marks = _marks(sheet, bars)
    found: list[Appearance] = []
    start: set[int] = set()  # written bars where the section now played begins
    for place, bar in enumerate(bars):
        mark = marks.get(bar.index, "")
        again = bar.how == REPEAT and not start.isdisjoint((bar.index, bar.own))
        nth = bar.sheet.nth and bar.how == NEXT
        if found and (again or nth):
            found[-1].passes.append([])
        elif place == 0 or mark or bar.how == JUMP:
            found.append(Appearance(mark or _covering(marks, bar.index), [[]]))
            start = {bar.index, bar.own}
        found[-1].passes[-1].append(bar)
    return [each for each in found if any(each.passes)]


def _covering(marks: dict[int, str], index: int) -> str:
    """The name of the section that a bar lies in."""
    before = [place for place in marks if place <= index]
    return marks[max(before)] if before else next(iter(marks.values()), "A")


def _marks(sheet: Score, bars: list[RoadBar]) -> dict[int, str]:
    """Written bar -> the section that starts there; letters where the score names none."""
    played = sorted({bar.index for bar in bars})
    marks = {bar.index: name for bar in bars if (name := _name(bar.mark))}
    if not marks:
        jumps = {bar.jump for bar in sheet.bars}
        starts = [index for index in played if index == played[0] or _begins(sheet.bars, index, jumps)]
        sheet.guess("the score names no sections: letters by its repeats and double bars")
        return {index: _letter(number) for number, index in enumerate(starts)}
    if played[0] not in marks and played[0] < min(marks):
        taken = {name.casefold() for name in marks.values()}
        name = "A" if marks[min(marks)] == "B" else "Intro" if "intro" not in taken else "Opening"
        sheet.guess(f"the bars before the first mark are called {name}")
        marks[played[0]] = name
    return dict(sorted(marks.items()))


def _begins(bars: list[Bar], index: int, jumps: set[str]) -> bool:
    """True where a section starts by its signs alone."""
    bar, before = bars[index], bars[index - 1]
    inside = bar.ending_starts and bool(before.times)
    aimed_at = (bar.segno and DAL_SEGNO in jumps) or (bar.coda and bool(jumps - {""}))
    return bar.opens or aimed_at or ((before.double or bool(before.times)) and not inside)


def _letter(number: int) -> str:
    """A to Z, then A2.

    >>> _letter(0), _letter(27)
    ('A', 'B2')
    """
    again, place = divmod(number, 26)
    return chr(ord("A") + place) + (str(again + 1) if again else "")


def _name(text: str) -> str:
    """A mark as a section's name: no brackets, no multiplier at the end, which a form line would read."""
    plain = _MANNER.sub("", _plain_mark(text)[:MOST_NAME].strip())
    return re.sub(r"[:#{}\[\]]+$", "", plain).strip()


def _plain_mark(text: str) -> str:
    return " ".join(text.replace("(", " ").replace(")", " ").split())
