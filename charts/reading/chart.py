"""Reading one chart: its own keys, then the form."""

from __future__ import annotations

from typing import NamedTuple

import yaml

from charts.reading.feels import FEEL_USE
from charts.reading.form import FormReader
from charts.reading.keys import BPM, COUNT_IN, METER, TEXT, apart, read_fields, row, single, table
from charts.reading.nodes import compose
from charts.reading.reader import Names, Reader
from charts.reading.section import groove_pattern
from charts.reading.shapes import NUMBER, a, a_list, written
from charts.reading.values import pickup
from charts.song import Song
from charts.source import Finding, Source, Span
from charts.timing import ANY_TEMPO, COMMON

_PICKUP = single(pickup, written(rf"none|({NUMBER}|\d+/\d+|\d+ \d+/\d+) beats?"))


class ChartKeys(Song):
    """The keys of a chart."""

    title = row(TEXT, "the song's title (required)", "name, song", needed="title: and the song's name")
    by = row(TEXT, "writer or artist", "artist, composer, author, band")
    key = row(TEXT, "the key: A, Bb, F# minor")
    meter = row(METER, "4/4 by default; 7/8 (2+2+3) for additive meters")
    tempo = row(BPM, "beats per minute (required)", needed="tempo: 92")
    feel = row(
        FEEL_USE,
        "the feel's name, or a feel defined in place (required)",
        needed="feel: straight eighths, or another of feelmap feels",
    )
    count_in = row(COUNT_IN, "1 bar, 2 bars, 3 beats or none; 1 bar by default")
    pickup = row(_PICKUP, "beats that sound before bar 1: 1 beat")
    groove = row(TEXT, "a pattern's name, or plain words")
    ending = row(TEXT, "how it ends, in plain words", "end, outro")
    notes = row(TEXT, "what to keep in mind", "note, comment")
    form = row(
        apart(a_list(a("form-line"))),
        "a line a section: NAME (BARS) xN open (required)",
        "sections, structure",
        needed="form: and a line a section below it",
    )


CHART = table(ChartKeys)


class ChartRead(NamedTuple):
    """A chart as far as it could be read; ``song`` is None where an error leaves no whole song.

    ``part`` is then what could be read of it, if anything: enough to look the names up that it uses.
    """

    song: Song | None
    findings: list[Finding]
    source: Source
    part: Song | None = None


def read_chart(source: Source, names: Names) -> ChartRead:
    """Read a chart; every problem of the file is told, not the first only."""
    document = compose(source)
    if document.root is None:
        return ChartRead(None, document.findings, source)
    reader = Reader(source, names)
    song = _song(reader, document.root)
    return ChartRead(None if reader.failed else song, _told_once(reader.findings), source, song)


def _told_once(findings: list[Finding]) -> list[Finding]:
    """In order of place; what several appearances inherit is in the file, and is told, once."""
    by_place = {(f.span.line, f.span.column, f.message) if f.span else (0, 0, f.message): f for f in findings}
    return [finding for _, finding in sorted(by_place.items(), key=lambda pair: pair[0][:2])]


def _song(reader: Reader, root: yaml.Node) -> Song | None:
    entries = reader.known(root, CHART, "a chart")
    if entries is None:
        return None
    for name, key in CHART.items():
        if key.needed and name not in entries and name not in reader.meant:  # told under its other name
            reader.say(Span(reader.source, 1, 1, 2), f"this chart has no {name}", f"write {key.needed}")
    given = read_fields(reader, CHART, entries)
    feel = given.get("feel") or reader.names.feel("straight eighths")
    if feel is None or "form" not in entries:
        return None
    song = Song(
        **{"title": "", "tempo": ANY_TEMPO, "meter": COMMON, **given, "feel": feel},
        form=(),
        groove_pattern=groove_pattern(reader.names, given.get("groove", "")),
        file=reader.source.name,
        span=reader.span(entries["title"].value) if "title" in entries else None,
        span_of=reader.spans_of(entries),
    )
    meter_known = "meter" in given or "meter" not in entries
    song.form = FormReader(reader, song, meter_known).read(entries["form"].value)
    return song
