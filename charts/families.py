"""What a pattern was made for: this feel, its family, any feel, or other feels alone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from charts.feel import Feel, plain_name
from charts.pattern import Pattern
from charts.timing import Meter
from charts.vocabularies import FeelTable

OWN, KIN, ANYWHERE, ELSEWHERE = range(4)  # the nearer, the smaller
ANY = "any"  # what a pattern for every feel gives


@dataclass(frozen=True)
class Kinship:
    """All names of one feel, all names of its family, and the meter of the bar where it is known.

    >>> from charts.notation import read_rows
    >>> swing = Kinship(frozenset({"swing", "jazz"}), frozenset({"jazz waltz"}))
    >>> fill = Pattern("", "fill", 1, read_rows("SD ooo").strokes, feels=("Jazz Waltz",))
    >>> swing.made_for(fill) == (KIN, "Jazz Waltz")
    True
    """

    own: frozenset[str]
    kin: frozenset[str]
    meter: Meter | None = None

    def made_for(self, pattern: Pattern) -> tuple[int, str]:
        """How near a pattern's feels are, and the one that it is made for, as its file writes it.

        A pattern that needs the meter of the bar is at home there, whatever the feel: a waltz in three.
        """
        named = {plain_name(feel): feel for feel in reversed(pattern.feels)}
        if self.meter is not None and pattern.meter == self.meter:
            return OWN, pattern.feels[0] if named else str(self.meter)
        for level, names in ((OWN, self.own), (KIN, self.kin)):
            for name in names & named.keys():
                return level, named[name]
        if not named or ANY in named:
            return ANYWHERE, ""
        return ELSEWHERE, pattern.feels[0]


@lru_cache(maxsize=256)
def kinship(feel: Feel, feels: FeelTable, meter: Meter | None = None) -> Kinship:
    """A feel among those of a book: its family is every feel that shares a family with it."""
    families = frozenset(map(plain_name, feel.family))
    kin = {name for other in feels for name in names_of(other) if families & {*map(plain_name, other.family)}}
    return Kinship(names_of(feel), families | kin, meter)


def names_of(feel: Feel) -> frozenset[str]:
    """A feel's name and other spellings, as they are compared."""
    return frozenset(map(plain_name, (feel.name, *feel.also)))
