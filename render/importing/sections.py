"""From the road to the lines of a form."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from charts.book import Book
from charts.feel import Feel
from charts.pattern import Pattern
from charts.timing import Meter
from render.importing import passes as said
from render.importing.drums import FoundFill, bare, fills_of, groove_of
from render.importing.feels import FeelReader
from render.importing.joining import Played
from render.importing.passes import CannotJoin, Draft, Values
from render.importing.road import Appearance, Road
from render.importing.score import START, Said, Score
from render.importing.tempos import BarTempo, TempoReader, section_tempo


@dataclass(frozen=True)
class Offer:
    """A groove that the score plays and a chart can only name."""

    section: str
    pattern: Pattern
    meter: Meter


@dataclass(frozen=True)
class Drafts:
    """All that goes into the chart."""

    lines: list[Draft]
    meter: Meter  # of the first section
    beat: Fraction  # quarters of the first bar's felt beat
    offers: list[Offer]


@dataclass(frozen=True)
class _Pass:
    bars: Sequence[Played]
    fills: list[FoundFill]
    tempos: list[BarTempo]


def drafts_of(road: Road, score: Score, book: Book) -> Drafts:
    """Every section drafted."""
    maker = _Maker(score, book)
    lines = [line for each in road.appearances for line in maker.lines(each)]
    first = road.appearances[0].passes[0]
    return Drafts(lines, said.usual_meter(first), first[0].bar.meter.unit_quarters, maker.offers)


class _Maker:
    def __init__(self, score: Score, book: Book) -> None:
        self.score = score
        self.feels, self.tempos = FeelReader(book.feels, score), TempoReader(score)
        self.named = any(bar.fills for bar in score.bars)
        drums = any(bar.strokes for bar in score.bars)
        fills = sorted(book.patterns.fills(), key=lambda fill: not fill.swung) if drums else []
        self.known = {bare(fill): fill.name for fill in fills}  # as written; the last of two holds
        self.offers: list[Offer] = []

    def lines(self, appearance: Appearance) -> Iterator[Draft]:
        """An appearance as one line where its passes can be said together, else a line for each pass."""
        tempos = [[self.tempos.bar(each) for each in bars] for bars in appearance.passes]
        feel = self.feels.at(appearance.passes[0], tempos[0][0].start)
        passes = [
            _Pass(bars, fills_of(bars, self.named, self.known, self.score), tempo)
            for bars, tempo in zip(appearance.passes, tempos, strict=True)
        ]
        for number, played in enumerate(each for every in passes for each in every.bars):
            if number and played.bar.feel not in (None, feel):
                words = played.bar.feel_words
                self.score.lose(f"bar {played.bar.number}: “{words}” inside a section, kept as a cue")
                played.cues.insert(0, Said(START, words))
        self._offer(appearance.name, passes[0].bars)
        try:
            yield self._line(appearance.name, passes, feel)
        except CannotJoin:
            self.score.guess(f"{appearance.name}: its passes differ, a line for each")
            for each in passes:
                yield self._line(appearance.name, [each], feel)

    def _line(self, name: str, passes: Sequence[_Pass], feel: Feel) -> Draft:
        every = [each.bars for each in passes]
        if len({tuple(each.bar.meter for each in bars) for bars in every}) > 1:
            raise CannotJoin
        bars = every[0]
        meter = said.usual_meter(bars)
        tempo, marks = section_tempo([each.tempos for each in passes], self.score)
        values: Values = {
            "feel": said.spelled(feel.name),
            "meter": str(meter),
            "tempo": tempo,
            "holds": said.holds(every, feel),
            "dynamics": said.dynamics(every),  # before the cues: what has no place there becomes one
            "tempos": marks,
            "odd-bars": said.odd_bars(bars, meter),
            "cues": said.cues(every, feel),
            **said.fills([each.fills for each in passes], len(bars)),
        }
        opened = any(each.bar.open for bars in every for each in bars)
        values = {key: value for key, value in values.items() if value}
        return Draft(name, said.phrases_of(bars), len(passes), opened, values)

    def _offer(self, name: str, bars: Sequence[Played]) -> None:
        """A groove is offered as rows, once for a section."""
        if any(name.casefold() == offer.section.casefold() for offer in self.offers):
            return
        found = groove_of(bars)
        if found is not None and all(found[0] != offer.pattern for offer in self.offers):
            self.offers.append(Offer(name, *found))
