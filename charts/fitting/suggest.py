"""Which fill for a spot: only what fits and can be played there, the nearest to what is asked for first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import islice

from charts.feel import Feel, Grid, plain_name
from charts.fitting.known import plays
from charts.fitting.moments import Beats, own_beats
from charts.fitting.styles import ANYWHERE, AT_HOME, ELSEWHERE, Styles, styles_of
from charts.kit import VOICES
from charts.landing import CRASH_VOICES
from charts.limits import DEFAULT_LIMITS, Limits
from charts.pattern import FILL, Pattern, Stroke
from charts.placing import shifted
from charts.timing import ANY_TEMPO, Beat, Meter
from charts.verdict import fits, nominal_onsets
from charts.vocabularies import FeelTable, PatternTable
from charts.wording import listed

TOMS = frozenset({"T1", "T2", "T3", "FT"})
MOST_INSTEAD = 3  # fills that a clash offers
LENGTH, BUSYNESS, DRUMS = 3, 2, 2  # what a difference weighs, each from 0 to 1
SUITS = 0.5  # the bonus where the fill's own words name what it leads into
HOME_STYLE = 0.25  # the bonus where they name the feel it is played in, or that feel's kin
OTHER_STYLE = 1  # the malus where they name other feels alone
LOUD_TOMS = 1  # the malus for toms where it has to stay soft
OFF_HOME = 1  # the malus, in a feel that swings, for strokes where the groove has no place
_OF_STYLE = {AT_HOME: -HOME_STYLE, ANYWHERE: 0, ELSEWHERE: OTHER_STYLE}


@dataclass(frozen=True)
class Wanted:
    """What a fill should be like: beats, onsets a beat, and voices (None where any will do)."""

    beats: int
    busyness: float
    voices: frozenset[str] | None = None


@dataclass(frozen=True)
class Spot:
    """Where a fill is to be played.

    ``beats`` are free and end where the fill lands, or that is ``offset`` into the last of them, as written;
    ``meter`` is that of the last bar, where it is known; ``leads_into`` names what follows; ``landing`` are
    the voices struck there; ``taken`` are names not to be offered, such as the fill used just before.
    """

    feel: Feel
    beats: Beats
    wanted: Wanted
    leads_into: str = ""
    soft: bool = False
    landing: tuple[str, ...] = CRASH_VOICES
    taken: frozenset[str] = frozenset()
    offset: Fraction = Fraction(0)
    meter: Meter | None = None

    @cached_property
    def grids(self) -> tuple[Grid, ...]:
        """The grid of each free beat."""
        return tuple([self.feel.grid(beat, bpm) for beat, bpm in self.beats])

    @property
    def at_any_tempo(self) -> Spot:
        """The same for spots that differ in tempo only."""
        return replace(self, beats=tuple([(beat, ANY_TEMPO) for beat, _ in self.beats]))

    def laid(self, pattern: Pattern) -> Pattern:
        """A fill as it lies over the last of the beats."""
        return shifted(pattern, self.offset) if self.offset else pattern

    def under(self, pattern: Pattern) -> Beats:
        """The beats that a fill covers."""
        return self.beats[len(self.beats) - pattern.beats - bool(self.offset) :]


@dataclass(frozen=True)
class Suggestion:
    """A fill for a spot, how far it is from what was wanted, and why in a few words."""

    pattern: Pattern
    distance: float
    reason: str


@lru_cache(maxsize=4096)
def like(pattern: Pattern) -> Wanted:
    """What a fill is like, so that another can be as near as may be.

    >>> from charts.notation import read_rows
    >>> like(Pattern("", "fill", 2, read_rows("SD oooo|oo..").strokes)).busyness
    3.0
    """
    strokes = sum(len(onsets) for onsets in pattern.onsets)
    busyness = strokes / pattern.beats if pattern.beats else 0.0
    return Wanted(pattern.beats, busyness, frozenset(stroke.voice for stroke in pattern.strokes))


def suggest(
    spot: Spot,
    patterns: Iterable[Pattern],
    feels: FeelTable,
    limits: Limits = DEFAULT_LIMITS,
    left_handed: bool = False,
    count: int | None = None,
) -> tuple[Suggestion, ...]:
    """Fills for a spot, the best first; of equally near ones by name. All of them where no count is given."""
    styles = styles_of(feels)
    found = (
        Suggestion(pattern, distance, _reason(spot, pattern, styles))
        for distance, pattern in _ranked(spot, patterns, styles)
        if suits_spot(spot, pattern, limits, left_handed)
    )
    return tuple(islice(found, count))


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
    ranked = _ranked_fills(spot.at_any_tempo, patterns, styles_of(feels))
    found = (fill for _, fill in ranked if suits_spot(spot, fill, limits, left_handed))
    return tuple(islice(found, MOST_INSTEAD))


def _ranked(spot: Spot, patterns: Iterable[Pattern], styles: Styles) -> tuple[tuple[float, Pattern], ...]:
    """What may stand there, with how far it is from what is wanted; the tempo does not count for that."""
    found = [(_distance(spot, pattern, styles), pattern) for pattern in patterns if _may_stand(spot, pattern)]
    return tuple(sorted(found, key=lambda pair: (pair[0], _plain(pair[1].name))))


@lru_cache(maxsize=256)
def _ranked_fills(spot: Spot, patterns: PatternTable, styles: Styles) -> tuple[tuple[float, Pattern], ...]:
    """The same of a whole table: a book has the same clash at many tempi."""
    return _ranked(spot, patterns.fills(), styles)


def suits_spot(spot: Spot, pattern: Pattern, limits: Limits, left_handed: bool) -> bool:
    """True where the fill fits the last of the free beats and two hands and feet can play and land it."""
    laid, under = spot.laid(pattern), spot.under(pattern)
    if pattern.tempo and not all(pattern.tempo[0] <= bpm <= pattern.tempo[1] for _, bpm in under):
        return False
    if not fits(laid, spot.feel, under):
        return False
    at = spot.feel.grid(*under[-1]).bend(spot.offset)
    landing = tuple(Stroke(pattern.beats, at, voice) for voice in spot.landing)
    return plays(laid, spot.feel, under, limits, left_handed, landing)


def _may_stand(spot: Spot, pattern: Pattern) -> bool:
    """Length and meter: what can be told at a glance."""
    room = len(spot.beats) - bool(spot.offset)
    if pattern.kind != FILL or not pattern.strokes or pattern.beats > room:
        return False
    if _plain(pattern.name) in spot.taken:
        return False
    return pattern.meter is None or _shapes_suit(pattern, spot.under(pattern))


def _shapes_suit(pattern: Pattern, under: Beats) -> bool:
    """A fill made for a meter wants that meter's beats under it."""
    shapes = zip(own_beats(pattern, Fraction(100)), under, strict=False)
    return all(_shape(own) == _shape(there) for (own, _), (there, _) in shapes)


def _shape(beat: Beat) -> tuple[Fraction, bool]:
    return beat.units, beat.ternary


def _distance(spot: Spot, pattern: Pattern, styles: Styles) -> float:
    wanted, is_like = spot.wanted, like(pattern)
    far = LENGTH * _apart(wanted.beats, is_like.beats) + BUSYNESS * _apart(wanted.busyness, is_like.busyness)
    voices = is_like.voices or frozenset()
    if wanted.voices is not None:
        far += DRUMS * (1 - len(wanted.voices & voices) / (len(wanted.voices | voices) or 1))
    if spot.soft and voices & TOMS:
        far += LOUD_TOMS
    if spot.feel.swings:
        covered = pattern.beats + bool(spot.offset)
        far += OFF_HOME * _off_home(spot.laid(pattern), spot.grids[len(spot.grids) - covered :])
    far += _OF_STYLE[styles.made_for(pattern, spot.feel, spot.meter)[0]]
    return far - (SUITS if _leads(spot, pattern) else 0)


def _off_home(laid: Pattern, grids: tuple[Grid, ...]) -> float:
    """The share of a fill's onsets that lie between the cells of the groove."""
    off = total = 0
    for place, grid in enumerate(grids):
        onsets = nominal_onsets(laid, place, grid)
        total += len(onsets)
        off += sum(grid.home % at.denominator != 0 for at in onsets)
    return off / (total or 1)


def _apart(one: float, other: float) -> float:
    """How unlike two lengths are, from 0 (equal) to 1."""
    most = max(one, other)
    return abs(one - other) / most if most else 0.0


_plain = lru_cache(maxsize=4096)(plain_name)


@lru_cache(maxsize=4096)
def _said(suits: str) -> frozenset[str]:
    """The words in which a fill says what it suits."""
    return frozenset(plain_name(suits).replace(",", " ").replace(";", " ").split())


def _leads(spot: Spot, pattern: Pattern) -> str:
    """The word by which the fill's own words name what the spot leads into; empty where they do not."""
    for word in _plain(spot.leads_into).split():
        forms = {word, f"{word}s", f"{word}es", word.removesuffix("s")}
        if word.isalpha() and len(word) > 2 and _said(pattern.suits) & forms:
            return word
    return ""


def _reason(spot: Spot, pattern: Pattern, styles: Styles) -> str:
    """Why in a few words: what it leads into, its style, length, busyness and drums."""
    style = styles.made_for(pattern, spot.feel, spot.meter)[1]
    return ", ".join(_reasons(spot, like(pattern), _leads(spot, pattern), style))


def _reasons(spot: Spot, is_like: Wanted, leads: str, style: str) -> Iterator[str]:
    wanted, voices = spot.wanted, is_like.voices or frozenset()
    if leads:
        yield f"suits {'an' if leads[0] in 'aeiou' else 'a'} {leads}"
    if style:
        yield f"made for {style}"
    if wanted.voices is not None:
        yield _compared(is_like.beats, wanted.beats, "as long", "shorter", "longer")
        yield _compared(is_like.busyness, wanted.busyness, "as busy", "calmer", "busier")
        yield "same drums" if voices == wanted.voices else _drums(voices)
        return
    yield f"{is_like.beats} beat{'s' * (is_like.beats != 1)}"
    yield f"{is_like.busyness:.3g} to the beat"
    yield _drums(voices)
    if spot.soft and not voices & TOMS:
        yield "stays soft"


def _compared(has: float, wanted: float, equal: str, less: str, more: str) -> str:
    return equal if has == wanted else less if has < wanted else more


def _drums(voices: Iterable[str]) -> str:
    """The drums in a word or two.

    >>> _drums({"SD", "T1", "FT", "BD"}), _drums({"SD"})
    ('snare and toms', 'snare')
    """
    known = frozenset(voices)
    toms = sorted(known & TOMS)
    cymbals = any(VOICES[voice].family == "cymbal" for voice in known)
    if "SD" in known and len(toms) > 1 and cymbals:
        return "the whole kit"
    parts = [VOICES[voice].name for voice in ("SD", "XS") if voice in known]
    parts += ["toms" if len(toms) > 1 else VOICES[toms[0]].name] if toms else []
    parts += ["cymbals"] if cymbals else []
    return listed(parts) or "feet only"
