"""The command ``gig``."""

from __future__ import annotations

import sys

from render.cli.common import open_book, print_json
from render.cli.options import BookOption, JsonOption, SetlistArgument


def gig(
    setlist: SetlistArgument,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """The running order: when every song starts, tempo, feel, count-in, and what to watch between songs.

    Open repeats count as often as the chart says. ! is a warning, - a note.

    Example: feelmap gig quay
    """
    from setlists.book import gig_named

    planned = gig_named(open_book(book), setlist)
    if as_json:
        from render.gig_answer import gig_json

        print_json(gig_json(planned))
        return
    from render.terminal.gig import show_gig

    show_gig(planned, sys.stdout)
