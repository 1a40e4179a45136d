"""A plain list in columns: no rules, no boxes; names are cut where the terminal ends, sentences folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from render.terminal.ink import DIM, Ink, cells, cut, folded_words, padded

GAP = 2
LOOSE = 18  # columns under which a sentence is not worth starting
FAIR = 32  # columns that a sentence is given before less wanted columns
NARROWEST = 8  # columns to which the words of a column are cut, at least


@dataclass(frozen=True, slots=True)
class Column:
    """A column's head; ``keep`` says how soon it goes where room is short (the least goes first, 0 never).

    A ``loose`` column holds sentences: they are folded, less wanted columns go before they are squeezed, and
    it goes itself before it says nothing.
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
    shown = _tighten(columns, shown, wide, width)
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
        yield from _row(row, columns, shown, wide, ink)


def _row(
    row: Sequence[str], columns: Sequence[Column], shown: Sequence[int], wide: Sequence[int], ink: Ink
) -> Iterator[str]:
    """A row, with as many lines as its sentences need."""
    folded = [
        folded_words(text, wide[place]) if columns[place].loose and place in shown else [text]
        for place, text in enumerate(row)
    ]
    for number in range(max(map(len, folded))):
        parts = [lines[number] if number < len(lines) else "" for lines in folded]
        yield _line(parts, columns, shown, wide, ink)


def _tighten(columns: Sequence[Column], shown: list[int], wide: list[int], width: int) -> list[int]:
    """The columns that stay once a loose one has what the others leave, or is out where that is nothing."""
    for place in [place for place in shown if columns[place].loose]:
        kept = _less_wanted_gone(columns, shown, wide, width, place)
        room = _left(kept, wide, width, place)
        if room < min(LOOSE, wide[place]):
            shown = [other for other in shown if other != place]
        else:
            shown, wide[place] = kept, min(wide[place], room)
    return shown


def _less_wanted_gone(
    columns: Sequence[Column], shown: list[int], wide: Sequence[int], width: int, place: int
) -> list[int]:
    """What is shown without columns that a loose one at a place goes before, as far as it needs them."""
    kept = list(shown)
    while _left(kept, wide, width, place) < min(FAIR, wide[place]):
        less = [each for each in kept if 0 < columns[each].keep < columns[place].keep]
        if not less:
            break
        kept.remove(min(less, key=lambda each: columns[each].keep))
    return kept


def _left(shown: Sequence[int], wide: Sequence[int], width: int, place: int) -> int:
    return width - _total([each for each in shown if each != place], wide) - GAP


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
