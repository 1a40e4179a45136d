"""Does the changed file say exactly what was wished, and nothing else?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any

from charts.editing.wish import BARS, CUE, DYNAMICS, FEEL, FILL_KEY, TEMPO, Wish
from charts.song import FillUse, Place, Section, Song

_MAY_CHANGE: dict[str, tuple[str, ...]] = {
    CUE: ("cues",),
    TEMPO: ("tempo", "tempo_to", "tempo_given"),
    FEEL: ("feel", "feel_given", "groove", "groove_pattern"),
    BARS: ("phrases", "fills"),
    FILL_KEY: ("fills",),
    DYNAMICS: ("dynamics",),
}


def as_wished(old: Song, new: Song, wish: Wish, index: int | None) -> bool:
    """True where the new song is the old one with the wish granted.

    ``index`` is the section's place in the form, None for the song's own key. A section that inherits from it
    changes in the same way or not at all, all others are as they were.
    """
    if len(old.form) != len(new.form):
        return False
    if index is None:
        return _song_as_wished(old, new, wish)
    heirs = _heirs(old, index)
    sections = all(
        _granted(a, b, wish) if i == index else a == b or (i in heirs and _granted(a, b, wish))
        for i, (a, b) in enumerate(_both(old, new))
    )
    return sections and replace(new, form=old.form) == old


def _both(old: Song, new: Song) -> list[tuple[Section, Section]]:
    return list(zip(old.form, new.form, strict=True))


def _granted(old: Section, new: Section, wish: Wish) -> bool:
    return _same_but(old, new, wish.key) and bool(_GRANTED[wish.key](old, new, wish))


def _same_but(old: Section, new: Section, key: str) -> bool:
    """True where the two differ at most in what the key sets."""
    may = _MAY_CHANGE.get(key, ())
    return all(
        getattr(old, field.name) == getattr(new, field.name)
        for field in fields(Section)
        if field.compare and field.name not in may
    )


def _song_as_wished(old: Song, new: Song, wish: Wish) -> bool:
    if wish.key == TEMPO:
        granted = new.tempo == wish.parsed[0]
        expected = replace(new, form=old.form, tempo=old.tempo) == old
        kept = "tempo_given"
    else:
        granted = new.feel.name == wish.value
        expected = replace(new, form=old.form, feel=old.feel) == old
        kept = "feel_given"
    sections = all(_same_but(a, b, "" if getattr(a, kept) else wish.key) for a, b in _both(old, new))
    return granted and expected and sections


def heirs_of(song: Song, index: int) -> int:
    """How many appearances a change of this line holds for, itself among them."""
    return len(_heirs(song, index))


def _heirs(song: Song, index: int) -> set[int]:
    """The line itself, and what repeats it or is like it, if it is the line that gave the name its bars."""
    name = song.form[index].name.casefold()
    found = {index}
    if any(section.name.casefold() == name for section in song.form[:index]):
        return found
    names = {name}
    for later, section in enumerate(song.form[index + 1 :], start=index + 1):
        takes_after = (section.like or section.name).casefold()
        if takes_after in names:
            found.add(later)
            names.add(section.name.casefold())
    return found


def _cue(old: Section, new: Section, wish: Wish) -> bool:
    at = Place(wish.bar or 1)
    there = [cue.text for cue in new.cues if cue.place == at]
    rest = [[cue for cue in section.cues if cue.place != at] for section in (old, new)]
    return there == ([] if wish.removes else [wish.value]) and rest[0] == rest[1]


def _tempo(old: Section, new: Section, wish: Wish) -> bool:
    if wish.removes:
        return not new.tempo_given
    return new.tempo_given and (new.tempo, new.tempo_to) == wish.parsed


def _feel(old: Section, new: Section, wish: Wish) -> bool:
    return not new.feel_given if wish.removes else new.feel_given and new.feel.name == wish.value


def _bars(old: Section, new: Section, wish: Wish) -> bool:
    """Only the fill that ends the section moves with its last bar."""

    def moved(use: FillUse) -> FillUse:
        return replace(use, bar=0) if use.bar in (old.bars, new.bars) else use

    before, after = list(map(moved, old.fills)), list(map(moved, new.fills))
    same = len(before) == len(after) and all(use in after for use in before)
    return new.phrases == wish.parsed and same


def _fill(old: Section, new: Section, wish: Wish) -> bool:
    """At most one fill goes and one comes, both at the bar that was meant."""
    bar = wish.bar or new.bars

    def here(use: FillUse) -> bool:
        return use.landing is None and use.bar == bar

    gone = [use for use in old.fills if use not in new.fills]
    come = [use for use in new.fills if use not in old.fills]
    if len(gone) > 1 or len(come) > 1 or not all(map(here, gone + come)):
        return False
    if wish.removes:
        return not come and (bool(gone) or not any(map(here, old.fills)))
    if come and not gone and any(map(here, old.fills)):
        return False  # two fills to one barline
    names = [use.name for use in (come or filter(here, new.fills))]
    return wish.value in names and not (gone and not come)


def _dynamics(old: Section, new: Section, wish: Wish) -> bool:
    return new.dynamics == (wish.parsed or ())


_GRANTED: dict[str, Callable[[Section, Section, Wish], Any]] = {
    CUE: _cue, TEMPO: _tempo, FEEL: _feel, BARS: _bars, FILL_KEY: _fill, DYNAMICS: _dynamics,
}  # fmt: skip
