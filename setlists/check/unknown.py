"""unknown: every song and section that a set list names exists.

Listens for: songs that are not in the book, by title or file name, with the nearest one. A warning
for a name that is only part of a title. An error for a section to skip that the song does not have,
and for a chart that cannot be read.

Why it matters: without the song there is no time for the set, and the printed folder has a hole.

Wrong:
    # the book has Tin Roof
    gig: Mill Street
    sets:
      - songs: [Tin Rooof]

Right:
    gig: Mill Street
    sets:
      - songs: [Tin Roof]
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from charts.appearances import all_named
from charts.source import ERROR, FeelmapError, Finding
from setlists.check.subject import Subject, rule
from setlists.gig import GigSong
from setlists.names import SongNames
from setlists.tonight import left_over

ALL = ("yes", "true", "all")
WHOLE_SONG = "to leave the whole song out, put # before its line"


@rule("unknown")
def unknown(subject: Subject) -> Iterator[Finding]:
    commas = _commas(subject)
    for song in subject.gig.songs:
        if song.number - 1 in commas:
            continue  # told with its first half
        if song.number in commas:
            title = commas[song.number]
            message = f"the comma parts “{title}” in two"
            yield subject.finding("unknown", ERROR, song, message, f'put the title in quotes: "{title}"')
            continue
        yield from _name_and_chart(subject, song)
        yield from _skipped(subject, song)


def _name_and_chart(subject: Subject, song: GigSong) -> Iterator[Finding]:
    problem = song.item.problem
    if problem is not None:
        yield subject.finding("unknown", problem.level, song, problem.message, problem.hint)
    if song.item.path is not None and song.chart is None:
        message = f"the chart of {song.title} cannot be read"
        hint = f"feelmap check {subject.book.name_of(song.item.path)} says why"
        yield subject.finding("unknown", ERROR, song, message, hint)


def _commas(subject: Subject) -> dict[int, str]:
    """Titles with a comma that a list in brackets took for two, by the number of their first half."""
    halves = [song for song in subject.gig.songs if song.item.problem]
    if len(halves) < 2:
        return {}
    names = SongNames(subject.book)
    found = {}
    for first, second in pairwise(halves):
        title = f"{first.item.name}, {second.item.name}"
        if second.number == first.number + 1 and names.is_title(title):
            found[first.number] = title
    return found


def _skipped(subject: Subject, song: GigSong) -> Iterator[Finding]:
    """Sections to leave out that are not there, and songs of which nothing would be left."""
    skip = song.item.changes.skip

    def told(message: str, hint: str) -> Finding:
        return subject.finding("unknown", ERROR, song, message, hint, key="skip")

    if skip and song.item.path is None and song.item.problem is None:
        yield told(f"{song.title} has no chart to skip a section of", "leave skip out")
    if not skip or song.chart is None:
        return
    for name in skip:
        try:
            all_named(song.chart, name)
        except FeelmapError as missing:
            yield told(missing.message, WHOLE_SONG if name.casefold() in ALL else missing.hint)
    if not left_over(song.chart, skip):
        yield told(f"skip leaves nothing of {song.title}", "leave the song out instead")
