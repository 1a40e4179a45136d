"""What holds on every page: nothing overlaps, nothing is cut, nothing leaves the paper.

Looks at the layout model only. Each rule gives the breaches it finds, as words, so that a failure can be read.
"""

from __future__ import annotations

from collections.abc import Iterator

from charts.song import Song
from charts.wording import key_in_signs
from render.page.model import Area, Disc, Line, Page, Rect, Shape, Sign, Words
from render.page.packing import MARGIN

SLACK = 0.25  # points that rounding may cost
EDGE = MARGIN - 4  # ink keeps so far from the paper's edge: lines at the margin are half outside it


def breaches(page: Page) -> list[str]:
    """Everything on a page that breaks a rule."""
    return [*leaving(page), *words_on_words(page), *words_on_ink(page), *out_of_bar(page)]


def leaving(page: Page) -> Iterator[str]:
    """Items outside the margins."""
    for item in page.items:
        left, top, right, bottom = item.area
        if left < EDGE or top < EDGE or right > page.width - EDGE or bottom > page.height - EDGE:
            yield f"leaves the page: {item}"


def out_of_bar(page: Page) -> Iterator[str]:
    """Marks whose place is not in their own bar."""
    for mark in page.marks:
        if not mark.left - SLACK <= mark.x <= mark.right + SLACK:
            yield f"{mark.kind} of another bar: {mark}"


def words_on_words(page: Page) -> Iterator[str]:
    """Texts that touch one another."""
    known = sorted(((item.area, item) for item in page.words), key=lambda pair: pair[0])
    for place, (area, item) in enumerate(known):
        for other, another in known[place + 1 :]:
            if other[0] >= area[2] - SLACK:
                break
            if meet(area, other):
                yield f"“{item.text}” ({item.kind}) on “{another.text}” ({another.kind})"


def words_on_ink(page: Page) -> Iterator[str]:
    """Texts that lines or shapes run through; a filled ground holds its text whole or not at all."""
    inks = [(area, item) for item in page.items if not isinstance(item, Words) for area in _parts(item)]
    for words in page.words:
        core = words.core
        for area, item in inks:
            ground = isinstance(item, Disc) or (isinstance(item, Rect) and not item.line)
            if meet(core, area) and not (ground and _holds(area, core)):
                yield f"“{words.text}” ({words.kind}) crossed by {type(item).__name__} {_short(area)}"


def _parts(item: Line | Rect | Shape | Disc | Sign) -> list[Area]:
    """The areas that ink covers: a border is four of them."""
    left, top, right, bottom = item.area
    if not isinstance(item, Rect) or not item.line:
        return [item.area]
    line = item.line
    return [
        (left, top, right, top + line), (left, bottom - line, right, bottom),
        (left, top, left + line, bottom), (right - line, top, right, bottom),
    ]  # fmt: skip


def meet(one: Area, other: Area) -> bool:
    """True where two areas overlap by more than the slack."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > SLACK and down > SLACK


def _holds(outer: Area, inner: Area) -> bool:
    return (
        outer[0] <= inner[0] + SLACK and outer[1] <= inner[1] + SLACK
        and outer[2] >= inner[2] - SLACK and outer[3] >= inner[3] - SLACK
    )  # fmt: skip


def _short(area: Area) -> str:
    return ", ".join(f"{edge:.1f}" for edge in area)


def lost_words(page: Page, song: Song) -> list[str]:
    """Texts of the song that are not on the page, letter by letter."""
    printed = "".join(words.text for words in page.words).replace(" ", "")
    wanted = [song.title, song.by, key_in_signs(song.key), song.ending, song.notes]
    for section in song.form:
        wanted += [section.name, section.until, *(cue.text for cue in section.cues)]
    return [text for text in wanted if "".join(text.split()) not in printed]
