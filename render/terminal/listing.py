"""A plain list in columns: no rules, no boxes, cut where the terminal ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from render.terminal.ink import DIM, Ink, cells, cut, padded

GAP = 2
LOOSE = 18  # columns under which a sentence is not worth starting
NARROWEST = 8  # columns to which the words of a column are cut, at least


@dataclass(frozen=True, slots=True)
class Column:
    """A column's head; ``keep`` says how soon it goes where room is short (the least goes first, 0 never).

    A ``loose`` column holds sentences: it is cut before any column goes, and goes before it says nothing.
    """

    head: str
    keep: int = 0
    right: bool = False
    most: int = 40
    loose: bool = False


def listing(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int, ink: Ink) -> Iterator[str]:
    """The rows under their heads; columns that do not fit in ``width`` go, the least wanted first."""
    shown = list(range(len(columns)))
    wide = [
        min(column.most, max(cells(text) for text in (column.head, *(row[place] for row in rows))))
        for place, column in enumerate(columns)
    ]
    _tighten(columns, shown, wide, width)
    while _total(shown, wide) > width and any(columns[place].keep for place in shown):
        shown.remove(
            min((place for place in shown if columns[place].keep), key=lambda place: columns[place].keep)
        )
    spare = width - _total(shown, wide)
    if spare < 0:
        widest = max(shown, key=lambda place: wide[place])
        wide[widest] = max(NARROWEST, wide[widest] + spare)
    yield ink(_line([column.head for column in columns], columns, shown, wide, ink), DIM)
    for row in rows:
        yield _line(row, columns, shown, wide, ink)


def _tighten(columns: Sequence[Column], shown: list[int], wide: list[int], width: int) -> None:
    """Give a loose column what the others leave, or take it out where that is next to nothing."""
    for place in [place for place in shown if columns[place].loose]:
        room = width - _total([other for other in shown if other != place], wide) - GAP
        if room < min(LOOSE, wide[place]):
            shown.remove(place)
        else:
            wide[place] = min(wide[place], room)


def _total(shown: Sequence[int], wide: Sequence[int]) -> int:
    return sum(wide[place] for place in shown) + GAP * (len(shown) - 1)


def _line(
    row: Sequence[str], columns: Sequence[Column], shown: Sequence[int], wide: Sequence[int], ink: Ink
) -> str:
    parts = []
    for place in shown:
        text = cut(row[place], wide[place], ink)
        gap = " " * (wide[place] - cells(text))
        parts.append(gap + text if columns[place].right else padded(text, wide[place]))
    return (" " * GAP).join(parts).rstrip()
