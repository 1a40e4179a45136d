"""What a pattern was made for: by its own words, for this feel, for any, or for another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from charts.feel import Feel
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
_ANY = "any feel"
_ARTICLES = frozenset({"a", "an", "any"})
_WORD = re.compile(r"(?:[^\W_]|/)+|[,;.]")  # or what parts phrases
_PLURAL = re.compile(r"(?:(?<=ch)es|(?<=z)es|(?<=[a-z]{2}[^s])s)$")
_SPELT = {"8th": "eighth", "8ths": "eighth", "16th": "sixteenth", "16ths": "sixteenth"}


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
        self._begun: dict[str, list[tuple[list[str], str]]] = {}  # phrases by their first word
        self._read: dict[str, tuple[tuple[str, str], ...]] = {}
        for feel in feels:
            names = [" ".join(_words(name)) for name in (feel.name, *feel.also)]
            self.names[feel.name] = f" {' ; '.join(names)} "
            for name in filter(None, names):
                self.named.setdefault(name, set()).add(feel.name)
        for word in _NO_FEELS:
            self.named.pop(word, None)
        self.named.setdefault(_ANY, set())
        for phrase in sorted([*self.named, *_IN_FIGURES], key=len, reverse=True):
            words = phrase.split()
            self._begun.setdefault(words[0], []).append((words, _IN_FIGURES.get(phrase, phrase)))

    def of(self, pattern: Pattern, feel: Feel) -> int:
        """Whether a pattern's words, or its meter, name the feel, no feel, or others alone."""
        return self.made_for(pattern, feel)[0]

    def made_for(self, pattern: Pattern, feel: Feel, meter: Meter | None = None) -> tuple[int, str]:
        """The same with the words that say so, as they are written; in a meter, where that is known."""
        said = self._said(pattern, meter)
        for written, phrase in said:
            if self._is_home(phrase, feel, meter):
                return AT_HOME, written
        if any(phrase == _ANY or self._is_kin(phrase, feel) for _, phrase in said):
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

    def _said(self, pattern: Pattern, meter: Meter | None) -> tuple[tuple[str, str], ...]:
        """The pattern's meter, where it may tell something; the names of feels in its own words."""
        suits = pattern.suits
        said = self._read.get(suits)
        if said is None:
            said = self._read[suits] = tuple(self._names(suits))
        own = _figures(pattern.meter)
        return ((own, own), *said) if own and (meter is None or own == _figures(meter)) else said

    def _names(self, suits: str) -> Iterator[tuple[str, str]]:
        """The names of feels in some words, the longest that can be read: as written, and plain."""
        written, end = list(_WORD.finditer(suits)), 0
        words = [_one(word[0]) for word in written]
        for place, word in enumerate(words):
            for run, phrase in self._begun.get(word, ()):
                if place >= end and words[place : place + len(run)] == run and phrase in self.named:
                    end = place + len(run)
                    first = place - (place > 0 and words[place - 1] in _ARTICLES)
                    yield suits[written[first].start() : written[end - 1].end()], phrase


@lru_cache(maxsize=16)
def styles_of(feels: FeelTable) -> Styles:
    """The styles of a book, which a whole check shares."""
    return Styles(feels)


def _figures(meter: Meter | None) -> str:
    return f"{meter.upper}/{meter.lower}" if meter else ""


def _words(text: str) -> list[str]:
    """Words as they are compared, and the signs that part phrases.

    >>> _words("Half-Time shuffles, 16ths")
    ['half', 'time', 'shuffle', ',', 'sixteenth']
    """
    return [_one(word) for word in _WORD.findall(text)]


def _one(word: str) -> str:
    """The singular: shuffles, marches, street beats."""
    one = _PLURAL.sub("", word.casefold())
    return _SPELT.get(one, one)
