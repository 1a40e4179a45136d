"""Misspelt names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

LIKE, LIKE_BY_WORD = 0.6, 0.75  # of 1, the same; a single word has to be more like
SHORT, LONGEST, MOST_WORDS = (
    3,
    80,
    6,
)  # letters of a word, letters and words of a name that is a slip of the pen


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The name that is most like a misspelt one, whole or by one of its words, if any is.

    >>> nearest("tempoo", ["tempo", "title"])
    'tempo'
    >>> nearest("lightz", ["Long Way Round", "Harbour Lights"]), nearest("way", ["Alway Away"])
    ('Harbour Lights', None)
    """
    from difflib import get_close_matches

    if len(name) > LONGEST:
        return None
    by_fold = {each.casefold(): each for each in names}
    found = get_close_matches(name.casefold(), by_fold, n=1, cutoff=LIKE)
    return by_fold[found[0]] if found else _by_words(name.casefold().split(), by_fold)


def _by_words(words: Sequence[str], by_fold: Mapping[str, str]) -> str | None:
    """The name in which every word given has one like it; words of up to three letters say too little."""
    from difflib import SequenceMatcher

    def like(word: str, name: str) -> float:
        return max((SequenceMatcher(None, part, word).ratio() for part in name.split()), default=0)

    if not 0 < len(words) <= MOST_WORDS or min(map(len, words)) <= SHORT:
        return None
    marks = {name: min(like(word, name) for word in words) for name in by_fold}
    best = max(marks, key=lambda name: marks[name], default=None)
    return by_fold[best] if best is not None and marks[best] >= LIKE_BY_WORD else None
