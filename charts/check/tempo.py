"""tempo: tempos can be played, and jumps are marked.

Listens for: tempos outside 20 to 400 beats per minute, which are errors. Also tempos that jump by
more than a tenth between two sections, with no cue on the first bar and no even change that leads
there: a note. Tempos that are simply related (3:2, 2:1, 4:3 and the like) are not such a jump: the
road map prints which note is which.

Why it matters: outside that range nobody feels a beat, so it is a slip of the pen. A jump that
nobody called is a train wreck.

Wrong:
    title: Long Hill
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
      - Chorus (8): {tempo: 132}

Right:
    title: Long Hill
    tempo: 100
    feel: straight eighths
    form:
      - Verse (8)
      - Chorus (8): {tempo: 132, cue: drums count the new tempo}
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from charts.check.subject import Subject, rule
from charts.equations import JUMP, equation
from charts.played import Clock
from charts.song import Section, Song
from charts.source import ERROR, NOTE, Finding, Span
from charts.timing import countable
from charts.wording import figure


@rule("tempo")
def tempo(subject: Subject) -> Iterator[Finding]:
    told: set[tuple[Fraction, int]] = set()
    for section, bpm, span in _unplayable(subject.song):
        at = (bpm, span.line if span else 0)
        if at not in told:
            told.add(at)
            message = f"{figure(bpm, 3)} beats per minute is out of range"
            yield subject.finding("tempo", ERROR, span, message, "write 20 to 400", section)
    yield from _jumps(subject)


def _unplayable(song: Song) -> Iterator[tuple[Section, Fraction, Span | None]]:
    """The tempos that nobody feels as beats, with where they are."""
    for section in song.form:
        for bpm in (section.tempo, section.tempo_to):
            if bpm is not None and not countable(bpm):
                yield section, bpm, (section if section.tempo_given else song).span_of("tempo")
        for mark in section.tempos:
            for bpm in (mark.tempo, mark.to):
                if bpm is not None and not countable(bpm):
                    yield section, bpm, mark.span


def _jumps(subject: Subject) -> Iterator[Finding]:
    form = subject.song.form
    for before, section in pairwise(form):
        arrived = Clock(before).last_tempo
        if not _apart(section.tempo, arrived) or _cued(section) or equation(before, arrived, section):
            continue
        if section.meter.compound == before.meter.compound:
            yield subject.finding(
                "tempo",
                NOTE,
                section.span_of("tempo"),
                f"{section.name} jumps from {figure(arrived)} to {figure(section.tempo)} beats per minute"
                " with nothing to mark it",
                f"give {section.name} a cue that says who counts it, or write an even change before it",
                section,
            )


def _cued(section: Section) -> bool:
    return any(cue.place.bar == 1 for cue in section.cues)


def _apart(new: Fraction, old: Fraction) -> bool:
    """True where two tempos are a jump apart."""
    return abs(new - old) > old * JUMP
