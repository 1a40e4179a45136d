"""Which fill for a spot: only what fits and can be played there, what is made for its feel and near first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import chain, islice

from charts.families import ANYWHERE, ELSEWHERE, KIN, NEAR, OWN, Kinship, kinship
from charts.feel import Feel, Grid, plain_name
from charts.fitting.known import plays
from charts.fitting.moments import Beats, own_beats
from charts.fitting.reasons import TOMS, leads_into, reason_for
from charts.fitting.regrid import regrid
from charts.fitting.wanted import Spot, like
from charts.limits import DEFAULT_LIMITS, Limits
from charts.pattern import FILL, Pattern, Stroke
from charts.timing import Beat, Meter
from charts.verdict import CLASHES, fits, judge, nominal_onsets, worst
from charts.vocabularies import FeelTable, PatternTable

FIRST = 3  # of that many at the head one is made for the feel; a clash offers as many
LENGTH, BUSYNESS, DRUMS = 3, 2, 2  # what a difference weighs, each from 0 to 1
SUITS = 0.5  # the bonus where the fill's own words name what it leads into
STYLE = {OWN: -1, KIN: -0.5, ANYWHERE: 0, NEAR: 0.25, ELSEWHERE: 1}  # by what the fill is made for
LOUD_TOMS = 1  # the malus for toms where it has to stay soft
OFF_HOME = 1  # the malus, in a feel that swings, for strokes where the groove has no place


@dataclass(frozen=True)
class Suggestion:
    """A fill for a spot, how far it is from what was wanted, and why in a few words.

    ``sets_up`` where it is played in the feel of what follows; ``laid_anew`` where it is the fill that was
    there, moved to the feel's grid.
    """

    pattern: Pattern
    distance: float
    reason: str
    sets_up: bool = False
    laid_anew: bool = False


@dataclass(frozen=True)
class Player:
    """Who plays: limits of limbs, and the leading hand."""

    limits: Limits = DEFAULT_LIMITS
    left_handed: bool = False

    def suits(self, spot: Spot, pattern: Pattern) -> bool:
        """True where a fill fits the last of the free beats and can be played and landed there."""
        laid, under = spot.laid(pattern), spot.under(pattern)
        if pattern.tempo and not all(pattern.tempo[0] <= bpm <= pattern.tempo[1] for _, bpm in under):
            return False
        if not fits(laid, spot.feel, under, spot.lands):
            return False
        at = spot.feel.grid(*under[-1]).bend(spot.offset)
        landing = tuple(Stroke(pattern.beats, at, voice) for voice in spot.landing)
        return plays(laid, spot.feel, under, self.limits, self.left_handed, landing)


Ranked = tuple[tuple[float, Pattern], ...]


def suggest(
    spot: Spot,
    patterns: Iterable[Pattern],
    feels: FeelTable,
    limits: Limits = DEFAULT_LIMITS,
    left_handed: bool = False,
    count: int | None = None,
) -> tuple[Suggestion, ...]:
    """Fills for a spot, the best first; of equally near ones by name. All of them where no count is given.

    Ahead of the ranking: the fill that is there, on the feel's grid, where it clashes now; into another feel
    the best that fits both, then the best that is played in the next.
    """
    fills, player = tuple(patterns), Player(limits, left_handed)
    ahead = [*_laid_anew(spot, player), *_into_next(spot, fills, feels, player)]
    have = {id(each.pattern) for each in ahead}
    rest = (each for each in _suggested(spot, fills, feels, player) if id(each.pattern) not in have)
    return tuple(islice(chain(ahead, rest), count))


def instead_of(
    pattern: Pattern,
    feel: Feel,
    beats: Beats,
    patterns: PatternTable,
    feels: FeelTable,
    limits: Limits = DEFAULT_LIMITS,
    left_handed: bool = False,
    offset: Fraction = Fraction(0),
    meter: Meter | None = None,
) -> tuple[Pattern, ...]:
    """Up to three fills of about the same length, busyness, drums and style that fit the beats under it.

    ``offset`` is where in the last of the beats the fill lands, as written; nought on the barline after it.
    """
    taken = frozenset({plain_name(pattern.name)})
    spot = Spot(feel, beats, like(pattern), taken=taken, offset=offset, meter=meter)
    kin, player = kinship(feel, feels, meter), Player(limits, left_handed)
    ranked = _ranked_fills(spot.at_any_tempo, patterns, kin)
    return tuple(islice(_style_first(ranked, kin, lambda fill: player.suits(spot, fill)), FIRST))


def _suggested(
    spot: Spot, fills: tuple[Pattern, ...], feels: FeelTable, player: Player
) -> Iterator[Suggestion]:
    """What suits the spot as it is ranked, with how far it is and why."""
    kin = kinship(spot.feel, feels, spot.meter)
    ranked = _ranked(spot, fills, kin)
    far = {id(fill): distance for distance, fill in ranked}
    for fill in _style_first(ranked, kin, lambda fill: player.suits(spot, fill)):
        yield Suggestion(fill, far[id(fill)], reason_for(spot, fill, kin.made_for(fill)))


def _laid_anew(spot: Spot, player: Player) -> Iterator[Suggestion]:
    """The fill that is there, moved to the feel's grid, where it clashes as it is."""
    old = spot.now
    if old is None or not old.strokes or old.beats > len(spot.beats):
        return
    under = spot.under(old)
    if worst(judge(old, spot.feel, under)) != CLASHES:
        return
    found = regrid(old, spot.feel, under, player.limits, player.left_handed)
    for version in filter(None, [found.nearest]):
        name = f"{old.name or 'this fill'} re-laid"
        new = replace(version.pattern, name=name, feels=(spot.feel.name,), tempo=None)
        reason = f"the fill that is there, moved to the grid of {spot.feel.name}"
        yield Suggestion(new, 0.0, reason, laid_anew=True)


def _into_next(
    spot: Spot, fills: tuple[Pattern, ...], feels: FeelTable, player: Player
) -> Iterator[Suggestion]:
    """Into another feel: the best that fits both, then the best that fits the next alone."""
    if spot.next_feel is None:
        return
    after = spot.in_next_feel
    for each in _suggested(spot, fills, feels, player):
        if fits(spot.laid(each.pattern), after.feel, spot.under(each.pattern), spot.lands):
            yield replace(each, reason=f"fits both feels, {each.reason}")
            break
    for each in _suggested(after, fills, feels, player):
        if not fits(spot.laid(each.pattern), spot.feel, spot.under(each.pattern), spot.lands):
            yield replace(each, reason=f"sets up the {after.feel.name}, {each.reason}", sets_up=True)
            return


def _style_first(ranked: Ranked, kin: Kinship, suits: Callable[[Pattern], bool]) -> Iterator[Pattern]:
    """What suits as it is ranked; of the first three one is made for the feel or its family, if any is."""
    found = (fill for _, fill in ranked if suits(fill))
    head = list(islice(found, FIRST))
    if len(head) == FIRST and all(kin.made_for(fill)[0] > KIN for fill in head):
        made = (fill for _, fill in ranked if kin.made_for(fill)[0] <= KIN and suits(fill))
        head[-1:] = [*islice(made, 1), head[-1]]
    yield from head
    yield from (fill for fill in found if all(fill is not other for other in head))


def _ranked(spot: Spot, patterns: Iterable[Pattern], kin: Kinship) -> Ranked:
    """What may be there, with how far it is from what is wanted; the tempo does not count for that."""
    found = [(_distance(spot, pattern, kin), pattern) for pattern in patterns if _may_stand(spot, pattern)]
    return tuple(sorted(found, key=lambda pair: (pair[0], plain_name(pair[1].name))))


@lru_cache(maxsize=256)
def _ranked_fills(spot: Spot, patterns: PatternTable, kin: Kinship) -> Ranked:
    """The same of a whole table: a book has the same clash at many tempos."""
    return _ranked(spot, patterns.fills(), kin)


def _may_stand(spot: Spot, pattern: Pattern) -> bool:
    """Length, meter and kind of place: what is seen at a glance."""
    room = len(spot.beats) - bool(spot.offset)
    if pattern.kind != FILL or not pattern.strokes or pattern.beats > room:
        return False
    if plain_name(pattern.name) in spot.taken or (pattern.swung and not spot.feel.swings):
        return False
    if pattern.place and pattern.place != spot.leads_into:
        return False
    return pattern.meter is None or _at_home(spot, pattern, pattern.meter)


def _at_home(spot: Spot, pattern: Pattern, meter: Meter) -> bool:
    """A fill made for a meter needs its beats, in bars that are whole ones of it, up to a barline."""
    if spot.offset or spot.target or (spot.meter and len(spot.meter.beats) % len(meter.beats)):
        return False
    shapes = zip(own_beats(pattern, Fraction(100)), spot.under(pattern), strict=False)
    return all(_shape(own) == _shape(there) for (own, _), (there, _) in shapes)


def _shape(beat: Beat) -> tuple[Fraction, bool]:
    return beat.units, beat.ternary


def _distance(spot: Spot, pattern: Pattern, kin: Kinship) -> float:
    wanted, is_like = spot.wanted, like(pattern)
    far = LENGTH * _apart(wanted.beats, is_like.beats) + BUSYNESS * _apart(wanted.busyness, is_like.busyness)
    voices = is_like.voices or frozenset()
    if wanted.voices is not None:
        far += DRUMS * (1 - len(wanted.voices & voices) / (len(wanted.voices | voices) or 1))
    if spot.soft and voices & TOMS:
        far += LOUD_TOMS
    if spot.feel.swings:
        covered = pattern.beats + bool(spot.offset)
        grids = spot.grids[len(spot.grids) - covered :]
        far += OFF_HOME * _off_home(spot.laid(pattern), grids, bool(spot.target))
    return far + STYLE[kin.made_for(pattern)[0]] - (SUITS if leads_into(spot, pattern) else 0)


def _off_home(laid: Pattern, grids: tuple[Grid, ...], into_hit: bool) -> float:
    """The share of onsets that lie between the places of the groove; into a hit, between its pairs."""
    off = total = 0
    for place, grid in enumerate(grids):
        onsets = nominal_onsets(laid, place, grid)
        total += len(onsets)
        off += sum(at not in grid.swung_nominal if into_hit else not grid.is_place(at) for at in onsets)
    return off / (total or 1)


def _apart(one: float, other: float) -> float:
    """How unlike two lengths are, from 0 (equal) to 1."""
    most = max(one, other)
    return abs(one - other) / most if most else 0.0
