"""Drawing pages with fpdf2: fonts embedded and subset, bookmarks, links, the same bytes every time."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from render.page.fonts import Face, Run, set_text
from render.page.model import Line, Page, Rect, Shape, Words
from render.page.theme import PAPER, Theme

if TYPE_CHECKING:
    from fpdf import FPDF

FIXED_DATE = datetime(2000, 1, 1, tzinfo=UTC)  # of every document, unless SOURCE_DATE_EPOCH says another


def document_date() -> datetime:
    """The date that documents carry: SOURCE_DATE_EPOCH where it is set, else a fixed one."""
    given = os.environ.get("SOURCE_DATE_EPOCH", "")
    try:
        return datetime.fromtimestamp(int(given), UTC) if given else FIXED_DATE
    except (ValueError, OverflowError, OSError):
        return FIXED_DATE


def draw(pages: Sequence[Page], theme: Theme, title: str) -> bytes:
    """The pages as one PDF with a bookmark a page and its links."""
    from fpdf import FPDF

    pdf = FPDF(unit="pt", format=(pages[0].width, pages[0].height))
    pdf.set_auto_page_break(False)
    pdf.alias_nb_pages(None)
    pdf.set_creation_date(document_date())
    pdf.set_title(title)
    pdf.set_lang("en")
    pdf.set_creator("Feelmap")
    pdf.set_producer("Feelmap")
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
    """Puts a page's items on the current page; colours, widths and fonts are set when they change."""

    def __init__(self, pdf: FPDF, theme: Theme) -> None:
        self.pdf, self.theme = pdf, theme
        self.known: set[str] = set()
        self.forget()

    def forget(self) -> None:
        """A new page starts with nothing set."""
        self.filled, self.drawn, self.width = "", "", -1.0
        self.font: tuple[str, float] = ("", 0.0)

    def page(self, page: Page) -> None:
        self.forget()
        if self.theme.paper != (255, 255, 255):
            self.fill(PAPER)
            self.pdf.rect(0, 0, page.width, page.height, style="F")
        for item in page.items:
            if isinstance(item, Words):
                self.words(item)
            elif isinstance(item, Line):
                self.draw(item.role, item.width)
                self.pdf.line(item.x1, item.y1, item.x2, item.y2)
            elif isinstance(item, Rect):
                self.rect(item)
            else:
                self.shape(item)

    def fill(self, role: str) -> None:
        if role != self.filled:
            self.filled = role
            self.pdf.set_fill_color(*self.theme.colour(role))
            self.pdf.set_text_color(*self.theme.colour(role))

    def draw(self, role: str, width: float) -> None:
        if role != self.drawn:
            self.drawn = role
            self.pdf.set_draw_color(*self.theme.colour(role))
        if width != self.width:
            self.width = width
            self.pdf.set_line_width(width)

    def rect(self, item: Rect) -> None:
        if item.line:
            half = item.line / 2
            self.draw(item.role, item.line)
            self.pdf.rect(item.x + half, item.y + half, item.width - item.line, item.height - item.line)
        else:
            self.fill(item.role)
            self.pdf.rect(item.x, item.y, item.width, item.height, style="F")

    def shape(self, item: Shape) -> None:
        self.fill(item.role)
        self.pdf.polygon(item.outline, style="F")

    def words(self, item: Words) -> None:
        self.fill(item.role)
        for run in set_text(item.text, item.style).runs:
            if run.face is not None:
                self.face(run.face, item.size * run.scale)
                self.pdf.text(item.x + run.x * item.size, item.y, run.text)
            else:
                self.glyph(item, run)

    def glyph(self, item: Words, run: Run) -> None:
        assert run.glyph is not None
        x, size = item.x + run.x * item.size, item.size
        for outline in run.glyph.outlines:
            self.pdf.polygon([(x + a * size, item.y + b * size) for a, b in outline], style="F")

    def face(self, face: Face, size: float) -> None:
        if self.font == (face.key, size):
            return
        self.font = (face.key, size)
        if face.key not in self.known:
            self.known.add(face.key)
            self.pdf.add_font(face.key, "", str(face.path))
        self.pdf.set_font(face.key, "", size)
