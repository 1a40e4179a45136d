"""A new chart from one line, written with comments that say what else can be in it."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from charts.book import CHARTS, Book
from charts.check.run import check_song
from charts.quoting import scalar
from charts.reading.chart import read_chart
from charts.reading.lines import form_line
from charts.reading.values import Bad, bpm, meter, words
from charts.source import FeelmapError, Source
from charts.titles import folded
from charts.wording import control_in
from charts.writing import write_together

_LETTERS = str.maketrans({"ø": "o", "đ": "d", "ð": "d", "ł": "l", "æ": "ae", "œ": "oe", "þ": "th", "ı": "i"})
_LONGEST = 80  # characters of a file name
_TEXT = """\
# Everything after a # is a note to yourself; every key but title, tempo, feel and form may be left out.
title: {title}
{by}
{key}
meter: {meter}
{tempo:<24}# beats per minute
feel: {feel}
count-in: 1 bar         # 2 bars, 3 beats, none
# groove: a pattern's name, or plain words
# ending: cold on 1
# notes: watch the singer before the bridge

# A section a line: NAME (BARS) xTIMES open; a name alone repeats its section. More goes after a colon:
#   - Chorus (8) x2: {{cue: all in, dynamics: f, hits: 3.1 3.2&, fill: a fill's name}}
form:
{form}
"""


@dataclass(frozen=True)
class Start:
    """What is known of a song at the start; texts as a person gives them."""

    title: str
    feel: str
    tempo: str
    form: str
    key: str = ""
    meter: str = ""
    by: str = ""


def file_stem(title: str) -> str:
    """A file name from a title: small letters without accents, words separated by hyphens.

    >>> file_stem("L'été — Ça ira, Øyvind!")
    'lete-ca-ira-oyvind'
    >>> file_stem("?!")
    'song'
    """
    parts = unicodedata.normalize("NFKD", title.casefold().translate(_LETTERS))
    plain = "".join(char for char in parts if not unicodedata.combining(char)).translate(_LETTERS)
    return re.sub(r"[\W_]+", "-", re.sub(r"['’]", "", plain)).strip("-")[:_LONGEST].strip("-") or "song"


def new_chart(start: Start, book: Book, name: str) -> str:
    """The text of a new chart that reads back as asked and passes the check.

    ``name`` is what messages call the file. Raises FeelmapError with what to write instead.
    """
    feel = book.feels.named(start.feel)
    try:
        text = _TEXT.format(
            title=_line("title", start.title),
            by=_optional("by", start.by, "writer or artist"),
            key=_optional("key", start.key, "A"),
            meter=meter(start.meter or "4/4"),
            tempo=f"tempo: {_tempo(start.tempo)}",
            feel=scalar(feel.name, flow=False),
            form="\n".join(f"  - {line}" for line in _form(start.form)),
        )
    except Bad as bad:
        raise FeelmapError(bad.message, bad.hint) from None
    _check(Source(name, text), words(start.title), book)
    return text


def write_new_chart(start: Start, book: Book) -> Path:
    """Write a new chart into the book, its file named after the title; nothing is overwritten.

    :raises FeelmapError: the chart cannot be meant, or a song or file of that name is there.
    """
    assert book.root is not None  # a book that was found has a folder
    title = folded(words(start.title))
    for path in book.chart_paths():
        if folded(words(book.title_of(path))) == title or path.stem == file_stem(start.title):
            raise FeelmapError(f"{book.title_of(path)} is already there, in {path}", "choose another title")
    path = book.root / CHARTS / f"{file_stem(start.title)}.yaml"
    text = new_chart(start, book, book.name_of(path))
    write_together({path: text.encode("utf-8")}, replace=False, folders=True)
    return path


def _line(what: str, text: str) -> str:
    plain = words(text)
    if not plain:
        raise Bad(f"the {what} is empty", "write a few words")
    control = control_in(text)
    if control:
        raise Bad(f"control character {control} in the {what}", "leave it out")
    return scalar(plain, flow=False)


def _optional(key: str, text: str, example: str) -> str:
    return f"{key}: {_line(key, text)}" if text.strip() else f"# {key}: {example}"


def _tempo(text: str) -> str:
    bpm(text)
    return words(text)


def _form(text: str) -> list[str]:
    """The lines of the form: separated by commas, except inside brackets."""
    lines = [words(part) for part in re.split(r",(?![^()]*\))", text)]
    if not all(lines):
        raise Bad("the form has an empty part", 'write --form "Intro (4), Verse (8), Chorus (8) x2"')
    for line in lines:
        form_line(line)
    return [_line("form", line) for line in lines]


def _check(source: Source, title: str, book: Book) -> None:
    read = read_chart(source, book)
    found = read.findings if read.song is None else check_song(book, read.song)
    for finding in found:
        if finding.is_error:
            raise FeelmapError(finding.message, finding.hint)
    if read.song is None or read.song.title != title:
        raise FeelmapError("the chart would not read back as meant", "choose plainer words for it")
