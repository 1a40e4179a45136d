"""The head and the foot of a road map, laid out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from render.page.fonts import BOLD, width_of
from render.page.model import Pen
from render.page.rows import Laid
from render.page.sheet import APART, SMALL, Sheet
from render.page.text import (
    BASELINE,
    LEADING,
    Placed,
    flow,
    height_of,
    line_width,
    natural_width,
    paint_lines,
    unbroken,
    words,
)  # fmt: skip
from render.page.theme import ESSENTIAL_MINUTES, INK, PRIME_MINUTES, SOFT

PRIME = PRIME_MINUTES / ESSENTIAL_MINUTES  # least size of title and tempo, in units
TITLE_MOST, TEMPO_MOST = 2.3, 1.7
HEAD_RULE, FOOT_RULE = 0.11, 0.05
RULE_ROOM = 0.3  # around the rules
NEXT_GAP = 1.6  # between the ending and what follows
GAP = 1.0  # between title and tempo
WRITER_GAP = 0.7
YIELDS = 0.72  # how small, of its size, a title may become for the writer to stand behind it
GROWN = 0.25  # how far over reading size the page must be for title and tempo at their largest


def lay_head(sheet: Sheet, width: float, scale: float) -> Laid:
    """Title as large as fits, tempo at its right; writer; feel, meter, key, count-in; notes.

    Title and tempo grow with the scale: where a page is tight they stay at their least reading size.
    """
    grown = min(1.0, max(0.0, scale - 1) / GROWN)
    tempo, tempo_width = _tempo(sheet, width, grown)
    title = _title(sheet, width - tempo_width - GAP, grown) if tempo_width + GAP < 0.5 * width else []
    below_it = _title(sheet, width, grown)
    # a title of many lines is no higher with the tempo below it
    beside = bool(title) and height_of(title) <= height_of(below_it) + height_of(tempo) + 1e-9
    title = title if beside else below_it
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
    """On one line as large as fits there, else at its least size on as many as it needs; then the writer.

    The writer stands behind the title where that costs it little of its size, else whole on a line below.
    """
    title = sheet.song.title
    natural = natural_width(words(title, "title", BOLD))
    most = PRIME + (TITLE_MOST - PRIME) * grown
    size = max(PRIME, min(most, (width - 1e-6) / natural)) if natural else PRIME
    writer = words(sheet.song.by, "by", size=SMALL, role=SOFT, space=WRITER_GAP)
    taken = natural_width(writer) + WRITER_GAP if writer else 0.0
    together = (width - taken - 1e-6) / natural if natural else PRIME
    if together >= max(PRIME, YIELDS * size):
        return flow([*words(title, "title", BOLD, size=min(size, together)), *writer], width)
    lines = flow(words(title, "title", BOLD, size=size), width)
    if lines and line_width(lines[-1]) + taken <= width:
        return [*lines[:-1], flow([piece for _, piece in lines[-1]] + writer, width)[0]]
    return [*lines, *flow(writer, width)]


def lay_foot(sheet: Sheet, width: float) -> Laid:
    """Ending at the left, totals at the right; in a folder the song that follows, below where it must be."""
    room = natural_width(sheet.total_pieces)
    beside = room < 0.5 * width
    foot = min(_feet(sheet, width, room if beside else 0.0), key=lambda foot: foot.height)
    closing = flow(sheet.total_pieces, width)
    high = foot.height + (0.0 if beside else height_of(closing))

    def paint(pen: Pen, x: float, y: float) -> None:
        pen.rect(x, y, width, FOOT_RULE, INK)
        top = y + FOOT_RULE + RULE_ROOM * 0.7
        paint_lines(pen, x, top, foot.ending)
        paint_lines(pen, x, top + foot.height - height_of(foot.following), foot.following)
        drop = foot.height - LEADING if foot.totals_last else 0.0
        if beside:
            paint_lines(pen, x + width - room, top + drop + BASELINE * (1 - SMALL), closing)
        else:
            paint_lines(pen, x, top + foot.height, closing)
        gig = sheet.gig
        if gig.following and gig.following.page:
            lines = foot.following or foot.ending
            left = max(map(line_width, lines))
            pen.link(x, top + foot.height - height_of(lines), left, height_of(lines), gig.following.page)
        if gig.home and beside:
            pen.link(x + width - room, top + drop, room, LEADING, gig.home)

    return Laid(FOOT_RULE + RULE_ROOM * 0.7 + high, paint)


@dataclass(frozen=True)
class _Foot:
    """The foot's lines; ``following`` is empty where what follows stands behind the ending."""

    ending: list[list[Placed]]
    following: list[list[Placed]]
    totals_last: bool

    @property
    def height(self) -> float:
        return max(height_of(self.ending) + height_of(self.following), LEADING)


def _feet(sheet: Sheet, width: float, totals: float) -> Iterator[_Foot]:
    """The foot all on one line; its totals on the first of more; its totals on the last."""
    ending, following = sheet.ending_pieces, sheet.following_pieces
    left = width - totals - APART if totals else width
    if following:
        whole = [*ending, following[0]._replace(space=NEXT_GAP), *following[1:]]
        if natural_width(whole) <= left:
            yield _Foot(flow(whole, width), [], False)
    if ending or not (following and totals):  # without an ending what follows stands beside the totals
        yield _Foot(flow(ending, left), flow(following, width), False)
    if following and totals:
        yield _Foot(flow(ending, width), flow(following, left), True)
