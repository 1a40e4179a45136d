"""A section asked for by its name: which appearances are meant, and what to say where it is not there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

from charts.book import Book
from charts.song import Song
from charts.source import FeelmapError, UnknownName
from charts.spelling import nearest
from charts.titles import folded


def plain_section(name: str) -> str:
    """A section's name without case, accents and hyphens.

    >>> plain_section("Pre-Chorus  2")
    'pre chorus 2'
    """
    return folded(" ".join(name.replace("-", " ").split()))


def chart_of(book: Book, name: str, section: str | None) -> Path:
    """The chart of a song whose section is asked for; says so where the two stand the wrong way round."""
    try:
        return book.look_up(name)
    except UnknownName as unknown:
        if section is not None and _is_chart(book, section):
            raise FeelmapError(unknown.message, "the song comes first, then its section") from None
        raise


def _is_chart(book: Book, name: str) -> bool:
    try:
        return bool(book.look_up(name))
    except FeelmapError:
        return False


class Named(NamedTuple):
    """The appearances in the form that a name means, and the other names that the same part of one fits."""

    places: list[int]
    others: list[str]


def named(song: Song, text: str) -> Named:
    """Every appearance of ``Chorus``, or the one of ``Chorus#2``.

    A part of a name is enough: of the names that it fits the first is meant. Raises with the nearest name
    where it fits none.
    """
    whole = _fitting(song, text)
    if whole.places:
        return whole
    base, _, count = text.rpartition("#")
    found = _fitting(song, base)
    if not found.places:
        raise _no_such_section(song, text, base or text)
    which = int(count[:9]) if count.strip().isdecimal() else 0
    if not 1 <= which <= len(found.places):
        raise _no_such_appearance(song, count, found.places)
    return Named([found.places[which - 1]], found.others)


def all_named(song: Song, text: str) -> list[int]:
    """Every appearance of ``Chorus``, or that of ``Chorus#2``; raises where several names are meant."""
    found = named(song, text)
    if found.others:
        first = song.form[found.places[0]].name
        raise FeelmapError(f"“{text}” could be {', '.join([first, *found.others])}", "write more of the name")
    return found.places


def one_named(song: Song, text: str) -> int:
    """The first appearance of ``Chorus``, or that of ``Chorus#2``; raises where several names are meant."""
    return all_named(song, text)[0]


def _fitting(song: Song, text: str) -> Named:
    wanted = plain_section(text)
    names = [plain_section(section.name) for section in song.form]
    fitting = list(dict.fromkeys(name for name in names if wanted and wanted in name))
    meant = wanted if wanted in fitting else next(iter(fitting), None)
    places = [place for place, name in enumerate(names) if name == meant]
    others = [] if meant == wanted else fitting[1:]
    return Named(places, [song.form[names.index(name)].name for name in others])


def _no_such_appearance(song: Song, count: str, places: list[int]) -> FeelmapError:
    name, times = song.form[places[0]].name, len(places)
    often, last = (f"{times} times", f" to {name}#{times}") if times > 1 else ("once", "")
    message = f"{name} appears {often} in {song.title}, there is no #{count.strip()}"
    return FeelmapError(message, f"write {name}#1{last}")


def _no_such_section(song: Song, text: str, base: str) -> FeelmapError:
    known = {plain_section(section.name): section.name for section in song.form}
    like = nearest(plain_section(base), known)
    counted = re.fullmatch(r"(.*\D)(\d+)", text, re.DOTALL)
    once = plain_section(counted[1]) if counted else ""
    if counted and once in known:  # chorus 2
        hint = f"did you mean {known[once]}#{counted[2]}?"
    else:
        hint = f"did you mean {known[like]}?" if like else f"it has {', '.join(known.values())}"
    return FeelmapError(f"{song.title} has no section “{text}”", hint)
