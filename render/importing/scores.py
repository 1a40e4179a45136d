"""MusicXML scores as sheets: bars, meters, keys, tempi and repeats by music21, the rest by its elements."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any
from xml.etree.ElementTree import Element, tostring

from charts.source import FeelmapError
from charts.timing import Meter
from charts.wording import many
from render.importing.drumpart import Kit, strokes_of
from render.importing.elements import Walk, partwise
from render.importing.quiet import quietly
from render.importing.score import MOST_PLAYED, Bar, Score, Tempo, key_text, meter_of
from render.importing.signs import read_signs
from render.importing.skeleton import skeleton

FINEST = 10_000  # denominators of music21's places and lengths
START = Fraction(0)
MXL = "MusicXML"


def read_musicxml(root: Element) -> Score:
    """A score's sheet.

    :raises FeelmapError: no score, no bars, or what music21 cannot read.
    """
    score = partwise(root)
    parts = score.findall("part")
    if not parts or not any(part.find("measure") is not None for part in parts):
        raise FeelmapError("this score has no bars", "give a score with at least one part")
    guide, drums = _guide(parts), _drums(score, parts)
    if len(guide.findall("measure")) > MOST_PLAYED:
        raise FeelmapError(f"this score has more than {MOST_PLAYED} bars", "give one song alone")
    sheet = Score([])
    with quietly(MXL):
        _music(*skeleton(score, guide), sheet)
    _head(score, sheet)
    read_signs(guide, sheet)
    if drums is not None:
        _strokes(score, drums, sheet)
    chords = sum(1 for _ in score.iter("harmony"))
    if chords:
        sheet.lose(f"{many(chords, 'chord symbol')}: a chart has none")
    if next(score.iter("lyric"), None) is not None:
        sheet.lose("the words that are sung: a chart has none")
    others = len(parts) - 1 - (drums is not None and drums is not guide)
    if others:
        sheet.lose(f"{others} of {len(parts)} parts: a chart has no pitched notes")
    elif drums is not guide:
        sheet.lose("the notes of the part: a chart has no pitched notes")
    return sheet


def _guide(parts: list[Element]) -> Element:
    """The part whose signs are followed: the first with rehearsal marks, else the first."""
    return next((part for part in parts if part.find(".//rehearsal") is not None), parts[0])


def _drums(score: Element, parts: list[Element]) -> Element | None:
    """The part with most unpitched notes; None where there is none."""
    counts = {id(part): sum(1 for _ in part.iter("unpitched")) for part in parts}
    fullest = max(parts, key=lambda part: counts[id(part)])
    return fullest if counts[id(fullest)] else None


def _music(score: Element, lengths: list[Fraction], sheet: Score) -> None:
    """Bars with their meters, lengths, keys, tempi and repeat signs."""
    from music21.musicxml.xmlToM21 import MusicXMLImporter

    importer = MusicXMLImporter()
    importer.xmlText = tostring(score, encoding="unicode")
    importer.parseXMLText()
    stream = importer.stream
    meter = Meter(4, 4)
    measures = stream.parts[0].getElementsByClass("Measure")
    for measure, length in zip(measures, lengths, strict=True):
        number = str(measure.measureNumberWithSuffix())
        signature = measure.timeSignature
        if signature is not None:
            meter = _meter(signature, sheet, number)
        bar = Bar(number, meter, length or meter.quarters)
        _barlines(measure, bar)
        bar.tempos = list(_tempos(measure))
        sheet.bars.append(bar)
    key = next(iter(stream.parts[0].recurse().getElementsByClass("KeySignature")), None)
    if key is not None:
        sheet.key = key_text(key)
    metadata = stream.metadata
    sheet.title = str(metadata.title or metadata.movementName or "") if metadata else ""
    sheet.by = str(metadata.composer or "") if metadata else ""


def _fraction(value: Any) -> Fraction:
    return Fraction(value).limit_denominator(FINEST)


def _meter(signature: Any, sheet: Score, number: str) -> Meter:
    """music21's time signature; additive ones keep their groups."""
    groups = [int(part.numerator) for part in signature.displaySequence]
    lowers = {int(part.denominator) for part in signature.displaySequence}
    if len(lowers) != 1:
        return meter_of([int(signature.numerator)], int(signature.denominator), sheet, number)
    return meter_of(groups, lowers.pop(), sheet, number)


def _barlines(measure: Any, bar: Bar) -> None:
    left, right = measure.leftBarline, measure.rightBarline
    bar.opens = getattr(left, "direction", None) == "start"
    if getattr(right, "direction", None) == "end":
        bar.times = int(right.times or 2)
    bar.double = right is not None and getattr(right, "type", "") in (
        "double",
        "light-light",
        "final",
        "light-heavy",
    )


def _tempos(measure: Any) -> Iterator[Tempo]:
    """Metronome marks, and the tempi that are only for the ear."""
    for mark in measure.recurse().getElementsByClass("MetronomeMark"):
        shown = mark.number is not None
        if shown and mark.numberImplicit:
            continue  # music21's own idea of what Allegro is
        quarters = mark.getQuarterBPM(useNumberSounding=not shown)
        if quarters and quarters > 0:
            at = _fraction(mark.getOffsetInHierarchy(measure))
            yield Tempo(at, Fraction(quarters).limit_denominator(1000), shown)


def _head(score: Element, sheet: Score) -> None:
    """Title and writer as written; a key in words of our own exports."""
    for field in score.iterfind("identification/miscellaneous/miscellaneous-field"):
        text = " ".join((field.text or "").split())
        if field.get("name") == "key" and text:
            sheet.key = text
        elif field.get("name") == "notes" and text:
            sheet.notes = text
    if not sheet.title:
        credits = [(each.text or "").strip() for each in score.iterfind("credit/credit-words")]
        sheet.title = next((text for text in credits if text), "")


def _strokes(score: Element, drums: Element, sheet: Score) -> None:
    """The drum part's strokes, bar by bar."""
    declared = [each for each in score.iterfind("part-list/score-part") if each.get("id") == drums.get("id")]
    kit, walk, unknown = Kit(declared[0] if declared else None), Walk(), 0
    for measure, bar in zip(drums.iterfind("measure"), sheet.bars, strict=False):
        bar.strokes, lost = strokes_of(walk.measure(measure), kit)
        unknown += lost
    if unknown:
        sheet.lose(f"{many(unknown, 'percussion note')}: no drum of a kit has them")
