"""The short way in for look-ups: ``show`` and ``find`` without the option parser.

Building the parser takes longer than reading a chart and drawing it. A plain look-up is answered here; what
is not plain (an option that is not known here, a failure, ``--help``) goes the usual way, which says it
properly.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

JSON, BOOK = "--json", "--book"
_OPTIONS = {"show": (BOOK,), "find": (BOOK, "--feel", "--tempo", "--key")}


def answered(arguments: Sequence[str]) -> bool:
    """True where the command line was a plain look-up and has been answered."""
    if not arguments or arguments[0] not in _OPTIONS:
        return False
    read = plainly(arguments[1:], _OPTIONS[arguments[0]])
    if read is None:
        return False
    try:
        lines = _COMMANDS[arguments[0]](*read)
    except Exception:  # the usual way says what is wrong
        return False
    if lines is None:
        return False
    from render.terminal.ink import write

    write(lines, sys.stdout)
    sys.stdout.flush()
    return True


def plainly(arguments: Sequence[str], known: Sequence[str]) -> tuple[list[str], dict[str, str]] | None:
    """Words and options; None where there is anything that this reader does not know.

    >>> plainly(["harbour", "--json", "--book", "gigs"], ("--book",))
    (['harbour'], {'--json': '', '--book': 'gigs'})
    >>> plainly(["harbour", "--bok=gigs"], ("--book",)), plainly(["--book"], ("--book",))
    (None, None)
    """
    words: list[str] = []
    options: dict[str, str] = {}
    left = list(arguments)
    while left:
        word = left.pop(0)
        name, equals, value = word.partition("=")
        if not word.startswith("-"):
            words.append(word)
        elif word == JSON:
            options[word] = ""
        elif name in known and name not in options and (equals or left):
            options[name] = value if equals else left.pop(0)
        else:
            return None
    return words, options


def _show(words: list[str], options: dict[str, str]) -> list[str] | None:
    if not 1 <= len(words) <= 2:
        return None
    from render.lookups import show

    section = words[1] if len(words) > 1 else None
    return show(words[0], section, JSON in options, _book(options), sys.stdout)


def _find(words: list[str], options: dict[str, str]) -> list[str] | None:
    from render.lookups import find

    feel, tempo, key = (options.get(name) for name in ("--feel", "--tempo", "--key"))
    return find(words, feel, tempo, key, JSON in options, _book(options), sys.stdout)


def _book(options: dict[str, str]) -> Path | None:
    return Path(options[BOOK]) if BOOK in options else None


_COMMANDS: dict[str, Callable[[list[str], dict[str, str]], list[str] | None]] = {"show": _show, "find": _find}
