"""What a moment of the count-in looks like: a large beat number that flashes, and the bar on its grid."""

from __future__ import annotations

from charts.ruler import Ruler, ruler_for, ruler_within
from render.live.pulse import CountBar, CountBeat, Pulse
from render.terminal.ink import BOLD, REVERSE, Ink, cut

# five rows a digit, four columns wide
_DIGITS = {
    "0": (" ## ", "#  #", "#  #", "#  #", " ## "),
    "1": ("  # ", " ## ", "  # ", "  # ", " ###"),
    "2": ("### ", "   #", " ## ", "#   ", "####"),
    "3": ("### ", "   #", " ## ", "   #", "### "),
    "4": ("#  #", "#  #", "####", "   #", "   #"),
    "5": ("####", "#   ", "### ", "   #", "### "),
    "6": (" ## ", "#   ", "### ", "#  #", " ## "),
    "7": ("####", "   #", "  # ", " #  ", " #  "),
    "8": (" ## ", "#  #", " ## ", "#  #", " ## "),
    "9": (" ## ", "#  #", " ###", "   #", " ## "),
}
FASTEST_FLASH = 180  # flashes per minute; three a second at most: WCAG 2 success criterion 2.3.1, from memory
INK = Ink(colour=True, signs=False)  # without NO_COLOR's leave: the flash is what there is to see
GAP = 3  # columns between two beats, at most


def big(number: int, block: str = "#") -> list[str]:
    """A number in five rows of ``block``, twice as wide as drawn.

    >>> print(big(7)[0] + "|")
      ########  |
    """
    rows = [" ".join(_DIGITS[digit][row] for digit in str(number)) for row in range(5)]
    return ["  " + "".join(cell * 2 for cell in row).replace("#", block) + "  " for row in rows]


def frame(pulse: Pulse, head: str, width: int, block: str = "#") -> list[str]:
    """The lines of one moment, none wider than ``width``."""
    beat = pulse.bar.beats[pulse.beat]
    flashes = 60 / beat.length <= FASTEST_FLASH
    style = (REVERSE if flashes else BOLD,) if pulse.lit else ()
    rows = big(beat.number, block)
    blank = " " * len(rows[0])
    panel = [f"  {INK(row[: width - 2], *style)}" for row in (blank, *rows, blank)]
    label = cut(f"  {pulse.bar.label}", width, INK)
    return [cut(head, width, INK), "", *panel, "", label, *bar_lines(pulse, width - 2)]


def bar_lines(pulse: Pulse, width: int) -> list[str]:
    """The bar on its grid, the word that sounds now set off; as many beats a line as there is room for."""
    beats = pulse.bar.beats
    ruler = bar_ruler(pulse.bar, width)
    across = max(1, (width + GAP) // (ruler.width + GAP))
    drawn = [
        _beat(beat, ruler, pulse.word if place == pulse.beat else -1) for place, beat in enumerate(beats)
    ]
    return ["  " + ruler.gap.join(drawn[start : start + across]) for start in range(0, len(drawn), across)]


def bar_ruler(bar: CountBar, width: int) -> Ruler:
    """The widest ruler on which the whole bar fits in one line, else one for as many beats as fit."""
    beats = [[beat.marks] for beat in bar.beats]
    for across in range(len(beats), 0, -1):
        found = ruler_within(beats, (width + GAP) // across - GAP)
        if found is not None:
            return found
    return ruler_for(beats, step=1)


def _beat(beat: CountBeat, ruler: Ruler, word: int) -> str:
    text = ruler.lines(beat.marks)[0]
    if word < 0:
        return text
    start = ruler.cells_of(at for at, _ in beat.marks)[beat.marks[word][0]] * ruler.step
    end = start + len(ruler.said(beat.marks[word][1]))
    return f"{text[:start]}{INK(text[start:end], REVERSE)}{text[end:]}"
