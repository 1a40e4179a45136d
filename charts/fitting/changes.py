"""What a teacher does with a fill, each with the words for it: what :mod:`charts.fitting.vary` chooses from.

Each function yields what a fill could become, in a fixed order; whether that is on the grid and playable is
asked later. Nothing moves the loud end of a fill into its middle. A kind of change is a row in :data:`KINDS`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from charts.feel import HALF, THIRD, TWO_THIRDS
from charts.kit import VOICES
from charts.pattern import BOTH, FLAM, GHOST, LEFT, PLAIN, RIGHT, Stroke, division

Beats = Sequence[Sequence[Stroke]]  # a fill's strokes, beat by beat
Change = tuple[str, list[Stroke]]  # what changed, in words, and the strokes after it

DRUMS = ("FT", "T1", "T2", "SD")  # where accents move to; every kit has these
OTHER_HANDS = (
    ("paradiddles", "RLRRLRLL", 4, "accents on their first strokes"),
    ("double strokes", "RRLL", 4, "accents as they were"),
    ("six-strokes", "RLLRRL", 6, "accents on the singles"),
)
QUARTER = Fraction(1, 4)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


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
    """The same stroke on another drum of the hands."""
    return lambda stroke: replace(stroke, voice=voice)


def _to_foot(stroke: Stroke) -> Stroke:
    """The same stroke on the bass drum: a foot has no hand and no flam."""
    return replace(stroke, voice="BD", hand="", kind=PLAIN)


def _alone(beat: Sequence[Stroke], stroke: Stroke) -> bool:
    return sum(other.at == stroke.at for other in beat) == 1


def _singles(beats: Beats) -> list[Stroke]:
    """Single strokes of one hand on a drum with nothing beside them."""
    return [
        stroke
        for beat in beats
        for stroke in beat
        if VOICES[stroke.voice].family == "drum" and stroke.by_hand and _alone(beat, stroke)
        if stroke.hand != BOTH and stroke.kind in (PLAIN, GHOST)
    ]


def other_hands(beats: Beats) -> Iterator[Change]:
    """Paradiddles, doubles or six-strokes over the same rhythm, the doubles soft."""
    singles = {stroke.place: stroke for stroke in _singles(beats)}
    for name, hands, cells, accents in OTHER_HANDS:
        places = [place for place in sorted(singles) if (place * cells).denominator == 1]
        cell = Fraction(1, 3 if cells == 6 and not any((p * 3) % 1 for p in places) else cells)
        runs = _run(places, cell, len(hands))
        if not runs:
            continue
        changed = {}
        for number, place in enumerate(runs):
            at, stroke = number % len(hands), singles[place]
            double = hands[at] in (hands[at - 1], hands[(at + 1) % len(hands)])
            loud = stroke.accent if name == "double strokes" else not double and (at % 4 == 0 or cells == 6)
            last = place == max(singles) and stroke.accent
            kind = PLAIN if loud or last or not double else GHOST
            voice = "SD" if kind == GHOST else stroke.voice
            changed[stroke] = replace(stroke, hand=hands[at], accent=loud or last, kind=kind, voice=voice)
        yield f"{name} over the same rhythm, {accents}", [changed.get(one, one) for one in _all(beats)]


def _run(places: Sequence[Fraction], cell: Fraction, length: int) -> list[Fraction]:
    """The longest series of places at one spacing from a beat, in whole figures of that many strokes."""
    best: list[Fraction] = []
    series: list[Fraction] = []
    for place in places:
        if series and place - series[-1] == cell:
            series = [*series, place]
        else:
            series = [place] if place % 1 == 0 else []
        best = max(best, series, key=len)
    return best[: len(best) // length * length]


def leave_a_hole(beats: Beats) -> Iterator[Change]:
    """A beat between the first and the last with its first stroke alone, or without any."""
    for number in range(len(beats) - 2, 0, -1):
        later = {stroke for stroke in beats[number] if stroke.at and stroke.by_hand}
        gone = later or set(beats[number])
        if gone:
            yield f"a hole in beat {number + 1}: let it breathe", [s for s in _all(beats) if s not in gone]


def shorter(beats: Beats) -> Iterator[Change]:
    """The second half alone, or an end on the last upbeat."""
    half = len(beats) // 2
    if half and any(beats[:half]) and len(_all(beats[half:])) > 1:
        yield "only its second half; the groove goes on until then", _all(beats[half:])
    last = sorted({stroke.at for stroke in beats[-1]})
    upbeat = TWO_THIRDS if division(last) % 3 == 0 else HALF
    after = [stroke for stroke in beats[-1] if stroke.at > upbeat]
    if upbeat in last and after:
        ends = [stroke for stroke in beats[-1] if stroke.at == upbeat]
        kept = [stroke for stroke in _all(beats) if stroke not in after]
        loud = {stroke: replace(stroke, accent=stroke.kind != GHOST) for stroke in ends}
        yield "ends on the last &, before the next one", [loud.get(stroke, stroke) for stroke in kept]


def add_hertas(beats: Beats) -> Iterator[Change]:
    """Two quick strokes and two slow ones for three singles."""
    singles = {stroke.place for stroke in _singles(beats)}
    for number, beat in enumerate(beats):
        for cell in (QUARTER, THIRD):
            if {number, number + cell, number + 2 * cell} <= singles:
                first = next(stroke for stroke in beat if not stroke.at)
                quick = replace(first, at=cell / 2, accent=False, hand="")
                unstuck = [replace(stroke, hand="") for stroke in _all(beats)]
                yield f"a herta for three singles in beat {number + 1}", [*unstuck, quick]


def flam_the_accents(beats: Beats) -> Iterator[Change]:
    """Accents as flams, flams as single strokes."""
    hands = [stroke for stroke in _all(beats) if _on_drum(stroke)]
    strong = [stroke for stroke in hands if stroke.accent and stroke.kind == PLAIN and stroke.hand != BOTH]
    if strong:
        yield "flams on the accents", _mapped(beats, strong, lambda s: replace(s, kind=FLAM))
        yield "a flam on the last accent", _mapped(beats, strong[-1:], lambda s: replace(s, kind=FLAM))
    flams = [stroke for stroke in hands if stroke.kind == FLAM]
    if flams:
        yield "single strokes for the flams", _mapped(beats, flams, lambda s: replace(s, kind=PLAIN))


def give_to_foot(beats: Beats) -> Iterator[Change]:
    """The last stroke of the fill goes to the bass drum, or the last of every beat, or back to a drum."""
    ends = [beat[-1] for beat in beats if len(beat) > 1 and beat[-1].by_hand and _alone(beat, beat[-1])]
    if beats[-1] and ends and ends[-1] == beats[-1][-1]:
        words = "the last stroke goes to the bass drum; the hands are free for the crash"
        yield words, _mapped(beats, ends[-1:], _to_foot)
    if len(ends) > 1:
        yield "the bass drum takes the last stroke of every beat", _mapped(beats, ends, _to_foot)
        for number, end in enumerate(ends[:-1]):
            words = f"the bass drum takes the last stroke of beat {end.beat + 1}"
            yield words, _mapped(beats, ends[number : number + 1], _to_foot)
    feet = [stroke for beat in beats for stroke in beat if stroke.voice == "BD" and _alone(beat, stroke)]
    if feet:
        yield "the floor tom plays the bass drum's strokes", _mapped(beats, feet, _to("FT"))


def split_the_hands(beats: Beats) -> Iterator[Change]:
    """One hand to the floor tom, the other on the snare."""
    drums = [stroke for stroke in _all(beats) if _on_drum(stroke) and stroke.hand in (RIGHT, LEFT)]
    if len({stroke.hand for stroke in drums}) > 1:
        right = [stroke for stroke in drums if stroke.hand == RIGHT]
        left = [stroke for stroke in drums if stroke.hand == LEFT]
        base = _mapped(beats, right, _to("FT"))
        words = "right hand to the floor tom, left on the snare"
        yield words, [replace(stroke, voice="SD") if stroke in left else stroke for stroke in base]


def crash_together(beats: Beats) -> Iterator[Change]:
    """Crash and bass drum together on an accent before the last beat, or the first stroke."""
    drums = [stroke for stroke in _all(beats[:-1]) if _on_drum(stroke) and stroke.hand != BOTH]
    loud = [stroke for stroke in drums if stroke.accent and not stroke.at]
    for words, chosen in (
        (f"accent of beat {len(loud) and loud[-1].beat + 1}", loud[-1:]),
        ("first stroke", drums[:1]),
    ):
        for stroke in chosen:
            crash = replace(stroke, voice="C1", kind=PLAIN, accent=True, hand="")
            struck = [s for s in _all(beats) if (s.place, s.voice) not in ((stroke.place, "BD"),)]
            both = [*(s for s in struck if s != stroke), crash, _to_foot(crash)]
            yield f"crash and bass drum together on the {words}", both


def up_the_kit(beats: Beats) -> Iterator[Change]:
    """The drums in the other order: up instead of down."""
    heard = list(dict.fromkeys(stroke.voice for stroke in _all(beats) if _on_drum(stroke)))
    other = dict(zip(heard, reversed(heard), strict=True))
    drums = [stroke for stroke in _all(beats) if _on_drum(stroke)]
    if len(heard) > 1:
        down = VOICES[heard[0]].x <= VOICES[heard[-1]].x
        words = "up the kit instead of down" if down else "down the kit instead of up"
        yield words, _mapped(beats, drums, lambda s: replace(s, voice=other[s.voice]))


def hand_hand_foot(beats: Beats) -> Iterator[Change]:
    """Two with the hands, one with the foot, over and over, in the longest even run."""
    singles = {stroke.place: stroke for stroke in _singles(beats)}
    lone_feet = any(not s.by_hand and _alone(beats[s.beat], s) for s in _all(beats))
    for cells in (4, 3, 2):
        run = _run(sorted(singles), Fraction(1, cells), 3)
        if len(run) >= 6 and not lone_feet:
            feet = [singles[place] for place in run[2::3]]
            yield "hand, hand, foot, cell for cell", _mapped(beats, feet, _to_foot)


def half_speed_first(beats: Beats) -> Iterator[Change]:
    """Its first strokes at half speed, then the rest as it was."""
    half = len(beats) // 2
    slow = [
        replace(stroke, beat=int(place), at=place % 1, hand="")
        for stroke in _all(beats[: (half + 1) // 2])
        if (place := 2 * stroke.place) < half
    ]
    if half and slow:
        yield "half speed, then full", [*slow, *(replace(s, hand="") for s in _all(beats[half:]))]


def foot_between(beats: Beats) -> Iterator[Change]:
    """The bass drum answers between strokes that leave it room."""
    struck = sorted({stroke.place for stroke in _all(beats)})
    gaps = {after - before for before, after in pairwise(struck)}
    if len(gaps) == 1 and (gap := min(gaps)) >= HALF:
        between = [Stroke(int(place), place % 1, "BD") for place in (at + gap / 2 for at in struck[:-1])]
        yield "the bass drum answers between the strokes", [*_all(beats), *between]


def move_accents(beats: Beats) -> Iterator[Change]:
    """The accents go to another drum, the rest stays."""
    accents = [stroke for stroke in _all(beats) if stroke.accent and _on_drum(stroke)]
    for drum in DRUMS if accents else ():
        yield f"the accents go to the {VOICES[drum].name}", _mapped(beats, accents, _to(drum))


def ghost_the_rest(beats: Beats) -> Iterator[Change]:
    """What is not accented is whispered, or ghosts are played out."""
    drums = [stroke for stroke in _singles(beats) if stroke.kind == PLAIN]
    soft = [stroke for stroke in drums if stroke.voice == "SD" and not stroke.accent]
    if soft:
        yield "ghosts between the accents", _mapped(beats, soft, lambda s: replace(s, kind=GHOST))
    ghosts = [stroke for stroke in _all(beats) if stroke.kind == GHOST]
    if ghosts:
        yield "the ghost notes are played out", _mapped(beats, ghosts, lambda s: replace(s, kind=PLAIN))


def add_diddles(beats: Beats) -> Iterator[Change]:
    """A stroke becomes two by the same hand, twice as fast as the beat moves; not on the beat first."""
    singles = set(_singles(beats))
    for on_beat in (False, True):
        for number, beat in enumerate(beats):
            places = sorted({stroke.at for stroke in beat})
            for place, following in pairwise([*places, Fraction(1)]):
                struck = [stroke for stroke in beat if stroke.at == place and stroke in singles]
                if bool(place) is not on_beat and struck:
                    room = min(following - place, Fraction(1, division(places)))
                    second = replace(struck[0], at=place + room / 2, accent=False)
                    words = f"the {_which(places, place)} stroke of beat {number + 1} becomes a diddle"
                    yield words, [*_all(beats), second]


def _which(places: Sequence[Fraction], place: Fraction) -> str:
    if len(places) == 1:
        return "only"
    number = places.index(place)
    if number == len(places) - 1:
        return "last"
    return _ORDINALS[number] if number < len(_ORDINALS) else f"{number + 1}th"


KINDS: tuple[Callable[[Beats], Iterator[Change]], ...] = (
    give_to_foot,
    flam_the_accents,
    up_the_kit,
    split_the_hands,
    leave_a_hole,
    other_hands,
    add_hertas,
    move_accents,
    shorter,
    crash_together,
    hand_hand_foot,
    half_speed_first,
    ghost_the_rest,
    foot_between,
    add_diddles,
)
STUCK = frozenset({other_hands, add_diddles, split_the_hands})  # kinds whose hands are part of the idea
