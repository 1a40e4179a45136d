"""The pages of the set sheet: the arc of the night and what has changed are at its foot, else on its back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from render.page.arc import HIGH, paint_night
from render.page.fonts import BOLD
from render.page.model import Page, Pen
from render.page.setsheet import MARGIN, READS, largest, set_sheet
from render.page.setwords import SongWords
from render.page.sheet import Options
from render.page.text import Piece, Placed, flow, height_of, paint_lines, words
from render.page.theme import SOFT
from setlists.facts import Difference
from setlists.gig import Gig

HEAD, TEXT, LEAST = 18.0, 11.0, 1.0  # points: the back's head; changes, and where there are very many
BACK, GAP = "The night", 16.0  # the back's title; points between its parts
FOOT = 0.5  # most of the front for what is at its foot
TALLER, LARGER = 2.0, 1.35  # a set's arc on the back, and its type, of one on the front
SHARE = 0.5  # least of the back for the arc


def sheet_pages(
    gig: Gig,
    lines: Mapping[int, SongWords],
    mark: str,
    news: Sequence[Difference] | None,
    options: Options,
    name: str,
) -> list[tuple[Page, float]]:
    """The set sheet on one page where all of it reads there, else on two, each with its scale."""
    front, scale = set_sheet(gig, lines, mark, options, name)
    width, height = front.width - 2 * MARGIN, front.height - 2 * MARGIN
    listed = news_lines(news, TEXT, width)
    told, arc = height_of(listed), HIGH * len(gig.sets)
    foot = told + arc + 2 * GAP
    if scale >= READS and foot <= FOOT * height:
        page, reads = set_sheet(gig, lines, mark, options, name, foot)
        if reads >= READS:
            pen = Pen(page, 1.0, MARGIN, page.height - MARGIN - foot + GAP)
            paint_lines(pen, 0.0, 0.0, listed)
            paint_night(pen, gig, told + GAP, width, arc)
            return [(page, reads)]
    back = Page(f"{name}-back", BACK, front.width, front.height)
    pen = Pen(back, 1.0, MARGIN, MARGIN)
    head = flow([*words(gig.setlist.gig, "set", BOLD, HEAD), *_soft(mark)], width)
    top = paint_lines(pen, 0.0, 0.0, head) + GAP
    pen.link(0.0, 0.0, width, top - GAP, name)
    Pen(front, 1.0, MARGIN, 0.0).link(0.0, 0.0, width, MARGIN, back.name)
    room = (height - top) * (1 - SHARE) - GAP
    size = largest(lambda size: height_of(news_lines(news, size, width)) <= room, LEAST, TEXT)
    top = paint_lines(pen, 0.0, top, news_lines(news, size, width)) + GAP
    paint_night(pen.at(0.0, top, LARGER), gig, 0.0, width / LARGER, min(height - top, TALLER * arc) / LARGER)
    return [(front, scale), (back, 1.0)]


def news_lines(news: Sequence[Difference] | None, size: float, width: float) -> list[list[Placed]]:
    """What has changed, a song after the other; nothing where nothing was compared."""
    if news is None:
        return []
    if not news:
        return flow(words("nothing has changed", "changes", BOLD, size), width)
    lines: list[list[Placed]] = []
    for (number, title), group in groupby(news, lambda new: (new.number, new.title)):
        name = words(f"{number} {title}" if number else title or "the night", "changes", BOLD, size)
        told = words("; ".join(new.words for new in group), "changes", size=size, space=0.6 * size)
        lines += flow([*name, *told], width)
    return lines


def _soft(text: str) -> list[Piece]:
    return words(text, "aside", size=TEXT, role=SOFT, space=TEXT)
