"""rich as every command but ``show`` and ``find`` uses it; text is never taken for markup."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TextIO

from rich.console import Console
from rich.table import Table
from rich.text import Text

from charts.wording import unobeyed
from render.terminal.ink import DIM, Ink, columns, height, ink_for, pieces
from render.terminal.listing import GAP, ListColumn, chosen
from render.terminal.printable import spelled_out

UNKNOWN = 24  # lines, where there is no terminal; rich would read them from LINES, however long that is


def console_for(stream: TextIO) -> Console:
    """A console as wide as the stream's terminal, in colour where that has it."""
    return Console(
        file=stream,
        width=columns(stream),
        height=height(stream) or UNKNOWN,
        color_system="standard" if ink_for(stream).colour else None,
        markup=False,
        emoji=False,
        highlight=False,
        legacy_windows=False,
    )


def print_styled(lines: Iterable[str], stream: TextIO) -> None:
    """Print lines with their styles; what the encoding lacks is spelled as well as it can be."""
    texts = [
        Text.assemble(*((spelled_out(text, stream), style) for text, style in pieces(line.rstrip())))
        for line in lines
    ]
    if texts:
        console_for(stream).print(Text("\n").join(texts), soft_wrap=True)


def listing(
    heads: Sequence[ListColumn], rows: Sequence[Sequence[str]], width: int, ink: Ink
) -> Iterator[str]:
    """The rows under their heads, as far as there is room in ``width``; sentences are folded."""
    places = chosen(heads, rows, width)
    table = Table(box=None, pad_edge=False, padding=(0, GAP, 0, 0), header_style=DIM)
    for place in places:
        head = heads[place]
        table.add_column(
            head.head,
            justify="right" if head.right else "left",
            no_wrap=not head.loose,
            max_width=head.most,
            overflow="fold" if head.loose else "ellipsis" if ink.signs else "crop",
        )
    for row in rows:
        table.add_row(*(Text(unobeyed(row[place])) for place in places))
    yield from drawn(table, width, ink)


def drawn(table: Table, width: int, ink: Ink) -> Iterator[str]:
    """A table as lines with their styles."""
    console = Console(width=width, height=UNKNOWN, color_system=None)
    for line in console.render_lines(table, console.options, pad=False):
        yield "".join(ink(text, *str(style or "").split()) for text, style, _ in line).rstrip()
