"""What a pencil mark asks for, and whether that can be meant at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from charts.book import Book
from charts.pattern import FILL
from charts.reading.values import MOST_BARS, NONE, Bad, bpm, dynamics, phrases, tempo_change, whole, words
from charts.source import FeelmapError, UnknownName
from charts.spelling import nearest
from charts.wording import control_in

CUE, TEMPO, FEEL, BARS, FILL_KEY, DYNAMICS = KEYS = ("cue", "tempo", "feel", "bars", "fill", "dynamics")
SONG_KEYS = (TEMPO, FEEL)
AT_A_BAR = {CUE: "cues", FILL_KEY: "fills"}
TYPED = (TEMPO, BARS, DYNAMICS)  # their values are no plain words, and stay without quotes
_PARSED: dict[str, Callable[[str], Any]] = {TEMPO: tempo_change, BARS: phrases, DYNAMICS: dynamics}


@dataclass(frozen=True)
class Wish:
    """One value to write: ``value`` as it shall read back, ``section`` None for the song's own key."""

    key: str
    value: str
    section: str | None = None
    bar: int | None = None

    @property
    def removes(self) -> bool:
        """``none`` takes away what is inherited."""
        return self.value == NONE

    @property
    def typed(self) -> bool:
        return self.removes or self.key in TYPED

    @property
    def parsed(self) -> Any:
        """The value as the reader types it; None where it removes."""
        return None if self.removes else _PARSED.get(self.key, words)(self.value)


def wish(key: str, text: str, section: str | None, bar: int | None, book: Book) -> Wish:
    """A wish that can be meant; raises FeelmapError with what to write instead."""
    if bar is not None and key not in AT_A_BAR:
        raise FeelmapError("--bar goes with --cue or --fill", f"write the {key} of a bar into the file")
    if section is None and key not in SONG_KEYS:
        raise FeelmapError(f"{key} belongs to a section", "name the section after the song")
    control = control_in(text)
    if control:
        raise FeelmapError(f"control character {control} in the text", "leave it out")
    value = words(text)
    if not value:
        raise FeelmapError(f"--{key} has no text", f"write what it shall say, or none to take the {key} away")
    try:
        if bar is not None:
            whole(1, MOST_BARS, "bar")(str(bar))
        return Wish(key, _value(key, value, section, book), section, bar)
    except Bad as bad:
        raise FeelmapError(bad.message, bad.hint) from None


def _value(key: str, value: str, section: str | None, book: Book) -> str:
    if value.casefold() == NONE and key != BARS:
        if section is None:
            raise FeelmapError(f"every song has a {key}", f"name a section to take away its own {key}")
        return NONE
    if key == FEEL:
        return book.feels.named(value).name
    if key == FILL_KEY:
        return _fill(value, book)
    if key == TEMPO and section is None:
        bpm(value)
    elif key in _PARSED:
        _PARSED[key](value)
    return value


def _fill(value: str, book: Book) -> str:
    found = book.pattern(value)
    if found is None:
        if (entry := book.patterns.entry(value)) is not None:
            raise FeelmapError(
                f"the fill “{entry.name}” cannot be read", "fix it first: feelmap check explains"
            )
        near = nearest(value, book.patterns.names(FILL))
        raise UnknownName("fill", value, near, "feelmap fills lists them all")
    if found.kind != FILL:
        raise FeelmapError(f"{found.name} is a groove", "name a fill: feelmap fills lists them")
    return found.name
