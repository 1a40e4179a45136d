"""What the drawings of suggested, re-laid and varied fills share: the feel, the room, rows under counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.counting import BETWEEN, COMPOUND, TRIPLETS, place_word
from charts.feel import Feel
from charts.fitting.moments import Beats
from charts.pattern import Pattern, division
from charts.rows import write_rows
from charts.ruler import EMPTY
from render.terminal.ink import DIM, Ink, folded_words
from render.terminal.pattern_view import counts, heard_places, kit_words, stroke_rows
from render.terminal.ruled import RuledRow, ruled

FOUR = 4


@dataclass(frozen=True)
class FillDrawing:
    """What the drawings share: the feel and tempo, the room, the style of counting."""

    feel: Feel
    tempo: Fraction
    width: int
    ink: Ink
    triplets: str = TRIPLETS

    def drawn(
        self, pattern: Pattern, under: Beats, limbs: Sequence[str], numbers: Sequence[int]
    ) -> Iterator[str]:
        """A pattern with its count, accents and sticking, each stroke where it sounds."""
        bar = len(pattern.meter.beats) if pattern.meter else FOUR
        said = tuple(counts(pattern, self.feel, under, numbers, self.triplets))
        rows = stroke_rows(pattern, heard_places(pattern, self.feel, under), limbs)
        yield from ruled([RuledRow("count", said, EMPTY, (DIM,)), *rows], self.width, bar, self.ink)

    def in_rows(self, pattern: Pattern, under: Beats) -> Iterator[str]:
        """A pattern in row notation, ready to be copied, under the first letters of its count."""
        written = [line.partition(" ") for line in write_rows(pattern).splitlines()]
        rows = [(label, cells.strip().split("|")) for label, _, cells in written]
        beats = [max(len(cells[beat]) for _, cells in rows) for beat in range(pattern.beats)]
        rows.insert(0, ("count", self._letters(pattern, under, beats)))
        width = max(len(label) for label, _ in rows) + 1
        for start, end in _broken(beats, self.width - width - 3):
            for place, (label, cells) in enumerate(rows):
                line = f"   {label:<{width}}{'|'.join(cells[start:end])}"
                yield line if place else self.ink(line, DIM)

    def _letters(self, pattern: Pattern, under: Beats, beats: Sequence[int]) -> list[str]:
        """For each beat its count, a letter a cell; cells that nothing is struck on stay empty."""
        found = []
        for beat, cells in enumerate(beats):
            words = self._words(pattern, under, beat, cells)
            short = [word[-1:] if not cell else _SHORT.get(word, word[:1]) for cell, word in enumerate(words)]
            found.append("".join(letter or EMPTY for letter in short))
        return found

    def _words(self, pattern: Pattern, under: Beats, beat: int, cells: int) -> list[str]:
        """The words of one beat, a word a cell; empty where nothing is struck."""
        ternary = under[beat][0].ternary
        style, thirds = COMPOUND if ternary else self.triplets, self.feel.divides[0] == 3 or ternary
        struck = {at * cells for at in pattern.onsets[beat]} | {0}
        return [
            place_word(Fraction(cell, cells), cells, beat + 1, style, thirds) if cell in struck else ""
            for cell in range(cells)
        ]

    def legend(self, patterns: Sequence[Pattern], under: Beats) -> Iterator[str]:
        """What means what in patterns in row notation: letters of the count, codes of the voices."""
        used = {
            word
            for pattern in patterns
            for beat, onsets in enumerate(pattern.onsets)
            for word in self._words(pattern, under, beat, division(onsets))
        }
        said = [f"{_SHORT.get(word, word[0])} {_SAID.get(word, word)}" for word in _WHOLE if word in used]
        if said:
            yield from self.folded(f"count: {', '.join(said)}")
        yield from self.folded(kit_words(*patterns))

    def folded(self, text: str) -> Iterator[str]:
        """Words within the width."""
        yield from ("  " + line for line in folded_words(text, self.width - 2))


_SHORT = {BETWEEN: "x"}  # “t” is the triplet's
_SAID = {BETWEEN: "halfway to the next"}
_WHOLE = (*TRIPLETS.split()[1:], BETWEEN)  # words that a letter alone does not tell


def _broken(beats: Sequence[int], room: int) -> Iterator[tuple[int, int]]:
    """The beats that are in each line: as many as there is room for, at least one."""
    start, taken = 0, 0
    for beat, cells in enumerate(beats):
        if beat > start and taken + cells > room:
            yield start, beat
            start, taken = beat, 0
        taken += cells + 1
    yield start, len(beats)
