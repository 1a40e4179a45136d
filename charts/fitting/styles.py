"""What a pattern was made for: by its own words, for this feel, for any, or for another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from charts.feel import Feel, plain_name
from charts.pattern import Pattern

AT_HOME, ANYWHERE, ELSEWHERE = range(3)
# grids more than styles: what is made for one of them is a stranger in none of the others
PLAIN = frozenset({"straight eighths", "straight sixteenths", "half-time", "double-time"})
_IN_FIGURES = {"twelve eight": "12/8", "twelve": "12/8", "six eight": "6/8"}
_GRIDS = frozenset({"eighth", "sixteenth", "straight"})  # words for strokes, not for a feel
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
        for feel in feels:
            for name in (feel.name, *feel.also):
                self.named.setdefault(_one(plain_name(name)), set()).add(feel.name)
        for word in _GRIDS:
            self.named.pop(word, None)

    def of(self, pattern: Pattern, feel: Feel) -> int:
        """Whether a pattern's words, or its meter, name the feel, no feel, or others alone."""
        said = list(self._said(pattern))
        if any(self._is_home(phrase, feel) for phrase in said):
            return AT_HOME
        if "any feel" in plain_name(pattern.suits):
            return ANYWHERE
        return ELSEWHERE if said else ANYWHERE

    def _is_home(self, phrase: str, feel: Feel) -> bool:
        """A word in a feel's own name is enough: shuffles are half-time shuffles, too."""
        feels = self.named.get(phrase, set())
        own = _one(plain_name(feel.name)).split()
        return feel.name in feels or phrase in own or (feel.name in PLAIN and bool(feels & PLAIN))

    def _said(self, pattern: Pattern) -> Iterator[str]:
        """The names of feels in the pattern's own words, the longest that can be read; its meter."""
        if pattern.meter is not None:
            yield f"{pattern.meter.upper}/{pattern.meter.lower}"
        words = [_one(word) for word in re.findall(r"[\w/]+", plain_name(pattern.suits))]
        place = 0
        while place < len(words):
            for count in range(min(_MOST_WORDS, len(words) - place), 0, -1):
                phrase = " ".join(words[place : place + count])
                phrase = _IN_FIGURES.get(phrase, phrase)
                if phrase in self.named:
                    yield phrase
                    break
            else:
                count = 1
            place += count


def _one(words: str) -> str:
    """Names in the singular: shuffles, marches, street beats."""
    return " ".join(re.sub(r"(?:(?<=ch)es|(?<=[a-z]{2}[^s])s)$", "", word) for word in words.split())
