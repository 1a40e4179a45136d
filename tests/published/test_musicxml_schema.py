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
    """What the schema finds. A measure's child that is there twice is looked at once.

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


def test_hands_stem_up_and_feet_stem_down() -> None:
    """W3C percussion tutorial, read."""
    root = ElementTree.fromstring(musicxml(song(chart("A (1)", head="groove: plain rock\n"))))
    found = {
        (note.findtext("stem"), note.find("instrument").get("id"))
        for note in root.iter("note")
        if note.findtext("stem")
    }  # type: ignore[union-attr]
    assert found == {("up", "P1-HH"), ("up", "P1-SD"), ("down", "P1-BD")}


SIGNS = """\
title: T
tempo: 120
feel: straight sixteenths
form:
  - A (1):
      fill:
        rows: |
          HH    xo.x|....
          SD    ..g.|oooooo
          stick RRLR|RLRLRL
"""


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (".//notehead[@parentheses='yes']", "normal"),  # a ghost note
        (".//technical/open", None),
        (".//technical/stopped", None),
        (".//technical/fingering", "R"),  # no element is made for sticking
    ],
)
def test_strokes_are_said_by_the_schemas_own_elements(path: str, said: str | None) -> None:
    """MusicXML 4.0 schema, read: it has each of these, and none called sticking."""
    text = XSD.read_text("utf-8")
    last = path.rsplit("/", 1)[-1].partition("[")[0]
    assert f'name="{last}"' in text
    assert "sticking" not in re.findall(r'<xs:element name="([^"]+)"', text)
    found = ElementTree.fromstring(musicxml(song(SIGNS))).find(path)
    assert found is not None
    assert (found.text or "").strip() == (said or "")


def test_six_in_the_time_of_four_and_quarters_a_minute() -> None:
    """MusicXML 4.0: a sextuplet is actual-notes 6, normal-notes 4; sound tempo counts quarters whatever the beat."""
    root = ElementTree.fromstring(musicxml(song(SIGNS)))
    ratios = {
        (each.findtext("actual-notes"), each.findtext("normal-notes"))
        for each in root.iter("time-modification")
    }
    assert ("6", "4") in ratios
    compound = ElementTree.fromstring(
        musicxml(song(chart("A (1)", tempo="120", feel="6/8 ballad", head="meter: 6/8\n")))
    )
    assert [each.get("tempo") for each in compound.iter("sound") if each.get("tempo")] == ["180"]


@pytest.mark.parametrize(
    ("feel", "first", "second", "kind"),
    [("shuffle", "2", "1", "eighth"), ("sixteenth shuffle", "2", "1", "16th")],
)
def test_swing_is_said_in_the_smallest_whole_numbers(feel: str, first: str, second: str, kind: str) -> None:
    """MusicXML 4.0, ``sound/swing``: first and second as smallest integers, swing-type eighth or 16th."""
    swing = ElementTree.fromstring(musicxml(song(chart("A (1)", feel=feel)))).find(".//sound/swing")
    assert swing is not None
    assert [swing.findtext(tag) for tag in ("first", "second", "swing-type")] == [first, second, kind]
