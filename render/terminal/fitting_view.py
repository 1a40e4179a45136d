"""Fills that fit instead: suggested for a spot, re-laid, varied; as lines and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from charts.feel import Feel
from charts.fitting.hands import with_hands
from charts.fitting.moments import Beats
from charts.fitting.regrid import POUR, Regrid, Relaid
from charts.fitting.spot import ChartSpot
from charts.fitting.standstill import stop_under
from charts.fitting.suggest import Suggestion
from charts.fitting.vary import Variation
from charts.kit import VOICES
from charts.pattern import Pattern, division
from charts.placing import lay_fill
from charts.rows import write_rows
from charts.verdict import judge, worst
from charts.wording import listed, many, per_minute
from render.terminal.console import listing
from render.terminal.fill_drawing import FillDrawing
from render.terminal.ink import BOLD, folded_words
from render.terminal.listing import ListColumn
from render.terminal.patterns_view import grid_words, tempo_range, tempo_words

_COLUMNS = (
    ListColumn("", right=True), ListColumn("fill", most=34), ListColumn("beats", 1, right=True),
    ListColumn("grid", 3, most=14), ListColumn("tempo", 2), ListColumn("why", most=70, loose=True),
)  # fmt: skip


def suggest_json(where: ChartSpot, found: Sequence[Suggestion]) -> dict[str, Any]:
    """The answer of ``suggest --json``: a row a fill, the best first."""
    return {"suggest": [_suggestion(where, each) for each in found]}


def _suggestion(where: ChartSpot, each: Suggestion) -> dict[str, Any]:
    pattern = each.pattern
    return {
        "name": pattern.name,
        "beats": pattern.beats,
        "grid": [division(onsets) for onsets in pattern.onsets],
        "voices": list(pattern.voices),
        "tempo": tempo_range(pattern),
        "suits": pattern.suits or None,
        "reason": each.reason,
        "feel": _feel_of(where, each).name,
        "swung": pattern.swung,
        "sets_up": each.sets_up,
        "rows": write_rows(pattern),
    }


def _feel_of(where: ChartSpot, each: Suggestion) -> Feel:
    """The feel that a fill is played in: the next one where it sets that up."""
    after = where.spot.next_feel
    return after if each.sets_up and after else where.spot.feel


def suggest_lines(
    where: ChartSpot, found: Sequence[Suggestion], title: str, drawing: FillDrawing
) -> Iterator[str]:
    """The spot in words, the fills ranked, and the best one drawn."""
    yield drawing.ink(f"{title}, {where.section.name}, bar {where.bar}", BOLD)
    yield from drawing.folded("; ".join(_spot_words(where, drawing.tempo)))
    if where.now is not None:
        yield from drawing.folded(_now_words(where))
    if where.before is not None and where.before.name:
        yield from drawing.folded(f"just before it: {where.before.name}")
    if not found:
        return
    yield ""
    rows = [_row(place, each) for place, each in enumerate(found, start=1)]
    yield from listing(_COLUMNS, rows, drawing.width, drawing.ink)
    yield from _best_lines(where, found[0], drawing)
    yield ""
    for way in _ways(where, found):
        yield from drawing.folded(way)


def _best_lines(where: ChartSpot, best: Suggestion, drawing: FillDrawing) -> Iterator[str]:
    """The first of the list, drawn over the beats that it is played on."""
    spot, laid = where.spot, where.spot.laid(best.pattern)
    beats = len(where.section.meter_of(where.bar).beats)
    last = where.target.beat - (not spot.offset) if where.target else beats
    numbers = [(last - laid.beats + place) % beats + 1 for place in range(laid.beats)]
    yield ""
    yield drawing.ink(best.pattern.name, BOLD)
    yield from replace(drawing, feel=_feel_of(where, best)).drawn(laid, spot.under(best.pattern), (), numbers)


def _ways(where: ChartSpot, found: Sequence[Suggestion]) -> Iterator[str]:
    """How the chart says it, where the name alone is not enough; how to keep what is not in a file yet."""
    if where.target is not None:
        yield f"in the chart: fills: {{{where.target.in_full}: {found[0].pattern.name}}}"
    for each in found:
        if each.laid_anew and where.now is not None:
            old, feel = where.now.name or "-", where.spot.feel.name
            yield f'to keep it: feelmap regrid "{old}" --feel "{feel}" --save "{each.pattern.name}"'
        if each.sets_up:
            yield f"in the chart: fill: {{use: {each.pattern.name}, sets-up: next}}"
    if where.now is not None and where.now.name:
        yield f'others like it: feelmap vary "{where.now.name}"'


def _spot_words(where: ChartSpot, tempo: Fraction) -> Iterator[str]:
    spot = where.spot
    yield f"{spot.feel.name} at {per_minute(tempo)}"
    yield f"{many(len(spot.beats), 'beat')} free"
    yield f"into {spot.leads_into}" if where.landing.section else "the last bar"
    landing = listed([VOICES[voice].name for voice in spot.landing])
    yield f"lands on {landing}" if landing else "nothing to land on"


def _now_words(where: ChartSpot) -> str:
    use, spot = where.now, where.spot
    assert use is not None  # asked by the caller
    if use.pattern is None:
        return f"there now: {use.title}, which does not exist"
    over = use.pattern.beats > len(spot.beats)
    verdict = "too long" if over else worst(judge(use.pattern, spot.feel, spot.beats[-use.pattern.beats :]))
    laid = lay_fill(where.section, use, where.pass_)
    stopped = stop_under(where.section, laid) if laid is not None else None
    return f"there now: {use.title} ({verdict})" + (
        f", through the stop at {stopped.in_full}" if stopped else ""
    )


def _row(place: int, each: Suggestion) -> list[str]:
    pattern = each.pattern
    return [
        str(place), pattern.name, str(pattern.beats), grid_words(pattern), tempo_words(pattern), each.reason
    ]  # fmt: skip


def regrid_json(pattern: Pattern, feel: Feel, tempo: Fraction, versions: Sequence[Relaid]) -> dict[str, Any]:
    """The answer of ``regrid --json``; ``moved_ms`` is the largest movement heard."""
    ratio = feel.ratio(tempo)
    return {
        "pattern": pattern.name,
        "feel": feel.name,
        "tempo": round(float(tempo), 3),
        "swing": None if ratio is None else round(float(ratio), 3),
        "versions": [_version(version) for version in versions],
    }


def _version(version: Relaid) -> dict[str, Any]:
    return {
        "grid": version.grid,
        "does": version.does,
        "rows": write_rows(version.pattern),
        "kept": version.kept,
        "dropped": [
            {"beat": each.beat, "at": str(each.at), "voices": list(each.voices)} for each in version.dropped
        ],
        "moved_ms": round(version.moved_ms, 1),
        "playable": version.playing.playable,
        "limits": [breach.row() for breach in version.playing.breaches],
    }


def regrid_lines(
    pattern: Pattern, found: Regrid, versions: Sequence[Relaid], under: Beats, drawing: FillDrawing
) -> Iterator[str]:
    """Each version drawn, with what was kept, moved and dropped, and why another is not on offer."""
    yield drawing.ink(pattern.name, BOLD)
    yield f"  on the grid of {drawing.feel.name} at {per_minute(drawing.tempo)}"
    for version in versions:
        yield ""
        yield from drawing.folded(f"{_name(version)}: {_kept_words(version)}")
        yield from drawing.in_rows(with_hands(version.pattern, version.playing), under)
    for grid, reason in found.refused:
        yield ""
        where = "poured" if grid == POUR else f"on the {grid} grid"
        yield from drawing.folded(f"not {where}: {reason}")
    yield ""
    yield from drawing.legend([version.pattern for version in versions], under)


def _name(version: Relaid) -> str:
    return version.does if version.grid == POUR else f"{version.does}, {version.grid} grid"


def _kept_words(version: Relaid) -> str:
    total = version.kept + len(version.dropped)
    if not version.dropped and not version.moved_ms:
        return "it fits as it is"
    moved = f"moved by {version.moved_ms:.0f} ms at most" if version.moved_ms else "none moved"
    if not version.dropped:
        return f"all {total} kept, {moved}"
    gone = ", ".join(f"{' '.join(each.voices)} at {_place(each.beat, each.at)}" for each in version.dropped)
    return f"{version.kept} of {total} kept, {moved}; gone: {gone}"


def _place(beat: int, at: Fraction) -> str:
    """A place in beats from 1.

    >>> _place(2, Fraction(3, 4)), _place(1, Fraction(0))
    ('2+3/4', '1')
    """
    return f"{beat}+{at}" if at else str(beat)


def vary_json(found: Sequence[Variation]) -> dict[str, Any]:
    """The answer of ``vary --json``: a row a variation, the nearest first."""
    return {
        "vary": [
            {
                "name": each.pattern.name,
                "changed": each.changed,
                "distance": each.distance,
                "beats": each.pattern.beats,
                "grid": [division(onsets) for onsets in each.pattern.onsets],
                "voices": list(each.pattern.voices),
                "rows": write_rows(each.pattern),
            }
            for each in found
        ]
    }


def vary_lines(
    pattern: Pattern, found: Sequence[Variation], under: Beats, drawing: FillDrawing
) -> Iterator[str]:
    """Each variation with what changed, drawn."""
    yield drawing.ink(pattern.name, BOLD)
    yield f"  varied in {drawing.feel.name} at {per_minute(drawing.tempo)}"
    for place, each in enumerate(found, start=1):
        yield ""
        lines = folded_words(f"{place}  {each.changed}", drawing.width - 2, "   ")
        yield from (drawing.ink(line, BOLD) for line in lines)
        yield from drawing.in_rows(each.pattern, under)
    yield ""
    yield from drawing.legend([each.pattern for each in found], under)
