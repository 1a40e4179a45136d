"""Misspelt names."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The name that is most like a misspelt one, if any is.

    >>> nearest("tempoo", ["tempo", "title"])
    'tempo'
    """
    from difflib import get_close_matches

    by_fold = {each.casefold(): each for each in names}
    found = get_close_matches(name.casefold(), by_fold, n=1, cutoff=0.6)
    return by_fold[found[0]] if found else None
