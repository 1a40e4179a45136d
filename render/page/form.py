"""The form as rows: a row for each section as played, its changes, its bars, equal neighbours folded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from charts.feel import Feel
from charts.played import PlayedSection
from charts.song import EACH, Section, Song
from charts.timing import Meter
from render.page.fills import Lettered
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
class State:
    """What is in force: feel, tempo, meter, groove."""

    feel: Feel
    tempo: Fraction
    meter: Meter
    groove: str


@dataclass(frozen=True)
class Row:
    """One section as the page shows it."""

    section: Section
    names: tuple[str, ...]
    times: int
    signs: tuple[Piece, ...]
    marks: Mapping[int, BarMarks]
    notes: tuple[Note, ...]

    @cached_property
    def name(self) -> str:
        """The section's name; the names of folded neighbours beside one another."""
        return " · ".join(dict.fromkeys(self.names))

    @property
    def repeated(self) -> bool:
        return self.times > 1 or self.section.open

    @cached_property
    def least_bar(self) -> float:
        """Width that the fullest of its boxes needs."""
        repeats = 0 if not self.repeated else 2 if self.section.bars == 1 else 1
        return least_bar(self.marks, repeats)

    @cached_property
    def heavy(self) -> bool:
        """True where the feel changes: its sign stands above the row, across the page."""
        return any(piece.kind == "feel change" for piece in self.signs)

    @cached_property
    def odd(self) -> bool:
        """A length, or a phrase, that does not count in fours."""
        return any(phrase % GROUP for phrase in self.section.phrases)

    @cached_property
    def name_pieces(self) -> list[Piece]:
        return words(self.name, "section", BOLD)

    @cached_property
    def bars_pieces(self) -> list[Piece]:
        """The bars; an odd length is a sign, with its phrases where they are odd."""
        section = self.section
        if not self.odd:
            return [unbroken(str(section.bars), "bars")]
        few = 1 < len(section.phrases) <= MOST_TOGETHER
        return sign([unbroken(phrases_in_words(section.phrases) if few else str(section.bars), "bars")])

    @cached_property
    def phrase_pieces(self) -> list[Piece]:
        """The bars as counted phrases; an odd length is a sign."""
        text = phrases_in_words(self.section.phrases)
        return sign(_breakable(text)) if self.odd else _breakable(f"({text})")

    @cached_property
    def times_pieces(self) -> list[Piece]:
        return [unbroken(f"×{self.times}", "bars", BOLD, space=0.4)] if self.times > 1 else []

    @cached_property
    def side_pieces(self) -> list[Piece]:
        """What stands beside or below the name: an open repeat, dynamics."""
        found = sign([unbroken("open", "bars")], space=0.4) if self.section.open else []
        return found + dynamics_pieces(self.section.dynamics)

    @cached_property
    def title_pieces(self) -> list[Piece]:
        """Name, bars, times as one running text, before boxes or nothing."""
        bars = self.bars_pieces if self.odd else [unbroken(f"({self.section.bars})", "bars")]
        return self._running(bars)

    @cached_property
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

    @cached_property
    def counted_width(self) -> float:
        """Width of all words of the running text, without the gaps between."""
        return sum(piece.width for piece in self.counted_pieces)

    @cached_property
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

    @cached_property
    def hung_notes(self) -> tuple[Note, ...]:
        """What stands below the boxes: all that they do not show."""
        return tuple(note for note in self.notes if not note.boxed)

    @cached_property
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


def form_rows(song: Song, parts: Sequence[PlayedSection], uses: Sequence[Sequence[Lettered]]) -> list[Row]:
    """The form as played; neighbours alike in everything are one row already."""
    state = State(song.feel, song.tempo, song.meter, song.groove)
    rows: list[Row] = []
    for part in parts:
        section = part.section
        signs = _changes(section, state)
        notes = _new_groove(section, state.groove, song.groove)
        row = Row(
            section, (section.name,), section.times, tuple(signs), bar_marks(part, uses[part.index]),
            (*notes, *section_notes(part, uses[part.index])),
        )  # fmt: skip
        state = State(section.feel, _last_tempo(part), section.meter, section.groove or state.groove)
        if rows and _same(rows[-1], row) and rows[-1].section.name == section.name:
            rows[-1] = replace(rows[-1], times=rows[-1].times + row.times)
        else:
            rows.append(row)
    return rows


def fold(rows: Sequence[Row]) -> list[Row]:
    """Neighbours alike in everything but their names in one row.

    >>> fold([])
    []
    """
    folded: list[Row] = []
    for row in rows:
        if folded and _same(folded[-1], row):
            last = folded[-1]
            folded[-1] = replace(last, names=(*last.names, *row.names), times=last.times + row.times)
        else:
            folded.append(row)
    return folded


def _same(one: Row, other: Row) -> bool:
    """True where two rows read the same, and one with a multiplier says the same as both."""
    a, b = one.section, other.section
    begins = other.signs or any(note.pieces[0].kind == "groove" for note in other.notes)
    if begins or a.open or b.open or not (_even(a) and _even(b)):
        return False
    if a.phrases != b.phrases or len(a.cues) != len(b.cues) or a.times != b.times:
        return False  # the common case, told at a glance
    named = replace(b, name=a.name, tempo_given=a.tempo_given, feel_given=a.feel_given, like=a.like)
    return _bare(a) == _bare(named)


def _bare(section: Section) -> Section:
    return replace(section, fills=tuple(replace(use, owner="", pass_=EACH) for use in section.fills))


def _even(section: Section) -> bool:
    """True where every pass is like the last."""
    passes = section.times == 1 or all(use.pass_ == EACH for use in section.fills)
    return passes and not section.tempos and section.tempo_to is None


def _last_tempo(part: PlayedSection) -> Fraction:
    return part.clock.stretches[-1].to if part.section.units else part.section.tempo


def _changes(section: Section, before: State) -> list[Piece]:
    """Signs for feel, tempo and meter that differ from what was before."""
    signs: list[Piece] = []
    if section.tempo != before.tempo or section.tempo_to is not None or _unit_changes(section, before):
        signs += tempo_sign(section.meter, section.tempo, section.tempo_to)
    meter = section.meter_of(1)
    if section.feel != before.feel:
        picture = picture_of(section.feel, meter.beats[0], section.tempo)
        parts = [*words(section.feel.name, "feel change"), Piece(picture.width, space=0.4, picture=picture)]
        signs += sign(parts, space=0.3, tip=True)
    if section.meter != before.meter:
        signs += sign([unbroken(str(section.meter), "meter change")], space=0.3, tip=True)
    return signs


def _new_groove(section: Section, before: str, home: str) -> list[Note]:
    """A section's own groove where it begins; the way back to the song's own needs no words."""
    if section.groove in ("", before, home):
        return []
    return [Note(1, 0.0, "1", tuple(words(section.groove, "groove", role=SOFT)))]


def _unit_changes(section: Section, before: State) -> bool:
    """The tempo's figure stays but counts another note."""
    return section.meter.unit_quarters != before.meter.unit_quarters
