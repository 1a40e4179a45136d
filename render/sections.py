"""Which sections of a song are meant by a name: every appearance, or one of them."""

from __future__ import annotations

from collections.abc import Sequence

from charts.book import folded
from charts.played import PlayedSection
from charts.source import FeelmapError
from charts.spelling import nearest


def parts_named(parts: Sequence[PlayedSection], text: str, title: str) -> list[PlayedSection]:
    """The appearances of a section as played; ``Chorus#2`` is the second one alone.

    A part of a name is enough: of the names that it fits the first is meant. Raises with the nearest name
    where it fits none.
    """
    base, _, count = text.rpartition("#")
    found = _named(parts, text)
    if found or not base:
        return found or _refuse(parts, text, title)
    found = _named(parts, base)
    which = int(count) if count.strip().isdecimal() else 0
    if found and 1 <= which <= len(found):
        return [found[which - 1]]
    if found:
        times = f"{len(found)} times" if len(found) > 1 else "once"
        name = found[0].section.name
        last = f" to {name}#{len(found)}" if len(found) > 1 else ""
        raise FeelmapError(
            f"{name} appears {times} in {title}, there is no #{count}", f"write {name}#1{last}"
        )
    return _refuse(parts, text, title)


def _named(parts: Sequence[PlayedSection], text: str) -> list[PlayedSection]:
    wanted = _plain(text)
    whole = [part for part in parts if _plain(part.section.name) == wanted]
    if whole or not wanted:
        return whole
    inside = [part for part in parts if wanted in _plain(part.section.name)]
    return [part for part in inside if part.section.name == inside[0].section.name]


def others_named(parts: Sequence[PlayedSection], text: str) -> list[str]:
    """The other names that a part of a name fits too; none where it is a name of its own."""
    names = {_plain(part.section.name): part.section.name for part in parts}
    for wanted in (_plain(text), _plain(text.rpartition("#")[0])):
        fitting = [name for plain, name in names.items() if wanted and wanted in plain]
        if fitting:
            return [] if wanted in names else fitting[1:]
    return []


def _plain(name: str) -> str:
    return folded(" ".join(name.replace("-", " ").split()))


def _refuse(parts: Sequence[PlayedSection], text: str, title: str) -> list[PlayedSection]:
    names = {_plain(part.section.name): part.section.name for part in parts}
    like = nearest(_plain(text), names)
    hint = f"did you mean {names[like]}?" if like else f"it has {', '.join(names.values())}"
    raise FeelmapError(f"{title} has no section “{text}”", hint)
