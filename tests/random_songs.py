"""Random songs for tests of pages: whatever a chart may say, built without the reader."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st
from support import BOOK

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
)
from charts.timing import Meter

METERS = [
    Meter.read(text)
    for text in ("4/4", "4/4", "4/4", "3/4", "6/8", "12/8", "2/2", "7/8 (2+2+3)", "5/4", "1/4")
]
FEELS = list(BOOK.feels)
FILLS = BOOK.patterns.fills()[::4]
NAMES = [
    "Intro",
    "Verse 1",
    "Chorus",
    "Bridge",
    "A",
    "Pre-Chorus 2",
    "Middle eight",
    "Solo: sax",
    "Ω",
    "Куплет",
    "Instrumental break before the last chorus",
]
CUES = [
    "watch",
    "hats closed",
    "open up, but wait for the singer’s nod",
    "½ time",
    "F♯ → B♭",
    "tacet",
    "x" * 40,
    "big push — all together on four-and, then out and back in with the brass",
]
words = st.one_of(
    st.sampled_from(CUES), st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=30)
)
tempi = st.fractions(20, 400, max_denominator=2)


@st.composite
def places(draw: st.DrawFn, phrases: tuple[int, ...], meters: dict[int, Meter], meter: Meter) -> Place:
    """A place in a section."""
    bar = draw(st.integers(1, sum(phrases)))
    beat = draw(st.integers(1, len(meters.get(bar, meter).beats)))
    return Place(
        bar, beat, draw(st.sampled_from([Fraction(0), Fraction(0), "&", Fraction(1, 3), Fraction(3, 4)]))
    )


@st.composite
def sections(draw: st.DrawFn) -> Section:
    """One section with anything in it."""
    phrases = tuple(
        draw(st.lists(st.sampled_from([1, 2, 3, 4, 4, 8, 8, 5, 7, 12, 16, 33]), min_size=1, max_size=3))
    )
    bars, meter, times = (
        sum(phrases),
        draw(st.sampled_from(METERS)),
        draw(st.sampled_from([1, 1, 1, 2, 3, 16])),
    )
    odd = draw(st.dictionaries(st.integers(1, bars), st.sampled_from(METERS), max_size=2))
    place = places(phrases, odd, meter)
    few = {"max_size": draw(st.sampled_from([0, 1, 2, 2, 8]))}
    opened = draw(st.booleans()) and times > 1
    passes = st.sampled_from([EACH, LAST, 1])
    uses = st.builds(
        lambda bar, fill, pass_, landing, why: FillUse(
            landing.bar if landing else bar, fill.name if fill else "not there", fill, landing, pass_, on_purpose=why
        ),
        st.integers(1, bars), st.one_of(st.none(), st.sampled_from(FILLS)), passes, st.one_of(st.none(), place),
        st.one_of(st.none(), st.just("we like it")),
    )  # fmt: skip
    return Section(
        draw(st.sampled_from(NAMES)), phrases, draw(st.sampled_from(FEELS)), meter, draw(st.sampled_from([Fraction(92), Fraction(92), Fraction(133, 2)])),
        draw(st.one_of(st.none(), st.none(), tempi)), times=times, open=opened, until=draw(words) if opened else "",
        tempos=tuple(draw(st.lists(st.builds(TempoMark, st.integers(1, bars), tempi, st.one_of(st.none(), tempi), passes), max_size=1))),
        odd_bars=odd, cues=tuple(draw(st.lists(st.builds(Cue, place, words), **few))), hits=tuple(draw(st.lists(place, **few))),
        stops=tuple(draw(st.lists(st.builds(Stop, place), max_size=1))), holds=tuple(draw(st.lists(st.builds(Hold, place), max_size=1))),
        dynamics=tuple(draw(st.lists(st.sampled_from(DYNAMICS), max_size=2))), fills=tuple(draw(st.lists(uses, max_size=2))),
    )  # fmt: skip


@st.composite
def songs(draw: st.DrawFn, most: int = 14) -> Song:
    """A whole song."""
    form = tuple(draw(st.lists(sections(), min_size=1, max_size=most)))
    first = form[0]
    return Song(
        draw(words), form, first.feel, first.tempo, first.meter, draw(st.one_of(st.just(""), words)), draw(st.sampled_from(["", "A", "F#m"])),
        CountIn(draw(st.integers(0, 3)), draw(st.integers(0, 2))), draw(st.sampled_from([Fraction(0), Fraction(1)])),
        ending=draw(st.one_of(st.just(""), words)), notes=draw(st.one_of(st.just(""), words)),
    )  # fmt: skip
