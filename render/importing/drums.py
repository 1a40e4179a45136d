"""What the drum part plays: its groove, and the fills that stand out from it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.notation import MOST_BEATS, MOST_CELLS
from charts.pattern import FILL, GROOVE, Pattern, Stroke, in_order
from charts.timing import Meter
from charts.vocabularies import PatternTable
from render.importing.facts import Facts, place_in
from render.importing.score import Score, Struck

OFTEN = Fraction(1, 4)  # a bar that makes up so much of a section, or comes three times, is groove
PHRASE = 4  # bars; a fill that nobody names stands at the end of a phrase
LANDING = frozenset(("C1", "C2", "BD"))


@dataclass(frozen=True)
class FoundFill:
    """A fill in a pass: it ends at the last barline of ``bar`` (from 1), or lands at (beat, place) in it."""

    bar: int
    name: str  # of a known pattern, else empty
    pattern: Pattern
    landing: tuple[int, Fraction] | None = None


Played = tuple[tuple[Fraction, Stroke], ...]


def named_fills(facts: Sequence[Facts], patterns: PatternTable, sheet: Score) -> list[FoundFill]:
    """The fills of one pass that the score names where they begin."""
    found = [
        _named(facts, place, at, name, patterns, sheet)
        for place, each in enumerate(facts)
        for at, name in each.fills
    ]
    return [fill for fill in found if fill is not None]


def _named(
    facts: Sequence[Facts], place: int, at: Fraction, name: str, patterns: PatternTable, sheet: Score
) -> FoundFill | None:
    """The fill that begins at a place: the known pattern of its name where that is what is played."""
    number, inside = place_in(facts[place].meter, at)
    start = _index(facts, place, number - 1) + inside
    known = patterns.get(name) if name else None
    if known is not None and known.kind == FILL and known.strokes:
        end = start - known.strokes[0].place + known.beats
        landed = _landed(facts, end)
        if landed is not None and _same(_window(facts, start, end), start, known):
            return FoundFill(landed[0], known.name, known, landed[1])
    end = Fraction(_fill_end(facts, place))
    pattern = _pattern(_window(facts, start, end), int(start), int(end))
    if pattern is None:
        sheet.lose(f"a fill in bar {facts[place].bar.sheet.number}: its strokes lie on no grid")
        return None
    landed = _landed(facts, end)
    return FoundFill(landed[0], "", pattern) if landed else None


def _index(facts: Sequence[Facts], place: int, beat: int) -> int:
    """Beats from the pass's start."""
    return sum(len(each.meter.beats) for each in facts[:place]) + beat


def _landed(facts: Sequence[Facts], end: Fraction) -> tuple[int, tuple[int, Fraction] | None] | None:
    """The bar whose last barline is ``end`` beats in, or the place in a bar; None outside the pass."""
    beats = 0
    for number, each in enumerate(facts, start=1):
        inside = end - beats
        beats += len(each.meter.beats)
        if end == beats:
            return number, None
        if end < beats:
            return number, (int(inside) + 1, inside % 1)
    return None


def _fill_end(facts: Sequence[Facts], place: int) -> int:
    """Beats to the barline where a fill ends; bars that go on unlike the groove belong to it."""
    groove = _grooves([_played(each) for each in facts])
    last = place
    while last + 1 < len(facts) and not facts[last + 1].fills:
        strokes = _played(facts[last + 1])
        if not strokes or strokes in groove or _only_lands(strokes):
            break
        last += 1
    return _index(facts, last + 1, 0)


def _only_lands(strokes: Played) -> bool:
    return all(at == 0 and stroke.voice in LANDING for at, stroke in strokes)


def _played(facts: Facts) -> Played:
    """A bar's strokes in a form that can be compared."""
    return tuple(sorted(((each.at, each.stroke) for each in facts.bar.strokes or []), key=_in_time))


def _in_time(each: tuple[Fraction, Stroke]) -> tuple[Fraction, str]:
    return each[0], each[1].voice


def _grooves(bars: Sequence[Played]) -> set[Played]:
    """The bars that are groove."""
    counts = Counter(bar for bar in bars if bar)
    return {
        bar
        for bar, count in counts.items()
        if count > 1 and (count > 2 or Fraction(count, len(bars)) >= OFTEN)
    }


def standing_out(facts: Sequence[Facts], sheet: Score) -> list[FoundFill]:
    """Bars at the end of a phrase that leave the groove, from the beat where they leave it."""
    played = [_played(each) for each in facts]
    groove = _grooves(played)
    usual = Counter(bar for bar in played if bar in groove).most_common(1)
    usual_meter = next(
        (each.meter for each, bar in zip(facts, played, strict=True) if usual and bar == usual[0][0]), None
    )
    found = []
    for place, strokes in enumerate(played):
        ends = place + 1 == len(played) or (place + 1) % PHRASE == 0
        if not usual or not strokes or strokes in groove or not ends or place == 0:
            continue
        if facts[place].meter != usual_meter:
            continue
        first = _first_apart(facts[place], strokes, usual[0][0])
        begin, end = _index(facts, place, first), _index(facts, place + 1, 0)
        pattern = _pattern(_window(facts, Fraction(begin), Fraction(end)), begin, end)
        if pattern is None:
            sheet.lose(f"a fill in bar {facts[place].bar.sheet.number}: its strokes lie on no grid")
        elif pattern.strokes:
            sheet.guess(f"bar {facts[place].bar.sheet.number}: a fill, since it leaves the groove")
            found.append(FoundFill(place + 1, "", pattern))
    return found


def _first_apart(facts: Facts, strokes: Played, groove: Played) -> int:
    """The beat, from 0, from which a bar is not the groove's any more."""
    apart = min(at for at, _ in set(strokes) ^ set(groove))
    if apart == 0 and len({at for at, _ in set(strokes) ^ set(groove)}) > 1:
        later = {each for each in set(strokes) ^ set(groove) if each[0] > 0}
        crash = {stroke.voice for at, stroke in set(strokes) - set(groove) if at == 0} <= LANDING
        apart = min(at for at, _ in later) if crash else apart  # a crash on one is a landing, not yet a fill
    return place_in(facts.meter, apart)[0] - 1


def _window(facts: Sequence[Facts], start: Fraction, end: Fraction) -> list[tuple[Fraction, Stroke]]:
    """Strokes from ``start`` to before ``end``, both in beats from the pass's start."""
    found, index = [], 0
    for each in facts:
        if index >= end:
            break
        quarters = Fraction(0)
        for beat in each.meter.beats:
            for struck in _in_beat(each.bar.strokes or [], quarters, beat.quarters):
                place = index + (struck.at - quarters) / beat.quarters
                if start <= place < end:
                    found.append((place, struck.stroke))
            quarters += beat.quarters
            index += 1
    return found


def _in_beat(strokes: Sequence[Struck], start: Fraction, length: Fraction) -> list[Struck]:
    return [each for each in strokes if start <= each.at < start + length]


def _same(window: list[tuple[Fraction, Stroke]], start: Fraction, known: Pattern) -> bool:
    """True where the strokes are the pattern's; who plays which hand may be left unsaid."""
    first = known.strokes[0].place
    heard = {(place - start, replace(stroke, hand="")) for place, stroke in window}
    meant = {(each.place - first, replace(each, beat=0, at=Fraction(0), hand="")) for each in known.strokes}
    return heard == meant


def _pattern(window: list[tuple[Fraction, Stroke]], start: int, end: int) -> Pattern | None:
    """The strokes as a pattern over whole beats; None where they lie on no grid, or it is too long."""
    strokes = []
    for place, stroke in window:
        beat, at = divmod(place - start, 1)
        if at.denominator > MOST_CELLS:
            return None
        strokes.append(replace(stroke, beat=int(beat), at=at))
    if end - start > MOST_BEATS:
        return None
    if not _all_stuck(strokes):
        strokes = [replace(stroke, hand="") for stroke in strokes]
    return Pattern("", FILL, end - start, in_order(strokes))


def _all_stuck(strokes: Sequence[Stroke]) -> bool:
    """Sticking is kept where every hand stroke has a hand."""
    return all(stroke.hand for stroke in strokes if stroke.by_hand)


def groove_of(facts: Sequence[Facts]) -> tuple[Pattern, Meter] | None:
    """The bar that a pass plays most often, as a groove."""
    played = [(_played(each), each) for each in facts if each.bar.strokes]
    groove = _grooves([strokes for strokes, _ in played])
    usual = Counter(strokes for strokes, _ in played if strokes in groove).most_common(1)
    if not usual:
        return None
    bar = next(each for strokes, each in played if strokes == usual[0][0])
    beats = len(bar.meter.beats)
    pattern = _pattern(_window([bar], Fraction(0), Fraction(beats)), 0, beats)
    return (replace(pattern, kind=GROOVE), bar.meter) if pattern is not None else None
