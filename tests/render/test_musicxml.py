"""A chart as MusicXML, read back with music21 and element by element."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from fractions import Fraction as F
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from random_charts import random_charts
from support import chart, song

from charts.kit import VOICES
from charts.performance import BAR, perform
from charts.placing import place_fill
from charts.played import played
from charts.song import Song
from render.musicxml.score import compressed, musicxml


def elements(of: Song) -> ElementTree.Element:
    return ElementTree.fromstring(musicxml(of))


def measures(of: Song) -> list[ElementTree.Element]:
    return elements(of).findall("part/measure")


def words(measure: ElementTree.Element) -> list[str]:
    return [str(each.text) for each in measure.iterfind("direction/direction-type/words")]


def form(*lines: str, head: str = "", **more: str) -> Song:
    """A song of these form lines with a groove."""
    return song(chart(*lines, head="groove: plain rock\n" + head, **more))


def fill_chart(rows: str, meter: str = "4/4") -> str:
    """A chart of one bar with a fill of these rows."""
    text = f"title: T\ntempo: 100\nfeel: straight eighths\nmeter: {meter}\nform:\n  - A (1):\n      fill:\n"
    return text + "        rows: |\n" + "".join(f"          {row}\n" for row in rows.splitlines())


def filled(rows: str, meter: str = "4/4") -> ElementTree.Element:
    """The measure with a fill of these rows."""
    return measures(song(fill_chart(rows, meter)))[-1]


def read_back(data: bytes) -> Any:
    """The drum part as music21 reads it."""
    from music21.musicxml.xmlToM21 import MusicXMLImporter

    importer = MusicXMLImporter()
    importer.xmlText = data.decode()
    importer.parseXMLText()
    return importer.stream.parts[0]


def expanded(data: bytes) -> list[Any]:
    """The bars as music21 plays them out, without the pickup."""
    from music21.repeat import Expander

    part = read_back(data)
    bars = Expander(part).process() if Expander(part).isExpandable() else part
    return [bar for bar in bars.getElementsByClass("Measure") if bar.number > 0]


def struck(bar: Any) -> set[tuple[F, str]]:
    """Where which line or space of the staff is struck, in quarters, as music21 has it; no small notes."""
    found = set()
    for note in bar.recurse().notes:
        if note.duration.isGrace:
            continue
        at = F(note.getOffsetInHierarchy(bar)).limit_denominator(1000)
        for each in getattr(note, "notes", [note]):
            found.add((at, each.displayName))
    return found


# one song, one sign


def test_title_writer_and_key_stand_in_the_head() -> None:
    """The key is a signature where it is one, and words in any case."""
    root = elements(song(chart("A (1)", head="by: The Band\nkey: F# minor\n")))
    assert ["Test", "The Band", "3", "minor"] == [
        root.findtext(path) for path in ("work/work-title", "identification/creator", ".//fifths", ".//mode")
    ]
    odd = elements(song(chart("A (1)", head="key: wherever she sings\n")))
    assert odd.find(".//fifths") is None
    assert odd.findtext(".//miscellaneous-field") == "wherever she sings"


def test_every_struck_voice_has_its_instrument_with_general_midi_note_plus_one() -> None:
    """Channel 10; open hats have an instrument of their own."""
    root = elements(song(fill_chart("HH x|o|s|.\nBD o|.|.|o")))
    found = {
        each.get("id"): (each.findtext("midi-channel"), each.findtext("midi-unpitched"))
        for each in root.iter("midi-instrument")
    }
    assert found["P1-HH"] == ("10", str(VOICES["HH"].gm + 1))
    assert found["P1-HH-open"] == ("10", "47")
    assert found["P1-BD"] == ("10", "37")


def notes(measure: ElementTree.Element) -> list[ElementTree.Element]:
    """The measure's notes that sound."""
    return [note for note in measure.iter("note") if note.find("unpitched") is not None]


def test_a_note_stands_on_its_place_with_its_head() -> None:
    """Snare on C5, closed hat on G5 with an x, bass drum on F4 with its stem down."""
    hat, snare, bass = notes(filled("HH x|.\nSD .|o\nBD o|.", "2/4"))
    assert [
        (n.findtext("unpitched/display-step"), n.findtext("unpitched/display-octave"), n.findtext("notehead"))
        for n in (hat, snare, bass)
    ] == [("G", "5", "x"), ("C", "5", None), ("F", "4", None)]
    assert [n.findtext("stem") for n in (hat, snare, bass)] == ["up", "up", "down"]
    assert [n.findtext("voice") for n in (hat, snare, bass)] == ["1", "1", "2"]


def test_strokes_of_every_kind() -> None:
    """A ghost in parentheses, a flam and a drag with small notes, a buzz as a tremolo, an accent."""
    found = notes(filled("SD g|f|d|Z"))
    ghost, grace, flam, one, two, drag, buzz = found
    head = ghost.find("notehead")
    assert head is not None
    assert (head.text, head.get("parentheses")) == ("normal", "yes")
    assert [n.find("grace") is not None for n in found] == [False, True, False, True, True, False, False]
    assert grace.find("grace").get("slash") == "yes"  # type: ignore[union-attr]
    assert [n.find("duration") is None for n in (grace, one, two)] == [True] * 3
    tremolo = buzz.find("notations/ornaments/tremolo")
    assert tremolo is not None
    assert tremolo.get("type") == "unmeasured"
    assert [n.find("notations/articulations/accent") is not None for n in (flam, drag, buzz)] == [
        False,
        False,
        True,
    ]


def test_hats_say_when_they_open_and_when_they_close() -> None:
    """An open hat has its circle, the closed one after it its cross, and the next one nothing."""
    signs = [
        [sign.tag for sign in note.iterfind("notations/technical/*")]
        for note in notes(filled("HH xo|xx|sx|x"))
    ]
    assert signs == [[], ["open"], ["stopped"], [], ["half-muted"], ["stopped"], []]


def test_sticking_is_fingering() -> None:
    """R and L, and both where both hands strike at once."""
    measure = filled("SD o|o|o\nT1 .|.|o\nstick R|L|B", "3/4")
    assert [[f.text for f in n.iterfind("notations/technical/fingering")] for n in notes(measure)] == [
        ["R"],
        ["L"],
        ["R", "L"],
        [],
    ]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("SD ooo", [("eighth", 3, 2)] * 3),
        ("SD oooooo", [("16th", 6, 4)] * 6),
        ("SD o.o", [("quarter", 3, 2), ("eighth", 3, 2)]),
        ("SD ooooo", [("16th", 5, 4)] * 5),
        ("SD oooo", [("16th", 0, 0)] * 4),
        ("SD o..o", [("eighth.", 0, 0), ("16th", 0, 0)]),
    ],
)
def test_note_values_and_tuplets(rows: str, expected: list[tuple[str, int, int]]) -> None:
    """A triplet is three in the time of two, a sextuplet six in the time of four."""
    found = [
        (
            str(n.findtext("type")) + "." * len(n.findall("dot")),
            int(n.findtext("time-modification/actual-notes") or 0),
            int(n.findtext("time-modification/normal-notes") or 0),
        )
        for n in notes(filled(rows, "1/4"))
    ]
    assert found == expected


def test_a_beat_of_three_eighths_needs_no_tuplet() -> None:
    """Three eighths, six sixteenths; two even strokes are dotted eighths."""
    measure = filled("SD ooo|oooooo|o.o|oo", "12/8")
    assert [n.findtext("type") for n in notes(measure)] == ["eighth"] * 3 + ["16th"] * 6 + [
        "quarter",
        "eighth",
    ] + ["eighth"] * 2
    assert measure.find(".//time-modification") is None


def test_hands_and_feet_divide_a_beat_each_in_its_own_way() -> None:
    """A foot in two under hands in three."""
    measure = filled("SD ooo\nBD oo", "1/4")
    assert [n.findtext("time-modification/actual-notes") for n in notes(measure)] == [
        "3",
        "3",
        "3",
        None,
        None,
    ]


def test_notes_are_beamed_by_the_beat() -> None:
    """An eighth and two sixteenths share one beam, the sixteenths a second."""
    found = [[b.text for b in n.iterfind("beam")] for n in notes(filled("SD o.oo|oo", "2/4"))]
    assert found == [["begin"], ["continue", "begin"], ["end", "end"], ["begin"], ["end"]]


def test_a_section_has_its_rehearsal_mark_and_cues_their_place() -> None:
    """Cue words are at their beat, counted in the divisions in force."""
    first, second, *_ = measures(form("Verse (2): {cue: hats closed, cues: {2.3: open up}}"))
    assert first.findtext("direction/direction-type/rehearsal") == "Verse"
    assert "hats closed" in words(first)
    direction = next(
        d for d in second.iterfind("direction") if d.findtext("direction-type/words") == "open up"
    )
    divisions = int(first.findtext("attributes/divisions") or 0)
    assert direction.findtext("offset") == str(2 * divisions)


def test_tempo_is_shown_in_the_felt_beat_and_sounds_in_quarters() -> None:
    """Dotted quarter 80 is 120 quarters per minute, half 100 is 200."""
    six = measures(song(chart("A (1)", head="meter: 6/8\n", tempo="80")))[0]
    assert six.find("direction/direction-type/metronome/beat-unit-dot") is not None
    assert six.findtext("direction/direction-type/metronome/per-minute") == "80"
    assert six.find("direction/sound").get("tempo") == "120"  # type: ignore[union-attr]
    cut = measures(song(chart("A (1)", head="meter: 2/2\n")))[0]
    assert cut.findtext("direction/direction-type/metronome/beat-unit") == "half"
    assert cut.find("direction/sound").get("tempo") == "200"  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("feel", "tempo", "expected"),
    [
        ("shuffle", "100", ["2", "1", "eighth"]),
        ("sixteenth shuffle", "90", ["2", "1", "16th"]),
        ("{name: light, divides: [3], swing: 1.5}", "240", ["3", "2", "eighth"]),
        ("straight eighths", "100", None),
        ("swing", "360", None),
    ],
)
def test_a_feel_that_swings_says_how(feel: str, tempo: str, expected: list[str] | None) -> None:
    """The ratio at the section's tempo in the smallest whole numbers, and which note is swung."""
    swing = measures(song(chart("A (1)", feel=feel, tempo=tempo)))[0].find("sound/swing")
    assert (None if swing is None else [child.text for child in swing]) == expected


def test_straight_after_swing_is_said() -> None:
    """A section in straight feel ends the swing."""
    last = measures(song(chart("A (1)", "B (1): {feel: straight eighths}", feel="shuffle")))[-1]
    assert last.find("sound/swing/straight") is not None
    assert "straight eighths" in words(last)


def test_dynamics_and_a_hairpin() -> None:
    """p at the start, the hairpin over the section, f on its last beat."""
    bars = measures(form("A (4): {dynamics: p to f}"))
    assert bars[0].find("direction/direction-type/dynamics/p") is not None
    assert bars[0].find("direction/direction-type/wedge").get("type") == "crescendo"  # type: ignore[union-attr]
    assert bars[-1].find("direction/direction-type/wedge").get("type") == "stop"  # type: ignore[union-attr]
    assert bars[-1].find("direction/direction-type/dynamics/f") is not None


def test_hits_stops_and_holds() -> None:
    """Words at hits and stops, rests where the band stops, a fermata where time stands still."""
    bar = measures(form("A (1): {hits: 1.2&, stops: 1.3-1.4, holds: 1.4}"))[0]
    assert {"hit", "stop to 1.4", "hold"} <= set(words(bar))
    rests = [
        note.find("notations/fermata") is not None
        for note in bar.iter("note")
        if note.find("rest") is not None and note.findtext("voice") == "1"
    ]
    assert rests == [False, True]


def test_an_even_change_of_tempo_has_its_word_and_a_step_a_beat() -> None:
    """accel. with its goal, and the tempo of every beat for the ear."""
    bars = measures(form("A (2): {tempo: 100 to 108}"))
    assert "accel. to 108" in words(bars[0])
    steps = [
        float(sound.get("tempo", 0)) for bar in bars for sound in bar.iter("sound") if sound.get("tempo")
    ]
    assert steps == [100, 101, 102, 103, 104, 105, 106, 107]


def test_odd_bars_change_the_time_and_change_it_back() -> None:
    """A bar of 2/4 in 4/4; an additive meter with its groups."""
    bars = measures(form("A (3): {odd-bars: {2: 2/4}}", "B (1): {meter: 7/8 (2+2+3)}"))
    assert [bar.findtext("attributes/time/beats") for bar in bars] == ["4", "2", "4", "2+2+3"]


def test_a_pickup_is_a_bar_without_a_number() -> None:
    """One beat of rest before bar 1; a pickup longer than a bar takes two."""
    first = measures(form("A (1)", head="pickup: 1 beat\n"))[0]
    assert (first.get("number"), first.get("implicit")) == ("0", "yes")
    longer = measures(form("A (1)", head="pickup: 5 beats\n"))
    assert [(bar.get("number"), bar.get("implicit")) for bar in longer] == [
        ("X1", "yes"),
        ("0", "yes"),
        ("1", None),
    ]


def test_a_groove_in_plain_words_leaves_slashes_and_its_words() -> None:
    """The player knows: slashes over the bars, notation where the fill is."""
    bars = measures(song(chart("A (2): {fill: {rows: 'SD oooo'}}", head="groove: whatever swings\n")))
    assert "groove: whatever swings" in words(bars[0])
    slashes = [slash.get("type") for bar in bars for slash in bar.iter("slash")]
    assert slashes == ["start", "stop"]
    assert len(notes(bars[1])) == 4


# passes


def signs(of: Song) -> list[tuple[str, ...]]:
    """Each bar's repeat signs and brackets."""
    found = []
    for bar in measures(of):
        marks = [f"{r.get('direction')}{r.get('times') or ''}" for r in bar.iter("repeat")]
        marks += [f"{e.get('type')} {e.get('number')}" for e in bar.iter("ending")]
        found.append(tuple(marks))
    return found


def test_equal_passes_stand_between_repeat_signs() -> None:
    """Two bars played three times are two bars with a sign that says so."""
    assert signs(form("A (2) x3")) == [("forward",), ("backward3",)]


def test_an_open_repeat_says_so_and_how_it_ends() -> None:
    """open at its start, what ends it at its exit."""
    bars = measures(form("A (2) x4 open: {until: the nod}"))
    assert "open" in words(bars[0])
    assert "until the nod" in words(bars[1])


def test_a_fill_on_the_last_pass_takes_a_second_ending() -> None:
    """The bars before it are written once."""
    song_ = form("A (4) x3: {fill: four on the snare}", "B (1)")
    assert signs(song_)[:5] == [
        ("forward",),
        (),
        (),
        ("backward", "start 1, 2", "stop 1, 2"),
        ("start 3", "discontinue 3"),
    ]


def test_a_fill_on_every_pass_is_written_once() -> None:
    """Its landing on the repeat is left to the player, since the first time there is none."""
    assert signs(form("A (4) x2: {fills: {4: four on the snare}}")) == [("forward",), (), (), ("backward",)]


def test_passes_with_nothing_in_common_are_written_out() -> None:
    """An even change of tempo over all passes: every bar is there, the passes are counted."""
    bars = measures(form("Tag (2) x3: {tempo: 96 to 72}"))
    assert len(bars) == 6
    assert ["2nd time", "3rd time"] == [text for bar in bars for text in words(bar) if text.endswith("time")]


def test_a_fill_lands_with_crash_and_bass_drum() -> None:
    """On the one of the next section; the hand leaves the hat for it."""
    bars = measures(form("A (1): {fill: four on the snare}", "B (1)"))
    on_one = [n.find("instrument").get("id") for n in notes(bars[1]) if n.findtext("voice") == "1"]  # type: ignore[union-attr]
    assert on_one[0] == "P1-C1"
    soft = measures(form("A (1): {fill: four on the snare}", "B (1): {dynamics: p}"))
    assert not any(n.find("instrument").get("id") == "P1-C1" for n in notes(soft[1]))  # type: ignore[union-attr]


def test_many_odd_divisions_give_every_bar_its_own() -> None:
    """Divisions stay below what a MIDI file can hold."""
    rows = ["'SD " + "o" * cells + "'" for cells in (5, 7, 9, 11, 13)]
    lines = [f"{name} (1): {{fill: {{rows: {row}}}}}" for name, row in zip("ABCDE", rows, strict=True)]
    found = [int(each.text or 0) for each in elements(song(chart(*lines))).iter("divisions")]
    assert len(found) == 5
    assert max(found) <= 16_383


# the bytes


def test_the_same_song_gives_the_same_bytes() -> None:
    """No date, no random name; compressed too."""
    lines = "A (4) x2: {fill: four on the snare}"
    assert musicxml(form(lines)) == musicxml(form(lines))
    assert compressed(musicxml(form(lines))) == compressed(musicxml(form(lines)))


def test_the_compressed_form_names_its_score_first() -> None:
    """A container as the MusicXML container file format has it, its type stored plain at the front."""
    with zipfile.ZipFile(io.BytesIO(compressed(musicxml(form("A (1)"))))) as archive:
        assert archive.namelist() == ["mimetype", "META-INF/container.xml", "score.musicxml"]
        assert archive.read("mimetype") == b"application/vnd.recordare.musicxml"
        assert b'full-path="score.musicxml"' in archive.read("META-INF/container.xml")


def test_signs_that_xml_cannot_hold_are_left_out() -> None:
    """A control character in a title does not break the file."""
    of = replace(form("A (1)"), title="a\x01 & <b>\ud800")
    assert elements(of).findtext("work/work-title") == "a & <b>"


# read back with music21


@given(random_charts())
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_played_out_it_has_exactly_the_bars_of_the_song_and_every_stroke_of_its_fills(text: str) -> None:
    """music21 counts the same bars of the same lengths; within a fill it finds the fill and nothing else."""
    of = song(text)
    bars = expanded(musicxml(of))
    expected = [bar for bar in perform(of).bars if bar.kind == BAR]
    assert [bar.meter.quarters for bar in expected] == [F(bar.duration.quarterLength) for bar in bars]
    for number, begin, end, strokes in fill_spans(of):
        found = {(at, place) for at, place in struck(bars[number - 1]) if begin <= at < end}
        assert found == strokes, text


def fill_spans(of: Song) -> list[tuple[int, F, F, set[tuple[F, str]]]]:
    """Bar, first and last place, and what is struck between, of every fill that lies in one bar."""
    found = []
    for part in played(of):
        for use in part.section.fills:
            for pass_ in range(1, part.section.times + 1):
                if not use.on_pass(pass_, part.section.times):
                    continue
                placed = place_fill(part, use, pass_)
                assert placed is not None
                assert {beat.bar for beat in placed.beats} == {use.bar}
                shape = part.section.meter_of(use.bar).beats
                starts = [sum((b.quarters for b in shape[: beat.number - 1]), F(0)) for beat in placed.beats]
                strokes = {
                    (starts[s.beat] + s.at * placed.beats[s.beat].beat.quarters, VOICES[s.voice].staff)
                    for s in placed.pattern.strokes
                }
                bar = part.first_bar + (pass_ - 1) * part.section.bars + use.bar - 1
                found.append(
                    (bar, min(at for at, _ in strokes), sum((b.quarters for b in shape), F(0)), strokes)
                )
    return found


def test_a_fill_over_two_bars_comes_back_whole() -> None:
    """Eight beats before the last barline, on the last pass only."""
    of = form("A (3) x2: {fill: {rows: 'SD oooo|oooo|oooo|oooo|oooo|oooo|oooo|oooo'}}")
    bars = expanded(musicxml(of))
    assert len(bars) == 6
    snare = [{at for at, place in struck(bar) if place == "C5"} for bar in bars]
    assert [len(each) for each in snare] == [2, 2, 2, 2, 16, 16]
