"""What ``fills`` was asked for, read from its options; each wrong one says what to write instead."""

from __future__ import annotations

from typing import TYPE_CHECKING

from charts.source import FeelmapError

if TYPE_CHECKING:
    from charts.book import Book
    from charts.pattern import Pattern
    from render.terminal.patterns_view import Wanted


def wanted_patterns(
    book: Book,
    feel: str | None,
    tempo: str | None,
    beats: int | None,
    voices: str | None,
    size: str | None,
    kind: str | None,
) -> Wanted:
    """The options of ``fills`` as one question."""
    from charts.pattern import FILL, GROOVE
    from render.cli.common import feel_named, tempo_given
    from render.terminal.patterns_view import SIZES, Wanted

    return Wanted(
        feel_named(book, feel) if feel is not None else None,
        tempo_given(tempo, tempo) if tempo is not None else None,
        beats,
        _voices(voices),
        _one_of(size, SIZES, "size"),
        _one_of(kind, (FILL, GROOVE), "kind of pattern"),
    )


def _voices(text: str | None) -> frozenset[str]:
    from charts.kit import SPELLINGS, VOICES

    found = set()
    for code in (text or "").replace(",", " ").split():
        if code.upper() not in SPELLINGS:
            raise FeelmapError(f"“{code}” is no voice", f"use some of {' '.join(VOICES)}")
        found.add(SPELLINGS[code.upper()])
    return frozenset(found)


def _one_of(text: str | None, allowed: object, what: str) -> str | None:
    choices = list(allowed)  # type: ignore[call-overload]  # a table or a list of words
    if text is None:
        return None
    plain = text.casefold().removesuffix("s")
    if plain not in choices:
        raise FeelmapError(f"“{text}” is no {what}", f"write {', '.join(choices[:-1])} or {choices[-1]}")
    return plain


def chosen_patterns(book: Book, name: str | None, wanted: Wanted) -> list[Pattern]:
    """The patterns of that name or with those words in it, else all, as far as they are wanted."""
    from charts.book import folded
    from render.cli.common import pattern_named, say

    if name is not None and book.patterns.entry(name) is None:
        part = folded(name.strip())
        matching = [known for known in book.patterns.names() if part and part in folded(known)]
        found = [pattern for known in matching if (pattern := book.patterns.get(known))]
        return [pattern for pattern in found if wanted.admits(pattern)] or [pattern_named(book, name)]
    if name is not None:
        return [pattern_named(book, name)]
    found = [pattern for pattern in book.patterns if wanted.admits(pattern)]
    broken = sum(finding.is_error for finding in book.patterns.findings)
    if broken:
        say(f"{broken} of the book's patterns cannot be read: feelmap check tells why")
    return found
