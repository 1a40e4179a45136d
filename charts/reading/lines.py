"""A line of the form taken apart: name, bars, how often, open.

Raises :class:`Bad` with what to write instead.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from charts.reading.values import MOST_TIMES, Bad, phrases, short, words


class FormLine(NamedTuple):
    """``NAME (BARS) xN open`` taken apart; None where a part is not there."""

    name: str
    bars: tuple[int, ...] | None
    times: int | None
    open: bool


_LINE = re.compile(
    r"(?P<name>[^()]+?)\s*(?:\((?P<bars>[^()]*)\))?(?:\s+[x×](?P<times>\d+))?(?P<open>\s+open)?",
    re.ASCII | re.IGNORECASE,
)


@lru_cache(maxsize=4096)
def form_line(text: str) -> FormLine:
    """Take a form line apart.

    >>> form_line("Chorus (4+4) x2 open")
    FormLine(name='Chorus', bars=(4, 4), times=2, open=True)
    """
    plain = words(text)
    if not plain:
        raise Bad("an empty form line", "write a section's name, or delete the line", "form")
    if "(" in plain and ")" not in plain.partition("(")[2]:
        raise Bad(f"“{short(plain)}” has no closing bracket", f"write {_closed(plain)}", "form")
    spaced = re.search(r"\s(?:x (\d+)|(\d+) ?(?:x|times))\b", plain)
    if spaced:
        raise Bad(f"“{spaced[0].strip()}” is not how often", f"write x{spaced[1] or spaced[2]}", "form")
    joined = re.fullmatch(r"(.+\))([x×]\d+.*)", plain, re.ASCII)
    if joined:
        raise Bad("no space before how often", f"write {short(joined[1])} {joined[2]}", "form")
    turned = re.fullmatch(r"(.+) open ([x×]\d+)", plain, re.ASCII | re.IGNORECASE)
    if turned:
        raise Bad("open stands before how often", f"write {short(turned[1])} {turned[2]} open", "form")
    found = _LINE.fullmatch(plain)
    if not found and plain.count("(") > 1:
        raise Bad(
            f"“{short(plain)}” is more than one section",
            "write each behind “- ” on a line of its own",
            "form",
        )
    if not found:
        raise Bad(
            f"“{short(plain)}” is no form line", "write NAME (BARS) xN open, like Chorus (8) x2", "form"
        )
    bars = found["bars"]
    if bars is not None:
        bars = re.sub(r"\s*bars?$", "", bars.strip())
    times = int(found["times"][:9]) if found["times"] else None
    if times is not None and not 1 <= times <= MOST_TIMES:
        raise Bad(f"x{times} is out of range", f"write x1 to x{MOST_TIMES}", "form")
    return FormLine(found["name"], None if bars is None else phrases(bars), times, bool(found["open"]))


MOST_VERSES = 3  # Verse 3 is the third verse, Intro 4 an intro of four bars
_NUMBERED = re.compile(r"(.+?)[ :,-]*\s(\d[\d+]*)( bars?)?", re.ASCII | re.IGNORECASE)


def with_bars(name: str) -> str:
    """A form line's name with bars behind it; a number that stands there already is taken for them.

    >>> with_bars("Intro"), with_bars("Intro 4 bars"), with_bars("Verse 2")
    ('Intro (8)', 'Intro (4)', 'Verse 2 (8)')
    >>> with_bars("Verse [16]")
    'Verse (16)'
    >>> with_bars("Verse 16")
    'Verse (16), or Verse 16 (8) if 16 is part of its name'
    """
    bracketed = re.fullmatch(r"(.*[^\s\[])\s*\[([\d+]+)( bars?)?\]", name, re.ASCII | re.IGNORECASE)
    if bracketed:
        return f"{bracketed[1]} ({bracketed[2]})"
    found = _NUMBERED.fullmatch(name)
    if found and found[3]:
        return f"{found[1]} ({found[2]})"
    if found and ("+" in found[2] or int(found[2][:9]) > MOST_VERSES):
        return f"{found[1]} ({found[2]}), or {name} (8) if {found[2]} is part of its name"
    return f"{name} (8)"


def _closed(text: str) -> str:
    return re.sub(r"\((\s*[\d+]+)", r"(\1)", text, count=1)
