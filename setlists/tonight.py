"""A song as it is played at one gig: sections left out, tempos scaled, feel, key and count-in replaced."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from charts.appearances import all_named
from charts.feel import Feel
from charts.song import Section, Song, TempoMark
from charts.source import FeelmapError
from setlists.setlist import Changes


def tonight(song: Song, changes: Changes) -> Song:
    """The song with a gig's changes made; names of sections that it does not have are passed over.

    Every tempo is scaled by new/old. The gig's feel replaces the song's own, never one given to a section.
    """
    form: Iterable[Section] = left_over(song, changes.skip) or song.form
    if changes.feel is not None:
        song, form = _in_feel(song, form, changes.feel)
    if changes.tempo is not None:
        factor = changes.tempo / song.tempo
        form = [scaled(section, factor) for section in form]
        song = replace(song, tempo=changes.tempo)
    count_in = song.count_in if changes.count_in is None else changes.count_in
    return replace(song, form=tuple(form), key=changes.key or song.key, count_in=count_in)


def scaled(section: Section, factor: Fraction) -> Section:
    """A section with every tempo in it multiplied."""
    to = None if section.tempo_to is None else section.tempo_to * factor
    marks = tuple(_scaled_mark(mark, factor) for mark in section.tempos)
    return replace(section, tempo=section.tempo * factor, tempo_to=to, tempos=marks)


def _scaled_mark(mark: TempoMark, factor: Fraction) -> TempoMark:
    return replace(mark, tempo=mark.tempo * factor, to=None if mark.to is None else mark.to * factor)


def _in_feel(song: Song, form: Iterable[Section], feel: Feel) -> tuple[Song, list[Section]]:
    """The song and its sections in another feel; the song's groove goes with the old feel."""
    if feel == song.feel:
        return song, list(form)
    changed = []
    for section in form:
        if not section.feel_given:
            keeps = section.groove and section.groove != song.groove
            groove = section.groove if keeps else ""
            pattern = section.groove_pattern if keeps else None
            section = replace(section, feel=feel, groove=groove, groove_pattern=pattern)
        changed.append(section)
    return replace(song, feel=feel, groove="", groove_pattern=None), changed


def left_over(song: Song, skip: Iterable[str]) -> tuple[Section, ...]:
    """The form without the sections named, every appearance; ``Chorus#2`` means the second one alone."""
    gone = {place for name in skip for place in places_of(song, name)}
    return tuple(section for place, section in enumerate(song.form) if place not in gone)


def places_of(song: Song, name: str) -> list[int]:
    """The places in the form, from 0, that a name means; empty where the song has no such section."""
    try:
        return all_named(song, name)
    except FeelmapError:
        return []
