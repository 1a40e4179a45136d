"""MusicXML files as scores: which part is followed, the head, and what the other parts lose."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from charts.source import FeelmapError
from charts.timing import COMMON
from charts.wording import many
from render.importing.drumpart import Kit, strokes_of
from render.importing.limits import BARS
from render.importing.measures import MeasureReader
from render.importing.score import Score
from render.importing.walk import Walk, partwise
from render.importing.xmltree import text_of


def read_musicxml(root: Element) -> Score:
    """A score from its elements.

    :raises FeelmapError: no score, no bars, or what charts cannot count.
    """
    file = partwise(root)
    parts = file.findall("part")
    if not any(part.find("measure") is not None for part in parts):
        raise FeelmapError("this score has no bars", "give a score with at least one part")
    guide, drums = _guide(parts), _drums(parts)
    measures = guide.findall("measure")
    BARS.hold(len(measures), "this score")
    score = Score()
    _head(file, score)
    reader = MeasureReader(score, COMMON)
    for measure in measures:
        reader.read(measure)
    if drums is not None:
        _strokes(file, drums, score)
    _losses(file, parts, guide, drums, score)
    return score


def _guide(parts: list[Element]) -> Element:
    """The part whose signs are followed: the first with rehearsal marks, else the first."""
    return next((part for part in parts if part.find(".//rehearsal") is not None), parts[0])


def _drums(parts: list[Element]) -> Element | None:
    """The part with most unpitched notes; None where there is none."""
    counts = [sum(1 for _ in part.iter("unpitched")) for part in parts]
    return parts[counts.index(max(counts))] if any(counts) else None


def _head(file: Element, score: Score) -> None:
    titles = [text_of(file, "work/work-title"), text_of(file, "movement-title")]
    titles += [text_of(each) for each in file.iterfind("credit/credit-words")]
    score.title = next(filter(None, titles), "")
    score.by = text_of(file, "identification/creator[@type='composer']")


def _strokes(file: Element, drums: Element, score: Score) -> None:
    """The drum part's strokes, bar by bar."""
    listed = (each for each in file.iterfind("part-list/score-part") if each.get("id") == drums.get("id"))
    kit, walk, unknown = Kit(next(listed, None)), Walk(), 0
    for measure, bar in zip(drums.iterfind("measure"), score.bars, strict=False):
        bar.strokes, lost = strokes_of(walk.measure(measure), kit)
        unknown += lost
    if unknown:
        score.lose(f"{many(unknown, 'percussion note')}: no drum of a kit has them")


def _losses(file: Element, parts: list[Element], guide: Element, drums: Element | None, score: Score) -> None:
    chords = sum(1 for _ in file.iter("harmony"))
    if chords:
        score.lose(f"{many(chords, 'chord symbol')}: a chart has none")
    if next(file.iter("lyric"), None) is not None:
        score.lose("the words that are sung: a chart has none")
    others = len(parts) - 1 - (drums is not None and drums is not guide)
    if others:
        score.lose(f"{others} of {len(parts)} parts: a chart has no pitched notes")
    elif drums is not guide:
        score.lose("the notes of the part: a chart has no pitched notes")
