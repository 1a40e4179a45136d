"""From the road to the lines of a form."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from charts.book import Book
from charts.feel import Feel
from charts.pattern import Pattern
from charts.timing import Meter
from render.importing.draft import (
    CannotJoin,
    Draft,
    Maps,
    Pass,
    cues,
    dynamics,
    fills,
    hits,
    holds,
    odd_bars,
    phrases_of,
    stops,
    usual_meter,
)
from render.importing.drums import FoundFill, groove_of, named_fills, standing_out
from render.importing.facts import Facts, facts_of, names_fill
from render.importing.feels import FeelGuesser
from render.importing.road import Appearance, Road
from render.importing.score import Score
from render.importing.tempos import BarTempo, TempoReader, section_tempo


@dataclass(frozen=True)
class Offer:
    """A groove that the score plays and a chart can only name."""

    section: str
    pattern: Pattern
    meter: Meter


@dataclass
class Drafts:
    """All that goes into the chart."""

    lines: list[Draft]
    feel: Feel
    meter: Meter
    tempo: Fraction
    beat: Fraction  # quarters of the first bar's felt beat
    count_in: str = ""
    ending: str = ""
    offers: list[Offer] = field(default_factory=list)


def drafts_of(road: Road, sheet: Score, book: Book) -> Drafts:
    """Every section drafted; what the song says for all of them is taken from the first."""
    maker = _Maker(sheet, book)
    lines = [line for each in road.appearances for line in maker.lines(each)]
    assert maker.first is not None  # a score has bars
    feel, meter, tempo = maker.first
    beat = road.appearances[0].passes[0][0].meter.unit_quarters
    return Drafts(lines, feel, meter, tempo, beat, maker.count_in, maker.ending, maker.offers)


class _Maker:
    def __init__(self, sheet: Score, book: Book) -> None:
        self.sheet, self.book = sheet, book
        self.feels = FeelGuesser(book.feels, sheet)
        self.tempi = TempoReader(sheet)
        self.first: tuple[Feel, Meter, Fraction] | None = None
        self.groove = ""
        self.count_in = self.ending = ""
        self.offers: list[Offer] = []
        self.offered: set[str] = set()
        self.names_fills = any(names_fill(text) for bar in sheet.bars for _, text in bar.words)

    def lines(self, appearance: Appearance) -> Iterator[Draft]:
        """An appearance as one line where its passes can be said together, else a line a pass."""
        every = [[facts_of(bar, self.book.feels) for bar in bars] for bars in appearance.passes if bars]
        tempi = [self.tempi.bars(facts) for facts in every]
        head = every[0][0]
        meter = usual_meter(every[0])
        feel = self.feels.at(head, tempi[0][0].start)
        self._settle(every, feel, meter, tempi[0][0].start)
        passes = [Pass(facts, self._fills(facts)) for facts in every]
        self._offer(appearance.name, every[0])
        shapes = {tuple(each.meter for each in facts) for facts in every}
        try:
            if len(shapes) > 1:
                raise CannotJoin
            yield self._line(appearance.name, passes, tempi, feel, meter)
        except CannotJoin:
            self.sheet.guess(f"{appearance.name}: its passes differ, a line each")
            for each, tempo in zip(passes, tempi, strict=True):
                yield self._line(appearance.name, [each], [tempo], feel, meter)

    def _fills(self, facts: Sequence[Facts]) -> list[FoundFill]:
        """The fills that the score names; where it never names any, those that stand out."""
        if not any(each.bar.strokes for each in facts):
            return []
        if self.names_fills:
            return named_fills(facts, self.book.patterns, self.sheet)
        return standing_out(facts, self.sheet)

    def _settle(self, every: Sequence[Sequence[Facts]], feel: Feel, meter: Meter, tempo: Fraction) -> None:
        """What is said once: count-in, ending, groove; feel words inside a section become cues."""
        self.first = self.first or (feel, meter, tempo)
        said = every[0][0].groove
        self.groove = "" if said.casefold() == "none" else said or self.groove
        for number, facts in enumerate(each for bars in every for each in bars):
            self.count_in = self.count_in or facts.count_in
            self.ending = facts.ending or self.ending
            if number and facts.feel_words and facts.feel != feel:
                self.sheet.lose(
                    f"bar {facts.bar.sheet.number}: “{facts.feel_words}” inside a section, kept as a cue"
                )
                facts.cues.append((1, Fraction(0), facts.feel_words))

    def _line(
        self, name: str, passes: list[Pass], tempi: list[list[BarTempo]], feel: Feel, meter: Meter
    ) -> Draft:
        tempo = section_tempo(passes, tempi, self.sheet)
        loud = dynamics(passes)  # before the cues: what it cannot say becomes one
        facts = [each for every in passes for each in every.facts]
        held, held_for = holds(passes, feel)
        opened = any(each.open for each in facts)
        draft = Draft(name, phrases_of(passes[0].facts), len(passes), opened)
        values = {
            "until": next((each.until for each in facts if each.until), "") if opened else "",
            "feel": feel.name,
            "meter": str(meter),
            "tempo": str(tempo),
            "groove": self.groove,
            "hits": hits(passes, feel),
            "stops": stops(passes, feel),
            "holds": held,
            "dynamics": loud,
        }
        draft.values = {key: value for key, value in values.items() if value}
        maps: dict[str, Maps] = {
            "tempos": tempo.marks,
            "odd-bars": odd_bars(passes[0].facts, meter),
            "holds": held_for,
            "cues": cues(passes, feel),
            "fills": fills(passes, feel),
        }
        draft.maps = {key: value for key, value in maps.items() if value}
        return draft

    def _offer(self, name: str, facts: Sequence[Facts]) -> None:
        """A groove that the score does not name is offered as rows, once a section."""
        if self.groove or name.casefold() in self.offered:
            return
        found = groove_of(facts)
        if found is not None and all(found[0] != offer.pattern for offer in self.offers):
            self.offered.add(name.casefold())
            self.offers.append(Offer(name, *found))
