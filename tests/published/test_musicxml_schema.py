"""MusicXML and General MIDI against their specifications.

The schema is the official MusicXML 4.0 XSD (W3C Music Notation Community Group, 2021) as the package
``musicxml`` carries it. Its two imports are pointed at local files; nothing is fetched. ``xmlschema`` also
catches an instrument id that no part declares.
"""

from __future__ import annotations

import importlib.util
import re
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from random_charts import random_charts
from support import chart, song

from charts.book import Book
from charts.kit import GM_OPEN_HAT, VOICES
from render.musicxml.score import musicxml


def folder_of(package: str) -> Path:
    """Where a package lies, without importing it."""
    spec = importlib.util.find_spec(package)
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent


def local(uri: str) -> str:
    """The local copy of a schema that the official one imports by its address."""
    if uri.endswith("/xlink.xsd"):
        return str(folder_of("xmlschema") / "schemas" / "XLINK" / "xlink.xsd")
    if uri.endswith("/xml.xsd"):
        return str(folder_of("musicxml") / "generate_classes" / "xml.xsd")
    return uri


XSD = folder_of("musicxml") / "generate_classes" / "musicxml_4_0.xsd"


@cache
def schema() -> Any:
    import xmlschema

    return xmlschema.XMLSchema(str(XSD), uri_mapper=local, allow="local")


# a measure's child as the writer indents it: hundreds of charts share most of them
CHILD = re.compile(rb"^   <([a-z-]+)(?:[^>]*/>|.*?^   </\1>|[^\n]*</\1>)\n", re.MULTILINE | re.DOTALL)


def complaints(data: bytes, known: set[bytes] | None = None) -> list[str]:
    """What the schema finds. A measure's child that stands there twice is looked at once.

    ``known`` are children that were good before; the new ones are added.
    """
    seen = known if known is not None else set()
    fresh: set[bytes] = set()

    def once(found: re.Match[bytes]) -> bytes:
        text = found[0]
        if text in seen or text in fresh:
            return b""
        fresh.add(text)
        return text

    start = data.index(b" <part id=")
    text = data[:start] + CHILD.sub(once, data[start:])
    found = [f"{error.path}: {error.reason}" for error in schema().iter_errors(ElementTree.fromstring(text))]
    if not found:
        seen |= fresh
    return found


@cache
def demo() -> Book:
    return Book(folder_of("setlists") / "demo")


@pytest.mark.parametrize("path", demo().chart_paths(), ids=lambda path: path.stem)
def test_the_demo_is_valid(path: Path) -> None:
    """Every chart of the demo book."""
    assert complaints(musicxml(demo().song_at(path))) == []


GOOD: set[bytes] = set()


@given(random_charts())
@settings(max_examples=70, deadline=None, suppress_health_check=list(HealthCheck))
def test_whatever_a_chart_says_is_valid(text: str) -> None:
    """Seventy random charts a run; no instrument is struck that the part does not declare."""
    data = musicxml(song(text))
    assert complaints(data, GOOD) == []
    root = ElementTree.fromstring(data)
    declared = {each.get("id") for each in root.iter("score-instrument")}
    assert {each.get("id") for each in root.iter("instrument")} == declared


def test_the_validator_catches_a_wrong_order_and_a_dangling_id() -> None:
    """The check can fail: a child out of order, an instrument that no part declares."""
    data = musicxml(song(chart("A (1): {fill: four on the snare}")))
    assert complaints(data) == []
    assert complaints(data.replace(b'<instrument id="P1-SD" />', b'<instrument id="P1-XX" />', 1))
    assert complaints(
        data.replace(b"<voice>1</voice>", b"", 1).replace(b"</note>", b"<voice>1</voice></note>", 1)
    )


def test_midi_unpitched_is_the_general_midi_note_plus_one() -> None:
    """Snare 39 and bass drum 37, as the schema's own note on ``midi-unpitched`` has it: 1 to 128."""
    rows = "SD o|.\n          BD .|o"
    text = f"title: T\ntempo: 100\nfeel: shuffle\nform:\n  - A (1):\n      fill:\n        rows: |\n          {rows}\n"
    root = ElementTree.fromstring(musicxml(song(text)))
    found = {each.get("id"): each.findtext("midi-unpitched") for each in root.iter("midi-instrument")}
    assert {"P1-SD": "39", "P1-BD": "37"} == found


# General MIDI Level 1 Percussion Key Map, MIDI Manufacturers Association; read in pretty_midi's table
GENERAL_MIDI = {
    35: "Acoustic Bass Drum", 36: "Bass Drum 1", 37: "Side Stick", 38: "Acoustic Snare", 42: "Closed Hi-Hat",
    43: "High Floor Tom", 44: "Pedal Hi-Hat", 45: "Low Tom", 46: "Open Hi-Hat", 48: "Hi-Mid Tom",
    49: "Crash Cymbal 1", 50: "High Tom", 51: "Ride Cymbal 1", 52: "Chinese Cymbal", 53: "Ride Bell",
    54: "Tambourine", 55: "Splash Cymbal", 56: "Cowbell", 57: "Crash Cymbal 2",
}  # fmt: skip
OURS = {
    "B2": "Acoustic Bass Drum", "BD": "Bass Drum 1", "XS": "Side Stick", "SD": "Acoustic Snare", "HH": "Closed Hi-Hat",
    "FT": "High Floor Tom", "HF": "Pedal Hi-Hat", "T3": "Low Tom", "T2": "Hi-Mid Tom", "C1": "Crash Cymbal 1",
    "T1": "High Tom", "RD": "Ride Cymbal 1", "CH": "Chinese Cymbal", "RB": "Ride Bell", "TB": "Tambourine",
    "SP": "Splash Cymbal", "CB": "Cowbell", "C2": "Crash Cymbal 2",
}  # fmt: skip


@pytest.mark.parametrize("code", VOICES)
def test_every_voice_has_its_general_midi_note(code: str) -> None:
    """General MIDI Level 1, also as pretty_midi names its notes."""
    import pretty_midi

    assert OURS[code] == GENERAL_MIDI[VOICES[code].gm]
    assert pretty_midi.note_number_to_drum_name(VOICES[code].gm).casefold().replace(" ", "")[:6] in (
        OURS[code].casefold().replace(" ", "").replace("-", "")[:6],
        OURS[code].casefold().replace(" ", "")[:6],
        "bassdr", "closed", "openhi", "pedalh",
    )  # fmt: skip


def test_an_open_hat_is_46() -> None:
    """General MIDI Level 1: 46 Open Hi-Hat."""
    assert GENERAL_MIDI[GM_OPEN_HAT] == "Open Hi-Hat"


@pytest.mark.parametrize(("code", "place", "head"), [
    ("BD", "F4", "normal"), ("SD", "C5", "normal"), ("HH", "G5", "x"),
    ("RD", "F5", "x"), ("C1", "A5", "x"), ("C2", "B5", "x"), ("T1", "E5", "normal"), ("T2", "D5", "normal"),
    ("FT", "A4", "normal"), ("HF", "D4", "x"), ("B2", "E4", "normal"), ("XS", "C5", "x"),
])  # fmt: skip
def test_staff_places(code: str, place: str, head: str) -> None:
    """The first row: W3C percussion tutorial, read. The others from memory of Weinberg, Guide to Standardized
    Drumset Notation (Percussive Arts Society, 1998)."""
    assert (place, head) == (VOICES[code].staff, VOICES[code].head)


def test_hands_stem_up_and_feet_stem_down() -> None:
    """W3C percussion tutorial, read."""
    root = ElementTree.fromstring(musicxml(song(chart("A (1)", head="groove: plain rock\n"))))
    found = {
        (note.findtext("stem"), note.find("instrument").get("id"))
        for note in root.iter("note")
        if note.findtext("stem")
    }  # type: ignore[union-attr]
    assert found == {("up", "P1-HH"), ("up", "P1-SD"), ("down", "P1-BD")}
