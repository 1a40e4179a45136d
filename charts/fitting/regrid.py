"""The same fill on a feel's grid: each stroke to its nearest place, or the whole poured into another rate.

Movement is counted in places as written on the even grid, so that a fill comes out the same at every tempo;
what is told in ms is how far its strokes move as they sound.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from charts.feel import HALF, THIRD, TWO_THIRDS, Feel, Grid
from charts.fitting.hands import Playing, hands_are_meant, playable, with_hands, without_hands
from charts.fitting.moments import Beats, beat_ms
from charts.fitting.pour import pour
from charts.fitting.slots import FINER, HEAVY, HOME, Atom, assign, slots_of
from charts.limits import DEFAULT_LIMITS, Limits
from charts.pattern import GHOST, Pattern, Stroke
from charts.verdict import fits, fits_before, nominal_onsets, sounding_place

ON_BEAT, HALFWAY, FIRST_HEARD, IN_CELL = 4, 2, 2, 1  # what makes an atom weigh more
ACCENTED = HEAVY  # more than all of that together: accents are what a fill is known by
PLAIN_WEIGHT, GHOST_WEIGHT = 2, 1
POUR = "pour"
DOES = {
    HOME: "to the nearest places",
    FINER: "with quick strokes between",
    POUR: "poured, the same strokes in order",
}
QUARTER_TRIPLETS = ((Fraction(0), TWO_THIRDS), (THIRD,))  # across two beats, and what becomes of them
THREE_THREE_TWO = ((Fraction(0), Fraction(3, 4)), (HALF,))


@dataclass(frozen=True, slots=True)
class Dropped:
    """An atom that found no place: its beat from 1, its place as written, what was struck."""

    beat: int
    at: Fraction
    voices: tuple[str, ...]


@dataclass(frozen=True)
class Relaid:
    """One version of a fill: ``home``, ``finer`` or ``pour``. ``moved_ms`` is the largest movement heard."""

    grid: str
    pattern: Pattern
    kept: int
    dropped: tuple[Dropped, ...]
    moved_ms: float
    playing: Playing

    @property
    def does(self) -> str:
        """What it does to the fill, in words."""
        return DOES[self.grid]


@dataclass(frozen=True)
class Regrid:
    """The versions on offer, the most of the figure first, and why another is not on offer."""

    versions: tuple[Relaid, ...]
    refused: tuple[tuple[str, str], ...]

    def get(self, grid: str) -> Relaid | None:
        return next((version for version in self.versions if version.grid == grid), None)

    @property
    def nearest(self) -> Relaid | None:
        """The home grid's version, or the first on offer where there is none."""
        return self.get(HOME) or next(iter(self.versions), None)


def regrid(
    pattern: Pattern, feel: Feel, beats: Beats, limits: Limits = DEFAULT_LIMITS, left_handed: bool = False
) -> Regrid:
    """Re-lay a fill; what fits already comes back unchanged.

    The finer version is offered where the home version drops something, poured strokes where the fill is a
    stream of one rate. No version is offered that drops more than half of the fill, or that two hands and two
    feet cannot play at the tempo. First comes what keeps the most strokes, then the easiest hands, then what
    moves least.

    >>> from charts.fitting.moments import own_beats
    >>> from charts.notation import read_rows
    >>> from charts.rows import write_rows
    >>> four = Pattern("", "fill", 1, read_rows("SD oooo").strokes)
    >>> shuffle = Feel("shuffle", (3,), Fraction(2))
    >>> for version in regrid(four, shuffle, own_beats(four, Fraction(92))).versions:
    ...     print(version.grid, write_rows(version.pattern), end="")
    finer SD o.ooo.
    home SD ooo
    """
    work = _Work(pattern, feel, beats, limits, left_handed)
    home = work.relay(HOME)
    offered = [home]
    if home.dropped:
        offered.append(work.relay(FINER))
    if home.pattern is not pattern and (poured := work.poured()):
        offered.append(poured)
    offered = [
        version
        for place, version in enumerate(offered)
        if all(_sound(version.pattern) != _sound(other.pattern) for other in offered[:place])
    ]
    refused = {version.grid: reason for version in offered if (reason := _refusal(version))}
    versions = [version for version in offered if version.grid not in refused]
    versions.sort(key=lambda version: (-version.kept, _doubles(version), version.moved_ms))
    return Regrid(tuple(versions), tuple(refused.items()))


def _sound(pattern: Pattern) -> tuple[Stroke, ...]:
    return tuple(replace(stroke, hand="") for stroke in pattern.strokes)


def _doubles(version: Relaid) -> int:
    """How often a hand plays twice running."""
    played = zip(version.pattern.strokes, version.playing.assignment, strict=True)
    return _repeats(replace(stroke, hand=limb) for stroke, limb in played)


def _repeats(strokes: Iterable[Stroke]) -> int:
    hands = [stroke for stroke in strokes if stroke.by_hand]
    return sum(one.hand == other.hand and one.place != other.place for one, other in pairwise(hands))


def _refusal(version: Relaid) -> str:
    gone, total = len(version.dropped), len(version.dropped) + version.kept
    if gone * 2 > total:
        return f"{gone} of {total} strokes would go"
    if not version.playing.playable:
        breach = version.playing.breaches[0]
        return f"the {breach.limb} cannot play it at this tempo"
    return ""


@dataclass(frozen=True)
class _Work:
    """A fill, and the beats and limbs it has to suit."""

    pattern: Pattern
    feel: Feel
    beats: Beats
    limits: Limits
    left_handed: bool

    def relay(self, which: str) -> Relaid:
        """The version on one grid, whether or not it can be offered."""
        strokes: list[Stroke] = []
        dropped: list[Dropped] = []
        moved, kept = Fraction(0), 0
        for place, targets in enumerate(self._all_targets(which)):
            beat, bpm = self.beats[place]
            grid = self.feel.grid(beat, bpm)
            strokes += _laid(self.pattern.by_beat[place], targets)
            dropped += self._gone(place, targets)
            kept += sum(slot is not None for slot in targets.values())
            moved = max(moved, self._moved(place, grid, targets) * beat_ms(beat, bpm))
        new = self._as_one(strokes, bool(dropped), bool(dropped) or moved > 0)
        return self._played(which, new, kept, dropped, moved)

    def poured(self) -> Relaid | None:
        """The fill at another rate; None where it cannot be poured or comes out off the grid."""
        pattern = self.pattern
        if pattern.swung or len({shape for shape, _ in self.beats}) > 1:
            return None
        grids = [self.feel.grid(*each) for each in self.beats]
        found = pour(pattern, [[slots_of(grid, which) for grid in grids] for which in (HOME, FINER)])
        if found is None:
            return None
        new = replace(pattern.with_strokes(found.strokes), swung=False)
        if not fits(new, self.feel, self.beats):
            return None
        dropped = [Dropped(beat + 1, at, self._voices(beat, at)) for beat, at in found.cut]
        if _repeats(new.strokes) > _repeats(pattern.strokes):  # where it was cut the old hands would stumble
            new = without_hands(new)
        kept = sum(map(len, pattern.onsets)) - len(dropped)
        return self._played(POUR, new, kept, dropped, found.moved * beat_ms(*self.beats[0]))

    def _played(self, which: str, new: Pattern, kept: int, dropped: list[Dropped], moved: Fraction) -> Relaid:
        """A version with the hands it has, or with new ones where these cannot play it."""
        playing = playable(new, self.feel, self.beats, self.limits, self.left_handed)
        if new.stuck and not playing.playable:
            new = without_hands(new)
            playing = playable(new, self.feel, self.beats, self.limits, self.left_handed)
        if self.pattern.stuck:
            new = with_hands(new, playing)
        return Relaid(which, new, kept, tuple(dropped), float(moved), playing)

    def _as_one(self, strokes: list[Stroke], dropped: bool, changed: bool) -> Pattern:
        """The pattern of the new strokes; where some are gone the old sticking would stumble.

        Hands that are only what the old rhythm asked for are found anew, diddles that are meant stay.
        """
        if not changed:
            return self.pattern
        new = replace(self.pattern.with_strokes(strokes), swung=False)
        return without_hands(new) if dropped or not self._meant() else new

    def _meant(self) -> bool:
        return hands_are_meant(self.pattern, self.feel, self.beats, self.limits, self.left_handed)

    def _all_targets(self, which: str) -> list[dict[Fraction, Fraction | None]]:
        """Every beat's, from the last to the first: what follows a beat decides whether it fits."""
        found: list[dict[Fraction, Fraction | None]] = []
        following: tuple[Fraction, ...] = (Fraction(0),)  # the landing
        figures = self._figures()
        for place in reversed(range(len(self.beats))):
            found.append(figures.get(place) or self._targets(place, which, following))
            following = tuple(slot for slot in found[-1].values() if slot is not None)
        return found[::-1]

    def _figures(self) -> dict[int, dict[Fraction, Fraction | None]]:
        """What two beats of quarter triplets become together, where the feel has sixteenths."""
        found: dict[int, dict[Fraction, Fraction | None]] = {}
        grids = [self.feel.grid(*beat) for beat in self.beats]
        nominal = [nominal_onsets(self.pattern, place, grid) for place, grid in enumerate(grids)]
        for place, pair in enumerate(pairwise(nominal)):
            if pair == QUARTER_TRIPLETS and all(grid.halves and not grid.home % 4 for grid in grids):
                for beat, new in zip((place, place + 1), THREE_THREE_TWO, strict=True):
                    found[beat] = dict(zip(self.pattern.onsets[beat], new, strict=True))
        return found

    def _targets(
        self, place: int, which: str, following: tuple[Fraction, ...]
    ) -> dict[Fraction, Fraction | None]:
        """For each place written in a beat, its new nominal one; None where it is dropped."""
        grid = self.feel.grid(*self.beats[place])
        written = self.pattern.onsets[place]
        nominal = nominal_onsets(self.pattern, place, grid)
        if fits_before(nominal, following, grid):
            return dict(zip(written, nominal, strict=True))
        atoms: tuple[Atom, ...] = tuple(
            (at, weight_of(self.pattern, self._struck(place, was), at))
            for was, at in zip(written, nominal, strict=True)
        )
        slots = assign(atoms, grid, slots_of(grid, which), 0 in following)
        return dict(zip(written, slots, strict=True))

    def _gone(self, place: int, targets: dict[Fraction, Fraction | None]) -> Iterator[Dropped]:
        for at, slot in targets.items():
            if slot is None:
                yield Dropped(place + 1, at, self._voices(place, at))

    def _struck(self, place: int, at: Fraction) -> tuple[Stroke, ...]:
        return tuple(stroke for stroke in self.pattern.by_beat[place] if stroke.at == at)

    def _voices(self, place: int, at: Fraction) -> tuple[str, ...]:
        return tuple(stroke.voice for stroke in self._struck(place, at))

    def _moved(self, place: int, grid: Grid, targets: dict[Fraction, Fraction | None]) -> Fraction:
        """The largest movement in a beat as it sounds, as a fraction of the beat."""
        nominal = nominal_onsets(self.pattern, place, grid)
        before = [sounding_place(at, nominal, grid) for at in nominal]
        onsets = [slot for slot in targets.values() if slot is not None]
        after = [None if slot is None else sounding_place(slot, onsets, grid) for slot in targets.values()]
        pairs = zip(before, after, strict=True)
        return max((abs(new - old) for old, new in pairs if new is not None), default=Fraction(0))


def weight_of(pattern: Pattern, struck: Sequence[Stroke], at: Fraction) -> int:
    """What an atom weighs, struck at a place on the even grid."""
    if all(stroke.kind == GHOST for stroke in struck):
        return GHOST_WEIGHT
    weight = PLAIN_WEIGHT + {Fraction(0): ON_BEAT, HALF: HALFWAY}.get(at, 0)
    weight += 0 if any(stroke.by_hand for stroke in struck) else IN_CELL
    weight += ACCENTED if any(stroke.accent for stroke in struck) else 0
    heard = {stroke.voice: stroke for stroke in reversed(pattern.strokes)}  # each voice's first
    return weight + (FIRST_HEARD if any(heard[stroke.voice] == stroke for stroke in struck) else 0)


def _laid(strokes: tuple[Stroke, ...], targets: dict[Fraction, Fraction | None]) -> Iterator[Stroke]:
    for stroke in strokes:
        slot = targets[stroke.at]
        if slot is not None:
            yield replace(stroke, at=slot)
