"""One voice of notes as it is drawn: values, beams, stems, figures, ornaments."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import BOOK, pattern, song

from charts.kit import VOICES
from charts.notevalues import beat_events
from charts.pattern import BUZZ, DRAG, FLAM, GHOST, PLAIN, Stroke
from charts.timing import Meter
from render.musicxml.bars import song_bars
from render.page import signs
from render.page.fill_notes import fill_beats
from render.page.model import Line, Page, Pen, Rect, Sign
from render.page.sheet import Options, sheet_of
from render.page.voice import STEM_X, beam_level, paint_beat, staff_y, write

BEATS = {name: Meter.read(name).beats[0] for name in ("4/4", "6/8", "2/2")}
DRUMS = sorted(VOICES)


def written(rows, meter="4/4"):
    return write(BEATS[meter], pattern(rows).by_beat[0])


def drawn(rows, meter="4/4"):
    """One beat, its events four spaces apart; a point is a staff space, the staff's top line at 20."""
    beat = written(rows, meter)
    page = Page("p", "p", 100, 100)
    xs = [10 + 4.0 * place for place in range(len(beat.events))]
    paint_beat(Pen(page, 1.0, 0, 20), beat, xs, staff_y, beam_level([beat], staff_y, -1.0), ["ink"] * len(xs))
    return page.items


def used(items):
    return [item.sign for item in items if isinstance(item, Sign)]


def beams_of(items):
    return [item for item in items if isinstance(item, Rect)]


def stems(items):
    return [item for item in items if isinstance(item, Line) and item.x1 == item.x2]


@st.composite
def struck(draw):
    """A beat and any strokes in it: one division, each cell empty or with one to three voices."""
    beat = BEATS[draw(st.sampled_from(sorted(BEATS)))]
    cells = draw(st.sampled_from([1, 2, 3, 4, 5, 6, 7, 8, 9, 12, 16, 24]))
    strokes = []
    for cell in range(cells):
        for voice in draw(st.sets(st.sampled_from(DRUMS), max_size=3)) if draw(st.booleans()) else ():
            kind = draw(st.sampled_from([PLAIN, PLAIN, GHOST, FLAM, DRAG, BUZZ]))
            strokes.append(Stroke(0, F(cell, cells), voice, kind, draw(st.booleans())))
    return beat, tuple(strokes)


@given(struck())
@settings(max_examples=300, deadline=None)
def test_every_beat_is_complete_and_as_scores_write_it(given_beat):
    """Values add up to the beat, each stroke is at its place; hands alone are exactly the exporter's notes."""
    beat, strokes = given_beat
    events = write(beat, strokes).events
    assert beat.quarters == sum(event.quarters for event in events)
    at = F(0)
    for event in events:
        assert at == event.at
        at += event.quarters / beat.quarters
    assert {(s.at, s) for s in strokes} == {(event.at, s) for event in events for s in event.strokes}
    hands = tuple(stroke for stroke in strokes if stroke.by_hand)
    assert write(beat, hands).events == beat_events(beat, hands)


@given(struck())
@settings(max_examples=200, deadline=None)
def test_a_value_is_as_long_as_it_says(given_beat):
    """Type, dots and tuplet give each event's length; nothing is written longer or shorter than it lasts."""
    beat, strokes = given_beat
    lengths = dict(
        zip(
            ("half", "quarter", "eighth", "16th", "32nd", "64th"),
            (F(2) / 2**n for n in range(6)),
            strict=True,
        )
    )
    for event in write(beat, strokes).events:
        length = lengths[event.type] * (2 - F(1, 2**event.dots))
        if event.tuplet:
            length *= F(event.tuplet.normal, event.tuplet.actual)
        assert length == event.quarters


@pytest.mark.parametrize(
    "feel", ["straight sixteenths", "shuffle", "swing", "sixteenth shuffle", "slow 12/8"]
)
def test_the_page_has_the_strokes_that_the_score_has(feel):
    """Every shipped fill, in five feels: each beat's strokes at the places of the exporter's bar."""
    for fill in BOOK.patterns.fills():
        meter = fill.meter or ("12/8" if feel == "slow 12/8" else "4/4")
        chart = song(
            f"title: T\ntempo: 100\nfeel: {feel}\nmeter: {meter}\nform:\n  - A (8): {{fill: {fill.name}}}\n  - B (4)\n"
        )
        (shown,) = sheet_of(chart, Options()).fills
        beats = [beat for bar in song_bars(chart)[:8] for beat in bar.beats][-len(shown.beats) :]
        for part, mine in zip(beats, fill_beats(shown, "1 trip let", True), strict=True):
            places = {(stroke.at, stroke.voice) for stroke in part.struck()}
            assert places == {(e.at, s.voice) for e in mine.written.events for s in e.strokes}, fill.name
            assert part.beat.quarters == sum(event.quarters for event in mine.written.events)


@pytest.mark.parametrize(
    ("rows", "figure", "bracketed"),
    [
        ("SD oooo", 0, None),
        ("SD ooo", 3, False),
        ("SD o.o", 3, True),
        ("SD .oo", 3, True),
        ("SD ooooo", 5, False),
    ],
)
def test_a_tuplet_has_its_figure_and_a_bracket_where_no_beam_shows_it(rows, figure, bracketed):
    """Under one beam the figure alone."""
    beat = written(rows)
    assert figure == beat.figure
    if figure:
        assert bracketed == beat.bracketed


def test_a_linear_figure_is_under_one_beam():
    """Hands and feet take turns, as in a book of fills; nothing is cut short."""
    items = drawn("SD o.o.\nBD .o.o")
    outer, inner = beams_of(items)
    assert (outer.x, outer.width) == (inner.x, inner.width)
    assert 4 == len(stems(items))
    assert {outer.y} == {min(stem.y1, stem.y2) for stem in stems(items)}
    assert used(items) == [signs.HEADS["normal", False]] * 4


def test_hands_and_feet_together_share_a_stem():
    """From the lowest head to the beam."""
    (stem,) = stems(drawn("SD o\nBD o"))
    assert stem.y1 == pytest.approx(20 + staff_y("BD") + signs.STEM_UP[signs.HEADS["normal", False]][1])


@pytest.mark.parametrize(
    ("rows", "spans"),
    [
        ("SD oooo", [(0, 3), (0, 3)]),
        ("SD o.oo", [(0, 2), (1, 2)]),
        ("SD ooo.", [(0, 2), (0, 1)]),
        ("SD o..o", [(0, 1), (1, None)]),
        ("SD .ooo", [(1, 3), (1, 3)]),
    ],
)
def test_beams_join_the_notes_of_their_depth(rows, spans):
    """A note alone at its depth has a stub on the side of its neighbour."""
    found = beams_of(drawn(rows))
    for beam, (first, last) in zip(found, spans, strict=True):
        right = 10 + 4.0 * (first if last is None else last) + STEM_X + signs.STEM / 2
        assert beam.x + beam.width == pytest.approx(right)
        if last is not None:
            assert beam.x == pytest.approx(10 + 4.0 * first + STEM_X - signs.STEM / 2)
        else:
            assert beam.width < 4


@pytest.mark.parametrize(("rows", "flag"), [("SD ..o.", 0), ("SD ...o", 1)])
def test_a_note_alone_has_its_flag(rows, flag):
    """At the end of its stem."""
    items = drawn(rows)
    assert signs.FLAGS[flag] in used(items)
    assert [] == beams_of(items)


@pytest.mark.parametrize(
    ("rows", "more"),
    [
        ("SD f", [signs.FLAM]),
        ("SD d", [signs.HEADS["normal", False]] * 2),
        ("SD g", [signs.PAREN_LEFT, signs.PAREN_RIGHT]),
        ("SD z", [signs.BUZZ]),
    ],
)
def test_ornaments_have_their_signs(rows, more):
    """A grace note, two small ones, parentheses, a buzz on the stem."""
    plain, found = used(drawn("SD o")), used(drawn(rows))
    assert sorted(found) == sorted(plain + more)


def test_cymbals_above_the_staff_have_ledger_lines():
    """The crash on its first, the china on its second, the snare none."""

    def ledgers(voice):
        return sum(isinstance(item, Line) and item.y1 == item.y2 for item in drawn(f"{voice} o"))

    assert (1, 2, 0) == (ledgers("C1"), ledgers("CH"), ledgers("SD"))


def test_heads_a_step_apart_are_side_by_side():
    """Snare and middle tom together do not run into one another."""
    one, other = (item.area for item in drawn("SD o\nT2 o") if isinstance(item, Sign))
    assert one[2] <= other[0] + 0.15


@pytest.mark.parametrize(
    ("voice", "y"),
    [("SD", 1.5), ("BD", 3.5), ("HH", -0.5), ("RD", 0.0), ("C1", -1.0), ("FT", 2.5), ("HF", 4.5)],
)
def test_staff_places(voice, y):
    """Spaces below the top line, as the kit's table has them."""
    assert y == staff_y(voice)


def test_every_voice_has_a_head():
    """Full and hollow."""
    assert {(voice.head, hollow) for voice in VOICES.values() for hollow in (False, True)} <= set(signs.HEADS)
