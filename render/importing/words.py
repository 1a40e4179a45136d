"""What the words over a score mean: where to go, how often, which feel, where a fill begins."""

from __future__ import annotations

import re

from charts.feel import Feel
from charts.vocabularies import FeelTable
from render.importing.score import Bar, Said, Score, plain

DA_CAPO, DAL_SEGNO = "D.C.", "D.S."
FILL = "fill"
LONGEST_JUMP = 40  # characters; what is longer is a sentence about something else
ADJECTIVES = frozenset((
    "a", "an", "the", "in", "with", "very", "medium", "med", "fast", "slow", "slower", "faster", "easy",
    "up", "bright", "heavy", "hard", "light", "moderate", "relaxed", "driving", "quick", "lively",
    "feel", "groove", "beat", "style", "time", "tempo",
))  # fmt: skip
_JUMP = re.compile(r"[\W_]?(?:(d\.?\s?c\b|da capo)|(?:d\.?\s?s\b|dal? segno))", re.IGNORECASE)
_GOAL = re.compile(r"\bal?(?:la)?\s+(fine|coda)\b", re.IGNORECASE)
_NTH = r"\d{1,3}(?:st|nd|rd|th) time"
_SIGNS = {
    "to_coda": re.compile(r"(?:to|al(?:la)?) (?:the )?coda\b.*|to ?[𝄌⊕ø].*", re.IGNORECASE),
    "coda": re.compile(r"coda|𝄌", re.IGNORECASE),
    "segno": re.compile(r"segno|𝄋", re.IGNORECASE),
    "fine": re.compile(r"fine ?\.?", re.IGNORECASE),
    "nth": re.compile(_NTH, re.IGNORECASE),
}
_TIMES = re.compile(r"(?:play )?(?:[x×] ?(\d{1,3})|(\d{1,3}) ?(?:[x×]|times))", re.IGNORECASE | re.ASCII)
_OPEN = re.compile(
    r"^open(?: repeat)?$|\b(?:vamp|repeat)\b.*\b(?:cue|until|till|ad lib)\b|\brepeat ad lib", re.IGNORECASE
)


def sign(bar: Bar, text: str) -> bool:
    """Set in the bar what the words do to the road; False where they are about something else."""
    text = plain(text)
    jump = _JUMP.match(text)
    if jump and len(text) < LONGEST_JUMP:
        bar.jump = DA_CAPO if jump[1] else DAL_SEGNO
        goal = _GOAL.search(text)
        bar.goal = goal[1].casefold() if goal else ""
        return True
    for name, words in _SIGNS.items():
        if words.fullmatch(text):
            setattr(bar, name, True)
            return True
    return False


def times_said(text: str) -> int:
    """How often a stretch is played, where the words give a number; else 0.

    >>> times_said("play 4 times"), times_said("x3"), times_said("2nd time")
    (4, 3, 0)
    """
    found = _TIMES.fullmatch(text)
    return int(found[1] or found[2]) if found else 0


def is_open(text: str) -> bool:
    """True for words that leave the number of passes to the stage.

    >>> is_open("open"), is_open("vamp till cue"), is_open("open up")
    (True, True, False)
    """
    return bool(_OPEN.search(text))


def sort_words(score: Score, feels: FeelTable) -> None:
    """Take out of each bar's words what they mean; what is left are cues."""
    for bar in score.bars:
        words, bar.words = bar.words, []
        for said in words:
            text = plain(said.text)
            if text and not _means(bar, Said(said.at, text), feels):
                bar.words.append(Said(said.at, text))


def _means(bar: Bar, said: Said, feels: FeelTable) -> bool:
    """Keep a meaning; False for words that are a cue as well, or nothing but a cue."""
    if said.text.casefold().partition(":")[0] == FILL:
        bar.fills.append(Said(said.at))
        return True
    if is_open(said.text):
        bar.open = True
        return said.text.casefold() == "open"
    if times_said(said.text):
        bar.said_times = bar.said_times or times_said(said.text)
        return True
    if said.at or bar.feel is not None:
        return False
    exact = feels.get(said.text)
    bar.feel = exact or _named_in(said.text, feels)
    bar.feel_words = said.text if bar.feel else ""
    return exact is not None


def _named_in(text: str, feels: FeelTable) -> Feel | None:
    """The feel that is left without words for how fast and how hard: Medium Swing, Funk groove."""
    words = [word for word in re.findall(r"[\w/:-]+", text.casefold()) if word not in ADJECTIVES]
    return feels.get(" ".join(words)) if words else None
