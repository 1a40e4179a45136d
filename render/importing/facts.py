"""What the words over a played bar mean for a chart: cues, hits, stops, fills, feel, groove and the rest."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from charts.feel import Feel
from charts.song import Place
from charts.timing import FASTEST, SLOWEST, Meter
from charts.vocabularies import FeelTable
from charts.wording import one_line
from render.importing.road import RoadBar
from render.importing.words import is_open, times_said

FINEST_CELL = 48  # a place is told on no finer grid
MOST_WORDS = 200
MOST_HOLD = 600  # seconds that a chart takes
LEAST, MOST = Fraction(SLOWEST), Fraction(FASTEST)  # beats a minute that a chart can say
ADJECTIVES = frozenset((
    "a", "an", "the", "in", "with", "very", "medium", "med", "fast", "slow", "slower", "faster", "easy",
    "up", "bright", "heavy", "hard", "light", "moderate", "relaxed", "driving", "quick", "lively",
    "feel", "groove", "beat", "style", "time", "tempo",
))  # fmt: skip
_RAMP = re.compile(r"^(?:accel|rit|rall)\w*\.? to (\d{1,3}(?:\.\d{1,3})?)$", re.IGNORECASE)
_STOP = re.compile(r"^stop(?: to (\d{1,4}\.\d{1,2}))?$", re.IGNORECASE)
_HOLD = re.compile(r"^hold(?: (\d{1,3}(?:\.\d{1,3})?) s)?$", re.IGNORECASE)
_NAMED = re.compile(r"^(groove:|count-in:|ending:|until)\s+(.+)$", re.IGNORECASE)


@dataclass
class Facts:
    """One played bar, its words sorted by what they say. Places are (beat, fraction of the beat)."""

    bar: RoadBar
    meter: Meter
    cues: list[tuple[int, Fraction, str]] = field(default_factory=list)
    hits: list[tuple[int, Fraction]] = field(default_factory=list)
    stops: dict[tuple[int, Fraction], str] = field(
        default_factory=dict
    )  # with the place where it ends, if said
    holds: dict[tuple[int, Fraction], str] = field(default_factory=dict)  # with the seconds, if said
    fills: list[tuple[Fraction, str]] = field(default_factory=list)  # quarters -> name
    feel: Feel | None = None
    feel_words: str = ""
    groove: str = ""
    count_in: str = ""
    ending: str = ""
    until: str = ""
    open: bool = False
    ramp_to: Fraction | None = None


def facts_of(bar: RoadBar, feels: FeelTable) -> Facts:
    """Sort a bar's words."""
    facts = Facts(bar, bar.meter)
    for at, text in bar.words:
        text = clean(text)
        if text:
            _sort(facts, at, text, feels)
    if not facts.holds:
        facts.holds = {place_in(bar.meter, at): "" for at in sorted(set(bar.sheet.holds))}
    return facts


def names_fill(text: str) -> bool:
    """True for words that say a fill begins here."""
    plain = text.casefold()
    return plain == "fill" or plain.startswith("fill:")


def clean(text: str) -> str:
    """Words without signs that a chart cannot hold."""
    return one_line(text)[:MOST_WORDS].strip()


def _sort(facts: Facts, at: Fraction, text: str, feels: FeelTable) -> None:
    place = place_in(facts.meter, at)
    named = _NAMED.match(text)
    ramp = _RAMP.match(text)
    if text.casefold() in ("hit", "hits"):
        facts.hits.append(place)
    elif stop := _STOP.match(text):
        facts.stops[place] = stop[1] or ""
    elif (hold := _HOLD.match(text)) and Fraction(hold[1] or 0) <= MOST_HOLD:
        facts.holds[place] = hold[1] or ""
    elif names_fill(text):
        facts.fills.append((at, text.partition(":")[2].strip()))
    elif named:
        _named(facts, named[1].casefold(), named[2])
    elif ramp and at == 0 and LEAST <= Fraction(ramp[1]) <= MOST:
        facts.ramp_to = Fraction(ramp[1])
    elif is_open(text):
        facts.open = True
        if text.casefold() != "open":
            facts.cues.append((*place, text))
    elif not times_said(text) and not _is_feel(facts, at, text, feels):
        facts.cues.append((*place, text))


def _named(facts: Facts, kind: str, text: str) -> None:
    """Words that say what they are."""
    if kind == "groove:":
        facts.groove = text
    elif kind == "count-in:":
        facts.count_in = text
    elif kind == "ending:":
        facts.ending = text
    else:
        facts.until = text


def _is_feel(facts: Facts, at: Fraction, text: str, feels: FeelTable) -> bool:
    """Note a feel at the start of a bar; True where the words are its name and nothing more."""
    if at or facts.feel is not None:
        return False
    exact = feels.get(text)
    facts.feel = exact or _named_in(text, feels)
    facts.feel_words = text if facts.feel else ""
    return exact is not None


def _named_in(text: str, feels: FeelTable) -> Feel | None:
    """The feel that the words name once how fast and how hard is taken away: Medium Swing, Funk groove."""
    words = [word for word in re.findall(r"[\w/-]+", text.casefold()) if word not in ADJECTIVES]
    return feels.get(" ".join(words)) if words else None


def place_in(meter: Meter, at: Fraction) -> tuple[int, Fraction]:
    """Beat (from 1) and place in the beat of so many quarters from the barline.

    >>> place_in(Meter.read("6/8"), Fraction(2))
    (2, Fraction(1, 3))
    """
    for number, beat in enumerate(meter.beats, start=1):
        if at < beat.quarters or number == len(meter.beats):
            inside = min(at / beat.quarters, Fraction(FINEST_CELL - 1, FINEST_CELL))
            return number, inside if inside.denominator <= FINEST_CELL else Fraction(0)
        at -= beat.quarters
    return 1, Fraction(0)


def place_text(bar: int, place: tuple[int, Fraction], meter: Meter, feel: Feel, always: bool = True) -> str:
    """A place as a chart writes it: ``3.2&`` where the feel has its upbeat there; ``3`` for a bar's start."""
    number, at = place
    beat = meter.beats[number - 1]
    if not at:
        return f"{bar}.{number}" if always or number > 1 else str(bar)
    for letter in _letters(feel, beat.ternary):
        if Place(bar, number, letter).nominal(beat, feel) == at:
            return f"{bar}.{number}{letter}"
    return f"{bar}.{number}+{at}"


def _letters(feel: Feel, ternary: bool) -> Iterator[str]:
    yield "&"
    if ternary:
        yield "a"
    elif feel.divides[0] != 3:
        yield from ("e", "a")
