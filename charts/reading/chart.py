"""Reading one chart: its own keys, then the form."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, NamedTuple

import yaml

from charts.reading.form import FormReader, SongDefaults
from charts.reading.nodes import compose
from charts.reading.reader import Reader
from charts.reading.section import groove_pattern, read_feel_use
from charts.reading.uses import Names
from charts.reading.values import bpm, count_in, meter, pickup, words
from charts.song import NOUGHT, ONE_BAR, Song
from charts.source import Finding, Source, Span
from charts.timing import ANY_TEMPO, COMMON, Meter

CHART_KEYS = {
    "title": "the song's title (required)",
    "by": "writer or artist",
    "key": "the key: A, Bb, F# minor",
    "meter": "4/4 unless said; 7/8 (2+2+3) for additive meters",
    "tempo": "felt beats a minute (required)",
    "feel": "the feel's name, or a feel defined in place (required)",
    "count-in": "1 bar, 2 bars, 3 beats or none; 1 bar unless said",
    "pickup": "beats that sound before bar 1: 1 beat",
    "groove": "a pattern's name, or plain words",
    "ending": "how it ends, in plain words",
    "notes": "what to keep in mind",
    "form": "a line a section: NAME (BARS) xN open (required)",
}
REQUIRED = ("title", "tempo", "feel", "form")
_EXAMPLES = {
    "title": "title: and the song's name",
    "tempo": "tempo: 92",
    "feel": "feel: straight eighths, or another of feelmap feels",
    "form": "form: and a line a section below it",
}


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
    reader = Reader(source)
    song = _song(reader, names, document.root)
    return ChartRead(None if reader.failed else song, _told_once(reader.findings), source, song)


def _told_once(findings: list[Finding]) -> list[Finding]:
    """In order of place; what several appearances inherit stands in the file, and is told, once."""
    if not findings:
        return findings
    by_place = {(f.span.line, f.span.column, f.message) if f.span else (0, 0, f.message): f for f in findings}
    return [finding for _, finding in sorted(by_place.items(), key=lambda pair: pair[0][:2])]


def _song(reader: Reader, names: Names, root: yaml.Node) -> Song | None:
    entries = reader.known(root, CHART_KEYS, "a chart")
    if entries is None:
        return None
    for key in REQUIRED:
        if key not in entries and key not in reader.meant:  # told already, under its other name
            reader.say(Span(reader.source, 1, 1, 2), f"this chart has no {key}", f"write {_EXAMPLES[key]}")

    def read(key: str, parse: Any, default: Any) -> Any:
        if key not in entries:
            return default
        found = reader.value(entries[key].value, parse, key)
        return default if found is None else found

    feel = read_feel_use(reader, names, entries["feel"].value) if "feel" in entries else None
    tempo: Fraction | None = read("tempo", bpm, None)
    groove = read("groove", words, "")
    pattern = groove_pattern(names, groove) if groove else None
    given: Meter | None = read("meter", meter, None)
    bar = given or COMMON
    fallback = feel or names.feel("straight eighths")
    if fallback is None or "form" not in entries:
        return None
    known = given is not None or "meter" not in entries
    defaults = SongDefaults(fallback, bar, tempo or ANY_TEMPO, groove, pattern, known)
    form = FormReader(reader, names, defaults).read(entries["form"].value)
    return Song(
        read("title", words, ""),
        form,
        fallback,
        defaults.tempo,
        bar,
        read("by", words, ""),
        read("key", words, ""),
        read("count-in", count_in, ONE_BAR),
        read("pickup", pickup, NOUGHT),
        groove,
        pattern,
        read("ending", words, ""),
        read("notes", words, ""),
        reader.source.name,
        reader.span(entries["title"].value) if "title" in entries else None,
        reader.spans_of(entries),
    )
