"""The head and the foot of a road map, laid out."""

from __future__ import annotations

from dataclasses import replace

from render.page.fonts import BOLD, width_of
from render.page.model import Pen
from render.page.rows import Laid
from render.page.sheet import APART, SMALL, Sheet
from render.page.text import (
    BASELINE,
    LEADING,
    Piece,
    Placed,
    flow,
    height_of,
    line_width,
    natural_width,
    paint_lines,
    tied,
    unbroken,
    words,
)  # fmt: skip
from render.page.theme import ESSENTIAL_MINUTES, INK, PRIME_MINUTES, SOFT

PRIME = PRIME_MINUTES / ESSENTIAL_MINUTES  # least size of title and tempo, in units
TITLE_MOST, TEMPO_MOST = 2.3, 1.7
HEAD_RULE, FOOT_RULE = 0.11, 0.05
RULE_ROOM = 0.3  # around the rules
GAP = 1.0  # between title and tempo
GROWN = 0.25  # how far over reading size the page must be for title and tempo at their largest


def lay_head(sheet: Sheet, width: float, scale: float) -> Laid:
    """Title as large as fits, tempo at its right; writer; feel, meter, key, count-in; notes.

    Title and tempo grow with the scale: where a page is tight they stay at their least reading size.
    """
    grown = min(1.0, max(0.0, scale - 1) / GROWN)
    tempo, tempo_width = _tempo(sheet, width, grown)
    beside = tempo_width + GAP < 0.5 * width
    title = _title(sheet, width - tempo_width - GAP if beside else width, grown)
    high = max(height_of(title), height_of(tempo) if beside else 0.0)
    text = [*flow(sheet.head_pieces, width), *flow(sheet.note_pieces, width)]
    below = [] if beside else tempo
    total = high + height_of(below) + height_of(text) + RULE_ROOM + HEAD_RULE

    def paint(pen: Pen, x: float, y: float) -> None:
        paint_lines(pen, x, y, title)
        if beside:
            # both stand on the title's first line
            drop = max(0.0, (title[0][0][1].size - tempo[0][0][1].size) * BASELINE) if title else 0.0
            paint_lines(pen, x + width - tempo_width, y + drop, tempo)
        under = paint_lines(pen, x, y + high, [*below, *text])
        pen.rect(x, under + RULE_ROOM, width, HEAD_RULE, INK)
        if sheet.gig.home:
            pen.link(x, y, width, high, sheet.gig.home)

    return Laid(total, paint)


def _tempo(sheet: Sheet, width: float, grown: float) -> tuple[list[list[Placed]], float]:
    natural = width_of(sheet.tempo, BOLD)
    most = PRIME + (TEMPO_MOST - PRIME) * grown
    size = max(PRIME, min(most, 0.4 * width / natural))
    lines = flow([unbroken(sheet.tempo, "tempo", BOLD, size=size)], width)
    return lines, max(map(line_width, lines))


def _title(sheet: Sheet, width: float, grown: float) -> list[list[Placed]]:
    """On one line as large as fits there, else at its least size on as many as it needs; then the writer."""
    title = sheet.song.title
    natural = natural_width(words(title, "title", BOLD))
    most = PRIME + (TITLE_MOST - PRIME) * grown
    size = max(PRIME, min(most, (width - 1e-6) / natural)) if natural else PRIME
    writer = tied(words(sheet.song.by, "by", size=SMALL, role=SOFT, space=0.7))
    return flow([*words(title, "title", BOLD, size=size), *writer], width)


def lay_foot(sheet: Sheet, width: float) -> Laid:
    """Ending at the left, totals at the right; below, in a folder, the song that follows."""
    totals = sheet.total_pieces
    room = natural_width(totals)
    left: list[Piece] = list(sheet.ending_pieces)
    following = sheet.following_pieces
    if following:
        left += tied([replace(following[0], space=1.6), *following[1:]])
    beside = room < 0.5 * width
    lines = flow(left, width - room - APART if beside else width)
    closing = flow(totals, width)
    high = max(height_of(lines), LEADING if beside else 0.0) + (0.0 if beside else height_of(closing))

    def paint(pen: Pen, x: float, y: float) -> None:
        pen.rect(x, y, width, FOOT_RULE, INK)
        top = y + FOOT_RULE + RULE_ROOM * 0.7
        under = paint_lines(pen, x, top, lines)
        if beside:
            paint_lines(pen, x + width - room, top + BASELINE * (1 - SMALL), closing)
        else:
            paint_lines(pen, x, under, closing)
        gig = sheet.gig
        if gig.following and gig.following.page:
            pen.link(x, top, width - room, height_of(lines), gig.following.page)
        if gig.home:
            pen.link(x + width - room, top, room, LEADING, gig.home)

    return Laid(FOOT_RULE + RULE_ROOM * 0.7 + high, paint)
