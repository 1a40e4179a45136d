"""Which feel a score has: by its words, its swing sign, where the drums strike, its meter."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from charts.feel import HALF, THIRD, TWO_THIRDS, Feel
from charts.timing import Meter
from charts.vocabularies import FeelTable
from render.importing.drums import grooves, strokes_of
from render.importing.joining import Played
from render.importing.places import beat_at
from render.importing.score import Score

BRISK = Fraction(84)  # dotted quarters per minute: slower, 6/8 is a ballad; ours, common practice, no source
USUAL = "straight eighths"
CYMBALS = frozenset(("HH", "RD", "RB"))  # what the beat is counted on
# where in the beat a groove strikes -> its feel and what that is called; the first that holds all of it
GRIDS = (
    ({HALF}, USUAL, "halves"),
    ({THIRD, TWO_THIRDS}, "shuffle", "thirds"),
    ({HALF / 2, HALF, 3 * HALF / 2}, "straight sixteenths", "quarters"),
    ({THIRD, HALF, HALF + THIRD}, "sixteenth shuffle", "sixths, long and short"),
)


class FeelReader:
    """Follows the feel through the score; how each was found is listed once."""

    def __init__(self, feels: FeelTable, score: Score) -> None:
        self.feels, self.score = feels, score
        self.current: Feel | None = None
        self.struck: Feel | None = None  # shown by strokes, with nothing against it since
        self.said = False  # by words or a sign, not by strokes or the meter

    def at(self, bars: Sequence[Played], tempo: Fraction) -> Feel:
        """The feel of a section; ``tempo`` in beats per minute."""
        bar, file_feel = bars[0].bar, self.score.file_feel
        if bar.feel is not None:
            if self.feels.get(bar.feel_words) is None:
                self.score.guess(f"“{bar.feel_words}” is {bar.feel.name}")
            self.current, self.said = bar.feel, True
        elif bar.swing is not None:
            self._swung(*bar.swing)
        elif bar.straight and self.current is not None and self.current.swings:
            self._say(USUAL, "no swing sign any more")
        elif self.current is None and file_feel and self.feels.get(file_feel):
            self._say(file_feel, f"the rhythm is called {file_feel}")
        if self.said and self.current is not None:
            return self.current
        return self._struck(bars) or self._by_meter(bar.meter, tempo)

    def _say(self, name: str, why: str) -> None:
        self.said = True
        self._guess(name, why)

    def _guess(self, name: str, why: str) -> Feel:
        found, self.struck = self.feels.get(name) or self.feels.named(USUAL), None
        if found != self.current:
            self.score.guess(f"feel: {found.name}, since {why}")
        self.current = found
        return found

    def _swung(self, ratio: Fraction, note: str) -> None:
        """A swing sign without words; a feel that swings that note already is kept."""
        pairs = 2 if note == "16th" else 1
        now = self.current
        if now is None or not (now.swings and self.said and len(now.divides) == pairs):
            name = "sixteenth shuffle" if note == "16th" else "shuffle" if ratio == 2 else "swing"
            self._say(name, f"{note}s are swung {float(ratio):.3g} to 1")

    def _struck(self, bars: Sequence[Played]) -> Feel | None:
        """The feel that the groove's strokes show; None where they show none, and in a compound meter."""
        meter = bars[0].bar.meter
        if meter.compound or meter.groups:
            return None
        played = [
            (beat_at(meter, at)[1], stroke.voice)
            for bar in grooves([strokes_of(each.bar) for each in bars])
            for at, stroke in bar
        ]
        places = {at for at, _ in played if at}
        if not places:
            return self.struck
        name, grid = next(((name, grid) for points, name, grid in GRIDS if places <= points), ("", ""))
        if not name:
            self.score.lose("the feel that the drums play: their strokes lie on the grid of none")
            return None
        if name == "shuffle" and any(at == THIRD and voice in CYMBALS for at, voice in played):
            name = "slow 12/8"
        if meter.upper == 3 and meter.lower == 4:
            name = {USUAL: "waltz", "shuffle": "jazz waltz"}.get(name, name)
        found = self.feels.get(name)
        if found is not None and found != self.current:
            self.score.find(f"feel: {found.name}, since the drums play {grid} of the beat")
        self.current = self.struck = found or self.current
        return found

    def _by_meter(self, meter: Meter, tempo: Fraction) -> Feel:
        if meter.compound and meter.upper >= 9:
            return self._guess("slow 12/8", f"the meter is {meter}")
        if meter.compound:
            return self._guess("6/8 ballad" if tempo < BRISK else "fast 6/8", f"the meter is {meter}")
        if (meter.upper, meter.lower) == (3, 4):
            return self._guess("waltz", "the meter is 3/4")
        said = self.score.file_feel
        return self._guess(USUAL, f"no feel is called {said}" if said else "the score gives none")
