"""The commands that find another fill: ``suggest``, ``regrid``, ``vary``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

from charts.source import FeelmapError
from render.cli.common import open_book, open_book_or_shipped, print_json, print_lines
from render.cli.options import (
    BookOption,
    JsonOption,
    MeterOption,
    NameArgument,
    PatternArgument,
    argument,
    option,
)
from render.terminal.saying import say

if TYPE_CHECKING:
    from fractions import Fraction

    from charts.book import Book
    from charts.feel import Feel
    from charts.fitting.regrid import Regrid, Relaid
    from charts.pattern import Pattern
    from render.terminal.fill_drawing import FillDrawing

MOST = 100  # variations asked for at once


def suggest(
    name: NameArgument,
    section: Annotated[str, argument("SECTION", "A section; Chorus#2 is its second appearance.")],
    bar: Annotated[
        int | None, option("--bar", "At the end of this bar. Default: the last.", "N", min=1)
    ] = None,
    count: Annotated[int, option("--count", "How many at most.", "N", min=1, max=MOST)] = 8,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Fills that fit a spot: its feel and tempo, the beats that are free, what comes before and after.

    Only what fits and can be played there: first what is made for the feel and like the fill that is there.
    A fill that clashes is offered on the right grid; before another feel one fill sets that up; where a hit
    takes the end of the bar, the fills lead to it.

    Example: feelmap suggest harbour chorus
    """
    from charts.appearances import chart_of, one_named
    from charts.fitting.spot import chart_spot
    from charts.fitting.suggest import suggest as find
    from render.terminal.fitting_view import suggest_json, suggest_lines

    opened = open_book(book)
    song = opened.song_at(chart_of(opened, name, section))
    index = one_named(song, section)
    try:
        where = chart_spot(song, index, bar)
    except ValueError as error:
        raise FeelmapError(str(error), f"write --bar 1 to {song.form[index].bars}") from None
    limits, left_handed = opened.settings.limits, opened.settings.left_handed
    found = find(where.spot, opened.patterns.fills(), opened.feels, limits, left_handed, count)
    if not found:
        say(
            "no beat is free there"
            if not where.spot.beats
            else "no fill fits there: feelmap vary or regrid makes one"
        )
    if as_json:
        print_json(suggest_json(where, found))
        return
    tempo = where.spot.beats[-1][1] if where.spot.beats else where.section.tempo
    print_lines(suggest_lines(where, found, song.title, _drawing(opened, where.spot.feel, tempo)))


def regrid(
    pattern: PatternArgument,
    feel: Annotated[str, option("--feel", "The feel it is to fit.", "FEEL")],
    tempo: Annotated[str, option("--tempo", "Felt beats per minute.", "BPM")] = "100",
    grid: Annotated[str | None, option("--grid", "One version only.", "home/finer/pour")] = None,
    save: Annotated[
        str | None, option("--save", "Put it into the book's fills under this name.", "NAME")
    ] = None,
    meter: MeterOption = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """The same fill on another grid: to the nearest places, with quick strokes between, or poured.

    The weakest strokes go where there is no room; poured strokes keep their order at the new rate. With
    --save the version on the home grid is kept, unless --grid names another.

    Example: feelmap regrid "sixteenths round the kit" --feel shuffle
    """
    from charts.fitting.moments import own_beats
    from charts.fitting.regrid import regrid as relay
    from render.cli.common import in_meter, pattern_named, tempo_given
    from render.terminal.fitting_view import regrid_json, regrid_lines

    opened = open_book(book) if save is not None else open_book_or_shipped(book)
    wanted, bpm, chosen = opened.feels.named(feel), tempo_given(tempo), _grid(grid)
    old = in_meter(_struck(pattern_named(opened, pattern)), meter)
    under = own_beats(old, bpm)
    found = relay(old, wanted, under, opened.settings.limits, opened.settings.left_handed)
    versions = [version for version in found.versions if chosen in (None, version.grid)]
    if save is not None:
        _save(opened, old, wanted, _one(found, versions, chosen), save)
    elif not versions:
        say(_why_none(found, chosen))
    if as_json:
        print_json(regrid_json(old, wanted, bpm, versions))
        return
    if versions:
        print_lines(regrid_lines(old, found, versions, under, _drawing(opened, wanted, bpm)))


def vary(
    pattern: PatternArgument,
    feel: Annotated[
        str | None, option("--feel", "In this feel. Default: the first that it fits.", "FEEL")
    ] = None,
    tempo: Annotated[
        str | None, option("--tempo", "Playable at this tempo. Default: its own middle.", "BPM")
    ] = None,
    count: Annotated[int, option("--count", "How many.", "N", min=1, max=MOST)] = 6,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """New fills out of one: each on the grid, playable at the tempo, the nearest first.

    Example: feelmap vary "stairs in threes" --count 4
    """
    from charts.fitting.moments import own_beats
    from charts.fitting.vary import vary as make
    from render.cli.common import pattern_named, tempo_given
    from render.terminal.fitting_view import vary_json, vary_lines
    from render.terminal.patterns_view import tempo_of

    opened = open_book_or_shipped(book)
    old = _struck(pattern_named(opened, pattern))
    bpm = tempo_of(old) if tempo is None else tempo_given(tempo)
    wanted = opened.feels.named(feel) if feel is not None else _own_feel(opened, old, bpm)
    under = own_beats(old, bpm)
    found = make(old, wanted, under, opened.settings.limits, opened.settings.left_handed, count)
    if len(found) < count:
        say(f"{len(found)} of {count} found: it is too short, too fast or too far off the grid for more")
    if as_json:
        print_json(vary_json(found))
        return
    if found:
        print_lines(vary_lines(old, found, under, _drawing(opened, wanted, bpm)))


def _struck(pattern: Pattern) -> Pattern:
    if not pattern.strokes:
        raise FeelmapError(f"{pattern.name} has no strokes", "write some, like SD oo|oo")
    return pattern


def _grid(text: str | None) -> str | None:
    from charts.fitting.regrid import DOES
    from charts.wording import listed

    if text is None or text.casefold() in DOES:
        return None if text is None else text.casefold()
    raise FeelmapError(f"“{text}” is not a grid", f"write {listed(list(DOES), 'or')}")


def _one(found: Regrid, versions: list[Relaid], chosen: str | None) -> Relaid:
    if not versions:
        raise FeelmapError(
            f"nothing to save: {_why_none(found, chosen)}", "try another feel or a slower tempo"
        )
    return (chosen is None and found.nearest) or versions[0]


def _why_none(found: Regrid, chosen: str | None) -> str:
    """Why no version can be shown."""
    from charts.fitting.regrid import POUR

    where = {POUR: "poured"}
    refused = [(grid, why) for grid, why in found.refused if chosen in (None, grid)]
    reasons = [f"not {where.get(grid, f'on the {grid} grid')}, {why}" for grid, why in refused]
    if chosen == POUR:
        return "; ".join(reasons) or "it is not a stream that can be poured into another rate"
    return "; ".join(reasons) or "the home grid keeps every stroke, there is no finer version"


def _save(book: Book, old: Pattern, feel: Feel, version: Relaid, name: str) -> None:
    from dataclasses import replace

    from charts.editing.saving import save_fill

    new = replace(version.pattern, origin=old.origin, span=old.span, feels=(feel.name,))
    saved = save_fill(book, new, name)
    say(f"saved in {saved.file}, line {saved.line}")


def _own_feel(book: Book, pattern: Pattern, tempo: Fraction) -> Feel:
    """What a pattern is made for, of the feels that it fits; of several one with a steady swing."""
    from charts.families import kinship
    from render.terminal.patterns_view import fits

    fitting = [feel for feel in book.feels if fits(pattern, feel, tempo)]
    fitting.sort(key=lambda feel: (kinship(feel, book.feels).made_for(pattern)[0], feel.swings_by_tempo))
    if not fitting:
        raise FeelmapError(
            f"{pattern.name} fits none of the feels here", "say which it is to fit: --feel shuffle"
        )
    return fitting[0]


def _drawing(book: Book, feel: Feel, tempo: Fraction) -> FillDrawing:
    from render.terminal.fill_drawing import FillDrawing
    from render.terminal.ink import columns, ink_for

    return FillDrawing(feel, tempo, columns(sys.stdout), ink_for(sys.stdout), book.settings.triplet_count)
