"""ABC tunes as scores, token by token as music21 reads them."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from charts.source import FeelmapError
from charts.timing import Meter
from charts.wording import many
from render.importing.abctext import Tune, first_tune
from render.importing.limits import BARS
from render.importing.quiet import quietly
from render.importing.score import START, Bar, Said, Score, Tempo
from render.importing.signatures import key_text, meter_of, meter_of_length
from render.importing.words import sign

HEAD = {"T": "title", "C": "by", "P": "order", "R": "file_feel"}
METERS = {"C": "4/4", "C|": "2/2"}
MOST_RESTS = 999
FINEST = 1_000  # denominators of lengths


def read_abc(text: str) -> Score:
    """The first tune of an ABC file.

    :raises FeelmapError: no tune with bars.
    """
    tune = first_tune(text)
    score = Score()
    for tag, name in HEAD.items():
        setattr(score, name, next(iter(tune.header.get(tag, [])), ""))
    with quietly("ABC"):
        _Reader(tune, score).read()
    if not score.bars:
        raise FeelmapError("this ABC tune has no bars", "bars are separated by |")
    score.lose("the notes of the tune: a chart has no pitched notes")
    if tune.chords:
        score.lose(f"{many(tune.chords, 'chord symbol')}: a chart has none")
    if tune.sung:
        score.lose("the words that are sung: a chart has none")
    if tune.tunes > 1:
        score.lose(f"{tune.tunes - 1} of the {tune.tunes} tunes in the file: only the first is taken in")
    if tune.voices > 1:
        score.lose(f"{tune.voices - 1} of {tune.voices} voices: only the first is taken in")
    return score


class _Reader:
    """Fills the score's bars from the tokens."""

    def __init__(self, tune: Tune, score: Score) -> None:
        self.tune, self.score = tune, score
        self.body = self.free = False  # past the first K:; in M:none
        self.bar = Bar("1", Meter(4, 4), START)

    def read(self) -> None:
        from music21.abcFormat import ABCFile

        for token in ABCFile().readstr(self.tune.text).tokens:
            kept, kind = re.fullmatch(r"\[r:(\d+)\]", token.src), type(token).__name__
            if kept:
                self._sign(*self.tune.signs[int(kept[1])])
            elif kind == "ABCMetadata":
                self._field(token)
            elif kind == "ABCBar":
                self._barline(token)
            elif kind in ("ABCNote", "ABCChord", "ABCGeneralNote"):
                self.bar.quarters += _quarters(token)
        if self.bar.quarters:
            self._close()

    def _barline(self, token: Any) -> None:
        if self.bar.quarters:
            self._close()
        starts, plain = token.repeatForm == "start", token.barStyle in ("regular", "")
        for last in self.score.bars[-1:]:
            last.times = 2 if token.repeatForm == "end" else last.times
            last.double = last.double or not (plain or token.barStyle == "heavy-light")
            last.ending_stops = last.ending_stops or starts or not plain or bool(last.times)
        self.bar.opens = self.bar.opens or starts

    def _close(self) -> None:
        """The bar is full: it goes into the score, a new one begins."""
        if self.free:
            self.bar.meter = meter_of_length(self.bar.quarters, Meter(4, 4)) or self.bar.meter
        self.score.bars.append(self.bar)
        BARS.hold(len(self.score.bars), "this tune")
        self.bar = Bar(str(len(self.score.bars) + 1), self.bar.meter, START)

    def _sign(self, kind: str, text: str) -> None:
        if kind == "field":
            from music21.abcFormat import ABCMetadata

            token = ABCMetadata(text)
            token.preParse()
            self._field(token)
        elif kind == "ending":
            self.bar.ending_starts, self.bar.ending = True, _numbers(text)
        elif kind == "rest":
            for _ in range(min(int(text or 1), MOST_RESTS)):
                self.bar.quarters = self.bar.meter.quarters
                self._close()
        elif kind == "sign":
            self._decoration(text)
        elif not sign(self.bar, text):
            self.bar.say(self.bar.quarters, text)

    def _decoration(self, text: str) -> None:
        """!segno!, !D.S.alcoda! and their like; the other decorations are for pitched notes."""
        plain = re.sub(r"(?i)(d\.?c\.?|d\.?s\.?)al", r"\1 al ", text.replace("alfine", "al fine"))
        if plain.casefold() == "fermata":
            self.bar.holds.append(Said(self.bar.quarters))
        elif plain.casefold() == "dacoda":
            self.bar.to_coda = True
        else:
            sign(self.bar, plain.replace("dacapo", "da capo"))

    def _field(self, token: Any) -> None:
        tag, text = token.tag, token.data.strip()
        if tag == "M":
            found = re.fullmatch(r"\(?([\d+]+)\)?/(\d{1,3})", METERS.get(text, "".join(text.split())))
            self.free = not found
            if found:
                upper = [int(part[:3]) for part in re.findall(r"\d+", found[1])]
                self.bar.meter = meter_of(upper, int(found[2]), self.score, self.bar.number)
        elif tag == "P" and self.body:
            self.bar.mark = text
        elif tag == "Q":
            mark = token.getMetronomeMarkObject()
            if mark is not None and mark.number and not mark.numberImplicit:
                quarters = Fraction(mark.getQuarterBPM()).limit_denominator(FINEST)
                self.bar.tempos.append(Tempo(self.bar.quarters, quarters))
        elif tag == "K":
            self.body = True
            key = token.getKeySignatureObject()
            if key is not None and not self.score.key:
                self.score.key = key_text(Fraction(key.sharps or 0), getattr(key, "mode", None) or "major")


def _quarters(token: Any) -> Fraction:
    """A note's length; music21 leaves its tuplet to be applied."""
    tuplet = getattr(token, "activeTuplet", None)
    share = tuplet.tupletMultiplier() if tuplet is not None else 1
    return max(START, Fraction((token.quarterLength or 0) * share).limit_denominator(FINEST))


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
