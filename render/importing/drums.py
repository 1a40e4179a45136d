"""What the drum part plays: its groove, and the fills that leave it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.notation import MOST_BEATS, MOST_CELLS, MOST_STROKES
from charts.pattern import BOTH, FILL, GROOVE, Pattern, Stroke, in_order
from charts.timing import Meter
from render.importing.joining import Played
from render.importing.places import beat_at
from render.importing.score import Bar, Score

OFTEN = Fraction(1, 4)  # a bar that makes up so much of a section, or comes three times, is groove
PHRASE = 4  # bars; a fill that the score does not name comes at the end of a phrase
LANDING = frozenset(("C1", "C2", "BD"))
Strokes = tuple[tuple[Fraction, Stroke], ...]
Where = tuple[int, Fraction, int]  # of a fill: first bar, beats into it, last bar; bars from 0


@dataclass(frozen=True)
class FoundFill:
    """A fill of a pass that ends at the last barline of ``bar``, from 1; its name where the book has it."""

    bar: int
    pattern: Pattern
    name: str = ""


def fills_of(bars: Sequence[Played], named: bool, known: dict[Pattern, str], score: Score) -> list[FoundFill]:
    """The fills of a pass: those that the score names, else those that leave the groove.

    ``known`` gives the names of patterns that are played alike, whichever hand plays what.
    """
    strokes = [strokes_of(each.bar) for each in bars]
    if not any(strokes):
        return []
    found = []
    for first, start, last in _named(bars, strokes, known) if named else _leaving(bars, strokes):
        number, pattern = bars[first].bar.number, _pattern(bars[first : last + 1], start)
        if pattern is None:
            score.lose(f"a fill in bar {number}: its strokes lie on no grid")
        elif named or pattern.strokes:
            if not named:
                score.guess(f"bar {number}: a fill, since it leaves the groove")
            found.append(FoundFill(last + 1, pattern, known.get(bare(pattern), "")))
    return found


def strokes_of(bar: Bar) -> Strokes:
    """A bar's strokes in a form that can be compared."""
    return tuple(
        sorted(((each.at, each.stroke) for each in bar.strokes), key=lambda each: (each[0], each[1].voice))
    )


def grooves(bars: Sequence[Strokes]) -> Counter[Strokes]:
    """The bars that are groove, and how often each is played."""
    counts = Counter(filter(None, bars))
    return Counter(
        {
            bar: count
            for bar, count in counts.items()
            if count > 1 and (count > 2 or Fraction(count, len(bars)) >= OFTEN)
        }
    )


def _named(bars: Sequence[Played], strokes: Sequence[Strokes], known: dict[Pattern, str]) -> Iterator[Where]:
    """From where the score has the word; bars that go on unlike the groove are part of an unknown fill."""
    groove = grooves(strokes)
    for place, each in enumerate(bars):
        for said in each.bar.fills:
            beat, inside = beat_at(each.bar.meter, said.at)
            alone = _pattern([each], beat + inside)
            last = place
            while (
                (alone is None or bare(alone) not in known)
                and last + 1 < len(bars)
                and not bars[last + 1].bar.fills
                and _goes_on(strokes[last + 1], groove)
            ):
                last += 1
            yield place, beat + inside, last


def _goes_on(strokes: Strokes, groove: Iterable[Strokes]) -> bool:
    """True for a bar that is neither groove, with a landing on one or without, nor a landing alone."""
    lands = all(at == 0 and stroke.voice in LANDING for at, stroke in strokes)
    return not lands and _after_one(strokes) not in map(_after_one, groove)


def _after_one(strokes: Strokes) -> Strokes:
    return tuple(each for each in strokes if each[0])


def _leaving(bars: Sequence[Played], strokes: Sequence[Strokes]) -> Iterator[Where]:
    """Bars at the end of a phrase that leave the groove, from the beat where they leave it."""
    groove = grooves(strokes)
    if not groove:
        return
    usual = groove.most_common(1)[0][0]
    meter = bars[strokes.index(usual)].bar.meter
    for place, (each, played) in enumerate(zip(bars, strokes, strict=True)):
        ends = place + 1 == len(bars) or (place + 1) % PHRASE == 0
        if place and ends and played and played not in groove and each.bar.meter == meter:
            yield place, Fraction(_first_apart(meter, played, usual)), place


def _first_apart(meter: Meter, strokes: Strokes, groove: Strokes) -> int:
    """The beat, from 0, from which a bar is not the groove's any more."""
    apart = set(strokes) ^ set(groove)
    on_one = {stroke.voice for at, stroke in set(strokes) - set(groove) if at == 0}
    later = [at for at, _ in apart if at > 0]
    if later and on_one <= LANDING:
        return beat_at(meter, min(later))[0]  # a crash on one is a landing, not yet a fill
    return beat_at(meter, min(at for at, _ in apart))[0]


def _pattern(bars: Sequence[Played], start: Fraction, kind: str = FILL) -> Pattern | None:
    """The strokes from that many beats on, over whole beats; None on no grid, or where it is too long."""
    strokes, index, first = [], 0, int(start)
    for meter, bar in ((each.bar.meter, each.bar) for each in bars):
        for at, stroke in strokes_of(bar):
            beat, inside = beat_at(meter, at)
            if beat < len(meter.beats) and index + beat + inside >= start:
                strokes.append(replace(stroke, beat=index + beat - first, at=inside))
        index += len(meter.beats)
    too_fine = any(stroke.at.denominator > MOST_CELLS for stroke in strokes)
    if too_fine or index - first > MOST_BEATS or len(strokes) > MOST_STROKES:
        return None
    pattern = Pattern("", kind, index - first, in_order(strokes))
    hands = Counter(stroke.place for stroke in strokes if stroke.by_hand)
    stuck = all(
        each.hand and (each.hand == BOTH or hands[each.place] == 1) for each in strokes if each.by_hand
    )
    return pattern if stuck else bare(pattern)


def bare(pattern: Pattern) -> Pattern:
    """The strokes alone, whichever hand plays what."""
    strokes = (replace(stroke, hand="") for stroke in pattern.strokes)
    return Pattern("", pattern.kind, pattern.beats, in_order(strokes))


def groove_of(bars: Sequence[Played]) -> tuple[Pattern, Meter] | None:
    """The bar that a pass plays most often, as a groove."""
    strokes = [strokes_of(each.bar) for each in bars]
    played = [each for each in strokes if each]
    usual = grooves(played).most_common(1)
    if not usual:
        return None
    bar = bars[strokes.index(usual[0][0])]
    pattern = _pattern([bar], Fraction(0), GROOVE)
    return (pattern, bar.bar.meter) if pattern is not None else None
