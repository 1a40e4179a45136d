"""unknown: every song and section that a set list names exists.

What it does: tells each song that no chart of the book has, by title or file name, and offers the
nearest; a warning for a name that is only part of a title; an error for a section to skip that the
song does not have, and for a chart that cannot be read.

Why: a running order with a song that nobody can find has no clock, and a folder printed from it has
a hole.

Example:
    # the book has Tin Roof
    gig: Mill Street
    sets:
      - songs: [Tin Rooof]

Use instead:
    gig: Mill Street
    sets:
      - songs: [Tin Roof]
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from charts.source import ERROR, Finding
from charts.spelling import nearest
from setlists.check.subject import Subject, rule
from setlists.gig import GigSong
from setlists.names import SongNames
from setlists.tonight import left_over, places_of


@rule("unknown")
def unknown(subject: Subject) -> Iterator[Finding]:
    commas = _commas(subject)
    for song in subject.gig.songs:
        problem = song.item.problem
        if song.number in commas:
            title = commas[song.number]
            yield subject.finding(
                "unknown",
                ERROR,
                song,
                f"the comma parts “{title}” in two",
                f'put the title in quotes: "{title}"',
            )
        elif song.number - 1 in commas:
            continue  # told with its first half
        elif problem is not None:
            yield subject.finding("unknown", problem.level, song, problem.message, problem.hint)
        if song.read is not None and song.chart is None:
            name = subject.book.name_of(song.item.path) if song.item.path else song.title
            yield subject.finding(
                "unknown",
                ERROR,
                song,
                f"the chart of {song.title} cannot be read",
                f"feelmap check {name} says why",
            )
        yield from _skipped(subject, song)


def _commas(subject: Subject) -> dict[int, str]:
    """Titles with a comma that a list in brackets took for two, by the number of their first half."""
    halves = [song for song in subject.gig.songs if song.item.problem and song.item.problem.level == ERROR]
    if not halves:
        return {}
    names = SongNames(subject.book)
    found = {}
    for first, second in pairwise(halves):
        title = f"{first.item.name}, {second.item.name}"
        if second.number == first.number + 1 and names.is_title(title):
            found[first.number] = title
    return found


def _skipped(subject: Subject, song: GigSong) -> Iterator[Finding]:
    skip = song.item.changes.skip
    if not skip:
        return
    if song.chart is None:
        if song.read is None and song.item.problem is None:
            yield subject.finding(
                "unknown",
                ERROR,
                song,
                f"{song.title} has no chart to skip a section of",
                "leave skip out",
                key="skip",
            )
        return
    for name in skip:
        if not places_of(song.chart, name):
            like = nearest(name, [section.name for section in song.chart.form])
            has = ", ".join(dict.fromkeys(section.name for section in song.chart.form))
            hint = f"write {like}" if like else f"its sections are {has}"
            yield subject.finding(
                "unknown", ERROR, song, f"{song.title} has no section called “{name}”", hint, key="skip"
            )
    if not left_over(song.chart, skip):
        yield subject.finding(
            "unknown",
            ERROR,
            song,
            f"skip leaves nothing of {song.title}",
            "leave the song out instead",
            key="skip",
        )
