"""The rows of the form as the page shows them: names, bars, changes as signs, marks and words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from charts import outline
from charts.song import Section
from render.page.fills import UsedFill
from render.page.fonts import BOLD, ITALIC
from render.page.lanes import numbered
from render.page.marks import BarMarks, bar_marks
from render.page.notes import Note, section_notes, tempo_sign
from render.page.picture import picture_of
from render.page.strips import least_bar, lines_of
from render.page.text import Piece, natural_width, sign, tied, unbroken, words
from render.page.theme import SOFT

GROUP = 4  # bars that the ear takes as one; a length that does not divide by it stands out
MOST_TOGETHER = 3  # phrase lengths written out one by one


@dataclass(frozen=True)
class Row:
    """One row of the form as the page shows it."""

    section: Section
    name: str
    times: int
    signs: tuple[Piece, ...]
    marks: Mapping[int, BarMarks]
    notes: tuple[Note, ...]

    @property
    def repeated(self) -> bool:
        return self.times > 1 or self.section.open

    @property
    def least_bar(self) -> float:
        """Width that the fullest of its boxes needs."""
        repeats = 0 if not self.repeated else 2 if self.section.bars == 1 else 1
        return least_bar(self.marks, repeats)

    @property
    def heavy(self) -> bool:
        """True where the feel changes: its sign stands above the row, across the page."""
        return any(piece.kind == "feel change" for piece in self.signs)

    @property
    def odd(self) -> bool:
        """A length, or a phrase, that does not count in fours."""
        return any(phrase % GROUP for phrase in self.section.phrases)

    @property
    def name_pieces(self) -> list[Piece]:
        return words(self.name, "section", BOLD)

    @property
    def bars_pieces(self) -> list[Piece]:
        """The bars; an odd length is a sign, with its phrases where they are odd."""
        section = self.section
        if not self.odd:
            return [unbroken(str(section.bars), "bars")]
        few = 1 < len(section.phrases) <= MOST_TOGETHER
        return sign([unbroken(phrases_in_words(section.phrases) if few else str(section.bars), "bars")])

    @property
    def phrase_pieces(self) -> list[Piece]:
        """The bars as counted phrases; an odd length is a sign."""
        text = phrases_in_words(self.section.phrases)
        return sign(_breakable(text)) if self.odd else _breakable(f"({text})")

    @property
    def times_pieces(self) -> list[Piece]:
        return [unbroken(f"×{self.times}", "bars", BOLD, space=0.4)] if self.times > 1 else []

    @cached_property
    def side_pieces(self) -> list[Piece]:
        """What stands beside or below the name: an open repeat, dynamics."""
        found = sign([unbroken("open", "bars")], space=0.4) if self.section.open else []
        return found + dynamics_pieces(self.section.dynamics)

    @property
    def title_pieces(self) -> list[Piece]:
        """Name, bars, times as one running text, before boxes or nothing."""
        bars = self.bars_pieces if self.odd else [unbroken(f"({self.section.bars})", "bars")]
        return self._running(bars)

    @property
    def counted_pieces(self) -> list[Piece]:
        """The whole section as one running text, with its cues, hits and fills."""
        return [*self._running(self.phrase_pieces), *numbered(self.notes)]

    @cached_property
    def running_width(self) -> float:
        """Width of all words of what stands below the boxes, without the gaps between."""
        return sum(piece.width for piece in self.running_notes)

    @cached_property
    def noted_lines(self) -> int:
        """Lines of boxes, eight across, that have words below them."""
        noted = {note.bar for note in self.hung_notes}
        return sum(
            any(first <= bar < first + count for first, count, _ in line for bar in noted)
            for line in lines_of(self.section.phrases)
        )

    @property
    def counted_width(self) -> float:
        """Width of all words of the running text, without the gaps between."""
        return sum(piece.width for piece in self.counted_pieces)

    @property
    def longest(self) -> float:
        """Width of the longest word of its name."""
        return max((piece.width for piece in self.name_pieces), default=0.0)

    @cached_property
    def widths(self) -> tuple[float, float, float]:
        """Widths of name, bars and times."""
        return (
            natural_width(self.name_pieces),
            natural_width(self.bars_pieces),
            natural_width(self.times_pieces),
        )

    def _running(self, bars: list[Piece]) -> list[Piece]:
        side = [*(() if self.heavy else self.signs), *self.side_pieces]
        side = [side[0]._replace(space=0.55), *side[1:]] if side else []
        return [*self.name_pieces, bars[0]._replace(space=0.5), *bars[1:], *self.times_pieces, *side]

    @property
    def hung_notes(self) -> tuple[Note, ...]:
        """What stands below the boxes: all that they do not show."""
        return tuple(note for note in self.notes if not note.boxed)

    @property
    def running_notes(self) -> list[Piece]:
        """The same as one running text."""
        return numbered(self.hung_notes)


def _breakable(text: str) -> list[Piece]:
    """Long phrase counts may break after a plus."""
    parts = text.replace("+", "+ ").split()
    return [unbroken(part, "bars") for part in parts]


def dynamics_pieces(dynamics: Sequence[str]) -> list[Piece]:
    """The dynamics in their own bold italics: “p” or “p to f”."""
    found = []
    for place, mark in enumerate(dynamics):
        if place:
            found.append(unbroken("to", "dynamics", space=0.26))
        found.append(unbroken(mark, "dynamics", ITALIC, space=0.26 if place else 0.45))
    return tied(found)


def phrases_in_words(phrases: Sequence[int]) -> str:
    """Bars as counted phrases; a row of equal ones is multiplied.

    >>> phrases_in_words((8,)), phrases_in_words((4, 4, 3)), phrases_in_words((4,) * 6 + (2,))
    ('8', '4+4+3', '6×4+2')
    """
    parts: list[list[int]] = []
    for phrase in phrases:
        if parts and parts[-1][1] == phrase:
            parts[-1][0] += 1
        else:
            parts.append([1, phrase])
    return "+".join(
        f"{count}×{bars}" if count > MOST_TOGETHER else "+".join([str(bars)] * count) for count, bars in parts
    )


def page_row(row: outline.Row, uses: Sequence[UsedFill]) -> Row:
    """One row with all that its page says of it."""
    section = row.section
    notes = (*_new_groove(row), *section_notes(row.part, uses))
    return Row(section, row.name, row.times, tuple(_changes(row)), bar_marks(row.part, uses), notes)


def _changes(row: outline.Row) -> list[Piece]:
    """Signs for tempo, feel and meter where they change."""
    signs: list[Piece] = []
    section, meter = row.section, row.section.meter_of(1)
    if outline.TEMPO in row.changes:
        signs += tempo_sign(section.meter, section.tempo, section.tempo_to)
    if outline.FEEL in row.changes:
        picture = picture_of(section.feel, meter.beats[0], section.tempo)
        parts = [*words(section.feel.name, "feel change"), Piece(picture.width, space=0.4, picture=picture)]
        signs += sign(parts, space=0.3, tip=True)
    if outline.METER in row.changes:
        signs += sign([unbroken(str(section.meter), "meter change")], space=0.3, tip=True)
    return signs


def _new_groove(row: outline.Row) -> list[Note]:
    """A section's own groove where it begins; the way back to the song's own needs no words."""
    if row.changes.get(outline.GROOVE) != outline.DEPARTS:
        return []
    return [Note(1, 0.0, "1", tuple(words(row.section.groove, "groove", role=SOFT)))]
