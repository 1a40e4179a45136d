"""A feel in notes: what its eighths or sixteenths are, and how a swung pair sounds. Lengths in ems of the words."""

from __future__ import annotations

from dataclasses import dataclass

from charts.feel import Feel
from charts.timing import Beat
from render.page.fonts import BOLD, width_of
from render.page.signs import EIGHTH, QUARTER
from render.page.model import Pen
from render.page.text import Piece


@dataclass(frozen=True, slots=True)
class NoteGroup:
    """Written for now with text notes."""

    text: str
    width: float

    def paint(self, pen: Pen, x: float, baseline: float, role: str, size: float = 1.0) -> None:
        pen.words(x, baseline, self.text, size, BOLD, role, "feel")


def feel_notes(feel: Feel, beat: Beat, size: float) -> Piece:
    """The picture of a feel as one piece."""
    text = EIGHTH * 2 if not feel.swings else f"{EIGHTH}{EIGHTH} = {QUARTER}{EIGHTH}"
    if beat.ternary:
        text = EIGHTH * 3
    return Piece(width_of(text, BOLD) * size, text, BOLD, size, kind="feel")
