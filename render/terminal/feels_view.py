"""The feels: how each divides, swings and counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import islice
from typing import Any

from charts.counting import TRIPLETS, count_grid
from charts.feel import BY_TEMPO, Feel
from charts.fitting.moments import PLAIN_BEAT
from charts.ruler import ruler_for, ruler_within
from charts.timing import Meter
from charts.wording import figure
from render.terminal.console import listing
from render.terminal.ink import BOLD, Ink, folded_words
from render.terminal.listing import ListColumn

SHOWN_TEMPI = (120, 160, 200, 240, 280)  # where a ratio that follows the tempo is told
DRAWN_TEMPO = Fraction(100)
LABEL = 24  # columns of what comes before a drawn beat
_COLUMNS = (
    ListColumn("feel"), ListColumn("count", most=24), ListColumn("divides", 3), ListColumn("swing", 4),
    ListColumn("pulse", 2), ListColumn("about", 1, most=90, loose=True),
)  # fmt: skip


def feel_json(feel: Feel) -> dict[str, Any]:
    """One row of ``feels --json``."""
    return {
        "name": feel.name,
        "also": list(feel.also),
        "divides": list(feel.divides),
        "home": feel.home,
        "swing": round(float(feel.swing), 3) if isinstance(feel.swing, Fraction) else feel.swing,
        "pulse": feel.pulse,
        "count": feel.count or None,
        "groove": feel.groove or None,
        "family": list(feel.family),
        "about": feel.about or None,
    }


def swing_words(feel: Feel) -> str:
    """The ratio in words."""
    if feel.swing is None:
        return "no"
    return feel.swing if isinstance(feel.swing, str) else f"{figure(feel.swing)} to 1"


def spoken(feel: Feel, triplets: str = TRIPLETS) -> str:
    """How one beat is counted aloud."""
    return " ".join(word for _, word in count_grid(feel, PLAIN_BEAT, DRAWN_TEMPO, 1, triplets) if word != "-")


def feels_lines(feels: Sequence[Feel], width: int, ink: Ink, triplets: str = TRIPLETS) -> Iterator[str]:
    """The list of feels."""
    rows = [
        [feel.name, spoken(feel, triplets), " x ".join(map(str, feel.divides)), swing_words(feel), feel.pulse,
         feel.about]
        for feel in feels
    ]  # fmt: skip
    yield from listing(_COLUMNS, rows, width, ink)


def feel_lines(feel: Feel, width: int, ink: Ink, triplets: str = TRIPLETS) -> Iterator[str]:
    """One feel: its grid drawn on a plain and on a compound beat, and what fits it."""
    yield ink(feel.name, BOLD)
    if feel.about:
        yield from (f"  {line}" for line in folded_words(feel.about, width - 2))
    for label, text in _facts(feel):
        yield from (f"  {line}" for line in folded_words(f"{label}: {text}", width - 2, "  "))
    yield ""
    compound = Meter.read("6/8").beats[0]
    for label, beat in (("a plain beat", PLAIN_BEAT), ("a beat of three eighths", compound)):
        marks = count_grid(feel, beat, DRAWN_TEMPO, 1, triplets)
        ruler = ruler_within([[marks]], width - LABEL - 3) or ruler_for([[marks]], step=1)
        yield f"  {label:<{LABEL}} {ruler.lines(marks)[0].rstrip()}"


def _facts(feel: Feel) -> Iterator[tuple[str, str]]:
    if feel.also:
        yield "also called", ", ".join(feel.also)
    grid = feel.grid(PLAIN_BEAT, DRAWN_TEMPO)
    chain = [str(cells) for cells in islice((n for n in range(1, 1000) if grid.admits(n)), 6)]
    yield "a beat divides in", f"{', '.join(chain)} and so on; the groove plays {feel.home}"
    if feel.swing == BY_TEMPO:
        told = (f"{figure(feel.ratio(Fraction(bpm)) or 1)} to 1 at {bpm}" for bpm in SHOWN_TEMPI)
        yield "swing", f"by tempo, {', '.join(told)}"
    elif feel.swing is not None:
        yield "swing", f"{swing_words(feel)} at every tempo"
    if feel.pulse != "normal":
        yield "pulse", feel.pulse
    if feel.groove:
        yield "groove", feel.groove
    if feel.family:
        yield "family", ", ".join(feel.family)
