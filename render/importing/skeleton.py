"""A score without its notes: all that music21 needs to say how long, how fast and how often.

Reading every note of an orchestra to learn its bars would take minutes. One part is enough, and in it the
meters, keys, tempi and repeat signs.
"""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from charts.source import FeelmapError
from render.importing.elements import START, Walk, number_of

MOST_FIGURE = 256  # in a time signature
UNITS = ("whole", "half", "quarter", "eighth", "16th", "32nd")
MOST_FIFTHS = 14  # sharps or flats


def skeleton(score: Element, guide: Element) -> tuple[Element, list[Fraction]]:
    """The score with one part and no notes, and the length of each of its bars in quarters."""
    bare = Element("score-partwise", score.attrib)
    for child in score:
        if child.tag == "part-list":
            listed = SubElement(bare, "part-list")
            name = guide.get("id", "")
            SubElement(SubElement(listed, "score-part", id=name), "part-name").text = name
        elif child.tag in ("work", "movement-title", "identification"):
            bare.append(child)
    part = SubElement(bare, "part", guide.attrib)
    walk, lengths = Walk(), []
    for measure in guide.iterfind("measure"):
        lengths.append(_measure(walk, measure, SubElement(part, "measure", measure.attrib)))
    return bare, lengths


def _measure(walk: Walk, measure: Element, bare: Element) -> Fraction:
    """Fill the bare measure; returns how long the full one is."""
    length = START
    for at, child in walk.measure(measure):
        if child.tag == "barline":
            bare.append(child)
        elif child.tag == "attributes":
            bare.append(_attributes(child))
        elif child.tag in ("direction", "sound") and _is_tempo(child):
            bare.append(_moved(child, at * walk.divisions))
        length = max(length, walk.now)
    return length


def _attributes(child: Element) -> Element:
    """Divisions, key and time alone, and none so large that music21 would count for hours."""
    bare = Element("attributes")
    for each in child:
        if each.tag == "time":
            _look_at(each)
        far = each.tag == "key" and abs(number_of(each.findtext("fifths")) or START) > MOST_FIFTHS
        if each.tag in ("divisions", "key", "time") and not far:
            bare.append(each)
    return bare


def _look_at(time: Element) -> None:
    for figure in (*time.iterfind("beats"), *time.iterfind("beat-type")):
        numbers = re.findall(r"\d+", figure.text or "")
        if len(numbers) > MOST_FIGURE or any(int(number[:9]) > MOST_FIGURE for number in numbers):
            raise FeelmapError(
                f"a time signature of {(figure.text or '')[:20]} is out of range",
                "charts count up to 32 beats a bar",
            )


def _is_tempo(child: Element) -> bool:
    return child.get("tempo") is not None or any(
        each.tag == "metronome" or each.get("tempo") is not None for each in child.iter()
    )


def _is_known(mark: Element) -> bool:
    """True for a metronome mark with a note value and a number."""
    return mark.findtext("beat-unit", "").strip() in UNITS and bool(number_of(mark.findtext("per-minute")))


def _moved(child: Element, offset: Fraction) -> Element:
    """The direction with its metronome alone, at an offset from the barline."""
    if child.tag == "sound":
        moved = Element("sound", {"tempo": child.get("tempo", "")} if number_of(child.get("tempo")) else {})
        SubElement(moved, "offset").text = str(float(offset))
        return moved
    moved = Element("direction", child.attrib)
    kind = SubElement(moved, "direction-type")
    mark, sound = child.find("direction-type/metronome"), child.find("sound")
    if mark is not None and _is_known(mark):
        kind.append(mark)
    SubElement(moved, "offset").text = str(float(offset))
    if sound is not None and number_of(sound.get("tempo")):
        SubElement(moved, "sound", tempo=sound.get("tempo", ""))
    return moved
