"""What a pattern was made for: this feel, its family, any feel, a sister feel, or strangers alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from charts.feel import Feel, plain_name
from charts.pattern import Pattern
from charts.source import WARNING, Finding
from charts.spelling import nearest
from charts.timing import Meter
from charts.vocabularies import FeelTable

OWN, KIN, ANYWHERE, NEAR, ELSEWHERE = range(5)  # the nearer, the smaller
ANY = "any"  # what a pattern for every feel gives
_ANY = frozenset({ANY})


@dataclass(frozen=True)
class Kinship:
    """The names of one feel, of its families, of the other feels in these; the bar's meter, where known.

    >>> from charts.notation import read_rows
    >>> swing = Kinship(frozenset({"swing"}), frozenset({"jazz"}), frozenset({"jazz waltz"}))
    >>> fill = Pattern("", "fill", 1, read_rows("SD ooo").strokes, feels=("Jazz Waltz",))
    >>> swing.made_for(fill) == (NEAR, "Jazz Waltz")
    True
    """

    own: frozenset[str]
    kin: frozenset[str]
    near: frozenset[str]
    meter: Meter | None = None

    def made_for(self, pattern: Pattern) -> tuple[int, str]:
        """How near a pattern's feels are, and the one that it is made for, as its file writes it.

        A pattern that needs the meter of the bar is at home there, whatever the feel: a waltz in three.
        """
        named = {plain_name(feel): feel for feel in reversed(pattern.feels)}
        if self.meter is not None and pattern.meter == self.meter:
            return OWN, pattern.feels[0] if named else str(self.meter)
        for level, names in ((OWN, self.own), (KIN, self.kin), (ANYWHERE, _ANY), (NEAR, self.near)):
            for name in sorted(names & named.keys()):
                return level, named[name] if level != ANYWHERE else ""
        return (ELSEWHERE, pattern.feels[0]) if named else (ANYWHERE, "")


@lru_cache(maxsize=256)
def kinship(feel: Feel, feels: FeelTable, meter: Meter | None = None) -> Kinship:
    """A feel among those of a book: near it is every feel that shares a family with it."""
    families = frozenset(map(plain_name, feel.family))
    sisters = (other for other in feels if families & {*map(plain_name, other.family)})
    near = frozenset(name for other in sisters for name in names_of(other))
    return Kinship(names_of(feel) | names_of(feels.get(feel.name) or feel), families, near, meter)


def unknown_feels(pattern: Pattern, feels: FeelTable) -> Iterator[Finding]:
    """A warning for each name that is neither a feel nor a family."""
    for name in pattern.feels:
        if plain_name(name) != ANY and not feels.group(name):
            like = nearest(name, [*feels.names(), *feels.families()])
            hint = f"did you mean {like}?" if like else f"write {ANY} or a feel: feelmap feels lists them all"
            message = f"{pattern.name} is made for “{name}”, which is not a feel or a family"
            yield Finding("unknown", WARNING, message, pattern.span, hint)


def names_of(feel: Feel) -> frozenset[str]:
    """A feel's name and other spellings, as they are compared."""
    return frozenset(map(plain_name, (feel.name, *feel.also)))
