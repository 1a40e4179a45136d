"""Words over a score that say where to go, when to stop, and how the tempo moves."""

from __future__ import annotations

import re

from render.importing.score import Bar

DA_CAPO, DAL_SEGNO = "D.C.", "D.S."
_JUMP = re.compile(r"\b(?:(d\.?\s?c\b|da capo)|(?:d\.?\s?s\b|dal? segno))", re.IGNORECASE)
_GOAL = re.compile(r"\bal?(?:la)?\s+(fine|coda)\b", re.IGNORECASE)
_TO_CODA = re.compile(r"^\s*(?:to|al(?:la)?)\s+(?:the\s+)?coda\b|^\s*to\s*[𝄌⊕ø]", re.IGNORECASE)
_CODA = re.compile(r"^\s*(?:coda|𝄌)\s*$", re.IGNORECASE)
_SEGNO = re.compile(r"^\s*(?:segno|𝄋)\s*$", re.IGNORECASE)
_FINE = re.compile(r"^\s*fine\s*\.?$", re.IGNORECASE)
_NTH = re.compile(r"^\s*\d{1,3}(?:st|nd|rd|th) time\s*$", re.IGNORECASE)
_TIMES = re.compile(r"^(?:play )?(?:[x×]\s?(\d{1,3})|(\d{1,3})\s?(?:[x×]|times))$", re.IGNORECASE)
_OPEN = re.compile(
    r"^\s*open(?: repeat)?\s*$|\b(?:vamp|repeat)\b.*\b(?:cue|until|till|ad lib)\b|\brepeat ad lib",
    re.IGNORECASE,
)


def sign(bar: Bar, text: str) -> bool:
    """Note what the words do to the road; False where they say something else."""
    jump = _JUMP.search(text)
    if jump and jump.start() <= 1 and len(text) < 40:
        bar.jump = DA_CAPO if jump[1] else DAL_SEGNO
        goal = _GOAL.search(text)
        bar.goal = goal[1].casefold() if goal else ""
    elif _TO_CODA.search(text):
        bar.to_coda = True
    elif _CODA.match(text):
        bar.coda = True
    elif _SEGNO.match(text):
        bar.segno = True
    elif _FINE.match(text):
        bar.fine = True
    elif _NTH.match(text):
        bar.nth = True
    else:
        return False
    return True


def times_said(text: str) -> int:
    """How often a stretch is played, where words say it; else 0.

    >>> times_said("play 4 times"), times_said("x3"), times_said("2nd time")
    (4, 3, 0)
    """
    found = _TIMES.match(text)
    return int(found[1] or found[2]) if found else 0


def believe_times(bars: list[Bar]) -> None:
    """A repeat sign that does not say how often is played as the words over its stretch say."""
    said = 0
    for bar in bars:
        said = 0 if bar.opens else said
        said = next((times for _, text in bar.words if (times := times_said(text))), said)
        if bar.times:
            bar.times = said if said > 1 and bar.times == 2 and not bar.ending_stops else bar.times
            said = 0


def is_open(text: str) -> bool:
    """True for words that leave the number of passes to the stage.

    >>> is_open("open"), is_open("vamp till cue"), is_open("open up")
    (True, True, False)
    """
    return bool(_OPEN.search(text))
