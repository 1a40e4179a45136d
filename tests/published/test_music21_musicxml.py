"""What MusicXML says of length, meter, key and tempo, against music21's own reading (music21 10.5)."""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from render.importing.musicxml import read_musicxml
from render.importing.score import Score

UNITS = ("half", "quarter", "eighth", "16th")
MODES = ("major", "minor", "dorian", "phrygian", "lydian", "mixolydian", "locrian")


def score(*bars: str) -> str:
    """A score of one part."""
    body = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(bars, start=1))
    return (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>D</part-name></score-part>'
        f'</part-list><part id="P1">{body}</part></score-partwise>'
    )


def ours(text: str) -> Score:
    return read_musicxml(ElementTree.fromstring(text))


def music21s(text: str) -> list[Any]:
    """The measures as music21 reads them."""
    from music21.musicxml.xmlToM21 import MusicXMLImporter

    importer: Any = MusicXMLImporter()
    importer.xmlText = text
    importer.parseXMLText()
    return list(importer.stream.parts[0].getElementsByClass("Measure"))


def note(duration: int) -> str:
    return f"<note><pitch><step>C</step><octave>4</octave></pitch><duration>{duration}</duration></note>"


@st.composite
def bars(draw: st.DrawFn) -> str:
    """A bar of notes, chords, rests, and voices that go back to its start."""
    divisions = draw(st.sampled_from([1, 2, 6, 12, 480]))
    found, now = f"<attributes><divisions>{divisions}</divisions></attributes>", 0
    for kind in draw(
        st.lists(st.sampled_from(["note", "chord", "rest", "forward", "back"]), min_size=1, max_size=6)
    ):
        length = draw(st.integers(1, 4 * divisions))
        if kind == "chord":
            found += note(length) + note(length).replace("<pitch>", "<chord/><pitch>")
        elif kind == "rest":
            found += f"<note><rest/><duration>{length}</duration></note>"
        elif kind == "forward":
            found += f"<forward><duration>{length}</duration></forward>" + note(length)
            now += length
        else:
            found += note(length)
        now += length
        if kind == "back":
            found += f"<backup><duration>{now}</duration></backup>" + note(1)
            now = 1
    return found


@pytest.mark.filterwarnings("ignore:.*overfull")  # music21 on bars that its time signature has no room for
@given(st.lists(bars(), min_size=1, max_size=4))
@settings(max_examples=25, deadline=None)
def test_bars_are_as_long_as_music21s(found: list[str]) -> None:
    """Chords, rests, forwards and backups in any divisions."""
    text = score(*found)
    wanted = [F(each.highestTime).limit_denominator(1000) for each in music21s(text)]
    assert wanted == [bar.quarters for bar in ours(text).bars]


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("fifths", range(-7, 8))
def test_keys_are_music21s(fifths: int, mode: str) -> None:
    """Every signature in every mode."""
    from music21.key import KeySignature

    key: Any = KeySignature(fifths).asKey(mode)
    name = str(key.tonic.name).replace("-", "b")
    text = f"<attributes><key><fifths>{fifths}</fifths><mode>{mode}</mode></key></attributes>{note(4)}"
    assert name + ("" if mode == "major" else f" {mode}") == ours(score(text)).key


@pytest.mark.parametrize("dots", [0, 1, 2])
@pytest.mark.parametrize("unit", UNITS)
def test_metronome_marks_are_music21s(unit: str, dots: int) -> None:
    """In quarters per minute, whatever the note and its dots."""
    mark = f"<metronome><beat-unit>{unit}</beat-unit>{'<beat-unit-dot/>' * dots}<per-minute>80</per-minute></metronome>"
    text = score(f"<direction><direction-type>{mark}</direction-type></direction>{note(4)}")
    (theirs,) = (each for measure in music21s(text) for each in measure.getElementsByClass("MetronomeMark"))
    assert [F(theirs.getQuarterBPM())] == [tempo.quarters for tempo in ours(text).bars[0].tempos]


@pytest.mark.parametrize("upper", ["2", "3", "4", "6", "9", "12", "3+2+2", "2+3"])
@pytest.mark.parametrize("lower", [2, 4, 8])
def test_time_signatures_are_as_long_as_music21s(upper: str, lower: int) -> None:
    """Plain and additive ones."""
    text = score(
        f"<attributes><time><beats>{upper}</beats><beat-type>{lower}</beat-type></time></attributes>{note(1)}"
    )
    assert F(music21s(text)[0].timeSignature.barDuration.quarterLength) == ours(text).bars[0].meter.quarters
