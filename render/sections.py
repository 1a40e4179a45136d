"""Which sections of a song are meant by a name: every appearance, or one of them."""

from __future__ import annotations

from collections.abc import Sequence

from charts.appearances import no_such_appearance, no_such_section, plain_section
from charts.played import PlayedSection


def parts_named(parts: Sequence[PlayedSection], text: str, title: str) -> list[PlayedSection]:
    """The appearances of a section as played; ``Chorus#2`` is the second one alone.

    A part of a name is enough: of the names that it fits the first is meant. Raises with the nearest name
    where it fits none.
    """
    base, _, count = text.rpartition("#")
    found = _named(parts, text)
    if found:
        return found
    numbered = _named(parts, base) if base else []
    which = int(count) if count.strip().isdecimal() else 0
    if numbered and 1 <= which <= len(numbered):
        return [numbered[which - 1]]
    if numbered:
        raise no_such_appearance(numbered[0].section.name, count, len(numbered), title)
    raise no_such_section(text, text, [part.section.name for part in parts], title)


def _named(parts: Sequence[PlayedSection], text: str) -> list[PlayedSection]:
    wanted = plain_section(text)
    whole = [part for part in parts if plain_section(part.section.name) == wanted]
    if whole or not wanted:
        return whole
    inside = [part for part in parts if wanted in plain_section(part.section.name)]
    return [part for part in inside if part.section.name == inside[0].section.name]


def others_named(parts: Sequence[PlayedSection], text: str) -> list[str]:
    """The other names that a part of a name fits too; none where it is a name of its own."""
    names = {plain_section(part.section.name): part.section.name for part in parts}
    for wanted in (plain_section(text), plain_section(text.rpartition("#")[0])):
        fitting = [name for plain, name in names.items() if wanted and wanted in plain]
        if fitting:
            return [] if wanted in names else fitting[1:]
    return []
