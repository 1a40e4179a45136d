"""The measures of a MusicXML part as bars, in a walk: length, meter, key, tempo, signs, words, bar lines."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree.ElementTree import Element

from charts.song import DYNAMICS
from charts.timing import Meter
from render.importing.limits import FIGURE, number
from render.importing.score import START, Bar, Said, Score, Tempo
from render.importing.signatures import key_text, meter_of
from render.importing.walk import Walk
from render.importing.words import DA_CAPO, DAL_SEGNO, sign
from render.importing.xmltree import text_of

UNITS: dict[str, int | Fraction] = {
    "whole": 4,
    "half": 2,
    "quarter": 1,
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8),
}
WEDGES = {"crescendo": "<", "diminuendo": ">"}
DOUBLE = ("light-light", "light-heavy")
JUMPS = {"dacapo": DA_CAPO, "dalsegno": DAL_SEGNO}


class MeasureReader:
    """Adds a bar to the score for every measure."""

    def __init__(self, score: Score, meter: Meter) -> None:
        self.score, self.meter, self.walk = score, meter, Walk()
        self.bar = Bar("", meter, START)

    def read(self, measure: Element) -> None:
        """Read one measure."""
        name = measure.get("number", str(len(self.score.bars) + 1))[:20]
        self.bar = Bar(name, self.meter, START)
        self.bar.before = measure.get("implicit") == "yes" and name[:1] in ("0", "X")
        for at, child in self.walk.measure(measure):
            if child.tag == "attributes":
                self._attributes(child)
            elif child.tag == "direction":
                self._direction(at, child)
            elif child.tag == "sound":
                self._sound(at, child)
            elif child.tag == "barline":
                self._barline(child)
            elif child.find("notations/fermata") is not None and all(
                at != each.at for each in self.bar.holds
            ):
                self.bar.holds.append(Said(at))
        self.bar.quarters = self.walk.length or self.bar.meter.quarters
        self.score.bars.append(self.bar)

    def _attributes(self, attributes: Element) -> None:
        fifths = number(attributes.findtext("key/fifths"))
        if fifths is not None and not self.score.key:
            self.score.key = key_text(fifths, text_of(attributes, "key/mode"))
        time = attributes.find("time")
        if time is not None and time.find("beats") is not None:
            self.meter = self.bar.meter = self._meter(time)

    def _meter(self, time: Element) -> Meter:
        """A time signature; its groups where it has some. Two kinds of beat make one meter of the smaller."""
        uppers = [_figures(each) for each in time.iterfind("beats")]
        lowers = [figure for each in time.iterfind("beat-type") for figure in _figures(each)]
        if len(set(lowers)) > 1 and 0 not in lowers:
            smallest = max(lowers)
            pairs = zip(uppers, lowers, strict=False)
            uppers = [[sum(sum(upper) * smallest // lower for upper, lower in pairs)]]
            lowers = [smallest]
        figures = [figure for upper in uppers for figure in upper]
        return meter_of(figures, lowers[0] if lowers else 0, self.score, self.bar.number)

    def _direction(self, at: Fraction, direction: Element) -> None:
        for child in direction.iterfind("direction-type/*"):
            self._kind(at, child)
        for sound in direction.iterfind("sound"):
            self._sound(at, sound)

    def _kind(self, at: Fraction, child: Element) -> None:
        bar, text = self.bar, text_of(child)
        if child.tag == "rehearsal" and text:
            bar.mark = f"{bar.mark} {text}".strip()
        elif child.tag == "words" and text:
            if not sign(bar, text):
                bar.say(at, text)
        elif child.tag == "segno":
            bar.segno = True
        elif child.tag == "coda":
            bar.coda = True
        elif child.tag == "dynamics":
            bar.dynamics += [Said(at, each.tag) for each in child if each.tag in DYNAMICS]
        elif child.tag == "wedge" and child.get("type") in WEDGES:
            bar.dynamics.append(Said(at, WEDGES[child.get("type", "")]))
        elif child.tag == "metronome":
            self._metronome(at, child)

    def _metronome(self, at: Fraction, mark: Element) -> None:
        unit, found = UNITS.get(text_of(mark, "beat-unit")), number(mark.findtext("per-minute"))
        if unit and found and found > 0:
            dots = len(mark.findall("beat-unit-dot"))
            self._tempo(at, found * unit * (2 - Fraction(1, 2 ** min(dots, 3))))
        else:
            self.score.lose(f"bar {self.bar.number}: a metronome mark without a number")

    def _tempo(self, at: Fraction, quarters: Fraction) -> None:
        """The first of two at one place holds: what is shown comes before what is only for the ear."""
        if all(each.at != at for each in self.bar.tempos):
            self.bar.tempos.append(Tempo(at, quarters))

    def _sound(self, at: Fraction, sound: Element) -> None:
        """Tempo, jumps that are only for the ear, and swing."""
        bar, tempo = self.bar, number(sound.get("tempo"))
        if tempo and tempo > 0:
            self._tempo(at, tempo)
        for name, jump in JUMPS.items():
            bar.jump = bar.jump or (jump if sound.get(name) else "")
        bar.fine = bar.fine or sound.get("fine") not in (None, "no")
        bar.segno = bar.segno or bool(sound.get("segno"))
        bar.coda = bar.coda or bool(sound.get("coda"))
        if sound.get("tocoda"):
            bar.to_coda, bar.coda = True, bool(sound.get("coda"))
        swing = sound.find("swing")
        if swing is not None:
            first, second = number(swing.findtext("first")), number(swing.findtext("second"))
            bar.straight = swing.find("straight") is not None or not first or not second
            pair = text_of(swing, "swing-type") or "eighth"
            bar.swing = (first / second, pair) if first and second and not bar.straight else None

    def _barline(self, barline: Element) -> None:
        bar, repeat, ending = self.bar, barline.find("repeat"), barline.find("ending")
        bar.double = bar.double or (
            text_of(barline, "bar-style") in DOUBLE and barline.get("location") in (None, "right")
        )
        if repeat is not None and repeat.get("direction") == "forward":
            bar.opens = True
        elif repeat is not None:
            bar.times = int(number(repeat.get("times")) or 2)
        if ending is not None and ending.get("type") == "start":
            bar.ending_starts = True
            bar.ending = tuple(_numbers(ending.get("number", "")) or _numbers(text_of(ending)))
        elif ending is not None:
            bar.ending_stops = True


def _figures(element: Element) -> list[int]:
    """The figures of a time signature: one, or groups with a plus between them; nought for what is none."""
    text = text_of(element)[:200]
    found = [int(number(part) or 0) for part in text.split("+")]
    for figure in found:
        FIGURE.hold(figure, text[:20])
    return found


def _numbers(text: str) -> list[int]:
    return [int(each) for each in re.findall(r"\d{1,4}", text, re.ASCII)[:999]]
