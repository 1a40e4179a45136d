"""Bars as text: a box a bar, a sign a beat, so that a form is seen at a glance in any terminal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from charts.fills import Fill, Fills
from charts.placing import place_fill
from charts.played import PlayedSection
from charts.song import FillUse, Place, Section

BEAT, HIT, STOP, HOLD, SEVERAL, ODD_PLACE, UNNAMED = ".", ">", "-", "^", "*", "+", "%"
SIGNS = {
    HIT: "hit",
    "&": "hit on the upbeat",
    "e": "hit on the e",
    "a": "hit on the a",
    ODD_PLACE: "hit elsewhere in the beat",
    SEVERAL: "several hits",
    STOP: "stop",
    HOLD: "hold",
}
MOST_ACROSS = 8  # bars a line


def sign_of(fill: Fill) -> str:
    """A fill's number, as far as it has room in one column."""
    return str(fill.number) if fill.number < 10 else UNNAMED


def boxes(part: PlayedSection, fills: Fills) -> list[str]:
    """One string a bar, a character a felt beat."""
    section = part.section
    drawn = [[BEAT] * len(section.meter_of(bar).beats) for bar in range(1, section.bars + 1)]
    for use in section.fills:
        for bar, beat in fill_beats(part, use):
            drawn[bar - 1][beat - 1] = sign_of(fills[use])
    for hit in section.hits:
        _put_hit(drawn, hit)
    for stop in section.stops:
        for bar, beat in span_beats(section, stop.start, stop.end or stop.start):
            drawn[bar - 1][beat - 1] = STOP
    for hold in section.holds:
        drawn[hold.place.bar - 1][hold.place.beat - 1] = HOLD
    return ["".join(bar) for bar in drawn]


def fill_beats(part: PlayedSection, use: FillUse) -> Iterator[tuple[int, int]]:
    """The beats of the section that a fill covers, whichever pass it is played on."""
    for pass_ in use.passes(part.section.times)[-1:]:
        placed = place_fill(part, use, pass_)
        yield from ((beat.bar, beat.number) for beat in (placed.beats if placed else ()) if beat.bar >= 1)


def span_beats(section: Section, start: Place, end: Place) -> Iterator[tuple[int, int]]:
    """The beats from one place through another."""
    bar, beat = start.bar, start.beat
    while (bar, beat) <= (end.bar, end.beat) and bar <= section.bars:
        yield bar, beat
        beat += 1
        if beat > len(section.meter_of(bar).beats):
            bar, beat = bar + 1, 1


def _put_hit(drawn: list[list[str]], hit: Place) -> None:
    offset = hit.offset
    sign = offset if isinstance(offset, str) else ODD_PLACE if offset else HIT
    if offset == Fraction(1, 2):
        sign = "&"
    bar = drawn[hit.bar - 1]
    known = bar[hit.beat - 1]
    bar[hit.beat - 1] = SEVERAL if known in SIGNS and known != sign else sign


def box_lines(section: Section, bars: list[str], room: int, times: int) -> list[str]:
    """The boxes in lines of up to eight bars within ``room`` columns, phrases kept apart, repeats marked."""
    lines: list[str] = []
    line, bar = "", 0
    opening, closing = ("|:", ":|") if times > 1 or section.open else ("|", "|")
    for phrase in section.phrases:
        for across in _across(bars, bar, phrase, room - 4):
            piece = "|" + "".join(f"{text}|" for text in bars[bar : bar + across])
            bar += across
            if (line and len(line) + 2 + len(piece) > room - 2) or (
                line and _bars_in(line) + across > MOST_ACROSS
            ):
                lines.append(line)
                line = piece
            else:
                line = f"{line}  {piece}" if line else piece
    lines.append(line)
    lines[0] = opening + lines[0][1:]
    lines[-1] = lines[-1][:-1] + closing
    return lines


def _across(bars: list[str], start: int, phrase: int, room: int) -> Iterator[int]:
    """How a phrase falls into lines: eight bars, or four, two, one where they are wide."""
    widest = max(len(text) for text in bars[start : start + phrase]) + 1
    fit = next((most for most in (MOST_ACROSS, 4, 2) if most * widest + 1 <= room), 1)
    while phrase > 0:
        yield min(fit, phrase)
        phrase -= fit


def _bars_in(line: str) -> int:
    return sum(piece.count("|") - 1 for piece in line.split("  "))
