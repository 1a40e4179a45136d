"""Scores taken in: MusicXML, MIDI and ABC as charts; hostile files get a message."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from random_charts import random_charts
from scores import PARTS, REST, archive, at_tempo, lines, marked, message, score, taken, ticked, time, words
from support import BOOK, chart, read, song, song_midi

from charts.book import Book
from charts.check.run import check_song
from charts.played import song_seconds
from charts.song import Song
from charts.source import FeelmapError
from render.cli.app import run
from render.importing import xmltree
from render.importing.take import take_in
from render.musicxml.score import compressed, musicxml

ROOT = Path(__file__).parents[2]
DEMO = Book(ROOT / "setlists" / "demo")


def form_of(of: Song) -> list[tuple[object, ...]]:
    """What a form is made of: names, phrases, passes, meters, tempos."""
    return [
        (
            each.name,
            each.phrases,
            each.times,
            each.open,
            each.tempo,
            each.tempo_to,
            each.feel.name,
        )
        + tuple(each.meter_of(bar) for bar in range(1, each.bars + 1))
        for each in of.form
    ]


def without_holds(of: Song) -> Song:
    """The song without what no sign of MusicXML or MIDI gives seconds to."""
    return replace(of, form=tuple(replace(each, holds=()) for each in of.form))


# our own exports


@pytest.mark.parametrize("name", ["harbour", "last bus", "slipway", "bollards", "umbrellas", "tuesday"])
def test_the_demo_comes_back_as_the_same_form(tmp_path: Path, name: str) -> None:
    """Sections, phrases, passes, meters, tempos, feels, fills; its own words come back as cues."""
    of = without_holds(DEMO.song(name))
    back = taken(tmp_path, "score.musicxml", musicxml(of), DEMO)
    assert form_of(of) == form_of(back.song)
    for one, other in zip(of.form, back.song.form, strict=True):
        names = {(use.bar, use.name) for use in other.fills}
        assert {(use.bar, use.name) for use in one.fills if use.name and use.landing is None} <= names
    assert (of.title, of.by, of.key, of.pickup) == (
        back.song.title, back.song.by, back.song.key, back.song.pickup,
    )  # fmt: skip
    assert song_seconds(back.song) == pytest.approx(song_seconds(of))
    assert back.lost == ()


@given(random_charts())
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_random_chart_comes_back_with_the_same_bars_fills_and_seconds(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    """Whatever it says of passes, tempos, odd bars, fills and feels.

    A groove that does not come round within half its section cannot be told from fills there, nor two steps
    from an even change.
    """
    of = song(text)
    assume(all(each.bars * len(each.meter.beats) > 4 for each in of.form if each.tempo_to))
    back = taken(tmp_path_factory.mktemp("score"), "score.musicxml", musicxml(of)).song
    assert form_of(of) == form_of(back)
    assert song_seconds(back) == pytest.approx(song_seconds(of))
    for one, other in zip(of.form, back.form, strict=True):
        if one.groove_pattern and 2 * one.groove_pattern.beats > one.bars * len(one.meter.beats):
            continue
        for pass_ in range(1, one.times + 1):
            wanted = [(use.bar, use.pattern) for use in one.fills if use.on_pass(pass_, one.times)]
            found = [(use.bar, use.pattern) for use in other.fills if use.on_pass(pass_, other.times)]
            assert wanted == found, text


def test_cues_holds_and_dynamics_come_back(tmp_path: Path) -> None:
    """At their places, spelled as a drummer spells them; hits and stops are words, and come back as cues."""
    keys = "{cues: {1: look, 2.3&: now}, hits: 1.2&, stops: 3.1-3.3, holds: 4.3, dynamics: p to f}"
    of = song(chart(f"A (4): {keys}", feel="shuffle", head="groove: plain shuffle\n"))
    one, back = of.form[0], taken(tmp_path, "score.musicxml", musicxml(of), DEMO).song.form[0]
    assert (one.holds, one.dynamics) == (back.holds, back.dynamics)
    told = {str(cue.place): cue.text for cue in back.cues}
    assert {"1.2&": "hit", "2.3&": "now", "3": "stop to 3.3", "4.3": "hold"} == {
        place: text for place, text in told.items() if place != "1"
    }
    assert "look" in told["1"]


def test_a_fill_that_nobody_named_comes_back_as_rows(tmp_path: Path) -> None:
    """The strokes, their kinds, hands and hats, exactly."""
    rows = ("HH ..s.|o...", "SD gF..|..dZ", "BD o...|o...", "stick LRR.|R.RL")
    text = "title: T\ntempo: 100\nfeel: straight sixteenths\ngroove: plain sixteenths\nform:\n  - A (2):\n      fill:\n"
    of = song(text + "        rows: |\n" + "".join(f"          {row}\n" for row in rows))
    back = taken(tmp_path, "score.musicxml", musicxml(of))
    assert of.form[0].fills[0].pattern == back.song.form[0].fills[0].pattern
    assert "rows: |" in back.text


def test_the_compressed_form_is_the_same(tmp_path: Path) -> None:
    """.mxl holds the same score."""
    data = musicxml(song(chart("A (4) x2: {fill: four on the snare}")))
    assert taken(tmp_path, "a.musicxml", data).text == taken(tmp_path, "b.mxl", compressed(data)).text


def test_the_same_score_gives_the_same_text(tmp_path: Path) -> None:
    """Byte for byte."""
    data = musicxml(
        song(chart("A (2) x3: {fill: four on the snare}", "B (1)", "A", head="groove: plain rock\n"))
    )
    assert taken(tmp_path, "a.musicxml", data, DEMO).text == taken(tmp_path, "a.musicxml", data, DEMO).text


def test_the_click_of_a_song_comes_back_from_midi(tmp_path: Path) -> None:
    """Markers are sections, count-in and pickup stand before them, tempo and time signatures are kept."""
    of = DEMO.song("paint")
    back = taken(tmp_path, "click.mid", song_midi(of), DEMO).song
    assert [(each.name, each.bars * each.times) for each in of.form] == [
        (each.name, each.bars * each.times) for each in back.form
    ]
    assert (of.title, of.count_in, of.pickup, of.tempo) == (
        back.title,
        back.count_in,
        back.pickup,
        back.tempo,
    )
    assert song_seconds(back) == pytest.approx(song_seconds(of), abs=0.01)


def test_drums_from_midi_give_their_fills(tmp_path: Path) -> None:
    """Where the strokes lie on a grid; what MIDI does not say is listed."""
    of = song(chart("A (8): {fill: {rows: 'SD oooo|oooo'}}", head="groove: plain rock\n"))
    back = taken(tmp_path, "song.mid", song_midi(of, grooves=lambda section: section.groove_pattern))
    found = back.song.form[0].fills[0]
    assert found.bar == 8
    assert found.pattern is not None
    assert found.pattern.onsets == tuple(tuple(F(n, 4) for n in range(4)) for _ in range(2))
    assert any("sticking" in each for each in back.lost)
    assert "# the groove of A" in back.text


def errors(text: str) -> list[str]:
    """What the check calls an error in a chart."""
    read_song = song(text)
    return [each.message for each in check_song(BOOK, read_song) if each.is_error]


def test_a_tempo_that_stays_down_is_a_tempo(tmp_path: Path) -> None:
    """Half as fast from a bar on, or for the whole of a bar, is what the band plays."""
    data = ticked(at_tempo(0, 120), at_tempo(8, 60), at_tempo(12, 120), quarters=16)
    section = taken(tmp_path, "down.mid", data).song.form[0]
    assert [(mark.bar, mark.tempo) for mark in section.tempos] == [(3, 60), (4, 120)]
    assert section.holds == ()


def test_a_tempo_inside_a_bar_does_not_stay(tmp_path: Path) -> None:
    """What comes back within the bar is said to be lost; the next bar is as before."""
    data = ticked(at_tempo(0, 120), at_tempo(5, 110), at_tempo(7, 120), quarters=16)
    found = taken(tmp_path, "push.mid", data)
    assert found.song.form[0].tempos == ()
    assert "bar 2: a tempo inside the bar, not kept" in found.lost


@given(st.lists(st.tuples(st.integers(1, 60), st.floats(4, 900)), max_size=8))
@example([(1, 15), (9, 8), (10, 15), (12, 100)])  # comes back to what is itself no tempo
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_whatever_the_tempi_the_check_takes_the_chart(
    tmp_path_factory: pytest.TempPathFactory, changes: list[tuple[int, float]]
) -> None:
    """No tempo out of range is ever written, as a mark, as a change or as a section's own."""
    steps = [at_tempo(at, bpm) for at, bpm in sorted(dict(changes).items())]
    data = ticked(at_tempo(0, 120), *steps, quarters=64)
    assert errors(taken(tmp_path_factory.mktemp("midi"), "t.mid", data).text) == []


@pytest.mark.parametrize("name", ["umbrellas", "kettle", "slipway", "harbour", "last bus"])
def test_an_even_change_of_tempo_comes_back_from_midi(tmp_path: Path, name: str) -> None:
    """From where to where, although the file has it in steps of a beat."""
    of = without_holds(DEMO.song(name))
    back = taken(tmp_path, "click.mid", song_midi(of), DEMO).song

    def changes(of: Song) -> list[tuple[object, ...]]:
        own = [(each.name, each.tempo, each.tempo_to) for each in of.form if each.tempo_to]
        return own + [(each.name, mark.tempo, mark.to) for each in of.form for mark in each.tempos if mark.to]

    assert changes(of) == changes(back)
    assert song_seconds(back) == pytest.approx(song_seconds(of), abs=0.3)


def test_steps_written_where_they_begin_are_an_even_change_too(tmp_path: Path) -> None:
    """100 to 68 in eight beats: a step of four a beat, the last at 72."""
    steps = [at_tempo(at, 100 - 4 * at) for at in range(8)]
    assert (100, 68) == (
        (section := taken(tmp_path, "rit.mid", ticked(*steps, quarters=8)).song.form[0]).tempo,
        section.tempo_to,
    )


def test_a_mark_that_says_open_is_an_open_section(tmp_path: Path) -> None:
    """Neither the word nor the number stays in the name."""
    found = taken(tmp_path, "open.mid", ticked(marked(0, "Solo x4 (open)"), marked(8, "Out"), quarters=12))
    assert lines(found.text) == ["- Solo (2) open", "- Out (1)"]


def test_what_midi_cannot_say_is_listed(tmp_path: Path) -> None:
    """So that nobody takes the chart for the whole story."""
    lost = taken(tmp_path, "click.mid", song_midi(DEMO.song("harbour")), DEMO).lost
    assert any("open repeats, hits, stops" in each for each in lost)


def test_words_that_are_sung_and_a_rhythm_of_no_feel_are_told(tmp_path: Path) -> None:
    """Neither is passed over in silence."""
    tune = taken(tmp_path, "tune.abc", "X:1\nT:T\nR:reel\nM:4/4\nL:1/4\nK:C\nCDEF|\nw: la la la la\n")
    assert "feel: straight eighths, since no feel is called reel" in tune.guessed
    assert "the words that are sung: a chart has none" in tune.lost
    lyric = "<note><rest/><duration>8</duration><lyric><text>la</text></lyric></note>"
    assert "the words that are sung: a chart has none" in taken(tmp_path, "s.musicxml", score(lyric)).lost


@pytest.mark.parametrize(
    ("text", "chord"),
    [
        ("G", True),
        ("F#m7", True),
        ("Bbmaj7/D", True),
        ("Esus4", True),
        ("N.C.", True),
        ("(Am)", True),
        ("C dim", True),
    ]
    + [("open", False), ("Break", False), ("All in", False), ("Ending", False), ("Drums out", False)],
)
def test_words_between_quotes_are_a_chord_or_a_cue(tmp_path: Path, text: str, chord: bool) -> None:
    """ABC has one kind of quotes for both."""
    tune = taken(tmp_path, "tune.abc", f'X:1\nT:T\nM:4/4\nL:1/4\nK:C\n"{text}"CDEF|CDEF|\n')
    assert any("chord symbol" in each for each in tune.lost) is chord
    assert (tune.song.form[0].cues == () and not tune.song.form[0].open) is chord


def test_chord_symbols_are_counted_among_what_is_lost(tmp_path: Path) -> None:
    """In ABC between quotes, in MusicXML as harmony; words in quotes that are no chord stay cues."""
    tune = taken(tmp_path, "tune.abc", 'X:1\nT:T\nM:4/4\nL:1/4\nK:C\n"C"CDEF|"^softly""G7"GABc|\n')
    assert "2 chord symbols: a chart has none" in tune.lost
    assert [cue.text for cue in tune.song.form[0].cues] == ["softly"]
    harmony = "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>"
    assert "1 chord symbol: a chart has none" in taken(tmp_path, "s.musicxml", score(harmony + "...")).lost


# other people's scores


def test_rehearsal_marks_become_sections(tmp_path: Path) -> None:
    """What is before the first is the intro; a mark that comes again is the same section."""
    found = taken(
        tmp_path,
        "s.musicxml",
        score(
            "...",
            words("A", "rehearsal") + "...",
            "...",
            words("B", "rehearsal") + "...",
            words("A", "rehearsal") + "...",
            "...",
        ),
    )
    assert lines(found.text) == ["- Intro (1)", "- A (2)", "- B (1)", "- A"]
    assert any("Intro" in each for each in found.guessed)


def test_without_marks_repeats_and_double_bars_part_the_sections(tmp_path: Path) -> None:
    """Letters, and that they are a guess is said."""
    double = '<barline location="right"><bar-style>light-light</bar-style></barline>'
    back = '<barline location="right"><repeat direction="backward"/></barline>'
    forward = '<barline location="left"><repeat direction="forward"/></barline>'
    found = taken(tmp_path, "s.musicxml", score("...", "..." + double, forward + "...", "..." + back, "..."))
    assert lines(found.text) == ["- A (2)", "- B (2) x2", "- C (1)"]
    assert any("letters" in each for each in found.guessed)


def test_the_feel_is_taken_from_words_swing_or_meter(tmp_path: Path) -> None:
    """Words first, then the swing sign, then the meter; else straight eighths, said to be a guess."""
    swing = "<sound><swing><first>2</first><second>1</second><swing-type>16th</swing-type></swing></sound>"
    cases = {
        words("Bright Swing") + "...": ("swing", True),
        words("bossa nova") + "...": ("bossa nova", False),
        swing + "...": ("sixteenth shuffle", True),
        time("12", 8) + REST.format(12): ("slow 12/8", True),
        "...": ("straight eighths", True),
    }
    for number, (bar, (name, guessed)) in enumerate(cases.items()):
        found = taken(tmp_path, f"{number}.musicxml", score(bar))
        assert found.song.feel.name == name
        assert any(name in each for each in found.guessed) is guessed


def test_meters_tempi_and_odd_bars_are_kept(tmp_path: Path) -> None:
    """The tempo in the felt beat; a short bar as an odd bar; an additive meter with its groups."""
    bars = (
        words("A", "rehearsal") + '<sound tempo="120"/>' + "...",
        time("2", 4) + REST.format(4),
        time("4", 4) + "...",
        words("B", "rehearsal") + time("6", 8) + REST.format(6),
        words("C", "rehearsal") + time("2+2+3", 8) + REST.format(7),
    )
    found = taken(tmp_path, "s.musicxml", score(*bars)).song
    assert [str(each.meter) for each in found.form] == ["4/4", "6/8", "7/8 (2+2+3)"]
    assert {2: "2/4"} == {bar: str(meter) for bar, meter in found.form[0].odd_bars.items()}
    assert [each.tempo for each in found.form] == [120, 80, 120]


def test_groups_that_a_score_does_not_say_are_guessed_and_said(tmp_path: Path) -> None:
    """7/8 is felt as two, two, three until somebody says otherwise."""
    found = taken(tmp_path, "s.musicxml", score(time("7", 8) + REST.format(7)))
    assert str(found.song.meter) == "7/8 (2+2+3)"
    assert any("2+2+3" in each for each in found.guessed)


def test_endings_of_different_length_make_two_lines(tmp_path: Path) -> None:
    """One name cannot stand for two numbers of bars."""

    def ending(number: int, kind: str, more: str = "") -> str:
        side = "left" if kind == "start" else "right"
        return f'<barline location="{side}"><ending number="{number}" type="{kind}"/>{more}</barline>'

    back = '<repeat direction="backward"/>'
    bars = (
        words("Verse", "rehearsal") + "...",
        ending(1, "start") + "..." + ending(1, "stop", back),
        ending(2, "start") + "...",
        "..." + ending(2, "discontinue"),
    )
    assert lines(taken(tmp_path, "s.musicxml", score(*bars)).text) == ["- Verse (2)", "- Verse 2 (3)"]


def test_words_that_say_how_often_are_believed(tmp_path: Path) -> None:
    """Play 4 times, over a repeat sign that says nothing."""
    bars = (
        '<barline location="left"><repeat direction="forward"/></barline>' + words("play 4 times") + "...",
        "..." + '<barline location="right"><repeat direction="backward"/></barline>',
    )
    assert taken(tmp_path, "s.musicxml", score(*bars)).song.bars == 8


def test_a_vamp_till_cue_is_open(tmp_path: Path) -> None:
    """The number of passes is the stage's."""
    bars = (
        words("Vamp", "rehearsal")
        + '<barline location="left"><repeat direction="forward"/></barline>'
        + words("vamp till cue")
        + "...",
        "..." + '<barline location="right"><repeat direction="backward"/></barline>',
    )
    section = taken(tmp_path, "s.musicxml", score(*bars)).song.form[0]
    assert (section.times, section.open) == (2, True)


def test_hostile_words_are_written_as_words(tmp_path: Path) -> None:
    """What YAML takes for something else is in quotes; a mark that looks like a form line does not bite."""
    bars = (
        words("Solo: (8) x4 open", "rehearsal") + words("none") + "...",
        words("yes") + "...",
        words("- &amp;a [x] # {") + "...",
    )
    head = "<work><work-title>'til: no # none</work-title></work>"
    found = taken(tmp_path, "s.musicxml", score(*bars, head=head))
    assert found.song.title == "'til: no # none"
    assert [cue.text for cue in found.song.form[0].cues] == ["none", "yes", "- &a [x] # {"]
    assert read(found.text).findings == []


def test_a_drum_part_of_another_program_gives_its_fill(tmp_path: Path) -> None:
    """Instruments by their General MIDI number; a bar that leaves the groove at the end of a phrase."""

    def hit(step: str, octave: int, instrument: str, length: int, chord: bool = False) -> str:
        return (
            f"<note>{'<chord/>' if chord else ''}<unpitched><display-step>{step}</display-step>"
            f"<display-octave>{octave}</display-octave></unpitched><duration>{length}</duration>"
            f'<instrument id="{instrument}"/></note>'
        )

    groove = "".join(
        hit("G", 5, "H", 1) if n % 2 else hit("G", 5, "H", 1) + hit("F", 4, "B", 1, chord=True)
        for n in range(8)
    )
    fill = groove[: len(groove) // 2] + hit("C", 5, "S", 1) * 4
    part = (
        '<part-list><score-part id="P1"><part-name>Drumset</part-name>'
        + "".join(
            f'<score-instrument id="{name}"><instrument-name>x</instrument-name></score-instrument>'
            for name in "HBS"
        )
        + "".join(
            f'<midi-instrument id="{name}"><midi-unpitched>{note}</midi-unpitched></midi-instrument>'
            for name, note in (("H", 43), ("B", 37), ("S", 39))
        )
        + "</score-part></part-list>"
    )
    text = score(*[groove] * 3, fill).replace(PARTS, part)
    found = taken(tmp_path, "s.musicxml", text)
    use = found.song.form[0].fills[0]
    assert use.bar == 4
    assert use.pattern is not None
    assert [s.voice for s in use.pattern.strokes] == ["SD"] * 4
    assert any("leaves the groove" in each for each in found.guessed)


def test_a_score_by_measures_is_turned_round(tmp_path: Path) -> None:
    """score-timewise says the same."""
    text = (
        f'<score-timewise>{PARTS}<measure number="1"><part id="P1">{REST.format(4)}</part></measure>'
        f'<measure number="2"><part id="P1">{REST.format(4)}</part></measure></score-timewise>'
    )
    assert taken(tmp_path, "s.xml", text).song.bars == 2


TUNE = """\
X:1
T:The Lost Plectrum
C:Trad.
M:6/8
L:1/8
Q:3/8=112
R:jig
K:D
D|:"D"F3 (3ABA F|[1 E2D D2 D:|[2 E2D D3|]
P:B
A3 B3|Z2|[M:9/8]A3 B3 c3|[M:6/8]"^quietly"D6|]
"""


def test_an_abc_tune_is_taken_in(tmp_path: Path) -> None:
    """Title, writer, key, meter, tempo in the felt beat, rhythm, endings, parts, rests over bars, odd bars."""
    found = taken(tmp_path, "tune.abc", TUNE)
    of = found.song
    assert (of.title, of.by, of.key, str(of.meter), of.tempo) == (
        "The Lost Plectrum",
        "Trad.",
        "D",
        "6/8",
        112,
    )
    assert of.pickup == F(1, 3)
    assert [(each.bars, each.times) for each in of.form] == [(2, 2), (5, 1)]
    assert {4: "9/8"} == {bar: str(meter) for bar, meter in of.form[1].odd_bars.items()}
    assert [cue.text for cue in of.form[1].cues] == ["quietly"]
    assert of.feel.name == "fast 6/8"


def test_an_abc_tune_says_the_order_of_its_parts(tmp_path: Path) -> None:
    """P: in the head, letters with how often."""
    text = "X:1\nT:T\nM:4/4\nL:1/4\nP:A2B\nK:C\nP:A\nCDEF|\nP:B\nGABc|GABc|\n"
    assert lines(taken(tmp_path, "tune.abc", text).text) == ["- A (1)", "- A", "- B (2)"]


# hostile files


@pytest.mark.parametrize(
    ("name", "data", "expected"),
    [
        ("empty.mid", b"", "is empty"),
        ("words.txt", b"Dear all, the gig is off", "is not a score that can be read"),
        ("picture.mxl", b"\x89PNG\r\n\x1a\n" + bytes(200), "is not a score that can be read"),
        ("page.xml", b"<html><body/></html>", "<html> is not a score"),
        ("cut.musicxml", b'<score-partwise><part id="P1"><measure', "the XML is broken here"),
        ("none.musicxml", b"<score-partwise/>", "this score has no bars"),
        ("latin.xml", b'<?xml version="1.0" encoding="no-such"?><a/>', "in an encoding"),
        ("cut.mid", b"MThd\x00\x00\x00\x06\x00\x01\x00\x02\x01\xe0MTrk\x00\x00\xff\xff\x00", "is broken, or cut short"),
        ("frames.mid", b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\xe7\x28MTrk\x00\x00\x00\x04\x00\xff\x2f\x00", "counts in frames"),
        ("nothing.mid", b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x01\xe0MTrk\x00\x00\x00\x04\x00\xff\x2f\x00", "nothing in it"),
        ("keyless.abc", b"X:1\nT:x\nABC|\n", "is not a score that can be read"),
        ("huge.abc", b"X:1\nM:99999/8\nK:C\nA|\n", "out of range"),
        ("sixteen.abc", b"X:1\nM:7/16\nL:1/16\nK:C\nABCDEFG|\n", "7/16"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_score_gets_a_message(
    tmp_path: Path, name: str, data: bytes, expected: str
) -> None:
    """In our own words, whatever is wrong with it."""
    assert expected in message(tmp_path, name, data)


def test_entities_are_refused(tmp_path: Path) -> None:
    """A bomb of entities within entities, or a file from elsewhere, is never expanded."""
    bomb = '<!DOCTYPE lolz [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]><score-partwise>&b;</score-partwise>'
    outside = '<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise>&x;</score-partwise>'
    assert "declares entities" in message(tmp_path, "a.xml", bomb)
    assert "declares entities" in message(tmp_path, "b.xml", outside)


def test_an_outside_dtd_is_not_fetched(tmp_path: Path) -> None:
    """The DOCTYPE that every MusicXML file carries is only looked at."""
    text = '<!DOCTYPE score-partwise PUBLIC "-//x" "http://127.0.0.1:9/partwise.dtd">' + score("...")
    assert taken(tmp_path, "s.xml", text).song.bars == 1


def test_xml_that_is_too_deep_or_too_much_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before it is built."""
    assert "nested too deep" in message(tmp_path, "deep.xml", "<a>" * 5000)
    monkeypatch.setattr(xmltree, "ELEMENTS", replace(xmltree.ELEMENTS, most=1000))
    assert "too large" in message(tmp_path, "many.xml", "<a>" + "<b/>" * 1001)


def test_a_zip_bomb_is_refused(tmp_path: Path) -> None:
    """Megabytes of blanks in a few kilobytes; thousands of files; what the container names is looked at."""
    assert "larger than 32 MiB" in message(tmp_path, "bomb.mxl", archive({"a.xml": b" " * (33 << 20)}))
    assert "more than 1000 files" in message(
        tmp_path, "many.mxl", archive({f"{n}": b"" for n in range(1001)})
    )
    assert "packs no score" in message(tmp_path, "none.mxl", archive({"readme.txt": b"hello"}))
    broken = archive({"a.xml": b"<score-partwise/>" * 100})
    assert "cannot be unpacked" in message(tmp_path, "cut.mxl", broken[: len(broken) // 2])


def test_a_file_that_is_too_large_or_never_ends_is_refused(tmp_path: Path) -> None:
    """Sizes are held before anything is parsed."""
    assert "larger than 192 KiB" in message(tmp_path, "big.mid", b"MThd" + bytes(1 << 20))
    with pytest.raises(FeelmapError, match="it is a pipe or a device"):
        take_in(Path("/dev/zero"), BOOK)
    os.mkfifo(tmp_path / "pipe.abc")
    with pytest.raises(FeelmapError, match="it is a pipe or a device"):
        take_in(tmp_path / "pipe.abc", BOOK)
    with pytest.raises(FeelmapError, match="is a folder"):
        take_in(tmp_path, BOOK)
    with pytest.raises(FeelmapError, match="no file is called"):
        take_in(tmp_path / "not-there.mid", BOOK)


def test_repeats_without_end_are_refused(tmp_path: Path) -> None:
    """A repeat sign that says a million times."""
    back = '<barline location="right"><repeat direction="backward" times="1000000"/></barline>'
    assert "more than 5000 bars" in message(tmp_path, "s.musicxml", score("..." + back))


# the commands


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a tune, as the current one."""
    (tmp_path / "tune.abc").write_text(TUNE)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_nothing_but_the_chart_is_written_and_nothing_leaks(here: Path) -> None:
    """Neither a cache nor a settings file of music21; standard output stays empty."""
    home, scratch = here / "home", here / "scratch"
    home.mkdir()
    scratch.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", "from render.cli import main; main()", "import", "tune.abc"],
        capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "HOME": str(home), "TMPDIR": str(scratch)},
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (0, "")
    assert [] == [*home.iterdir(), *scratch.iterdir()]
    assert names(here) == ["home", "scratch", "the-lost-plectrum.yaml", "tune.abc"]


def test_the_command_lists_what_was_guessed_and_refuses_an_existing_file(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file is named after the title, in the current folder."""
    assert run(["import", "tune.abc"]) == 0
    told = capsys.readouterr()
    assert told.out == ""
    assert "wrote the-lost-plectrum.yaml" in told.err
    assert "not kept: the notes of the tune" in told.err
    assert run(["import", "tune.abc"]) == 2
    assert "is already there" in capsys.readouterr().err


def test_a_chart_beside_the_book_is_told_where_to_go(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without -o it goes to the current folder; in charts/, with -o or without a book nothing is said."""
    (here / "book.yaml").write_text("name: Ours\n")
    (here / "charts").mkdir()
    assert run(["import", "tune.abc"]) == 0
    assert "not in the book yet: move it to charts/" in capsys.readouterr().err
    assert run(["import", "tune.abc", "-o", "charts/tune.yaml"]) == 0
    assert "not in the book" not in capsys.readouterr().err
    (here / "book.yaml").unlink()
    (here / "charts" / "tune.yaml").unlink()
    assert run(["import", "tune.abc", "-o", "x.yaml"]) == 0
    assert "not in the book" not in capsys.readouterr().err


def test_the_command_answers_as_json(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file, the form, what was found, guessed and what was not kept, and nothing else on standard output."""
    assert run(["import", "tune.abc", "-o", "x.yaml", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert list(answer) == ["file", "title", "bars", "form", "found", "guessed", "not_kept"]
    assert answer["form"][0] == {"section": "A", "bars": 2, "times": 2, "open": False}


def test_a_broken_score_leaves_nothing_behind(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 2, a message, no file; so does a name that is no chart's."""
    (here / "cut.mid").write_bytes(b"MThd")
    assert run(["import", "cut.mid"]) == 2
    assert run(["import", "tune.abc", "-o", "chart.txt"]) == 2
    told = capsys.readouterr()
    assert (told.out, "is broken, or cut short" in told.err, "name it chart.yaml" in told.err) == (
        "",
        True,
        True,
    )
    assert names(here) == ["cut.mid", "tune.abc"]


def test_the_export_command_and_its_refusals(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A score named after the title, our own written anew, another's kept; compressed where the name says so."""
    book = ["--book", str(DEMO.root)]
    assert run(["export", "harbour", *book]) == 0
    assert run(["export", "harbour", *book]) == 0
    (here / "harbour-lights.musicxml").write_text("mine")
    assert run(["export", "harbour", *book]) == 2
    assert run(["export", "harbour", "-o", "x.mxl", *book]) == 0
    assert zipfile.is_zipfile("x.mxl")
    assert run(["export", "harbour", "-o", "x.pdf", *book]) == 2
    assert capsys.readouterr().out == ""
    assert names(here) == ["harbour-lights.musicxml", "tune.abc", "x.mxl"]
