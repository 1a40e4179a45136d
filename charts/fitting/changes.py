"""Small changes to a fill, each with the words for it: what :mod:`charts.fitting.vary` chooses from.

Each function yields what a fill could become, in a fixed order; whether that is on the grid and playable is
asked later. A kind of change is a row in :data:`KINDS`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise

from charts.kit import VOICES, is_hand
from charts.pattern import BOTH, DRAG, FLAM, GHOST, PLAIN, Stroke, division

Beats = Sequence[Sequence[Stroke]]  # a fill's strokes, beat by beat
Change = tuple[str, list[Stroke]]  # what changed, in words, and the strokes after it

DRUMS = ("SD", "T1", "T2", "FT")  # where strokes move to; every kit has these
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


def _name(voice: str) -> str:
    return VOICES[voice].name


def _all(beats: Beats) -> list[Stroke]:
    return [stroke for beat in beats for stroke in beat]


def _on_drum(stroke: Stroke) -> bool:
    """True for a full stroke on a drum: ghosts stay where they are, on the snare."""
    drum = stroke.by_hand and VOICES[stroke.voice].family == "drum" and stroke.voice != "XS"
    return drum and stroke.kind != GHOST


def _mapped(beats: Beats, chosen: Sequence[Stroke], change: Callable[[Stroke], Stroke]) -> list[Stroke]:
    """All strokes, the chosen ones changed."""
    which = set(chosen)
    return [change(stroke) if stroke in which else stroke for stroke in _all(beats)]


def _to(voice: str) -> Callable[[Stroke], Stroke]:
    """The same stroke on another voice; a foot has no hand and no flam."""

    def moved(stroke: Stroke) -> Stroke:
        if is_hand(voice):
            return replace(stroke, voice=voice, hand=stroke.hand if is_hand(stroke.voice) else "")
        return replace(stroke, voice=voice, hand="", kind=PLAIN)

    return moved


def move_accents(beats: Beats) -> Iterator[Change]:
    """The accents go to another drum."""
    accents = [stroke for stroke in _all(beats) if stroke.accent and _on_drum(stroke)]
    for drum in DRUMS if accents else ():
        yield f"the accents go to the {_name(drum)}", _mapped(beats, accents, _to(drum))


def move_beats(beats: Beats) -> Iterator[Change]:
    """All of one beat goes to another drum."""
    for number, beat in enumerate(beats):
        here = [stroke for stroke in beat if _on_drum(stroke)]
        for drum in DRUMS if here else ():
            yield f"beat {number + 1} goes to the {_name(drum)}", _mapped(beats, here, _to(drum))


def trade_drums(beats: Beats) -> Iterator[Change]:
    """Two drums change places throughout."""
    for one, other in combinations(DRUMS, 2):
        both = [stroke for stroke in _all(beats) if _on_drum(stroke) and stroke.voice in (one, other)]
        yield f"{_name(one)} and {_name(other)} change places", _mapped(beats, both, _trade(one, other))


def _trade(one: str, other: str) -> Callable[[Stroke], Stroke]:
    return lambda stroke: _to(other if stroke.voice == one else one)(stroke)


def give_to_foot(beats: Beats) -> Iterator[Change]:
    """A stroke of the hands goes to the bass drum: the last of a beat first; one of every beat; or back."""
    for number, beat in enumerate(beats):
        places = sorted({stroke.at for stroke in beat})
        for place in reversed(places):
            struck = [stroke for stroke in beat if stroke.at == place]
            if len(struck) == 1 and struck[0].by_hand:
                words = f"the {_which(places, place)} stroke of beat {number + 1} goes to the bass drum"
                yield words, _mapped(beats, struck, _to("BD"))
    for at in sorted({stroke.at for stroke in _all(beats)}):
        lone = [s for beat in beats for s in beat if s.at == at and s.by_hand and _alone(beat, at)]
        if len(lone) > 1:
            where = f"{at} into the beat" if at else "on the beat"
            yield f"the bass drum takes every stroke {where}", _mapped(beats, lone, _to("BD"))
    for drum in ("FT", "SD"):
        feet = [s for beat in beats for s in beat if s.voice == "BD" and _alone(beat, s.at)]
        if feet:
            yield f"the {_name(drum)} plays the bass drum's strokes", _mapped(beats, feet, _to(drum))


def _alone(beat: Sequence[Stroke], at: Fraction) -> bool:
    return sum(stroke.at == at for stroke in beat) == 1


def _which(places: Sequence[Fraction], place: Fraction) -> str:
    if len(places) == 1:
        return "only"
    number = places.index(place)
    if number == len(places) - 1:
        return "last"
    return _ORDINALS[number] if number < len(_ORDINALS) else f"{number + 1}th"


def add_diddles(beats: Beats) -> Iterator[Change]:
    """A stroke becomes two by the same hand, twice as fast as the beat moves; not on the beat first."""
    for on_beat in (False, True):
        for number, beat in enumerate(beats):
            places = sorted({stroke.at for stroke in beat})
            for place, following in pairwise([*places, Fraction(1)]):
                struck = [stroke for stroke in beat if stroke.at == place and stroke.by_hand]
                if bool(place) is on_beat or not _may_double(struck):
                    continue
                room = min(following - place, Fraction(1, division(places)))
                second = replace(struck[0], at=place + room / 2, accent=False)
                words = f"the {_which(places, place)} stroke of beat {number + 1} becomes a diddle"
                yield words, [*_all(beats), second]


def _may_double(struck: Sequence[Stroke]) -> bool:
    return len(struck) == 1 and struck[0].hand != BOTH and struck[0].kind in (PLAIN, GHOST)


def shift_accents(beats: Beats) -> Iterator[Change]:
    """Accents elsewhere, or as flams; flams without their grace; ghosts played out, strokes ghosted."""
    hands = [stroke for stroke in _all(beats) if stroke.by_hand and stroke.kind != GHOST]
    accented = [number for number, stroke in enumerate(hands) if stroke.accent]
    for step, words in ((1, "later"), (-1, "earlier")) if accented else ():
        chosen = {(number + step) % len(hands) for number in accented}
        yield f"the accents fall one stroke {words}", _accented(beats, [hands[n] for n in chosen])
    for words, way in (("first", 1), ("last", -1)):
        ends = [next((stroke for stroke in beat[::way] if stroke in hands), None) for beat in beats]
        yield f"an accent on the {words} stroke of each beat", _accented(beats, [s for s in ends if s])
    flams = [stroke for stroke in hands if stroke.kind in (FLAM, DRAG)]
    strong = [stroke for stroke in hands if stroke.accent and stroke.kind == PLAIN and _on_drum(stroke)]
    yield "the accents become flams", _mapped(beats, strong, lambda s: replace(s, kind=FLAM))
    yield "the flams become single strokes", _mapped(beats, flams, lambda s: replace(s, kind=PLAIN))
    ghosts = [stroke for stroke in _all(beats) if stroke.kind == GHOST]
    yield "the ghost notes are played out", _mapped(beats, ghosts, lambda s: replace(s, kind=PLAIN))
    soft = [s for s in hands if s.voice == "SD" and s.kind == PLAIN and s.at and not s.accent]
    yield "the snare is ghosted off the beat", _mapped(beats, soft, lambda s: replace(s, kind=GHOST))


def _accented(beats: Beats, strokes: Sequence[Stroke]) -> list[Stroke]:
    """The hands' accents on these strokes and on no others."""
    which = set(strokes)
    return [replace(s, accent=s in which) if s.by_hand else s for s in _all(beats)]


def start_elsewhere(beats: Beats) -> Iterator[Change]:
    """The same strokes, begun on another beat."""
    count = len(beats)
    for first in range(1, count):
        moved = [replace(stroke, beat=(stroke.beat - first) % count) for stroke in _all(beats)]
        yield f"starts on its beat {first + 1}", moved


KINDS: tuple[Callable[[Beats], Iterator[Change]], ...] = (
    move_accents,
    give_to_foot,
    add_diddles,
    shift_accents,
    start_elsewhere,
    move_beats,
    trade_drums,
)
