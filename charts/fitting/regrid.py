"""The same fill on a feel's grid, beat by beat.

Movement is counted in places as written on the even grid, so that a fill comes out the same at every tempo;
what is told in ms is how far its strokes move as they sound.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.feel import HALF, Feel, Grid
from charts.fitting.hands import Playing, playable, with_hands
from charts.fitting.moments import Beats, beat_ms
from charts.fitting.slots import FINER, HOME, Atom, assign, slots_of
from charts.limits import DEFAULT_LIMITS, Limits
from charts.pattern import GHOST, Pattern, Stroke
from charts.verdict import fits_before, nominal_onsets, sounding_place

ON_BEAT, HALFWAY, ACCENTED, FIRST_HEARD = 4, 2, 2, 2  # what makes an atom weigh more
PLAIN_WEIGHT, GHOST_WEIGHT = 2, 1


@dataclass(frozen=True, slots=True)
class Dropped:
    """An atom that found no place: its beat from 1, its place as written, what was struck."""

    beat: int
    at: Fraction
    voices: tuple[str, ...]


@dataclass(frozen=True)
class Relaid:
    """One version of a fill on a grid, ``home`` or ``finer``. ``moved_ms`` is the largest movement heard."""

    grid: str
    pattern: Pattern
    kept: int
    dropped: tuple[Dropped, ...]
    moved_ms: float
    playing: Playing


@dataclass(frozen=True)
class Regrid:
    """The versions on offer, the home grid first, and why another is not on offer."""

    versions: tuple[Relaid, ...]
    refused: tuple[tuple[str, str], ...]

    def get(self, grid: str) -> Relaid | None:
        return next((version for version in self.versions if version.grid == grid), None)


def regrid(
    pattern: Pattern, feel: Feel, beats: Beats, limits: Limits = DEFAULT_LIMITS, left_handed: bool = False
) -> Regrid:
    """Re-lay a fill; what fits already comes back unchanged.

    The finer version is offered where the home version drops something. No version is offered that drops
    more than half of the fill, or that two hands and two feet cannot play at the tempo.

    >>> from charts.fitting.moments import own_beats
    >>> from charts.notation import read_rows
    >>> from charts.rows import write_rows
    >>> four = Pattern("", "fill", 1, read_rows("SD oooo").strokes)
    >>> shuffle = Feel("shuffle", (3,), Fraction(2))
    >>> for version in regrid(four, shuffle, own_beats(four, Fraction(92))).versions:
    ...     print(version.grid, write_rows(version.pattern), end="")
    home SD ooo
    finer SD o.ooo.
    """
    work = _Work(pattern, feel, beats, limits, left_handed)
    home = work.relay(HOME)
    offered = [home]
    if home.dropped:
        finer = work.relay(FINER)
        if finer.pattern != home.pattern:
            offered.append(finer)
    refused = {version.grid: reason for version in offered if (reason := _refusal(version))}
    versions = tuple(version for version in offered if version.grid not in refused)
    return Regrid(versions, tuple(refused.items()))


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
        playing = playable(new, self.feel, self.beats, self.limits, self.left_handed)
        if new.stuck and not playing.playable:
            new = _unstuck(new)
            playing = playable(new, self.feel, self.beats, self.limits, self.left_handed)
        if self.pattern.stuck:
            new = with_hands(new, playing)
        return Relaid(which, new, kept, tuple(dropped), float(moved), playing)

    def _as_one(self, strokes: list[Stroke], dropped: bool, changed: bool) -> Pattern:
        """The pattern of the new strokes; where some are gone the old sticking would stumble."""
        if not changed:
            return self.pattern
        new = replace(self.pattern.with_strokes(strokes), swung=False)
        return _unstuck(new) if dropped else new

    def _all_targets(self, which: str) -> list[dict[Fraction, Fraction | None]]:
        """Every beat's, from the last to the first: what follows a beat decides whether it fits."""
        found: list[dict[Fraction, Fraction | None]] = []
        following: tuple[Fraction, ...] = (Fraction(0),)  # the landing
        for place in reversed(range(len(self.beats))):
            found.append(self._targets(place, which, following))
            following = tuple(slot for slot in found[-1].values() if slot is not None)
        return found[::-1]

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
            (at, self._weight(place, was, at)) for was, at in zip(written, nominal, strict=True)
        )
        slots = assign(atoms, grid, slots_of(grid, which), 0 in following)
        return dict(zip(written, slots, strict=True))

    def _weight(self, place: int, written: Fraction, at: Fraction) -> int:
        struck = [stroke for stroke in self.pattern.by_beat[place] if stroke.at == written]
        if all(stroke.kind == GHOST for stroke in struck):
            return GHOST_WEIGHT
        weight = PLAIN_WEIGHT + (0 if at not in (0, HALF) else HALFWAY if at else ON_BEAT)
        weight += ACCENTED if any(stroke.accent for stroke in struck) else 0
        return weight + (FIRST_HEARD if any(self._first_heard(stroke) for stroke in struck) else 0)

    def _first_heard(self, stroke: Stroke) -> bool:
        return stroke == next(other for other in self.pattern.strokes if other.voice == stroke.voice)

    def _gone(self, place: int, targets: dict[Fraction, Fraction | None]) -> Iterator[Dropped]:
        for at, slot in targets.items():
            if slot is None:
                struck = self.pattern.by_beat[place]
                yield Dropped(place + 1, at, tuple(stroke.voice for stroke in struck if stroke.at == at))

    def _moved(self, place: int, grid: Grid, targets: dict[Fraction, Fraction | None]) -> Fraction:
        """The largest movement in a beat as it sounds, as a fraction of the beat."""
        nominal = nominal_onsets(self.pattern, place, grid)
        before = [sounding_place(at, nominal, grid) for at in nominal]
        onsets = [slot for slot in targets.values() if slot is not None]
        after = [None if slot is None else sounding_place(slot, onsets, grid) for slot in targets.values()]
        pairs = zip(before, after, strict=True)
        return max((abs(new - old) for old, new in pairs if new is not None), default=Fraction(0))


def _laid(strokes: tuple[Stroke, ...], targets: dict[Fraction, Fraction | None]) -> Iterator[Stroke]:
    for stroke in strokes:
        slot = targets[stroke.at]
        if slot is not None:
            yield replace(stroke, at=slot)


def _unstuck(pattern: Pattern) -> Pattern:
    return pattern.with_strokes(replace(stroke, hand="") for stroke in pattern.strokes)
