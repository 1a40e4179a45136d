"""The demo book: read, checked and timed whole, and still showing all that it is there to show."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from charts.book import Book
from charts.check.run import check_chart
from charts.fitting.hands import playable
from charts.fitting.moments import own_beats
from charts.pattern import Pattern
from charts.played import song_seconds
from charts.song import Section, Song
from charts.source import ERROR, NOTE, Finding
from charts.vocabularies import BOOK_ORIGIN
from setlists.book import gig_named
from setlists.check.run import check_setlist
from setlists.demo import ROOT, demo_files

BOOK = Book.find(ROOT)
SONGS = {song.title: song for path in BOOK.chart_paths() for song in [BOOK.song_at(path)]}
FINDINGS = [finding for path in BOOK.chart_paths() for finding in check_chart(BOOK, path)]
OWN = [pattern for pattern in BOOK.patterns if pattern.origin == BOOK_ORIGIN]

HARBOUR_LIGHTS = """\
title: Harbour Lights            # required
by: The Quay Street Six          # writer or artist
key: A
meter: 4/4                       # default 4/4; 7/8 (2+2+3) for additive meters
tempo: 92                        # beats per minute; 66.5 is fine
feel: half-time shuffle          # required
count-in: 1 bar                  # 2 bars, 3 beats, none; default 1 bar
pickup: 1 beat                   # sounding beats before bar 1, if any; counted by click and clock
groove: ghosted half-time        # a pattern's name, or plain words
ending: cold on 1                # plain words; 'ritard over 2 bars', 'fade', 'ring'
notes: watch the singer before the bridge
form:
  - Intro (4): {cue: guitar alone, dynamics: p}
  - Verse 1 (8): {cues: {1: hats closed, 5: open up}}
  - Chorus (4+4) x2:
      tempo: 96
      fill: sixteenths round the kit     # the check has something to say here
  - Verse 2: {like: Verse 1, cue: bass drops out}
  - Chorus
  - Bridge (7):
      meter: 6/8
      odd-bars: {7: 3/8}
      hits: 3.1 3.2& 4.1
      fills: {4: short pickup, 7: {use: big turn, sets-up: next}}
  - Solo (12) x2 open: {until: the nod}
  - Chorus: {dynamics: ff}
  - Tag (2) x3: {tempo: 96 to 72}
"""


def sections() -> list[Section]:
    return [section for song in SONGS.values() for section in song.form]


def of_level(level: str) -> list[Finding]:
    return [finding for finding in FINDINGS if finding.level == level]


def test_three_fills_clash_and_nothing_else_is_wrong() -> None:
    """Three errors in the whole book, each a fill off the grid of its feel, in three different feels."""
    assert [(finding.rule, finding.detail["feel"]) for finding in of_level(ERROR)] == [
        ("grid", "half-time shuffle"),
        ("grid", "swing"),
        ("grid", "sixteenth shuffle"),
    ]
    assert {finding.level for finding in FINDINGS} == {ERROR, NOTE}


def test_each_clash_is_shown_its_way_out() -> None:
    """Every one of the three is offered fills that fit, and one of them the word that it sets up the next."""
    assert all(len(finding.detail["instead"]) == 3 for finding in of_level(ERROR))
    told = [label for finding in of_level(ERROR) for label, _ in finding.lines]
    assert told.count("it fits") == 1


def test_harbour_lights_is_the_chart_of_the_design() -> None:
    """To the letter, clash on line 17 and all, with the fills that the design offers for it."""
    text = dict(demo_files())["charts/harbour-lights.yaml"].decode()
    assert text.startswith(HARBOUR_LIGHTS)
    first = of_level(ERROR)[0]
    assert first.span is not None
    assert (first.span.line, first.span.column, first.detail["offset_ms"]) == (17, 13, -52.1)
    assert first.detail["instead"] == ["stairs in threes", "long and short", "two-drum turn"]


def test_one_mismatch_is_kept_on_purpose() -> None:
    """It is listed as a note with its reason."""
    kept = [finding for finding in of_level(NOTE) if finding.detail.get("on_purpose")]
    assert [finding.detail["on_purpose"] for finding in kept] == ["the horns play the same triplets"]


def test_names_of_the_design_are_found() -> None:
    """Every song and set list that the design pages name, in the words they use."""
    assert BOOK.song("harb").title == "Harbour Lights"
    assert "Porch" in BOOK.song("porch").title
    assert {"Harbour Lights", "Long Way Round", "Night Ferry"} <= set(SONGS)
    assert gig_named(BOOK, "quay street social club").setlist.gig == "Quay Street Social Club"


@pytest.mark.parametrize(
    "feel",
    [
        "straight eighths",
        "straight sixteenths",
        "swing",
        "shuffle",
        "half-time shuffle",
        "sixteenth shuffle",
        "slow 12/8",
        "6/8 ballad",
        "jazz waltz",
        "half-time",
        "train beat",
        "bossa nova",
        "loose second line",
    ],
)
def test_feels_of_the_demo(feel: str) -> None:
    """Some song is in each of these feels, the last one the book's own."""
    assert any(song.feel.name == feel for song in SONGS.values())


SHOWN: dict[str, Callable[[Section], bool]] = {
    "an even change over a section": lambda s: s.tempo_to is not None,
    "an even change inside a section": lambda s: any(mark.to for mark in s.tempos),
    "an odd bar": lambda s: bool(s.odd_bars),
    "an odd number of bars": lambda s: s.bars % 2 == 1,
    "an open vamp": lambda s: s.open and bool(s.until),
    "hits": lambda s: any(place.offset == "&" for place in s.hits),
    "hits on the sixteenths": lambda s: any(place.offset == "a" for place in s.hits),
    "a stop of some length": lambda s: any(stop.end for stop in s.stops),
    "a hold": lambda s: any(hold.seconds for hold in s.holds),
    "a section like another": lambda s: bool(s.like),
    "growing dynamics": lambda s: len(s.dynamics) == 2,
    "phrases": lambda s: len(s.phrases) > 1,
    "a feel of its own": lambda s: s.feel_given,
    "a fill that sets up the next": lambda s: any(use.sets_up_next for use in s.fills),
    "a fill on one pass": lambda s: any(use.pass_ == 2 for use in s.fills),
    "a fill that lands on the ride": lambda s: any(use.land == "RD" for use in s.fills),
    "a fill written even, played swung": lambda s: any(use.pattern and use.pattern.swung for use in s.fills),
    "an additive meter": lambda s: bool(s.meter.groups),
}


@pytest.mark.parametrize("what", SHOWN)
def test_the_demo_shows(what: str) -> None:
    """Each thing a chart can say is said somewhere, for a new user to copy."""
    assert any(SHOWN[what](section) for section in sections())


@pytest.mark.parametrize("song", SONGS.values(), ids=lambda song: song.title)
def test_song_is_of_a_length_that_bands_play(song: Song) -> None:
    """Two and a half to six minutes and a bit, and every chart explains itself in comments."""
    assert 150 <= song_seconds(song) <= 380
    assert "#" in dict(demo_files())[song.file].decode()


@pytest.mark.parametrize("pattern", OWN, ids=lambda pattern: pattern.name)
def test_own_patterns_are_used_and_playable(pattern: Pattern) -> None:
    """Every fill and groove of the book's own is named by some chart and can be played at its own tempos."""
    feels = [
        section.feel
        for section in sections()
        if pattern in (section.groove_pattern, *(use.pattern for use in section.fills))
    ]
    assert feels
    assert pattern.tempo is not None
    for bpm in pattern.tempo:
        assert playable(pattern, feels[0], own_beats(pattern, bpm)).playable


def test_own_feel_has_its_groove() -> None:
    """The feel in feels.yaml names a groove that is there."""
    feel = BOOK.feels.get("loose second line")
    assert feel is not None
    assert BOOK.patterns.get(feel.groove) is not None


def test_the_gig() -> None:
    """Two sets and a break, inside their slots and the curfew, with what only a set list can say."""
    gig = gig_named(BOOK, "quay")
    assert (len(gig.sets), len(gig.parts)) == (2, 3)
    assert all(part.over_by == 0 for part in gig.sets)
    assert any(song.segue for song in gig.songs)
    assert any(song.chart and song.key != song.chart.key for song in gig.songs)
    assert any(song.song is None and song.seconds == 180 for song in gig.songs)


def test_the_gig_has_hazards_that_teach() -> None:
    """No error in a set list; the segue, the tempo that pulls, the near tempo, the new meter are told."""
    found = [finding for path in BOOK.setlist_paths() for finding in check_setlist(path, BOOK)]
    assert not [finding for finding in found if finding.level == ERROR]
    assert {"segue", "count-off", "near-tempo", "meter-change", "swing-change"} <= {f.rule for f in found}


def test_every_file_of_the_demo_is_handed_out() -> None:
    """The book as written by the command is this folder's YAML, nothing left behind."""
    names = [name for name, _ in demo_files()]
    assert {"book.yaml", "feels.yaml", "fills/our-own.yaml", "setlists/garden-party.yaml"} <= set(names)
    assert len([name for name in names if name.startswith("charts/")]) == len(SONGS)
