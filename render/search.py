"""Which charts: by words of the title, feel, tempo and key, without reading more than is needed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from charts.book import Book
from charts.heads import Head, read_head
from charts.reading.values import Backwards, Bad, bpm, tempo_range
from charts.source import FeelmapError
from charts.spelling import nearest
from charts.titles import folded
from charts.wording import figure, plain_key
from render.terminal.ink import Ink
from render.terminal.listing import ListColumn, plain_listing

MOST_SAID = 60  # letters of what was asked for that a message says again
HALF_A_BEAT = Fraction(1, 2)  # a single tempo finds what rounds to it
_KEY = re.compile(r"[a-g][#b]?m?")  # as plain_key writes it
_COLUMNS = (
    ListColumn("title"),
    ListColumn("tempo", right=True),
    ListColumn("feel", 4),
    ListColumn("key", 3),
    ListColumn("meter", 2),
    ListColumn("file", 1),
)


def found_charts(
    book: Book, words: Sequence[str], feel: str | None, tempo: str | None, key: str | None
) -> list[Head]:
    """The heads of the charts that are all of that, in order of title.

    Words that no title has may also name a feel, a key or a tempo.
    """
    asked = [folded(word) for given in words for word in given.split()]
    within = _tempi(tempo) if tempo is not None else None
    wanted = _wanted(book, feel) if feel is not None else None
    paths = book.chart_paths()
    if asked:
        titled = [path for path in paths if _has(folded(book.title_of(path)), asked)]
        if not titled and (meant := _meaning(book, " ".join(words))) is not None:
            return [head for head in found_charts(book, (), feel, tempo, key) if meant(head)]
        paths = titled
    found = [
        head
        for head in (read_head(book, path) for path in paths)
        if (within is None or _in_tempi(head, within))
        and (wanted is None or _in_feels(head, wanted))
        and (key is None or _in_key(head, plain_key(key)))
    ]
    return sorted(found, key=lambda head: (folded(head.title), head.path.name))


def _in_tempi(head: Head, within: tuple[Fraction, Fraction]) -> bool:
    return head.tempo is not None and within[0] <= head.tempo <= within[1]


def _wanted(book: Book, feel: str) -> frozenset[str]:
    """The names of the feels that are asked for: one, or a family."""
    found = book.feels.group(feel) or (book.feels.named(feel),)
    return frozenset(each.name for each in found)


def _in_feels(head: Head, names: frozenset[str]) -> bool:
    return any(each.name in names for each in head.feels)


def _in_key(head: Head, key: str) -> bool:
    return bool(head.key) and plain_key(head.key) == key


def _meaning(book: Book, text: str) -> Callable[[Head], bool] | None:
    """What words that are in no title ask for: a feel, a tempo or a key; None for none of these."""
    if book.feels.group(text):
        names = _wanted(book, text)
        return lambda head: _in_feels(head, names)
    if _KEY.fullmatch(plain_key(text)):
        return lambda head: _in_key(head, plain_key(text))
    try:
        within = _tempi(text)
    except FeelmapError:
        return None
    return lambda head: _in_tempi(head, within)


def why_none(
    book: Book, words: Sequence[str], feel: str | None, tempo: str | None, key: str | None
) -> list[str]:
    """What to say where no chart was found: what is not there, and the nearest that is."""
    text = " ".join(words)
    text = text if len(text) <= MOST_SAID else f"{text[: MOST_SAID - 1]}…"
    heads = [read_head(book, path) for path in book.chart_paths()]
    if not heads:
        return ["this book has no chart yet"]
    if len([given for given in (text, feel, tempo, key) if given]) > 1:
        return ["no chart is all of that: leave one of them out"]
    if tempo is not None or (text and text[0].isdecimal()):
        return _no_tempo(heads, tempo or text)
    if feel is not None or book.feels.group(text):
        asked = feel or text
        own = book.feels.get(asked) if book.feels.group(asked) else book.feels.named(asked)
        return [f"no chart is in the feel {own.name}" if own else f"no chart is in a {asked} feel"]
    if key is not None or _KEY.fullmatch(plain_key(text)):
        return [f"no chart is in {key or text}"]
    like = nearest(folded(text), titles := {folded(head.title): head.title for head in heads})
    said = [f"no chart has “{text}” in its title, and it is not a feel, key or tempo"]
    meant = titles[like] if like else book.feels.nearest(text)
    return [*said, f"did you mean {meant}?"] if meant else said


def _no_tempo(heads: Sequence[Head], text: str) -> list[str]:
    try:
        low, high = _tempi(text)
    except FeelmapError:
        return [f"no chart has “{text}” in its title"]
    said = [f"no chart is at {text.strip()} bpm"]
    known = [head for head in heads if head.tempo is not None]
    near = min(known, key=lambda head: _away(head.tempo, low, high), default=None)
    return [*said, f"the nearest is {near.title}, at {figure(near.tempo)}"] if near and near.tempo else said


def _away(tempo: Fraction | None, low: Fraction, high: Fraction) -> Fraction:
    return Fraction(0) if tempo is None else max(low - tempo, tempo - high)


def _has(title: str, words: Sequence[str]) -> bool:
    return all(word in title for word in words)


def _tempi(text: str) -> tuple[Fraction, Fraction]:
    try:
        if re.fullmatch(r"\s*[\d.]+\s*", text):
            wanted = bpm(text)
            return wanted - HALF_A_BEAT, wanted + HALF_A_BEAT
        return tempo_range(text)
    except Backwards as bad:
        raise FeelmapError(bad.message, bad.hint) from None
    except Bad as bad:
        raise FeelmapError(bad.message, "write one tempo, 92, or a range, 90-100") from None


def heads_json(book: Book, heads: Sequence[Head]) -> list[dict[str, Any]]:
    """The rows of ``find --json``; what a broken chart does not tell is null."""
    return [
        {
            "name": head.path.stem,
            "title": head.title,
            "by": head.by or None,
            "key": head.key or None,
            "meter": str(head.meter) if head.meter else None,
            "tempo": round(float(head.tempo), 3) if head.tempo is not None else None,
            "feel": head.feel.name if head.feel else None,
            "file": book.name_of(head.path),
        }
        for head in heads
    ]


def heads_lines(book: Book, heads: Sequence[Head], width: int, ink: Ink) -> Iterator[str]:
    """The list on the screen."""
    if heads:
        rows = [
            [
                head.title,
                figure(head.tempo) if head.tempo is not None else "?",
                head.feel.name if head.feel else "?",
                head.key,
                str(head.meter) if head.meter else "?",
                book.name_of(head.path),
            ]
            for head in heads
        ]
        yield from plain_listing(_COLUMNS, rows, width, ink)
