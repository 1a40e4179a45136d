"""The patterns: which there are and on what grid each moves; one of them drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from typing import Any

from charts.counting import TRIPLETS
from charts.feel import Feel
from charts.fitting.hands import playable
from charts.fitting.moments import own_beats
from charts.kit import is_hand
from charts.pattern import ENDING, FILL, GROOVE, Pattern, division
from charts.rows import write_rows
from charts.ruler import EMPTY
from charts.verdict import fits as fits_feel
from charts.verdict import own_end
from charts.wording import figure, many
from render.terminal.console import listing
from render.terminal.ink import BOLD, DIM, Ink, folded_words
from render.terminal.listing import ListColumn
from render.terminal.pattern_view import counts, kit_words, stroke_rows
from render.terminal.ruled import RuledRow, ruled

USUAL_TEMPO = Fraction(100)  # where a pattern gives no range
SIZES = {"short": (1, 2), "medium": (3, 4), "long": (5, 64)}  # beats
BAR = 4
_PLACES = {
    ENDING: "the end of a song",
    "hit": "a hit of the band in the bar",
    "push": "a section that comes in early",
}


@dataclass(frozen=True)
class PatternFilter:
    """What ``fills`` was asked for; None where it does not matter."""

    feels: tuple[Feel, ...] = ()  # it fits one of them
    tempo: Fraction | None = None
    beats: int | None = None
    voices: frozenset[str] = frozenset()
    size: str | None = None
    kind: str | None = None

    def admits(self, pattern: Pattern) -> bool:
        """True for a pattern that is all that was asked for."""
        low, high = SIZES.get(self.size or "", (1, 64))
        tempo = self.tempo or tempo_of(pattern)
        return (
            (self.kind is None or pattern.kind == self.kind)
            and (self.beats is None or pattern.beats == self.beats)
            and low <= pattern.beats <= high
            and (not self.voices or self._played_on(pattern))
            and (
                self.tempo is None
                or pattern.tempo is None
                or pattern.tempo[0] <= self.tempo <= pattern.tempo[1]
            )
            and (not self.feels or any(fits(pattern, feel, tempo) for feel in self.feels))
        )

    def _played_on(self, pattern: Pattern) -> bool:
        """Hands on these voices only; the feet are free unless a foot's voice is named."""
        feet = any(not is_hand(voice) for voice in self.voices)
        return all(voice in self.voices for voice in pattern.voices if is_hand(voice) or feet)


def tempo_of(pattern: Pattern) -> Fraction:
    """The middle of the tempo range in which a pattern sounds right."""
    return (pattern.tempo[0] + pattern.tempo[1]) / 2 if pattern.tempo else USUAL_TEMPO


def fits(pattern: Pattern, feel: Feel, tempo: Fraction) -> bool:
    """True where every beat sits on the feel's grid."""
    return fits_feel(pattern, feel, own_beats(pattern, tempo), own_end(pattern))


def feels_that_fit(pattern: Pattern, feels: Iterable[Feel]) -> list[str]:
    """The names of the feels that a pattern fits; feels with one grid are tried once."""
    tempo, known = tempo_of(pattern), {}
    found = []
    for feel in feels:
        grid = (feel.divides, feel.home, feel.ratio(tempo))
        if grid not in known:
            known[grid] = fits(pattern, feel, tempo)
        if known[grid]:
            found.append(feel.name)
    return found


def tempo_range(pattern: Pattern) -> list[float] | None:
    """The range as JSON gives it."""
    return [round(float(end), 3) for end in pattern.tempo] if pattern.tempo else None


def tempo_words(pattern: Pattern) -> str:
    """The range as a list shows it: 60-140."""
    return "-".join(map(figure, pattern.tempo or ()))


def pattern_json(pattern: Pattern, feels: Iterable[Feel]) -> dict[str, Any]:
    """One row of ``fills --json``; every key is always there."""
    return {
        "name": pattern.name,
        "kind": pattern.kind,
        "beats": pattern.beats,
        "grid": [division(onsets) for onsets in pattern.onsets],
        "voices": list(pattern.voices),
        "suits": pattern.suits or None,
        "meter": str(pattern.meter) if pattern.meter else None,
        "tempo": tempo_range(pattern),
        "swung": pattern.swung,
        "rows": write_rows(pattern),
        "feels": feels_that_fit(pattern, feels),
        "made_for": list(pattern.feels),
        "place": pattern.place or None,
        "origin": pattern.origin or None,
    }


def grid_words(pattern: Pattern) -> str:
    """Each beat's division, equal neighbours told once.

    >>> from charts.notation import read_rows
    >>> grid_words(Pattern("", "fill", 3, read_rows("SD ooo|ooo|oooo").strokes))
    '3x2 4'
    """
    runs = [(cells, len(list(run))) for cells, run in groupby(map(division, pattern.onsets))]
    if len(runs) == 1:
        return str(runs[0][0])
    return " ".join(f"{cells}x{times}" if times > 1 else str(cells) for cells, times in runs)


_COLUMNS = (
    ListColumn("name", most=34), ListColumn("beats", right=True), ListColumn("grid", 5, most=16),
    ListColumn("tempo", 4), ListColumn("voices", 2, most=24), ListColumn("suits", 3, most=72, loose=True),
    ListColumn("from", 1),
)  # fmt: skip


def patterns_lines(
    patterns: Sequence[Pattern], width: int, ink: Ink, strangers: Sequence[Pattern] = ()
) -> Iterator[str]:
    """The list: fills, then grooves, each with those that were made for another feel after the rest."""
    several = len({pattern.origin for pattern in (*patterns, *strangers)}) > 1
    columns = _COLUMNS if several else _COLUMNS[:-1]
    parts = [
        (f"{many(len(chosen), kind)}{made}", chosen)
        for kind in (FILL, GROOVE)
        for made, some in (("", patterns), (" on this grid made for another feel or meter", strangers))
        if (chosen := [pattern for pattern in some if pattern.kind == kind])
    ]
    for place, (head, chosen) in enumerate(parts):
        if place:
            yield ""
        yield ink(head, BOLD)
        yield from listing(columns, [_row(pattern)[: len(columns)] for pattern in chosen], width, ink)


def _row(pattern: Pattern) -> list[str]:
    return [
        pattern.name, str(pattern.beats), grid_words(pattern), tempo_words(pattern), " ".join(pattern.voices),
        pattern.suits, pattern.origin,
    ]  # fmt: skip


def pattern_lines(
    pattern: Pattern, feels: Sequence[Feel], width: int, ink: Ink, triplets: str = TRIPLETS
) -> Iterator[str]:
    """One pattern drawn as it is written, with what it suits and the feels it fits."""
    names = feels_that_fit(pattern, feels)
    yield f"{ink(pattern.name, BOLD)}   {pattern.kind}, {many(pattern.beats, 'beat')}"
    for label, text in _facts(pattern, names):
        yield from (f"  {line}" for line in folded_words(f"{label}: {text}", width - 2, "  "))
    yield ""
    feel = next((feel for feel in feels if feel.name in names), None) or Feel("", (2, 2))
    bar = len(pattern.meter.beats) if pattern.meter else BAR
    yield from ruled(_written_rows(pattern, feel, triplets), width, bar, ink)
    yield ""
    yield from ("  " + line for line in folded_words(kit_words(pattern), width - 2))


def _written_rows(pattern: Pattern, feel: Feel, triplets: str) -> list[RuledRow]:
    """Count and strokes where they are written, whatever the swing; hands are found where none are given."""
    under = own_beats(pattern, tempo_of(pattern))
    even = Feel("", feel.divides, home_cells=feel.home_cells, count=feel.count)
    written = replace(pattern, swung=False)
    hands = () if pattern.stuck else playable(pattern, feel, under).assignment
    said = tuple(counts(written, even, under, range(1, pattern.beats + 1), triplets))
    return [RuledRow("count", said, EMPTY, (DIM,)), *stroke_rows(written, lambda stroke: stroke.at, hands)]


def _facts(pattern: Pattern, feels: Sequence[str]) -> Iterator[tuple[str, str]]:
    if pattern.suits:
        yield "suits", pattern.suits
    if pattern.feels:
        yield "made for", ", ".join(pattern.feels)
    if pattern.place:
        yield "only for", _PLACES[pattern.place]
    if pattern.tempo:
        yield "tempo", " to ".join(figure(end) for end in pattern.tempo)
    if pattern.meter:
        yield "meter", str(pattern.meter)
    if pattern.swung:
        yield "written straight", "played swung"
    yield "fits", ", ".join(feels) if feels else "none of the feels here"
