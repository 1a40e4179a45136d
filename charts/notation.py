"""The row notation, read: a row per voice, a group of cells per beat.

:mod:`charts.rows` writes it; reading what was written gives the same strokes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from charts.kit import SPELLINGS, VOICES, is_hand, plain_voice, spoken_voices
from charts.pattern import (
    BOTH,
    BUZZ,
    CLOSED,
    DRAG,
    FLAM,
    GHOST,
    HALF_OPEN,
    LEFT,
    OPEN,
    PLAIN,
    RIGHT,
    Stroke,
    in_order,
)  # fmt: skip
from charts.wording import many

STICK = "stick"
STICK_KEY = -1  # the line of problems in a sticking that is kept outside the rows
EMPTY = ".-"
MOST_BEATS, MOST_CELLS, MOST_STROKES = 64, 48, 400  # of a pattern, of a beat, of a pattern
_KINDS = {"o": PLAIN, "x": PLAIN, "s": PLAIN, "g": GHOST, "f": FLAM, "d": DRAG, "z": BUZZ}
HAT_LETTERS = {"x": CLOSED, "s": HALF_OPEN, "o": OPEN}


class RowProblem(NamedTuple):
    """Something wrong in the rows: line and column from 0, the length in characters."""

    line: int
    column: int
    width: int
    message: str
    hint: str
    rule: str = "file"


class Rows(NamedTuple):
    """What the rows say: beats, strokes in order, and the problems met."""

    beats: int
    strokes: tuple[Stroke, ...]
    problems: tuple[RowProblem, ...]


@dataclass(frozen=True)
class _Row:
    label: str
    line: int
    column: int
    body: str
    body_column: int

    @cached_property
    def groups(self) -> list[tuple[str, list[int]]]:
        """Each beat's cells, and the column of each cell."""
        found, column = [], self.body_column
        for group in self.body.split("|"):
            cells = [(cell, column + place) for place, cell in enumerate(group) if not cell.isspace()]
            found.append(("".join(cell for cell, _ in cells), [place for _, place in cells]))
            column += len(group) + 1
        return found


def read_rows(text: str, stick: str | None = None, spellings: Mapping[str, str] | None = None) -> Rows:
    """Read rows of strokes; ``stick`` is a sticking kept outside the rows.

    >>> [s.voice for s in read_rows("SD o.o|o..\\nBD ...|..o").strokes]
    ['SD', 'SD', 'SD', 'BD']
    >>> read_rows("SD oq").problems[0].message
    '“q” is not a stroke'
    """
    return _Reader(spellings or SPELLINGS).read(text, stick)


class _Reader:
    def __init__(self, spellings: Mapping[str, str]) -> None:
        self.spellings = spellings
        self.problems: list[RowProblem] = []

    def read(self, text: str, stick: str | None) -> Rows:
        rows = [row for line, row_text in enumerate(text.splitlines()) if (row := _row(line, row_text))]
        voices = [row for row in rows if row.label.casefold() != STICK]
        sticks = [row for row in rows if row.label.casefold() == STICK]
        if stick is not None:
            if sticks:
                self._problem(
                    sticks[0], "the sticking is given twice", "keep the row “stick” or the key, not both"
                )
            sticks = [_Row(STICK, STICK_KEY, 0, stick, 0)]
        if not voices:
            self.problems.append(
                RowProblem(0, 0, 1, "no row of strokes here", "write a voice and its cells: SD o.o.|oooo")
            )
            return Rows(0, (), tuple(self.problems))
        beats = len(voices[0].groups)
        self._check_lengths(voices + sticks, beats)
        strokes = [stroke for row in self._known(voices) for stroke in self._strokes(row, beats)]
        if len(strokes) > MOST_STROKES:
            self._problem(
                voices[0],
                f"{len(strokes)} strokes are too many",
                f"a pattern has at most {MOST_STROKES} strokes",
            )
        if not self.problems:
            strokes = self._with_hands(strokes, sticks[0] if sticks else None)
        return Rows(beats, in_order(strokes), tuple(self.problems))

    def _problem(self, row: _Row, message: str, hint: str, rule: str = "file") -> None:
        self.problems.append(RowProblem(row.line, row.column, len(row.label), message, hint, rule))

    def _cell_problem(self, row: _Row, column: int, message: str, hint: str, rule: str = "file") -> None:
        self.problems.append(RowProblem(row.line, column, 1, message, hint, rule))

    def _check_lengths(self, rows: list[_Row], beats: int) -> None:
        if beats > MOST_BEATS:
            self._problem(rows[0], f"{beats} beats are too many", f"a pattern has at most {MOST_BEATS} beats")
        for row in rows:
            if len(row.groups) != beats:
                self._problem(
                    row,
                    f"row {row.label} has {many(len(row.groups), 'beat')}, the first row has {beats}",
                    "give every row the same number of groups between “|”",
                )
            for place, (cells, columns) in enumerate(row.groups):
                if len(cells) > MOST_CELLS:
                    self._cell_problem(
                        row, columns[0], f"{len(cells)} cells in a beat", f"write at most {MOST_CELLS}"
                    )
                elif not cells:
                    at_end = len(row.groups) > 1 and place in (0, len(row.groups) - 1)
                    hint = (
                        "leave out the “|” before the first and after the last beat, or " if at_end else ""
                    )
                    self._problem(
                        row, f"row {row.label} has a beat without cells", f"{hint}write “.” for an empty beat"
                    )

    def _known(self, rows: list[_Row]) -> list[_Row]:
        seen: set[str] = set()
        known = []
        for row in rows:
            code = self.spellings.get(row.label.upper())
            if code is None:
                self._problem(row, f"“{row.label}” is not a voice", _instead_of(row.label))
            elif code in seen:
                self._problem(row, f"a second row {row.label}", "put all its strokes in one row")
            else:
                seen.add(code)
                known.append(replace(row, label=code))
        return known

    def _strokes(self, row: _Row, beats: int) -> Iterable[Stroke]:
        for beat, (cells, columns) in enumerate(row.groups[:beats]):
            for place, (cell, column) in enumerate(zip(cells, columns, strict=True)):
                if cell in EMPTY:
                    continue
                stroke = self._stroke(row, cell, column)
                if stroke:
                    yield replace(stroke, beat=beat, at=Fraction(place, len(cells)))

    def _stroke(self, row: _Row, cell: str, column: int) -> Stroke | None:
        low = cell.lower()
        if cell == "G":
            self._cell_problem(
                row, column, "a ghost note has no accent", "write g for a ghost, O for an accent"
            )
        elif low not in _KINDS:
            self._cell_problem(
                row,
                column,
                f"“{cell}” is not a stroke",
                "write o x g f d z s, a capital for an accent, . for nothing",
            )
        elif low == "s" and row.label != "HH":
            self._cell_problem(row, column, "only the hi-hat can be slightly open", "write o")
        elif low in "fdz" and not is_hand(row.label):
            self._cell_problem(row, column, f"a foot plays no {_KINDS[low]}", "write o")
        else:
            hat = HAT_LETTERS.get(low, CLOSED) if row.label == "HH" else CLOSED
            return Stroke(0, Fraction(0), row.label, _KINDS[low], cell.isupper(), hat)
        return None

    def _with_hands(self, strokes: list[Stroke], row: _Row | None) -> list[Stroke]:
        struck: dict[tuple[int, Fraction], list[Stroke]] = {}
        for stroke in strokes:
            if stroke.by_hand:
                struck.setdefault((stroke.beat, stroke.at), []).append(stroke)
        if row is None:
            return strokes
        hands: dict[tuple[int, Fraction], str] = {}
        for beat, (cells, columns) in enumerate(row.groups):
            for place, (cell, column) in enumerate(zip(cells, columns, strict=True)):
                at = (beat, Fraction(place, len(cells)))
                if cell in EMPTY:
                    continue
                hand = cell.upper()
                if hand not in (RIGHT, LEFT, BOTH):
                    self._cell_problem(row, column, f"“{cell}” is not a hand", "write R, L, B for both, or .")
                elif at not in struck:
                    self._cell_problem(
                        row, column, f"{hand} in beat {beat + 1} has no stroke under it",
                        "put . there, or a stroke in a row above", "hands",
                    )  # fmt: skip
                elif len(struck[at]) == 2 and hand != BOTH:
                    self._cell_problem(
                        row, column, f"two drums at once in beat {beat + 1} and one hand",
                        "write B, both hands", "hands",
                    )  # fmt: skip
                else:
                    hands[at] = hand
        if not self.problems:
            self._check_unstuck(row, struck, hands)
        return [replace(s, hand=hands.get((s.beat, s.at), "")) if s.by_hand else s for s in strokes]

    def _check_unstuck(
        self,
        row: _Row,
        struck: Mapping[tuple[int, Fraction], list[Stroke]],
        hands: Mapping[tuple[int, Fraction], str],
    ) -> None:
        missing = sorted(at for at in struck if at not in hands)
        if missing:
            beat, at = missing[0]
            place = f"beat {beat + 1}" + (f" at {at}" if at else "")
            self._problem(
                row, f"the stroke on {place} has no hand", "give every hand stroke R, L or B", "hands"
            )


def _instead_of(label: str) -> str:
    """What to write for a row's name: the code of a voice that is spelt out, else all codes."""
    meant = spoken_voices().get(plain_voice(label.strip(":|")))
    return f"write {' or '.join(meant)}" if meant else f"use one of {' '.join(VOICES)}, or stick"


def _row(line: int, text: str) -> _Row | None:
    found = re.match(r"(\s*)(\S+)(\s*)(.*?)\s*$", text)
    if not found or found[2].startswith("#"):
        return None
    label, rest = found[2], found[4]
    return _Row(label, line, len(found[1]), rest, found.start(4))
