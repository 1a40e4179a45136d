"""ABC tunes as sheets, token by token as music21 reads them."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from charts.source import FeelmapError
from charts.timing import Meter
from charts.wording import many
from render.importing.abctext import Tune, first_tune
from render.importing.quiet import quietly
from render.importing.score import MOST_PLAYED, Bar, Score, Tempo, key_text, meter_of, meter_of_length
from render.importing.words import sign

ABC = "ABC"
START = Fraction(0)
MOST_RESTS = 999


def read_abc(text: str) -> Score:
    """The first tune of an ABC file as a sheet.

    :raises FeelmapError: no tune with bars.
    """
    tune = first_tune(text)
    sheet = Score([])
    with quietly(ABC):
        _Reader(tune, sheet).read()
    if not sheet.bars:
        raise FeelmapError("this ABC tune has no bars", "bars are parted by |")
    _head(tune, sheet)
    sheet.lose("the notes of the tune: a chart has no pitched notes")
    if tune.chords:
        sheet.lose(f"{many(tune.chords, 'chord symbol')}: a chart has none")
    if tune.sung:
        sheet.lose("the words that are sung: a chart has none")
    if tune.tunes > 1:
        sheet.lose(f"{tune.tunes - 1} of the {tune.tunes} tunes in the file: only the first is taken in")
    if tune.voices > 1:
        sheet.lose(f"{tune.voices - 1} of {tune.voices} voices: only the first is taken in")
    return sheet


def _head(tune: Tune, sheet: Score) -> None:
    sheet.title = next(iter(tune.header.get("T", [])), "")
    sheet.by = next(iter(tune.header.get("C", [])), "")
    sheet.order = next(iter(tune.header.get("P", [])), "")
    sheet.file_feel = next(iter(tune.header.get("R", [])), "")


class _Reader:
    """Fills the sheet's bars from the tokens."""

    def __init__(self, tune: Tune, sheet: Score) -> None:
        self.tune, self.sheet = tune, sheet
        self.meter: Meter | None = None
        self.free = False  # M:none
        self.bar = Bar("1", Meter(4, 4), START)

    def read(self) -> None:
        from music21.abcFormat import ABCFile

        for token in ABCFile().readstr(self.tune.text).tokens:
            kind = type(token).__name__
            inline = re.fullmatch(r"\[r:(\d+)\]", token.src)
            if inline:
                self._sign(*self.tune.signs[int(inline[1])])
            elif kind == "ABCMetadata":
                self._field(token.tag, token.data, token)
            elif kind == "ABCBar":
                self._barline(token)
            elif kind in ("ABCNote", "ABCChord", "ABCGeneralNote"):
                self.bar.quarters += _quarters(token)
        if self.bar.quarters:
            self._close()

    def _barline(self, token: Any) -> None:
        closed = self.bar.quarters > 0
        if closed:
            self._close()
        last = self.sheet.bars[-1] if self.sheet.bars else None
        if last is not None and token.repeatForm == "end":
            last.times, last.ending_stops = 2, True
        if last is not None and (token.barStyle not in ("regular", "") or token.repeatForm == "start"):
            last.double = last.double or token.barStyle not in ("regular", "", "heavy-light")
            last.ending_stops = True
        if token.repeatForm == "start":
            self.bar.opens = True

    def _close(self) -> None:
        """The bar is full: it goes on the sheet, a new one begins."""
        if self.bar.meter.quarters != self.bar.quarters and self.free:
            self.bar.meter = meter_of_length(self.bar.quarters, Meter(4, 4)) or self.bar.meter
        self.sheet.bars.append(self.bar)
        if len(self.sheet.bars) > MOST_PLAYED:
            raise FeelmapError(f"this tune has more than {MOST_PLAYED} bars", "give one song alone")
        self.bar = Bar(str(len(self.sheet.bars) + 1), self.bar.meter, START)

    def _sign(self, kind: str, text: str) -> None:
        if kind == "field":
            from music21.abcFormat import ABCMetadata

            token = ABCMetadata(text)
            token.preParse()
            self._field(token.tag, token.data, token)
        elif kind == "ending":
            self.bar.ending_starts = True
            self.bar.ending = _numbers(text)
        elif kind == "rest":
            for _ in range(min(int(text or 1), MOST_RESTS)):
                self.bar.quarters = self.bar.meter.quarters
                self._close()
        elif kind == "words" and not sign(self.bar, text):
            self.bar.words.append((self.bar.quarters, " ".join(text.split())))
        elif kind == "sign":
            self._decoration(text)

    def _decoration(self, text: str) -> None:
        """!segno!, !D.S.alcoda! and their like; the other decorations are for pitched notes."""
        plain = re.sub(r"(?i)(d\.?c\.?|d\.?s\.?)al", r"\1 al ", text.replace("alfine", "al fine"))
        if plain.casefold() == "fermata":
            self.bar.holds.append(self.bar.quarters)
        elif plain.casefold() == "dacoda":
            self.bar.to_coda = True
        else:
            sign(self.bar, plain.replace("dacapo", "da capo"))

    def _field(self, tag: str, data: str, token: Any) -> None:
        if tag == "M":
            self._meter(data.strip())
        elif tag == "P" and self.meter is not None:
            self.bar.mark = " ".join(data.split())
        elif tag == "Q":
            mark = token.getMetronomeMarkObject()
            quarters = (
                mark.getQuarterBPM() if mark is not None and mark.number and not mark.numberImplicit else 0
            )
            if quarters:
                self.bar.tempos.append(Tempo(self.bar.quarters, Fraction(quarters).limit_denominator(1000)))
        elif tag == "K" and not self.sheet.key:
            key = token.getKeySignatureObject()
            self.sheet.key = key_text(key) if key is not None else ""
            self.meter = self.meter or self.bar.meter

    def _meter(self, text: str) -> None:
        found = re.fullmatch(
            r"\(?\s*([\d+\s]+?)\s*\)?\s*/\s*(\d{1,3})", {"C": "4/4", "C|": "2/2"}.get(text, text)
        )
        self.free = not found
        if found:
            upper = [int(part[:3]) for part in re.findall(r"\d+", found[1])]
            self.meter = meter_of(upper, int(found[2]), self.sheet, self.bar.number)
            self.bar.meter = self.meter


def _quarters(token: Any) -> Fraction:
    """A note's length; music21 leaves its tuplet to be applied."""
    tuplet = getattr(token, "activeTuplet", None)
    share = tuplet.tupletMultiplier() if tuplet is not None else 1
    return max(START, Fraction((token.quarterLength or 0) * share).limit_denominator(1000))


def _numbers(text: str) -> tuple[int, ...]:
    """``1``, ``1,3`` or ``1-3`` as numbers.

    >>> _numbers("1-3"), _numbers("1,4")
    ((1, 2, 3), (1, 4))
    """
    found: list[int] = []
    for part in text.split(","):
        ends = [int(each[:3]) for each in re.findall(r"\d+", part)]
        found += range(ends[0], ends[-1] + 1) if ends else ()
    return tuple(found)
