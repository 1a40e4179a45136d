"""What ``fills`` was asked for, read from its options; each wrong one says what to write instead."""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING

from charts.source import FeelmapError

if TYPE_CHECKING:
    from charts.book import Book
    from charts.feel import Feel
    from charts.pattern import Pattern
    from render.terminal.patterns_view import PatternFilter


def wanted_patterns(
    book: Book,
    feel: str | None,
    tempo: str | None,
    beats: int | None,
    voices: str | None,
    size: str | None,
    kind: str | None,
) -> PatternFilter:
    """The options of ``fills`` as one question."""
    from charts.pattern import FILL, GROOVE
    from render.cli.common import tempo_given
    from render.terminal.patterns_view import SIZES, PatternFilter

    return PatternFilter(
        _feels(book, feel) if feel is not None else (),
        tempo_given(tempo) if tempo is not None else None,
        beats,
        _voices(voices),
        _one_of(size, SIZES, "size"),
        _one_of(kind, (FILL, GROOVE), "kind of pattern"),
    )


def _voices(text: str | None) -> frozenset[str]:
    """Codes or names of voices; without commas each word is one, unless all of them are a single name."""
    from charts.kit import plain_voice as plain
    from charts.kit import spoken_voices

    known, asked = spoken_voices(), text or ""
    parts = asked.split(",") if "," in asked or plain(asked) in known else asked.split()
    found: set[str] = set()
    for part in filter(str.strip, parts):
        if plain(part) in known:
            found.update(known[plain(part)])
            continue
        words = part.split() if len(part.split()) > 1 else []
        if not words or any(plain(word) not in known for word in words):
            raise _no_voice(part.strip())
        found.update(code for word in words for code in known[plain(word)])
    return frozenset(found)


def _no_voice(text: str) -> FeelmapError:
    from charts.kit import VOICES
    from charts.spelling import nearest

    by_name = {voice.name: code for code, voice in VOICES.items()}
    like = nearest(text, by_name)
    hint = f"did you mean {by_name[like]}, {like}?" if like else f"use some of {' '.join(VOICES)}"
    return FeelmapError(f"“{text}” is not a voice", hint)


def _one_of(text: str | None, allowed: object, what: str) -> str | None:
    choices = list(allowed)  # type: ignore[call-overload]  # a table or a list of words
    if text is None:
        return None
    plain = text.casefold().removesuffix("s")
    if plain not in choices:
        raise FeelmapError(f"“{text}” is not a {what}", f"write {', '.join(choices[:-1])} or {choices[-1]}")
    return plain


def by_style(book: Book, feel: str | None, found: list[Pattern]) -> tuple[list[Pattern], list[Pattern]]:
    """What is made for a feel, its family, then any feel; and what fits its grid, made for another."""
    if feel is None:
        return found, []
    from charts.families import ELSEWHERE, kinship

    wanted = [kinship(each, book.feels) for each in _feels(book, feel)]
    levels = [min(each.made_for(pattern)[0] for each in wanted) for pattern in found]
    ranked = sorted(zip(levels, found, strict=True), key=itemgetter(0))
    own = [pattern for level, pattern in ranked if level != ELSEWHERE]
    return own, [pattern for level, pattern in ranked if level == ELSEWHERE]


def _feels(book: Book, name: str) -> tuple[Feel, ...]:
    """The feel of that name; where only a family is called that, its feels."""
    found = book.feels.get(name)
    return (found,) if found else book.feels.group(name) or (book.feels.named(name),)


def chosen_patterns(book: Book, name: str | None, wanted: PatternFilter) -> list[Pattern]:
    """The patterns of that name or with those words in it, else all, as far as they are wanted."""
    from charts.vocabularies import with_words
    from render.cli.common import pattern_named
    from render.terminal.saying import say

    if name is not None and book.patterns.entry(name) is None:
        matching = with_words(name, book.patterns.names())
        found = [pattern for known in matching if (pattern := book.patterns.get(known))]
        return (
            [pattern for pattern in found if wanted.admits(pattern)] if found else [pattern_named(book, name)]
        )
    if name is not None:
        return [pattern_named(book, name)]
    found = [pattern for pattern in book.patterns if wanted.admits(pattern)]
    broken = sum(finding.is_error for finding in book.patterns.findings)
    if broken:
        say(f"{broken} of the book's patterns cannot be read: feelmap check explains")
    return found
