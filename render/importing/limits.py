"""The most of everything that the import takes, in one table.

An answer comes within a second and in less than 300 MB, whatever the file; the figures follow from that.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from charts.source import FeelmapError

KIB, MIB = 1 << 10, 1 << 20


@dataclass(frozen=True)
class Limit:
    """``message`` may name ``{where}``: a file, or the number of a bar."""

    most: int
    message: str
    hint: str

    def hold(self, found: int | Fraction, where: object = "") -> None:
        """
        :raises FeelmapError: more than the most.
        """
        if found > self.most:
            raise FeelmapError(self.message.format(where=where, most=self.most), self.hint)


_ALONE = "export the drum or lead part alone and take that in"
_ONE_SONG = "give one song alone"

# files
FILE = Limit(32 * MIB, "{where} is larger than 32 MiB", _ALONE)  # on the disk, and a score unpacked
MIDI_FILE = Limit(192 * KIB, "{where} is larger than 192 KiB", _ALONE)  # song files are half of that
ABC_FILE = Limit(MIB, "{where} is larger than 1 MiB", _ALONE)
ABC_TUNE = Limit(32_000, "this ABC tune is too long to take in", _ONE_SONG)  # characters; most have 2,000
MEMBERS = Limit(1_000, "{where} packs more than {most} files", "give the score alone")
ELEMENTS = Limit(
    300_000, "{where} is too large to take in", _ALONE
)  # with attributes; a band's score has 80,000
TAG = Limit(20_000, "{where} has a tag that does not end", "export the score again")  # bytes
DEPTH = Limit(100, "{where} is nested too deep for a score", "export it again")  # a score needs 12
# music
BARS = Limit(2_000, "{where} has more than {most} bars", _ONE_SONG)  # as written; a song has 150
PLAYED = Limit(5_000, "played out, this score has more than {most} bars", "look at its repeats and jumps")
SECTIONS = Limit(500, "this score has more than {most} sections", _ONE_SONG)
BAR_LENGTH = Limit(1_000, "bar {where} lasts more than {most} quarters", "look at its durations")
WORDS = Limit(64, "bar {where} has more than {most} words over it", "keep those that a drummer needs")
FIGURE = Limit(256, "a time signature of {where} is out of range", "charts count up to 32 beats a bar")
ABC_FIGURE = Limit(1_024, "{where}: the numbers are out of range", "write a meter, a length or a tempo")

GRID = 2**6 * 3**3 * 5 * 7 * 11  # places of a quarter: every written tuplet lies on one
_NUMBER = re.compile(r"[+-]?\d{1,9}(?:\.\d{1,6})?", re.ASCII)


def number(text: str | None) -> Fraction | None:
    """A plain number, no exponent, at most nine places before the point; None for anything else.

    >>> number(" 66.5 "), number("1e30000000"), number("1_000")
    (Fraction(133, 2), None, None)
    """
    plain = (text or "").strip()
    return Fraction(plain) if _NUMBER.fullmatch(plain) else None


def on_grid(quarters: Fraction) -> Fraction:
    """The nearest place of the grid, so that no sum of odd lengths grows without end.

    >>> on_grid(Fraction(2, 7)), on_grid(Fraction(1, 10**9))
    (Fraction(2, 7), Fraction(0, 1))
    """
    return Fraction(round(quarters * GRID), GRID)
