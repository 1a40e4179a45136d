"""The commands that run in time at the terminal: ``count`` and ``tap``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

from charts.source import FeelmapError
from render.cli.common import open_book, open_book_or_shipped, print_lines
from render.cli.options import BookOption, NameArgument, option
from render.terminal.saying import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from charts.book import Book
    from charts.song import Song
    from render.live.tapping_in import Tune

MOST_BARS = 10_000


def count(
    name: NameArgument,
    bars: Annotated[int, option("--bars", "Go on for this many bars of the song.", min=0, max=MOST_BARS)] = 0,
    loop: Annotated[bool, option("--loop", "Count in again and again until q.")] = False,
    book: BookOption = None,
) -> None:
    """Count a song in on the screen: the beat flashes at tempo, no sound needed.

    The subdivision is shown where it sounds, swung feels swung. q ends it.

    Example: feelmap count harbour
    """
    opened = open_book(book)
    song = opened.song(name)
    if not song.count_in.bars and not song.count_in.beats:
        from dataclasses import replace

        from charts.song import CountIn

        say(f"{song.title} has no count-in of its own: one bar is counted")
        song = replace(song, count_in=CountIn(bars=1))
    _count(song, opened.settings.triplet_count, bars, loop)


def _count(song: Song, triplets: str, bars: int, loop: bool) -> None:
    from render.live import counting_in, pulse
    from render.terminal.ink import draws
    from render.terminal.printable import prints

    counted = counting_in.counted_bars(song, bars, triplets)
    if not draws(sys.stdout):
        print_lines(counting_in.words(counted))
        return
    block = "█" if prints(sys.stdout, "█") else "#"
    endless = counting_in.again_and_again(pulse.count_in(song, triplets)) if loop else counted
    counting_in.run(endless, _head(song), block)


def _head(song: Song) -> str:
    from render.terminal.printable import prints, tempo_words

    first = song.form[0]
    tempo = tempo_words(first.meter, first.tempo, prints(sys.stdout, "♩"))
    return f"  {song.title}   {tempo}   {first.feel.name}   {first.meter_of(1)}"


def tap(book: BookOption = None) -> None:
    """Tap any key in time: beats per minute as they settle, and the charts nearest to it.

    One tap too many, too few or out of time does no harm; a longer pause starts anew. q ends it.

    Example: feelmap tap
    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise FeelmapError("tap needs a terminal to read your keys", "run feelmap tap in a terminal")
    from render.live import tapping_in

    opened = open_book_or_shipped(book)
    tapping_in.run(lambda: _tunes(opened))


def _tunes(book: Book) -> Sequence[Tune]:
    """Title, tempo and feel of every chart that can be read."""
    from charts.heads import read_heads

    heads = read_heads(book)
    return [(head.title, head.tempo, head.feel.name) for head in heads if head.tempo and head.feel]
