"""What a pattern was made for: by its own words, for this feel, for any, or for another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from charts.feel import Feel, plain_name
from charts.pattern import Pattern
from charts.timing import Meter
from charts.vocabularies import FeelTable

AT_HOME, ANYWHERE, ELSEWHERE = range(3)
# grids more than styles: what is made for one of a family is a stranger in none of the others
_FAMILIES = (
    frozenset({"straight eighths", "straight sixteenths", "half-time", "double-time"}),
    frozenset({"slow 12/8", "6/8 ballad"}),
)
_IN_FIGURES = {"twelve eight": "12/8", "twelve": "12/8", "six eight": "6/8"}
# words for strokes and for lengths, not for a feel
_NO_FEELS = frozenset({"eighth", "sixteenth", "straight", "even eighth", "even sixteenth", "two beat"})
_ARTICLES = frozenset({"a", "an", "any"})
_MOST_WORDS = 4  # of a feel's name


class Styles:
    """The feels by every word that names them.

    >>> from charts.notation import read_rows
    >>> turn = Pattern("turn", "fill", 1, read_rows("SD ooo").strokes, suits="polkas; a bar of two")
    >>> polka, samba = Feel("polka", (2,)), Feel("samba", (2, 2))
    >>> styles = Styles([polka, samba])
    >>> styles.of(turn, polka) == AT_HOME, styles.of(turn, samba) == ELSEWHERE
    (True, True)
    """

    def __init__(self, feels: Iterable[Feel]) -> None:
        self.named: dict[str, set[str]] = {}
        self.names: dict[str, str] = {}  # all of a feel's, with a space before and after every word
        self._read: dict[str, tuple[tuple[str, str], ...]] = {}
        for feel in feels:
            names = [_one(plain_name(name)) for name in (feel.name, *feel.also)]
            self.names[feel.name] = f" {' ; '.join(names)} "
            for name in names:
                self.named.setdefault(name, set()).add(feel.name)
        for word in _NO_FEELS:
            self.named.pop(word, None)

    def of(self, pattern: Pattern, feel: Feel) -> int:
        """Whether a pattern's words, or its meter, name the feel, no feel, or others alone."""
        return self.made_for(pattern, feel)[0]

    def made_for(self, pattern: Pattern, feel: Feel, meter: Meter | None = None) -> tuple[int, str]:
        """The same with the words that say so, as they are written; in a meter, where that is known."""
        said = list(self._said(pattern, meter))
        for written, phrase in said:
            if self._is_home(phrase, feel, meter):
                return AT_HOME, written
        if "any feel" in plain_name(pattern.suits) or any(self._is_kin(phrase, feel) for _, phrase in said):
            return ANYWHERE, ""
        return (ELSEWHERE, said[0][0]) if said else (ANYWHERE, "")

    def _is_home(self, phrase: str, feel: Feel, meter: Meter | None) -> bool:
        """A word in one of a feel's names is enough: shuffles are half-time shuffles, too.

        In a meter, so is what its feels are called: in three a waltz is no stranger, whatever the feel.
        """
        if self._calls(feel.name, phrase):
            return True
        feels, own = self.named.get(phrase, set()), _figures(meter)
        return meter is not None and (phrase == own or any(self._calls(name, own) for name in feels))

    def _is_kin(self, phrase: str, feel: Feel) -> bool:
        feels = self.named.get(phrase, set())
        return any(feel.name in family and feels & family for family in _FAMILIES)

    def _calls(self, feel: str, phrase: str) -> bool:
        return f" {phrase} " in self.names.get(feel, "")

    def _said(self, pattern: Pattern, meter: Meter | None) -> Iterator[tuple[str, str]]:
        """The pattern's meter, where it may tell something; the names of feels in its own words."""
        own = _figures(pattern.meter)
        if own and (meter is None or own == _figures(meter)):
            yield own, own
        if pattern.suits not in self._read:
            parts = re.split("[,;.]", pattern.suits)
            self._read[pattern.suits] = tuple(name for part in parts for name in self._names(part))
        yield from self._read[pattern.suits]

    def _names(self, part: str) -> Iterator[tuple[str, str]]:
        """The names of feels in some words, the longest that can be read: as written, and plain."""
        words = [(found.span(), _one(plain_name(found[0]))) for found in re.finditer(r"[\w/]+", part)]
        place = 0
        while place < len(words):
            for count in range(min(_MOST_WORDS, len(words) - place), 0, -1):
                run = words[place : place + count]
                phrase = " ".join(word for _, word in run)
                phrase = _IN_FIGURES.get(phrase, phrase)
                if phrase in self.named:
                    before = words[place - 1] if place else run[0]
                    (start, _), _ = before if before[1] in _ARTICLES else run[0]
                    yield part[start : run[-1][0][1]], phrase
                    break
            else:
                count = 1
            place += count


@lru_cache(maxsize=16)
def styles_of(feels: FeelTable) -> Styles:
    """The styles of a book, which a whole check shares."""
    return Styles(feels)


def _figures(meter: Meter | None) -> str:
    return f"{meter.upper}/{meter.lower}" if meter else ""


def _one(words: str) -> str:
    """Names in the singular: shuffles, marches, street beats."""
    return " ".join(re.sub(r"(?:(?<=ch)es|(?<=z)es|(?<=[a-z]{2}[^s])s)$", "", word) for word in words.split())
