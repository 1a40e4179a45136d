"""One pattern against one feel: the verdict, the two grids under one another, what each beat is off by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Any

from charts.counting import TRIPLETS, count_grid, offsets_in_words
from charts.feel import Feel
from charts.fitting.hands import Playing, playable
from charts.fitting.moments import Beats, own_beats
from charts.hearing import Heard
from charts.pattern import FILL, Pattern
from charts.reading.settings import Settings
from charts.ruler import EMPTY, Mark
from charts.verdict import CLASHES, CROSSES, FITS, NEAR, BeatVerdict, beat_json, judge, own_end, worst
from charts.wording import figure, per_minute
from render.terminal.ink import BOLD, CYAN, GREEN, RED, YELLOW, Ink, cells, folded_words
from render.terminal.pattern_view import counts, heard_places, kit_words, stroke_rows
from render.terminal.ruled import RuledRow, ruled

COLOURS = {FITS: GREEN, CROSSES: CYAN, NEAR: YELLOW, CLASHES: RED}
DEFAULT_BAR = 4


@dataclass(frozen=True)
class Fit:
    """A pattern judged against a feel at a tempo, and whether it can be played there."""

    pattern: Pattern
    feel: Feel
    tempo: Fraction
    under: Beats
    verdicts: tuple[BeatVerdict, ...]
    playing: Playing

    @property
    def verdict(self) -> str:
        return worst(self.verdicts)

    @property
    def said(self) -> str:
        """The verdict, with what a rhythm across the beat is called."""
        words = Heard(self.feel, tuple(self.under), self.verdicts).words
        return f"{self.verdict}, {words}" if self.verdict == CROSSES else self.verdict

    @property
    def swing(self) -> float | None:
        """The swing ratio at this tempo."""
        ratio = self.feel.ratio(self.tempo)
        return None if ratio is None else round(float(ratio), 3)


def fit_of(pattern: Pattern, feel: Feel, tempo: Fraction, settings: Settings) -> Fit:
    """Judge a pattern by itself, over the beats of its own meter."""
    under = own_beats(pattern, tempo)
    verdicts = judge(pattern, feel, under, settings.tolerance, own_end(pattern))
    playing = playable(pattern, feel, under, settings.limits, settings.left_handed)
    return Fit(pattern, feel, tempo, under, verdicts, playing)


def fit_json(fit: Fit) -> dict[str, Any]:
    """The answer of ``fit --json``."""
    return {
        "pattern": fit.pattern.name,
        "feel": fit.feel.name,
        "tempo": round(float(fit.tempo), 3),
        "swing": fit.swing,
        "verdict": fit.verdict,
        "beats": [beat_json(place, beat) for place, beat in enumerate(fit.verdicts, start=1)],
        "playable": fit.playing.playable,
        "limits": [breach.row() for breach in fit.playing.breaches],
    }


def fit_lines(fit: Fit, width: int, ink: Ink, triplets: str = TRIPLETS) -> Iterator[str]:
    """The drawing: what it is, the counts and rows on one ruler, then each beat in words."""
    yield from _verdict_lines(fit, width, ink)
    swing = f", swung {figure(Fraction(fit.swing).limit_denominator(100))} to 1" if fit.swing else ""
    yield f"  against {fit.feel.name} at {per_minute(fit.tempo)}{swing}"
    yield ""
    numbers = list(range(1, fit.pattern.beats + 1))
    bar = len(fit.pattern.meter.beats) if fit.pattern.meter else DEFAULT_BAR
    yield from ruled(fit_rows(fit, numbers, triplets), width, bar, ink)
    yield ""
    own = counts(fit.pattern, fit.feel, fit.under, numbers, triplets)
    yield from _beats_in_words(fit, [[word for _, word in beat] for beat in own], width, ink)
    yield from _hands_in_words(fit, width, ink)
    if fit.verdict == CLASHES and fit.pattern.origin:
        again = f're-lay it: feelmap regrid "{fit.pattern.name}" --feel "{fit.feel.name}"'
        yield from ("  " + line for line in folded_words(again, width - 2, "  "))
    yield ""
    yield from ("  " + line for line in folded_words(kit_words(fit.pattern), width - 2))


def _verdict_lines(fit: Fit, width: int, ink: Ink) -> Iterator[str]:
    """What it is, in one line where that fits; a pattern that no hand can play is never simply good."""
    verdict = ink(fit.said, BOLD, COLOURS[fit.verdict])
    if fit.playing.playable:
        yield f"{ink(fit.pattern.name, BOLD)}: {verdict}"
        return
    joint = "but" if fit.verdict in (FITS, CROSSES) else "and"
    both = f"{verdict}, {joint} is {ink('not playable', BOLD, RED)}"
    plain = f"{fit.pattern.name}: {fit.said}, {joint} is not playable"
    if cells(plain) <= width:
        yield f"{ink(fit.pattern.name, BOLD)}: {both}"
    else:
        yield f"{ink(fit.pattern.name, BOLD)}:"
        yield f"  {both}"


def fit_rows(fit: Fit, numbers: Sequence[int], triplets: str) -> list[RuledRow]:
    """Both counts, what is off, and the strokes, each where it sounds."""
    groove = tuple(
        count_grid(fit.feel, beat, bpm, place, triplets)
        for place, (beat, bpm) in zip(numbers, fit.under, strict=True)
    )
    own = tuple(counts(fit.pattern, fit.feel, fit.under, numbers, triplets))
    label = f"the {fit.pattern.kind} counts" if fit.pattern.kind == FILL else "the pattern counts"
    rows = [RuledRow("the groove counts", groove, EMPTY), RuledRow(label, own, EMPTY, (BOLD,))]
    offsets = tuple(map(_offset_marks, fit.verdicts))
    if any(offsets):
        rows.append(RuledRow("ms early -, late +", offsets, " ", (COLOURS[fit.verdict],)))
    strokes = stroke_rows(fit.pattern, heard_places(fit.pattern, fit.feel, fit.under), fit.playing.assignment)
    return rows + strokes


def _offset_marks(verdict: BeatVerdict) -> tuple[Mark, ...]:
    """Rounded offsets under the strokes that are off; those play where they are written."""
    return tuple(
        (at, f"{off:+.0f}") for at, off in zip(verdict.onsets, verdict.offsets_ms, strict=True) if off
    )


def _beats_in_words(fit: Fit, words: Sequence[Sequence[str]], width: int, ink: Ink) -> Iterator[str]:
    """Beats that read alike are told together."""

    def told(place: int) -> tuple[str, int, int, str, bool]:
        beat = fit.verdicts[place]
        said = ["the beat" if word.isdigit() else word for word in words[place][: len(beat.onsets)]]
        return beat.verdict, beat.division, beat.level, offsets_in_words(said, beat.offsets_ms), beat.ornament

    for (verdict, division, level, off, ornament), group in groupby(range(len(fit.verdicts)), told):
        places = [place + 1 for place in group]
        name = f"beat {places[0]}" if len(places) == 1 else f"beats {places[0]} to {places[-1]}"
        grid = f"in {division}" + (f" against {level}" if level != division else "")
        grid += ", an ornament" if ornament else ""
        if not fit.verdicts[places[0] - 1].onsets:
            grid = "nothing is struck"
        lines = folded_words(grid + (f": {off}" if off else ""), width - 26) or [""]
        yield f"  {name:<15}{ink(f'{verdict:<9}', COLOURS[verdict])}{lines[0]}"
        yield from (" " * 26 + line for line in lines[1:])


def _hands_in_words(fit: Fit, width: int, ink: Ink) -> Iterator[str]:
    if fit.playing.playable:
        yield f"  playable at {per_minute(fit.tempo)}"
        return
    yield f"  {ink('not playable', BOLD, RED)} at {per_minute(fit.tempo)}"
    for breach in fit.playing.breaches:
        first, second = (f"{s.voice} in beat {s.beat + 1}" for s in (breach.first, breach.second))
        gap, limit = float(breach.gap_ms), float(breach.limit_ms)
        asked = f"{breach.limb}: {gap:.0f} ms from {first} to {second}, the limit is {limit:.0f}"
        yield from ("    " + line for line in folded_words(asked, width - 4, "  "))
