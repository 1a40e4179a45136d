"""Random songs for tests of pages: whatever a chart may say, built without the reader."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st
from support import BOOK

from charts.feel import Feel
from charts.pattern import Pattern
from charts.song import (
    DYNAMICS,
    EACH,
    LAST,
    CountIn,
    Cue,
    FillUse,
    Hold,
    Place,
    Section,
    Song,
    Stop,
    TempoMark,
)  # fmt: skip
from charts.timing import Meter

METERS = [
    Meter.read(text)
    for text in ("4/4", "4/4", "4/4", "3/4", "6/8", "12/8", "2/2", "7/8 (2+2+3)", "5/4", "1/4")
]
FEELS: list[Feel] = list(BOOK.feels)
FILLS: list[Pattern] = BOOK.patterns.fills()[::4]
PHRASES = [1, 2, 3, 4, 4, 8, 8, 5, 7, 12, 16, 33]
OFFSETS = [Fraction(0), Fraction(0), "&", Fraction(1, 3), Fraction(3, 4)]
NAMES = [
    "Intro", "Verse 1", "Chorus", "Bridge", "A", "Pre-Chorus 2", "Middle eight", "Solo: sax", "Ω", "Куплет",
    "Instrumental break before the last chorus",
]  # fmt: skip
CUES = [
    "watch", "hats closed", "open up, but wait for the singer’s nod", "½ time", "F♯ → B♭", "tacet", "x" * 40,
    "big push — all together on four-and, then out and back in with the brass",
]  # fmt: skip
texts = st.one_of(
    st.sampled_from(CUES), st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=30)
)
tempos = st.fractions(20, 400, max_denominator=2)
passes = st.sampled_from([EACH, LAST, 1])


def some(draw: st.DrawFn, values: st.SearchStrategy, most: int) -> tuple:
    """At most so many values."""
    return tuple(draw(st.lists(values, max_size=most)))


@st.composite
def places(draw: st.DrawFn, bars: int, odd: dict[int, Meter], meter: Meter) -> Place:
    """A place in a section."""
    bar = draw(st.integers(1, bars))
    return Place(bar, draw(st.integers(1, len(odd.get(bar, meter).beats))), draw(st.sampled_from(OFFSETS)))


@st.composite
def uses(draw: st.DrawFn, bars: int, place: st.SearchStrategy[Place]) -> FillUse:
    """A fill at a barline or with a landing, known or not."""
    fill = draw(st.one_of(st.none(), st.sampled_from(FILLS)))
    landing = draw(st.one_of(st.none(), st.none(), place))
    bar = landing.bar if landing else draw(st.integers(1, bars))
    name = draw(st.sampled_from(["", fill.name])) if fill else "not there"
    reason = draw(st.sampled_from([None, None, "we like it"]))
    return FillUse(
        bar,
        name,
        fill,
        landing=landing,
        pass_=draw(passes),
        sets_up_next=draw(st.booleans()),
        on_purpose=reason,
    )


@st.composite
def sections(draw: st.DrawFn) -> Section:
    """One section with anything in it."""
    phrases = tuple(draw(st.lists(st.sampled_from(PHRASES), min_size=1, max_size=3)))
    bars, meter = sum(phrases), draw(st.sampled_from(METERS))
    times = draw(st.sampled_from([1, 1, 1, 2, 3, 16]))
    opened = times > 1 and draw(st.booleans())
    odd = draw(st.dictionaries(st.integers(1, bars), st.sampled_from(METERS), max_size=2))
    place = places(bars, odd, meter)
    few = draw(st.sampled_from([0, 1, 2, 2, 8]))
    by_place = st.tuples(place, place).map(lambda two: sorted(two, key=lambda p: (p.bar, p.beat)))
    stops = st.one_of(place.map(Stop), by_place.map(lambda two: Stop(*two)))
    mark = st.tuples(st.integers(1, bars), tempos, st.one_of(st.none(), tempos), passes)
    return Section(
        draw(st.sampled_from(NAMES)), phrases, draw(st.sampled_from(FEELS)), meter,
        draw(st.sampled_from([Fraction(92), Fraction(92), Fraction(133, 2)])),
        tempo_to=draw(st.one_of(st.none(), st.none(), tempos)), times=times, open=opened,
        until=draw(texts) if opened else "", tempos=some(draw, mark.map(lambda m: TempoMark(*m)), 1),
        odd_bars=odd, cues=some(draw, st.tuples(place, texts).map(lambda c: Cue(*c)), few),
        hits=some(draw, place, few), stops=some(draw, stops, 1), holds=some(draw, place.map(Hold), 1),
        dynamics=some(draw, st.sampled_from(DYNAMICS), 2), fills=some(draw, uses(bars, place), 2),
    )  # fmt: skip


@st.composite
def songs(draw: st.DrawFn, most: int = 14) -> Song:
    """A whole song."""
    form = tuple(draw(st.lists(sections(), min_size=1, max_size=most)))
    first, words = form[0], st.one_of(st.just(""), texts)
    return Song(
        draw(texts), form, first.feel, first.tempo, first.meter, by=draw(words),
        key=draw(st.sampled_from(["", "A", "F#m"])),
        count_in=CountIn(draw(st.integers(0, 3)), draw(st.integers(0, 2))),
        pickup=Fraction(draw(st.integers(0, 1))),
        ending=draw(words), notes=draw(words),
    )  # fmt: skip
