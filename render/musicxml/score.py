"""The whole score: title, the drum part with its instruments, and the bytes of the file."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterable
from xml.etree.ElementTree import Element, indent, tostring

from charts.kit import ORDER
from charts.song import Song
from charts.version import VERSION
from render.musicxml.bars import song_bars
from render.musicxml.element import add
from render.musicxml.folding import WrittenBar, written_bars
from render.musicxml.measures import measures
from render.musicxml.notes import (
    GM_CHANNEL,
    OPEN_HAT,
    PART,
    gm_note,
    instrument_id,
    instrument_name,
    instrument_of,
)

Watch = Callable[[Iterable[Element]], Iterable[Element]]
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    ' "http://www.musicxml.org/dtds/partwise.dtd">'
)
CONTAINER = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<container><rootfiles><rootfile full-path="score.musicxml"'
    ' media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>\n'
)
MXL_TYPE = "application/vnd.recordare.musicxml"
ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip file knows: same song, same bytes


def musicxml(song: Song, watch: Watch = iter) -> bytes:
    """A song as MusicXML 4.0; ``watch`` is told of every bar as it is written."""
    written = written_bars(song_bars(song))
    opening = ['<?xml version="1.0" encoding="UTF-8"?>', DOCTYPE, '<score-partwise version="4.0">']
    head = [_text(element, 1) for element in (_work(song), _identification(song), _part_list(written))]
    body = [_text(measure, 2) for measure in watch(measures(song, written))]
    closing = [" </part>", "</score-partwise>", ""]
    return "\n".join([*opening, *head, f' <part id="{PART}">', *body, *closing]).encode()


def _text(element: Element, level: int) -> str:
    indent(element, " ", level)
    return " " * level + tostring(element, encoding="unicode")


def compressed(data: bytes) -> bytes:
    """The same in the compressed form, .mxl."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content, method in (
            ("mimetype", MXL_TYPE.encode(), zipfile.ZIP_STORED),
            ("META-INF/container.xml", CONTAINER.encode(), zipfile.ZIP_DEFLATED),
            ("score.musicxml", data, zipfile.ZIP_DEFLATED),
        ):
            member = zipfile.ZipInfo(name, ZIP_DATE)
            member.compress_type = method
            archive.writestr(member, content)
    return buffer.getvalue()


def _work(song: Song) -> Element:
    work = Element("work")
    add(work, "work-title", song.title)
    return work


def _identification(song: Song) -> Element:
    identification = Element("identification")
    if song.by:
        add(identification, "creator", song.by, type="composer")
    add(add(identification, "encoding"), "software", f"feelmap {VERSION}")
    said = {"key": song.key, "notes": song.notes}
    if any(said.values()):
        fields = add(identification, "miscellaneous")
        for name, text in said.items():
            if text:
                add(fields, "miscellaneous-field", text, name=name)
    return identification


def _part_list(written: list[WrittenBar]) -> Element:
    """The drum part with an instrument for everything that is struck."""
    struck = {
        instrument_of(stroke)
        for bar in written
        for beat in bar.bar.beats
        for stroke in beat.struck(bar.landing)
    }
    codes = sorted(struck, key=lambda code: (ORDER["HH" if code == OPEN_HAT else code], code == OPEN_HAT))
    parts = Element("part-list")
    part = add(parts, "score-part", id=PART)
    add(part, "part-name", "Drums")
    for code in codes:
        add(add(part, "score-instrument", id=instrument_id(code)), "instrument-name", instrument_name(code))
    for code in codes:
        midi = add(part, "midi-instrument", id=instrument_id(code))
        add(midi, "midi-channel", GM_CHANNEL)
        add(midi, "midi-program", 1)
        add(midi, "midi-unpitched", gm_note(code) + 1)  # MusicXML counts from 1
    return parts
