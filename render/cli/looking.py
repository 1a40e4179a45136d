"""The commands that look things up: ``show``, ``find``, ``feels``, ``fills``, ``fit``, ``gig``."""

from __future__ import annotations

import sys
from typing import Annotated

from render.cli.common import open_book, open_book_or_shipped, print_json, print_lines
from render.cli.options import (
    BookOption,
    JsonOption,
    MeterOption,
    PatternArgument,
    SetlistArgument,
    argument,
    option,
)
from render.terminal.saying import say

FeelOption = Annotated[str | None, option("--feel", "In this feel or family of feels.", "FEEL")]


def show(
    name: Annotated[str, argument("NAME", "A song: title, file, or part of the title; or a set list.")],
    section: Annotated[
        str | None, argument("[SECTION]", "One section, larger; Chorus#2 is its second appearance.")
    ] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """A chart as a road map in the terminal; with SECTION that section larger, with its fill.

    Of a set list it shows the running order, as gig does.

    Example: feelmap show harbour chorus
    """
    from render import lookups
    from render.terminal.ink import write

    write(lookups.show(name, section, as_json, book, sys.stdout), sys.stdout)


def find(
    words: Annotated[
        list[str] | None, argument("[WORDS]...", "Words of the title; else a feel, key or tempo.")
    ] = None,
    feel: FeelOption = None,
    tempo: Annotated[str | None, option("--tempo", "A tempo, or a range.", "90-100")] = None,
    key: Annotated[str | None, option("--key", "In this key.", "KEY")] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Which charts: by words of the title, feel, tempo or key; accents and case do not matter.

    A chart counts as in a feel where the song or one of its sections is.

    Example: feelmap find --feel shuffle --tempo 90-110
    """
    from render import lookups
    from render.terminal.ink import write

    write(lookups.find(words or [], feel, tempo, key, as_json, book, sys.stdout), sys.stdout)


def feels(
    name: Annotated[str | None, argument("[NAME]", "One feel, in any spelling, or part of its name.")] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """The feels, and how each counts and divides; NAME shows one, drawn.

    Example: feelmap feels "half-time shuffle"
    """
    from render.terminal import feels_view
    from render.terminal.ink import columns, ink_for

    opened = open_book_or_shipped(book)
    chosen = [opened.feels.named(name)] if name is not None else list(opened.feels)
    if as_json:
        print_json({"feels": [feels_view.feel_json(feel) for feel in chosen]})
        return
    width, ink, triplets = columns(sys.stdout), ink_for(sys.stdout), opened.settings.triplet_count
    if name is not None:
        print_lines(feels_view.feel_lines(chosen[0], width, ink, triplets))
    else:
        print_lines(feels_view.feels_lines(chosen, width, ink, triplets))


def fills(
    name: Annotated[str | None, argument("[NAME]", "One pattern, drawn; or part of its name.")] = None,
    feel: Annotated[str | None, option("--feel", "That fit this feel or family.", "FEEL")] = None,
    tempo: Annotated[str | None, option("--tempo", "That sound right at this tempo.", "BPM")] = None,
    beats: Annotated[int | None, option("--beats", "Only fills of this many beats.", min=1, max=64)] = None,
    voices: Annotated[
        str | None, option("--voices", "Whose hands play on these only; names too: snare.", "SD,FT")
    ] = None,
    size: Annotated[
        str | None, option("--size", "short (to 2 beats), medium (to 4) or long.", "SIZE")
    ] = None,
    kind: Annotated[str | None, option("--kind", "fill or groove. Default: both.", "KIND")] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """The patterns, with their grid; NAME draws one with its count, accents and sticking.

    With --feel those made for it come first, those made for another feel on the same grid last.

    Example: feelmap fills --feel shuffle --beats 2
    """
    from render.cli.asked import by_style, chosen_patterns, wanted_patterns
    from render.terminal import patterns_view

    opened = open_book_or_shipped(book)
    wanted = wanted_patterns(opened, feel, tempo, beats, voices, size, kind)
    found, strangers = by_style(opened, feel, chosen_patterns(opened, name, wanted))
    if as_json:
        feels = list(opened.feels)
        print_json(
            {"fills": [patterns_view.pattern_json(pattern, feels) for pattern in (*found, *strangers)]}
        )
        return
    from render.terminal.ink import columns, ink_for

    width, ink = columns(sys.stdout), ink_for(sys.stdout)
    if name is not None and len(found) + len(strangers) == 1:
        print_lines(
            patterns_view.pattern_lines(
                (*found, *strangers)[0], list(opened.feels), width, ink, opened.settings.triplet_count
            )
        )
        return
    if not found and not strangers:
        say("no pattern is all of that: leave one of them out")
    print_lines(patterns_view.patterns_lines(found, width, ink, strangers))


def fit(
    pattern: PatternArgument,
    feel: Annotated[str, option("--feel", "The feel it is played in.", "FEEL")],
    tempo: Annotated[str, option("--tempo", "Felt beats per minute.", "BPM")],
    meter: MeterOption = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """One pattern against one feel, beat by beat, the two grids under one another.

    In JSON a beat has ornament (it fits by a short ornament into a beat) and run, where it is part of a
    rhythm across the beat: from and to which beat, how many strokes over how many beats, for how long.

    Example: feelmap fit "sixteenths round the kit" --feel shuffle --tempo 92
    """
    from render.cli.common import in_meter, pattern_named, tempo_given
    from render.terminal.fit_view import fit_json, fit_lines, fit_of

    opened = open_book_or_shipped(book)
    settings = opened.settings
    against, bpm = opened.feels.named(feel), tempo_given(tempo)
    judged = fit_of(in_meter(pattern_named(opened, pattern), meter), against, bpm, settings)
    if as_json:
        print_json(fit_json(judged))
        return
    from render.terminal.ink import columns, ink_for

    print_lines(fit_lines(judged, columns(sys.stdout), ink_for(sys.stdout), settings.triplet_count))


def gig(
    setlist: SetlistArgument,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """The running order: when every song starts, tempo, feel, count-in, and what to watch between songs.

    Open repeats count as often as the chart says. ! is a warning, - a note.

    Example: feelmap gig quay
    """
    from render import lookups
    from render.terminal.console import print_styled
    from setlists.book import look_up_setlist

    opened = open_book(book)
    print_styled(lookups.gig(opened, look_up_setlist(opened, setlist), as_json, sys.stdout), sys.stdout)
