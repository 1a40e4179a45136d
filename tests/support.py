"""What many tests need: songs and findings from text that is in the test."""

from __future__ import annotations

import io
from fractions import Fraction
from pathlib import Path
from textwrap import dedent

from charts.book import Book
from charts.check.run import check_song
from charts.feel import Feel
from charts.notation import read_rows
from charts.pattern import FILL, Pattern, Stroke
from charts.performance import perform
from charts.reading.chart import ChartRead, read_chart
from charts.song import Song
from charts.source import Finding, Source
from charts.strokes import Grooves
from charts.timing import Meter
from charts.verdict import TOLERANCE_MS, BeatVerdict, judge, judge_beat
from render.sound.clicks import clicks
from render.sound.striking import drum_hits

BOOK = Book.shipped()
QUARTER = Meter.read("4/4").beats[0]
DOTTED = Meter.read("6/8").beats[0]


def read(text: str, book: Book = BOOK) -> ChartRead:
    """A chart as read."""
    return read_chart(Source("charts/test.yaml", dedent(text).lstrip("\n")), book)


def song(text: str, book: Book = BOOK) -> Song:
    """A chart that must read without an error."""
    found = read(text, book)
    assert found.song is not None, [finding.message for finding in found.findings]
    return found.song


def form(*lines: str, head: str = "") -> Song:
    """A song of these form lines over straight eighths at 100."""
    return song(chart(*lines, head=head))


def chart(*lines: str, head: str = "", feel: str = "straight eighths", tempo: str = "100") -> str:
    """A chart's text with these form lines."""
    body = "".join(f"  - {line}\n" for line in lines)
    return f"title: Test\ntempo: {tempo}\nfeel: {feel}\n{head}form:\n{body}"


def findings(text: str, book: Book = BOOK) -> list[Finding]:
    """What reading and the rules find in a chart."""
    found = read(text, book)
    return found.findings if found.song is None else [*found.findings, *check_song(book, found.song)]


def of_rule(found: list[Finding], rule: str) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in found if finding.rule == rule]


def song_midi(tune: Song, subdivide: bool = False, warn: int = 0, grooves: Grooves | None = None) -> bytes:
    """A song's click as MIDI, and its drums where ``grooves`` has what a section is played with."""
    from render.sound.midi import line_midi

    line = perform(tune)
    return line_midi(line, clicks(line, subdivide, warn), drum_hits(line, grooves) if grooves else ())


def verdict(onsets: str, feel: Feel, bpm: int | Fraction, beat: object = QUARTER) -> BeatVerdict:
    """The verdict on onsets written like "0 1/2", with the next beat struck."""
    places = tuple(Fraction(at) for at in onsets.split())
    return judge_beat(
        places, feel.grid(beat, Fraction(bpm)), 60000 * beat.units / Fraction(bpm), TOLERANCE_MS
    )  # type: ignore[arg-type,attr-defined]


def judged(beats: str, feel: Feel, bpm: int | Fraction, struck: bool = True) -> tuple[BeatVerdict, ...]:
    """The verdicts on a fill of plain beats written like "0 1/2, 1/3"; ``struck``: so is the next beat."""
    strokes = [
        Stroke(number, Fraction(at), "SD")
        for number, beat in enumerate(beats.split(","))
        for at in beat.split()
    ]
    count = beats.count(",") + 1
    lands = Fraction(1) if struck else None
    under = [(QUARTER, Fraction(bpm))] * count
    return judge(Pattern("test", FILL, count, tuple(strokes)), feel, under, TOLERANCE_MS, lands)


def pattern(rows: str, name: str = "test", kind: str = FILL) -> Pattern:
    """A pattern that must read without a problem."""
    found = read_rows(dedent(rows).strip())
    assert not found.problems, found.problems
    return Pattern(name, kind, found.beats, found.strokes)


def feel(name: str) -> Feel:
    """A shipped feel."""
    found = BOOK.feels.get(name)
    assert found is not None, name
    return found


def write_book(folder: Path, **files: str) -> Book:
    """A book in a folder; keys are paths with ``__`` for ``/``, without the ending."""
    (folder / "charts").mkdir(exist_ok=True)
    (folder / "book.yaml").touch()
    for name, text in files.items():
        path = folder / (name.replace("__", "/") + ".yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(dedent(text).lstrip("\n"), encoding="utf-8")
    return Book(folder)


def standard_input(text: str) -> io.TextIOWrapper:
    """A text as it comes in on standard input."""
    return io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8")
