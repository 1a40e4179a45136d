"""What one line of the form says, and how it is laid over what the line inherits."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from charts.reading.reader import Entry
from charts.song import Cue, FillUse

Key = TypeVar("Key")
LAST_BARLINE = "fill"  # the key of the fill that ends the section


@dataclass(slots=True)
class Given:
    """What one form line says; a value of None removes what would be inherited."""

    values: dict[str, Any] = field(default_factory=dict)
    cues: dict[object, Cue | None] = field(default_factory=dict)
    fills: dict[object, FillUse | None] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)  # where it stands, by key
    cues_removed: bool = False
    fills_removed: bool = False

    def over(self, base: Given) -> Given:
        """This line's keys over those it inherits; cues and fills place by place."""
        return Given(
            _merged(base.values, self.values),
            _merged({} if self.cues_removed else base.cues, self.cues),
            _merged({} if self.fills_removed else base.fills, self.fills),
            {**base.entries, **self.entries} if base.entries else self.entries,
        )

    def cues_in_order(self) -> tuple[Cue, ...]:
        """Cues by bar and beat."""
        found = filter(None, self.cues.values())
        return tuple(sorted(found, key=lambda cue: (cue.place.bar, cue.place.beat)))

    def fills_in_order(self, bars: int) -> tuple[FillUse, ...]:
        """The fills as they come; the one that ends the section gets its bar."""
        found = [
            _ending(use, bars) if key == LAST_BARLINE else use
            for key, use in self.fills.items()
            if use is not None
        ]
        return tuple(sorted(found, key=lambda use: (use.bar, use.landing.beat if use.landing else 99)))


NOTHING = Given()


def _merged(base: dict[Key, Any], own: dict[Key, Any]) -> dict[Key, Any]:
    """Both, where the own value of None takes the other one's away."""
    if not own:
        return base
    both = {**base, **own} if base else own
    if None in own.values():
        return {key: value for key, value in both.items() if value is not None}
    return both


def _ending(use: FillUse, bars: int) -> FillUse:
    """The fill that ends a section, with the last bar of that section."""
    if not use.bar:
        use.bar = bars  # the section where it is written
    return use if use.bar == bars else replace(use, bar=bars)
