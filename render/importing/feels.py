"""Which feel a score asks for: by its words, its swing sign, its meter, else straight eighths."""

from __future__ import annotations

from fractions import Fraction

from charts.feel import Feel
from charts.timing import Meter
from charts.vocabularies import FeelTable
from render.importing.facts import Facts
from render.importing.score import Score

BRISK = Fraction(84)  # dotted quarters a minute: slower, 6/8 is a ballad; ours, common practice, no source
USUAL = "straight eighths"


class FeelGuesser:
    """Follows the feel through the score; every guess is said once."""

    def __init__(self, feels: FeelTable, sheet: Score) -> None:
        self.feels, self.sheet = feels, sheet
        self.current: Feel | None = None
        self.said = False  # by words or a sign, not by the meter

    def at(self, facts: Facts, tempo: Fraction) -> Feel:
        """The feel from a section's first bar on; ``tempo`` in beats a minute."""
        bar = facts.bar.sheet
        named = facts.feel
        if named is not None:
            if facts.feel_words and self.feels.get(facts.feel_words) is None:
                self.sheet.guess(f"“{facts.feel_words}” is {named.name}")
            self.current, self.said = named, True
        elif bar.swing is not None:
            self._swung(*bar.swing)
        elif bar.straight and self.current is not None and self.current.swings:
            self._take(USUAL, "no swing sign any more")
            self.said = True
        elif self.current is None and self.sheet.file_feel and self.feels.get(self.sheet.file_feel):
            self._take(self.sheet.file_feel, f"the rhythm is called {self.sheet.file_feel}")
            self.said = True
        if not self.said:
            self._by_meter(facts.meter, tempo)
        assert self.current is not None  # the meter always gives one
        return self.current

    def _take(self, name: str, why: str) -> None:
        found = self.feels.get(name) or self.feels.get(USUAL)
        assert found is not None  # it ships
        if found != self.current:
            self.sheet.guess(f"feel: {found.name}, since {why}")
        self.current = found

    def _swung(self, ratio: Fraction, note: str) -> None:
        """A swing sign without words; a feel that swings that note already stays."""
        pairs = 2 if note == "16th" else 1
        now = self.current
        if now is not None and now.swings and self.said and len(now.divides) == pairs:
            return
        name = "sixteenth shuffle" if note == "16th" else "shuffle" if ratio == 2 else "swing"
        self._take(name, f"{note}s are swung {float(ratio):.3g} to 1")
        self.said = True

    def _by_meter(self, meter: Meter, tempo: Fraction) -> None:
        if meter.compound and meter.upper >= 9:
            self._take("slow 12/8", f"the meter is {meter}")
        elif meter.compound:
            self._take("6/8 ballad" if tempo < BRISK else "fast 6/8", f"the meter is {meter}")
        elif (meter.upper, meter.lower) == (3, 4):
            self._take("waltz", "the meter is 3/4")
        else:
            said = self.sheet.file_feel
            self._take(USUAL, f"no feel is called {said}" if said else "the score says none")
