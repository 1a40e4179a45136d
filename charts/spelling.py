"""Misspelt names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

SHORT, LONGEST, MOST_WORDS = 4, 80, 6  # letters of a word, letters and words of a name
SLIPS_OF_SHORT, SLIPS = 1, 2  # letters that may be wrong in a short word, and in any other


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The name that is a letter or two from a misspelt one, whole or by its words, if any is.

    >>> nearest("tempoo", ["tempo", "title"]), nearest("stabs", ["stops", "hits"])
    ('tempo', None)
    >>> nearest("lightz", ["Long Way Round", "Harbour Lights"]), nearest("way", ["Alway Away"])
    ('Harbour Lights', None)
    """
    wanted = name.casefold()
    if not wanted or len(wanted) > LONGEST:
        return None
    by_fold = {each.casefold(): each for each in names}
    slips = {each: _slips(wanted, each) for each in by_fold}
    best = min(slips, key=lambda each: slips[each], default="")
    if best and slips[best] <= (SLIPS_OF_SHORT if len(wanted) <= SHORT + 1 else SLIPS):
        return by_fold[best]
    return _by_words(wanted.split(), by_fold)


def _by_words(words: Sequence[str], by_fold: Mapping[str, str]) -> str | None:
    """The name in which every word given has one like it; words of up to three letters say too little."""
    if not 0 < len(words) <= MOST_WORDS or min(map(len, words)) < SHORT:
        return None
    short = SHORT if len(words) > 1 else SHORT + 1  # one word alone says less
    for name, found in by_fold.items():
        slips = [min(_slips(word, part) for part in name.split() or [""]) for word in words]
        if all(
            n <= (SLIPS_OF_SHORT if len(word) <= short else SLIPS)
            for word, n in zip(words, slips, strict=True)
        ):
            return found
    return None


def _slips(one: str, other: str) -> int:
    """How many letters are wrong, missing, too many or swapped with the next, up to a few.

    >>> _slips("stpo", "stop"), _slips("stab", "stop"), _slips("fil", "fill")
    (1, 2, 1)
    """
    if abs(len(one) - len(other)) > SLIPS:
        return SLIPS + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        before, last, row = row, before, [i]
        for j, against in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != against))
            if last and j > 1 and letter == other[j - 2] and one[i - 2] == against:
                cost = min(cost, last[j - 2] + 1)
            row.append(cost)
    return row[-1]
