"""What one line of the form says, and how it is laid over what the line inherits."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, TypeVar

from charts.reading.places import in_time
from charts.reading.reader import Entry, Reader
from charts.song import Cue, FillUse, Place

Key = TypeVar("Key")
Item = TypeVar("Item")
Laid = list[tuple[object, Item | None]]  # place by place; None takes away what is inherited there
LAST_BARLINE = "last"  # the place of the fill that ends the section
EVERY_PLACE = "every"  # the place of the ``none`` that takes all that is inherited away


@dataclass(slots=True)
class Given:
    """What one form line says, by the fields of a section; None removes what would be inherited.

    Cues and fills are laid over what is inherited place by place.
    """

    values: dict[str, Any] = field(default_factory=dict)
    cues: dict[object, Any] = field(default_factory=dict)
    fills: dict[object, Any] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)  # where it is, by key

    def lay(self, field: str, found: Laid[Any], reader: Reader) -> None:
        """Add cues or fills; a second cue at one place is an error."""
        places = self.cues if field == "cues" else self.fills
        for at, item in found:
            if field == "cues" and isinstance(at, Place) and at.span and at in places:
                reader.say(at.span, f"two cues at {at}", "put the words together, or on two beats")
            places[at] = item

    def over(self, base: Given) -> Given:
        """This line's keys over those it inherits."""
        return Given(
            _merged(base.values, self.values),
            _merged(base.cues, self.cues),
            _merged(base.fills, self.fills),
            {**base.entries, **self.entries},
        )

    def cues_in_order(self) -> tuple[Cue, ...]:
        """Cues in time."""
        return tuple(sorted(filter(None, self.cues.values()), key=lambda cue: in_time(cue.place)))

    def fills_in_order(self, bars: int) -> tuple[FillUse, ...]:
        """The fills as they come, those that end a bar after those that land in it.

        The one that ends the section gets its bar.
        """
        found = [
            replace(use, bar=bars) if key == LAST_BARLINE else use
            for key, use in self.fills.items()
            if use is not None
        ]
        return tuple(sorted(found, key=_when))


NOTHING = Given()


def _merged(base: dict[Key, Any], own: dict[Key, Any]) -> dict[Key, Any]:
    """Both, where the own value of None takes the other one's away."""
    if not own:
        return base
    both = own if EVERY_PLACE in own else {**base, **own}
    return {key: value for key, value in both.items() if value is not None}


def _when(use: FillUse) -> tuple[int, bool, tuple[int, int, Fraction]]:
    return use.bar, use.landing is None, in_time(use.landing or Place(use.bar))
