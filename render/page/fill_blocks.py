"""The fills on a page: on the staff, in row notation, or by name; one below the other or two across."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from render.page.engraving import TIGHTEST, engrave, whole_width
from render.page.fills import PageFill
from render.page.fonts import BOLD, REGULAR, width_of
from render.page.model import Pen
from render.page.notation_table import lay_table, table_width
from render.page.plan import NAMES, ROWS, STAFF
from render.page.model import Laid
from render.page.sheet import APART, SMALL
from render.page.staff import Notes
from render.page.strips import BAND, BAND_TOP, BORDER, HEIGHT, LETTER_BASE, LETTER_PAD
from render.page.text import Piece, flow, height_of, natural_width, paint_lines, tied, unbroken, words
from render.page.theme import ACCENT, INK, SOFT

SPACE = 0.3  # a staff space in units
NAMED = 0.84  # size of a fill's name beside its notes: the letter is what is read from the stand
BETWEEN = 0.42  # between fills, one below the other
GUTTER, LEAST_COLUMN = 0.9, 5.9  # fills side by side keep to columns of the page
LABEL_GAP, LABEL_SHIFT, LABEL_FOOT = 0.45, 0.1, 0.15  # from a letter to its name; above it; below the label
LEAST_NAME, MOST_NAMED = 5.5, 0.45  # room for names beside staves: least, and most of the width
WIDER, LINE = 1.5, 0.5  # more room for names, where they are at least so much higher than their notes
SMALLEST_NAME = 0.7  # how far a name may shrink before a word of it is broken


@dataclass(frozen=True)
class FillGeometry:
    """How fills are laid: the page's width, the room for names beside the staff, the style of counting."""

    width: float
    name_width: float
    across: bool
    form: str
    triplets: str


@dataclass(frozen=True)
class _Block:
    """One fill: its label, and what is below or beside it."""

    label: Laid
    body: Laid
    width: float

    @property
    def height(self) -> float:
        """Of a fill whose name stands beside its notes."""
        return max(self.label.height, self.body.height)


def lay_fills(fills: Sequence[PageFill], geometry: FillGeometry) -> Laid:
    """All fills of a page as one block; nothing where there are none."""
    if not fills:
        return Laid(0.0, lambda pen, x, y: None)
    if geometry.form == NAMES:
        return _by_name(fills, geometry.width)
    if not geometry.across:
        return _one_below_another(fills, geometry)
    return _side_by_side(fills, geometry)


def _one_below_another(fills: Sequence[PageFill], geometry: FillGeometry) -> Laid:
    """Names at the left, staves where the boxes are."""
    least = max(geometry.name_width, LEAST_NAME, *(_least_label(fill) + LABEL_GAP for fill in fills))
    blocks = _beside_names(fills, least, geometry)
    if any(block.label.height > block.body.height + LINE > LINE for block in blocks):
        wider = _beside_names(fills, least * WIDER, geometry)
        blocks = min(blocks, wider, key=lambda found: sum(block.height for block in found))
    named, heights = blocks[0].width, [block.height for block in blocks]

    def paint(pen: Pen, x: float, y: float) -> None:
        for block, height in zip(blocks, heights, strict=True):
            block.label.paint(pen, x, y)
            block.body.paint(pen, x + named, y)
            y += height + BETWEEN

    return Laid(sum(heights) + BETWEEN * (len(blocks) - 1), paint)


def _beside_names(fills: Sequence[PageFill], named: float, geometry: FillGeometry) -> list[_Block]:
    """Fills with so much room for their names, the rest for their notes."""
    named = min(named, MOST_NAMED * geometry.width)
    room = geometry.width - named
    tight = _tightness([(fill, room) for fill in fills], geometry)
    return [
        _Block(_label(fill, named - LABEL_GAP), _body(fill, room, tight, geometry), named) for fill in fills
    ]


def _side_by_side(fills: Sequence[PageFill], geometry: FillGeometry) -> Laid:
    """As many beside one another as have room; each as many of the page's columns wide as it needs."""
    count = max(1, int((geometry.width + GUTTER) / (LEAST_COLUMN + GUTTER)))
    column = (geometry.width + GUTTER) / count - GUTTER
    widths = [_columns_for(fill, column, count, geometry) * (column + GUTTER) - GUTTER for fill in fills]
    tight = _tightness(list(zip(fills, widths, strict=True)), geometry)
    shelves: list[list[_Block]] = []
    left = 0.0
    for fill, width in zip(fills, widths, strict=True):
        if not shelves or left < width - 1e-6:
            shelves.append([])
            left = geometry.width
        shelves[-1].append(_Block(_label(fill, width), _body(fill, width, tight, geometry), width))
        left -= width + GUTTER
    heights = [_shelf_height(shelf) for shelf in shelves]

    def paint(pen: Pen, x: float, y: float) -> None:
        for shelf, height in zip(shelves, heights, strict=True):
            _paint_shelf(pen, x, y, shelf)
            y += height + BETWEEN

    return Laid(sum(heights) + BETWEEN * (len(shelves) - 1), paint)


def _shelf_height(shelf: Sequence[_Block]) -> float:
    return max(block.label.height for block in shelf) + max(block.body.height for block in shelf)


def _paint_shelf(pen: Pen, x: float, y: float, shelf: Sequence[_Block]) -> None:
    """Fills beside one another, their staves level."""
    top = y + max(block.label.height for block in shelf)
    for block in shelf:
        block.label.paint(pen, x, y)
        block.body.paint(pen, x, top)
        x += block.width + GUTTER


def _columns_for(fill: PageFill, column: float, count: int, geometry: FillGeometry) -> int:
    """The fewest columns that hold a fill's notes, its name on two lines, and what is said on a third."""
    name, said = natural_width(_name(fill)), natural_width(_said(fill))
    indent = letter_width(fill.number) + LABEL_GAP
    need = max(_least_label(fill), indent + 0.55 * name, indent + 0.38 * (name + said))
    if fill.pattern and fill.pattern.beats:
        if geometry.form == ROWS:
            need = max(need, table_width(fill))
        else:
            need = max(need, whole_width(_notes(fill, geometry.triplets)) * SPACE * TIGHTEST)
    wanted = int((need + GUTTER - 1e-6) / (column + GUTTER)) + 1
    return min(count, wanted)


def letter_width(letter: str) -> float:
    """Width of a fill's letter in its box."""
    return width_of(letter, BOLD) + 2 * LETTER_PAD


def paint_letter(pen: Pen, x: float, y: float, letter: str) -> None:
    """A fill's letter as it stands in the bars: in a box, over a band."""
    wide = letter_width(letter)
    pen.rect(x, y, wide, HEIGHT, INK, BORDER)
    pen.rect(x, y + BAND_TOP, wide, BAND, ACCENT)
    pen.words(x + LETTER_PAD, y + LETTER_BASE, letter, 1.0, BOLD, ACCENT, "fill letter")


def _notes(fill: PageFill, triplets: str) -> Notes:
    """What is engraved of a fill."""
    assert fill.pattern is not None
    return Notes(fill.pattern, fill.feel, fill.beats, triplets)


def _name(fill: PageFill) -> list[Piece]:
    return words(fill.title, "fill", BOLD, size=NAMED)


def _said(fill: PageFill) -> list[Piece]:
    """What is said of it: written straight and swung, or at odds with the feel."""
    swung = "written straight, played swung" if fill.pattern and fill.pattern.swung else ""
    style, role = (BOLD, INK) if fill.at_odds else (REGULAR, SOFT)
    said = words(fill.said, "fill note", style, SMALL, role, APART * SMALL)
    return said + words(swung, "fill note", size=SMALL, role=SOFT, space=APART * SMALL)


def _least_label(fill: PageFill) -> float:
    """Room for the letter and the longest word."""
    longest = max((piece.width for piece in (*_name(fill), *_said(fill))), default=0.0)
    return letter_width(fill.number) + LABEL_GAP + longest


def _label(fill: PageFill, width: float) -> Laid:
    """Letter, name, and what is said of the fill; smaller where a word would be broken."""
    indent = letter_width(fill.number) + LABEL_GAP
    shrunk = max(SMALLEST_NAME, min(1.0, (width - indent) / (_least_label(fill) - indent + 1e-6)))
    pieces = [*_name(fill), *_said(fill)]
    if shrunk < 1:
        pieces = [
            piece._replace(width=piece.width * shrunk, size=piece.size * shrunk, space=piece.space * shrunk)
            for piece in pieces
        ]
    lines = flow(pieces, width - indent)

    def paint(pen: Pen, x: float, y: float) -> None:
        paint_letter(pen, x, y, fill.number)
        paint_lines(pen, x + indent, y + LABEL_SHIFT, lines)

    return Laid(max(HEIGHT, height_of(lines) + LABEL_SHIFT) + LABEL_FOOT, paint)


def _body(fill: PageFill, width: float, tight: float, geometry: FillGeometry) -> Laid:
    if fill.pattern is None or not fill.pattern.beats:
        return Laid(0.0, lambda pen, x, y: None)
    if geometry.form == ROWS:
        return lay_table(fill, width, geometry.triplets)
    return _staff(fill, width, tight, geometry.triplets)


def _tightness(fills: Sequence[tuple[PageFill, float]], geometry: FillGeometry) -> float:
    """How small the widest line makes the staves of the page, no smaller than bars may be drawn."""
    found = 1.0
    if geometry.form == STAFF:
        for fill, width in fills:
            if fill.pattern and fill.pattern.beats:
                engraved = engrave(_notes(fill, geometry.triplets), width / SPACE)
                found = min(found, max(TIGHTEST, width / (engraved.width * SPACE)))
    return found


def _staff(fill: PageFill, width: float, tight: float, triplets: str) -> Laid:
    """The staff as tight as the page's others, tighter only where a single beat is wider than the page."""
    engraved = engrave(_notes(fill, triplets), width / SPACE)
    scale = SPACE * min(tight, width / (engraved.width * SPACE))

    def paint(pen: Pen, x: float, y: float) -> None:
        engraved.paint(pen.at(x, y, scale), width / scale)

    return Laid(engraved.height * scale, paint)


def _by_name(fills: Sequence[PageFill], width: float) -> Laid:
    pieces: list[Piece] = []
    for fill in fills:
        letter = unbroken(fill.number, "fill letter", BOLD, role=ACCENT, space=APART)
        pieces += [*tied([letter, *words(fill.title, "fill name", space=0.35)]), *_said(fill)]
    lines = flow(pieces, width)
    return Laid(height_of(lines), lambda pen, x, y: paint_lines(pen, x, y, lines))
