"""A MusicXML score as a player reads it: repeats played out, swing signs obeyed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction as F
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from charts.timing import Meter

Onset = tuple[F, str]  # quarters, place on the staff


@dataclass
class Reader:
    """What is in force as the measures go by."""

    divisions: int = 1
    meter: Meter = field(default_factory=lambda: Meter.read("4/4"))
    swing: tuple[F, F] | None = None  # ratio, quarters of the pair

    def measure(self, measure: Element) -> tuple[set[Onset], F]:
        """What is struck in a measure as it sounds, and its length in quarters."""
        now = longest = F(0)
        notes: list[tuple[F, str, bool]] = []
        signs: list[tuple[F, tuple[F, F] | None]] = [(F(0), self.swing)]
        for child in measure:
            if child.tag == "attributes":
                self.attributes(child)
            elif child.tag == "sound" and child.find("swing") is not None:
                offset = F(int(child.findtext("offset") or 0), self.divisions)
                signs.append((now + offset, sign_of(child.find("swing"))))
            elif child.tag == "note" and child.find("grace") is None:
                length = F(int(child.findtext("duration") or 0), self.divisions)
                start = now - length if child.find("chord") is not None else now
                if child.find("unpitched") is not None:
                    place = f"{child.findtext('unpitched/display-step')}{child.findtext('unpitched/display-octave')}"
                    notes.append((start, place, child.find("time-modification") is not None))
                now = start + length
            elif child.tag in ("backup", "forward"):
                length = F(int(child.findtext("duration") or 0), self.divisions)
                now += -length if child.tag == "backup" else length
            longest = max(longest, now)
        self.swing = signs[-1][1]
        return {(self.sounding(at, out, signs), place) for at, place, out in notes}, longest

    def attributes(self, given: Element) -> None:
        self.divisions = int(given.findtext("divisions") or self.divisions)
        upper, lower = given.findtext("time/beats"), given.findtext("time/beat-type")
        if upper:
            groups = f" ({upper})" if "+" in upper else ""
            self.meter = Meter.read(f"{sum(map(int, upper.split('+')))}/{lower}{groups}")

    def sounding(self, at: F, tuplet: bool, signs: list[tuple[F, tuple[F, F] | None]]) -> F:
        """A written place as it sounds under the sign in force where its beat starts."""
        start = F(0)
        for beat in self.meter.beats:
            if start + beat.quarters > at:
                break
            start += beat.quarters
        swing = next(sign for place, sign in reversed(signs) if place <= start)
        if swing is None:
            return at
        ratio, pair = swing
        pairs, inside = divmod((at - start) / pair, 1)
        upbeat, written = ratio / (1 + ratio), F(2, 3) if tuplet else F(1, 2)
        if inside <= written:
            inside = inside / written * upbeat
        else:
            inside = upbeat + (inside - written) / (1 - written) * (1 - upbeat)
        return start + (pairs + inside) * pair


def sign_of(swing: Element | None) -> tuple[F, F] | None:
    assert swing is not None
    if swing.find("straight") is not None:
        return None
    pair = {"eighth": F(1), "16th": F(1, 2)}[swing.findtext("swing-type") or ""]
    return F(int(swing.findtext("first") or 0), int(swing.findtext("second") or 1)), pair


def sounding_bars(data: bytes) -> Iterator[tuple[set[Onset], F]]:
    """Every bar from bar 1 on as it sounds, repeats and endings played out, and its length.

    Each measure is read once, where it is written: a sign that only holds where it is written is enough.
    """
    reader = Reader()
    measures = list(ElementTree.fromstring(data).iter("measure"))
    read = [reader.measure(measure) for measure in measures]
    for place in played_out(measures):
        if measures[place].get("implicit") != "yes":
            yield read[place]


def played_out(measures: list[Element]) -> Iterator[int]:
    """The order in which the measures are played."""
    place, start, turn = 0, 0, 1
    takes: set[int] | None = None
    while place < len(measures):
        measure = measures[place]
        if (
            measure.find("barline[@location='left']/repeat[@direction='forward']") is not None
            and place != start
        ):
            start, turn, takes = place, 1, None
        opened = measure.find("barline[@location='left']/ending")
        if opened is not None:
            takes = {int(number) for number in (opened.get("number") or "").split(",")}
        skipped = takes is not None and turn not in takes
        if not skipped:
            yield place
        ended = measure.find("barline[@location='right']/ending") is not None
        back = measure.find("barline[@location='right']/repeat[@direction='backward']")
        most = int(back.get("times", "2")) if back is not None else 0
        if takes is not None and ended and back is not None:
            most = max(takes) + 1
        if ended:
            takes = None
        if back is not None and not skipped and turn < most:
            place, turn = start, turn + 1
            continue
        place += 1
