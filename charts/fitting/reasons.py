"""Why a fill is offered, in a player's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from charts.families import ANYWHERE
from charts.feel import plain_name
from charts.fitting.wanted import Spot, like
from charts.kit import VOICES
from charts.pattern import Pattern, division
from charts.wording import listed, many

TOMS = frozenset({"T1", "T2", "T3", "FT"})
_CELLS = {
    1: "on the beat", 2: "in eighths", 3: "in triplets", 4: "in sixteenths", 6: "in sextuplets",
    8: "in thirty-seconds",
}  # fmt: skip


def reason_for(spot: Spot, pattern: Pattern, made_for: tuple[int, str]) -> str:
    """What a fill leads into, what it is made for, how long and busy it is, and its drums."""
    return ", ".join(_reasons(spot, pattern, made_for))


def _reasons(spot: Spot, pattern: Pattern, made_for: tuple[int, str]) -> Iterator[str]:
    wanted, is_like, voices = spot.wanted, like(pattern), frozenset(pattern.voices)
    if leads := leads_into(spot, pattern):
        yield f"suits {'an' if leads[0] in 'aeiou' else 'a'} {leads}"
    level, name = made_for
    if level != ANYWHERE:
        yield f"made for {name}"
    if spot.target:
        yield f"lands on the hit at {spot.target}"
    if wanted.voices is not None:
        yield _compared(is_like.beats, wanted.beats, "as long", "shorter", "longer")
        yield _compared(is_like.busyness, wanted.busyness, "as busy", "calmer", "busier")
        yield "same drums" if voices == wanted.voices else drums(voices)
        return
    yield length(is_like.beats, len(spot.meter.beats) if spot.meter else 0)
    if cells := _CELLS.get(max(map(division, pattern.onsets))):
        yield cells
    yield drums(voices)
    if spot.soft and not voices & TOMS:
        yield "stays soft"


def length(beats: int, bar: int) -> str:
    """A length in bars where it is a whole number of them, or half of one; else in beats.

    >>> [length(beats, 4) for beats in (1, 2, 3, 4, 8)]
    ['1 beat', 'half a bar', '3 beats', 'a bar', '2 bars']
    """
    if bar > 1 and beats % bar == 0:
        return "a bar" if beats == bar else many(beats // bar, "bar")
    return "half a bar" if beats > 1 and beats * 2 == bar else many(beats, "beat")


def leads_into(spot: Spot, pattern: Pattern) -> str:
    """The word by which the fill's own words name what the spot leads into; empty where they do not."""
    for word in plain_name(spot.leads_into).split():
        forms = {word, f"{word}s", f"{word}es", word.removesuffix("s")}
        if word.isalpha() and len(word) > 2 and _said(pattern.suits) & forms:
            return word
    return ""


@lru_cache(maxsize=4096)
def _said(suits: str) -> frozenset[str]:
    """The words in which a fill says what it suits."""
    return frozenset(plain_name(suits).replace(",", " ").replace(";", " ").split())


def _compared(has: float, wanted: float, equal: str, less: str, more: str) -> str:
    return equal if has == wanted else less if has < wanted else more


def drums(voices: Iterable[str]) -> str:
    """The drums in a word or two.

    >>> drums({"SD", "T1", "FT", "BD"}), drums({"SD"})
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
