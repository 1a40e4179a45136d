"""Drawing pages with fpdf2: fonts embedded and subset, bookmarks, links, the same bytes every time."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from render.page.fonts import Face, music, set_text
from render.page.model import Disc, Line, Page, Rect, Shape, Sign, Words
from render.page.signs import EM
from render.page.theme import PAPER, Theme

if TYPE_CHECKING:
    from fpdf import FPDF

_Ink = Line | Rect | Shape | Disc | Sign
QUARTER_TURN = 0.5523  # a curve's handles for a quarter of a circle of radius 1: 4 (sqrt 2 - 1) / 3
DRAWING = "/Span <</ActualText <FEFF>>> BDC"  # what follows is read aloud and copied as nothing
WHITE = (255, 255, 255)
FIXED_DATE = datetime(2000, 1, 1, tzinfo=UTC)  # of every document, unless SOURCE_DATE_EPOCH says another


def document_date() -> datetime:
    """The date that documents carry: SOURCE_DATE_EPOCH where it is set, else a fixed one."""
    given = os.environ.get("SOURCE_DATE_EPOCH", "")
    try:
        return datetime.fromtimestamp(int(given), UTC) if given else FIXED_DATE
    except (ValueError, OverflowError, OSError):
        return FIXED_DATE


def draw(pages: Sequence[Page], theme: Theme, title: str, attached: tuple[str, bytes] | None = None) -> bytes:
    """The pages as one PDF with a bookmark for each and its links; ``attached`` is a file inside it."""
    from fpdf import FPDF

    pdf = FPDF(unit="pt", format=(pages[0].width, pages[0].height))
    pdf.set_auto_page_break(False)
    pdf.alias_nb_pages(None)
    pdf.set_creation_date(document_date())
    pdf.set_title(title)
    pdf.set_lang("en")
    pdf.set_creator("Feelmap")
    pdf.set_producer("Feelmap")
    if attached is not None:
        name, data = attached
        date = document_date()
        pdf.embed_file(bytes=data, basename=name, creation_date=date, modification_date=date, compress=True)
    painter = _Painter(pdf, theme)
    targets = {page.name: pdf.add_link(page=place) for place, page in enumerate(pages, start=1)}
    for page in pages:
        pdf.add_page(format=(page.width, page.height))
        pdf.set_xy(0, 0)
        pdf.start_section(page.title)
        painter.page(page)
        for link in page.links:
            left, top, right, bottom = link.area
            pdf.link(left, top, right - left, bottom - top, targets[link.target])
    return bytes(pdf.output())


class _Painter:
    """Puts a page's items on the current page: first all shapes, then all words, each in their order.

    Items are written as page operators of our own, since a call of the library for every point and every
    word is too slow; the library keeps the fonts, their subsets and all that is not page content.
    """

    def __init__(self, pdf: FPDF, theme: Theme) -> None:
        self.pdf, self.theme = pdf, theme
        self.height = 0.0
        self.here: set[str] = set()  # faces that the current page knows

    def page(self, page: Page) -> None:
        """Draw one page; the document has just turned to it."""
        self.height = page.height
        self.here.clear()
        operators: list[str] = []
        if self.theme.paper != WHITE:
            operators += [self.colour(PAPER, "rg"), f"0 0 {page.width:.2f} {page.height:.2f} re f"]
        operators += [DRAWING, *self.shapes([i for i in page.items if not isinstance(i, Words)]), "EMC"]
        operators += self.texts(page.words)
        self.pdf._out("\n".join(operators))

    def colour(self, role: str, operator: str) -> str:
        """The operator that sets a colour: rg for filling, RG for lines."""
        return " ".join(f"{part / 255:.4g}" for part in self.theme.colour(role)) + f" {operator}"

    def shapes(self, items: Sequence[_Ink]) -> Iterator[str]:
        """Operators of shapes; colours and widths are set where they change."""
        filled = drawn = ""
        width = -1.0
        for item in items:
            line = item.width if isinstance(item, Line) else item.line if isinstance(item, Rect) else 0.0
            if line and item.role != drawn:
                drawn = item.role
                yield self.colour(drawn, "RG")
            elif not line and item.role != filled:
                filled = item.role
                yield self.colour(filled, "rg")
            if line and line != width:
                width = line
                yield f"{width:.3f} w"
            yield self.shape(item, line)

    def shape(self, item: _Ink, line: float) -> str:
        high = self.height
        if isinstance(item, Line):
            return f"{item.x1:.2f} {high - item.y1:.2f} m {item.x2:.2f} {high - item.y2:.2f} l S"
        if isinstance(item, Shape):
            return self.outline(item.outline)
        if isinstance(item, Disc):
            return self.disc(item)
        if isinstance(item, Sign):
            known = self.font(music())
            size, text = item.space * EM, known.encode_text(item.sign)
            return f"BT /F{known.i} {size:.2f} Tf {item.x:.2f} {high - item.y:.2f} Td {text} ET"
        left, bottom = item.x + line / 2, high - item.y - item.height + line / 2
        paint = "S" if line else "f"
        return f"{left:.2f} {bottom:.2f} {item.width - line:.2f} {item.height - line:.2f} re {paint}"

    def outline(self, points: Sequence[tuple[float, float]]) -> str:
        """A filled outline."""
        high = self.height
        steps = [f"{x:.2f} {high - y:.2f} l" for x, y in points]
        return f"{steps[0][:-1]}m {' '.join(steps[1:])} h f"

    def disc(self, disc: Disc) -> str:
        """A filled disc as four curves, with what lies between its halves."""
        x, y, radius = disc.x, self.height - disc.y, disc.radius
        right = x + disc.longer
        path, reach = [f"{right + radius:.2f} {y:.2f} m"], radius * QUARTER_TURN
        for ax, ay, start, end in ((1, 0, right, right), (0, 1, x, x), (-1, 0, x, x), (0, -1, right, right)):
            bx, by = -ay, ax  # a quarter turn on
            points = (
                (start + radius * ax + reach * bx, y + radius * ay + reach * by),
                (end + radius * bx + reach * ax, y + radius * by + reach * ay),
                (end + radius * bx, y + radius * by),
            )
            if disc.longer and not ax:
                path.append(f"{start:.2f} {y + radius * ay:.2f} l")
            path.append(" ".join(f"{px:.2f} {py:.2f}" for px, py in points) + " c")
        return f"{' '.join(path)} h f"

    def texts(self, words: Iterable[Words]) -> Iterator[str]:
        """Operators of texts, in the order in which they are read."""
        filled, font = "", ""
        for item in words:
            if item.role != filled:
                filled = item.role
                yield self.colour(filled, "rg")
            for run in set_text(item.text, item.style).runs:
                x = item.x + run.x * item.size
                known = self.font(run.face)
                wanted = f"/F{known.i} {item.size * run.scale:.2f} Tf"
                chosen = "" if wanted == font else f"{wanted} "
                font = wanted
                yield f"BT {chosen}{x:.2f} {self.height - item.y:.2f} Td {known.encode_text(run.text)} ET"

    def font(self, face: Face) -> Any:
        """The library's font of a face, made known to the document and to the page."""
        key = face.key.lower()  # as the library keeps it
        if key not in self.here:
            self.here.add(key)
            if key not in self.pdf.fonts:
                self.pdf.add_font(key, "", str(face.path))
            self.pdf.set_font(key, "", 12)
            self.pdf.text(0, 0, "")  # nothing is drawn: the page takes note of the font
        return self.pdf.fonts[key]
