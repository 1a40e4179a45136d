"""Which columns of a list there is room for, chosen before it is drawn; and a list drawn without rich."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from render.terminal.ink import DIM, Ink, cells, cut, padded

GAP = 2  # columns of the terminal between two columns of a list
FAIR, LOOSE = 32, 18  # what a sentence is given before less wanted columns, and at the very least


@dataclass(frozen=True, slots=True)
class ListColumn:
    """A column's head; ``keep`` says how soon it goes where room is short (the least goes first, 0 never).

    A ``loose`` column holds sentences: they are folded, less wanted columns go before they are squeezed, and
    it goes itself before it says nothing.
    """

    head: str
    keep: int = 0
    right: bool = False
    most: int = 40
    loose: bool = False


def chosen(columns: Sequence[ListColumn], rows: Sequence[Sequence[str]], width: int) -> dict[int, int]:
    """The columns that there is room for in ``width``, by place, each with the room it would like."""
    whole = {
        place: min(column.most, max(cells(text) for text in (column.head, *(row[place] for row in rows))))
        for place, column in enumerate(columns)
    }

    liked = dict(whole)

    def fit(least: int) -> bool:
        needed = (min(room, least) if columns[place].loose else room for place, room in liked.items())
        return sum(needed) + GAP * (len(liked) - 1) <= width

    while not fit(FAIR) and (spare := [place for place in liked if columns[place].keep]):
        last = min(spare, key=lambda place: columns[place].keep)
        if columns[last].loose:
            if fit(LOOSE):
                break
            liked = dict(whole)  # what went for its sake may come back
        del liked[last]
    return liked


def plain_listing(
    columns: Sequence[ListColumn], rows: Sequence[Sequence[str]], width: int, ink: Ink
) -> Iterator[str]:
    """A line a row under the heads, for look-ups that do not wait for rich; the widest column is cut."""
    liked = chosen(columns, rows, width)
    widest = max(liked, key=lambda place: liked[place])
    liked[widest] -= max(0, sum(liked.values()) + GAP * (len(liked) - 1) - width)
    for number, row in enumerate([[column.head for column in columns], *rows]):
        parts = []
        for place, room in liked.items():
            text = cut(row[place], room, ink)
            parts.append(" " * (room - cells(text)) + text if columns[place].right else padded(text, room))
        line = (" " * GAP).join(parts).rstrip()
        yield line if number else ink(line, DIM)
