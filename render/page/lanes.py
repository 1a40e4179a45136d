"""Words beside their bar: each under its bar on the nearest free line, tied to it by a thin line.

Found from right to left, so that a tie never crosses words; what cannot be tied is numbered and set below.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

from render.page.fonts import BOLD
from render.page.model import Pen
from render.page.notes import NOTE_GAP, Note
from render.page.text import (
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
from render.page.theme import SOFT

TIE, TIE_GAP = 0.05, 0.2  # width of the tie, room between it and the words
LEAST_ROOM = 5.0  # words wrap at their bar where they have so much room to its right
BETWEEN = 0.55  # least room between two texts on a line
ABOVE = 0.1  # room between the boxes and the first line


@dataclass(frozen=True)
class Hung:
    """Words hung from a bar: their lines, their left and top, where the tie starts."""

    x: float
    top: float
    tie: float | None
    lines: list[list[Placed]]
    width: float
    height: float


@dataclass(frozen=True)
class Lanes:
    """All the words under one line of boxes."""

    hung: tuple[Hung, ...]
    height: float

    def paint(self, pen: Pen, x: float, y: float) -> None:
        """Draw from the lower edge of the boxes."""
        for each in sorted(self.hung, key=lambda each: each.x):
            if each.tie is not None:
                # down beside the words, or onto them where they had to move left
                reach = each.top + (0.9 if each.tie + TIE_GAP <= each.x + 1e-9 else 0.06)
                pen.line(x + each.tie, y, x + each.tie, y + reach, TIE, SOFT)
            paint_lines(pen, x + each.x, y + each.top, each.lines)


NO_LANES = Lanes((), 0.0)


def lay_lanes(notes: Sequence[tuple[float, Note]], right: float, exit_right: float) -> Lanes:
    """Hang notes below boxes; each comes with the x of its bar. ``right`` is the region's edge."""
    hung: list[Hung] = []
    for x, pieces in _gathered(notes):
        found = _hang(x, pieces, right, hung)
        if found is None:
            hung = [_running([note for _, note in notes if not note.exit], right)]
            break
        hung.append(found)
    for _, note in notes:
        if note.exit:
            hung.append(_exit(note, hung, right, exit_right))
    return Lanes(tuple(hung), max((other.top + other.height for other in hung), default=0.0))


def _running(notes: Sequence[Note], right: float) -> Hung:
    """Notes too many to hang: numbered, one after the other."""
    lines = flow(numbered(notes), right)
    return Hung(0.0, ABOVE, None, lines, right, height_of(lines))


def _gathered(notes: Sequence[tuple[float, Note]]) -> list[tuple[float, list[Piece]]]:
    """Notes at one place together, from right to left."""
    found: dict[float, list[Piece]] = {}
    for x, note in notes:
        if not note.exit:
            found.setdefault(x, []).extend(note.spaced)
    return [(x, found[x]) for x in sorted(found, reverse=True)]


def _hang(x: float, pieces: list[Piece], right: float, hung: Sequence[Hung]) -> Hung | None:
    """The nearest free place for words, or None where no tie would reach it."""
    wide = natural_width(pieces)
    start = x + TIE_GAP
    longest = max(piece.width for piece in pieces)
    if wide > right - start and right - start < max(LEAST_ROOM, longest):
        start = max(0.0, right - wide)
    lines = flow(pieces, right - start)
    wide, high = max(map(line_width, lines)), height_of(lines)
    tops = sorted({ABOVE, *(other.top + other.height for other in hung)})
    for top in tops:
        if any(other.top < top and _covers(other, x) for other in hung):
            return None
        held = Hung(start, top, x, lines, wide, high)
        if not any(_collide(held, other) for other in hung):
            return held
    return None


def _covers(other: Hung, x: float) -> bool:
    """True where a tie at ``x`` would cross the words."""
    return other.x - 0.12 < x < other.x + other.width + 0.12


def _collide(one: Hung, other: Hung) -> bool:
    apart = one.x + one.width + BETWEEN <= other.x or other.x + other.width + BETWEEN <= one.x
    if not apart and one.top < other.top + other.height and other.top < one.top + one.height:
        return True
    tie = other.tie
    return tie is not None and one.top < other.top and one.x - 0.12 < tie < one.x + one.width + BETWEEN


def _exit(note: Note, hung: Sequence[Hung], right: float, exit_right: float) -> Hung:
    """Words at the end of a section: as far right as its last box, below whatever is in the way."""
    lines = flow(note.pieces, right)
    wide, high = max(map(line_width, lines)), height_of(lines)
    x = max(0.0, exit_right - wide)
    for top in sorted({ABOVE, *(other.top + other.height for other in hung)}):
        exit_ = Hung(x, top, None, lines, wide, high)
        if not any(_collide(exit_, other) for other in hung):
            return exit_
    raise AssertionError("below everything nothing collides")  # pragma: no cover


def numbered(notes: Sequence[Note]) -> list[Piece]:
    """Notes in a running text, each with its bar before it; what starts a section needs no number.

    Hits and stops stand together, place by place, as far as nothing else is said between them.
    """
    found: list[Piece] = []
    listed: set[str] = set()
    for place, note in enumerate(notes):
        noun = note.listed[0]
        if not noun:
            listed.clear()
        if noun in listed:
            continue
        if noun:
            listed.add(noun)
            run = takewhile(lambda other: other.listed[0], notes[place:])
            places = " ".join(other.listed[1] for other in run if other.listed[0] == noun)
            label, *pieces = words(f"{noun} {places}", "hits")
            head = tied([label._replace(role=SOFT), *pieces[:1]])
            found += [head[0]._replace(space=NOTE_GAP), *head[1:], *pieces[1:]]
            continue
        pieces = list(note.pieces)
        if note.place and note.place != "1":
            label = unbroken(f"{note.place}:", "cue", BOLD, role=SOFT)
            pieces = [*tied([label, pieces[0]._replace(space=0.26)]), *pieces[1:]]  # a tied note stays so
        found += [pieces[0]._replace(space=NOTE_GAP), *pieces[1:]]
    return found
