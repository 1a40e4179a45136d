"""A line of the form taken apart: name, bars, how often, open.

Raises :class:`Bad` with what to write instead.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from charts.reading.values import MOST_TIMES, Bad, phrases, short, words


class FormLine(NamedTuple):
    """``NAME (BARS) xN open`` taken apart; None where a part is not there."""

    name: str
    bars: tuple[int, ...] | None
    times: int | None
    open: bool


_LINE = re.compile(
    r"(?P<name>[^()]+?)\s*(?:\((?P<bars>[^()]*?)(?:\s*bars?)?\s*\))?(?:\s+[x×](?P<times>\d+))?(?P<open>\s+open)?",
    re.ASCII | re.IGNORECASE,
)
# What is written for a form line now and then: pattern, what is wrong, and what to write instead.
_SLIPS = [
    (re.compile(pattern, re.ASCII | re.IGNORECASE), message, hint)
    for pattern, message, hint in (
        (r"([^()]*)\((\s*[\d+]+)([^)]*)", "“{}” has no closing bracket", r"write \1(\2)\3"),
        (r".*\s(?:x (\d+)|(\d+) ?(?:x|times))\b.*", "“{}” has its repeat in other words", r"write x\1\2"),
        (r"(.+\))([x×]\d+.*)", "“{}” has no space before its repeat", r"write \1 \2"),
        (
            r"(.+\))\s(?:[x×] ?\?(?: open)?|(?:[x×] )?ad lib(?:itum)?|vamp(?: till cue)?)",
            "“{}” has its open repeat in other words",
            r"write \1 open",
        ),
        (r"(.+) open ([x×]\d+)", "“{}” has open before its repeat", r"write \1 \2 open"),
        (r".*\(.*\(.*", "“{}” is more than one section", "write each after “- ” on a line of its own"),
    )
]


def form_line(text: str) -> FormLine:
    """Take a form line apart.

    >>> form_line("Chorus (4+4) x2 open")
    FormLine(name='Chorus', bars=(4, 4), times=2, open=True)
    """
    plain = words(text)
    if not plain:
        raise Bad("an empty form line", "write a section's name, or delete the line", "form")
    for pattern, message, hint in _SLIPS:
        slip = pattern.fullmatch(plain)
        if slip:
            raise Bad(message.format(short(plain)), slip.expand(hint), "form")
    found = _LINE.fullmatch(plain)
    if not found:
        message, hint = (
            f"“{short(plain)}” is not a form line",
            "write NAME (BARS) xN open, like Chorus (8) x2",
        )
        raise Bad(message, hint, "form")
    times = int(found["times"][:9]) if found["times"] else None
    if times is not None and not 1 <= times <= MOST_TIMES:
        raise Bad(f"x{times} is out of range", f"write x1 to x{MOST_TIMES}", "form")
    bars = None if found["bars"] is None else phrases(found["bars"])
    return FormLine(found["name"], bars, times, bool(found["open"]))


MOST_VERSES = 3  # Verse 3 is the third verse, Intro 4 an intro of four bars
_NUMBERED = re.compile(r"(.+?)[ :,-]*\s(\d[\d+]*)( bars?)?", re.ASCII | re.IGNORECASE)


def with_bars(name: str) -> str:
    """A form line's name with bars after it; a number that is there already is taken for them.

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
