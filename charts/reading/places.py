"""Do the places that a section names exist in it?"""

from __future__ import annotations

from fractions import Fraction

from charts.reading.reader import Reader
from charts.song import Place, Section
from charts.source import ERROR, WARNING, Span
from charts.timing import Meter


def check_places(reader: Reader, section: Section, meter_known: bool = True) -> bool:
    """Note every place outside the section, every pass it does not have; True where all are good.

    Where the meter itself could not be read, nothing is said about beats.
    """
    before, bars = len(reader.findings), section.bars
    for bar in section.odd_bars:
        if bar > bars:
            _say(reader, section.span_of("odd-bars"), f"{section.name} has no bar {bar}", _bars(section))
    for place in _places(section):
        _check(reader, section, place, meter_known)
    for mark in section.tempos:
        if mark.bar > bars:
            _say(reader, mark.span, f"{section.name} has no bar {mark.bar}", _bars(section))
        _check_pass(reader, section, mark.pass_, mark.span)
    for use in section.fills:
        if use.bar > bars:
            message = f"{section.name} has no bar {use.bar} for a fill to end at"
            _say(reader, use.span, message, _bars(section))
        _check_pass(reader, section, use.pass_, use.span)
    if section.until and not section.open:
        hint = "write open after the bars, or leave until out"
        _say(reader, section.span_of("until"), "until belongs to an open repeat", hint, WARNING)
    return not any(finding.is_error for finding in reader.findings[before:])


def _places(section: Section) -> list[Place]:
    """Every place that the section names."""
    found = [cue.place for cue in section.cues]
    found += section.hits
    found += [end for stop in section.stops for end in stop if end]
    found += [hold.place for hold in section.holds]
    return found + [use.landing for use in section.fills if use.landing and use.bar <= section.bars]


def _check(reader: Reader, section: Section, place: Place, meter_known: bool) -> None:
    span = place.span or section.span
    if place.bar > section.bars:
        _say(reader, span, f"{section.name} has no bar {place.bar}", _bars(section))
        return
    meter = section.meter_of(place.bar)
    if place.beat > len(meter.beats):
        if meter_known:
            message = f"bar {place.bar} of {section.name} has no beat {place.beat}"
            hint = f"in {meter} it has beats 1 to {len(meter.beats)}{_as_eighth(place, meter)}"
            _say(reader, span, message, hint)
        return
    if isinstance(place.offset, str) and place.offset != "&":
        beat = meter.beats[place.beat - 1]
        grid = section.feel.grid(beat, section.tempo)
        if grid.sixteenth(place.offset, beat.ternary) is None:
            where = "a compound beat" if beat.ternary else f"the feel {section.feel.name}"
            hint = "write & for the upbeat, or a fraction: 3.2+1/3"
            _say(reader, span, f"{where} has no “{place.offset}”", hint)


_LETTERS = {"e": Fraction(1, 4), "&": Fraction(1, 2), "a": Fraction(3, 4)}


def in_time(at: Place) -> tuple[int, int, Fraction]:
    """What places are sorted by."""
    return at.bar, at.beat, _LETTERS[at.offset] if isinstance(at.offset, str) else at.offset


def right_way_round(first: str, last: str) -> str:
    """A span that ends before it starts, as it was meant.

    >>> right_way_round("8.1", "7.1"), right_way_round("8.3", "4")
    ('7.1-8.1', '8.3-8.4')
    """
    bar, beat, _ = first.partition(".")
    return f"{first}-{bar}.{last}" if beat and "." not in last else f"{last}-{first}"


def _as_eighth(place: Place, meter: Meter) -> str:
    """In a compound meter, where the eighth of that number is."""
    if not meter.compound or place.beat > meter.upper or place.offset:
        return ""
    beat, eighth = divmod(place.beat - 1, 3)
    return f"; its eighth {place.beat} is {place.bar}.{beat + 1}{('', '&', 'a')[eighth]}"


def _check_pass(reader: Reader, section: Section, pass_: str | int, span: Span | None) -> None:
    if isinstance(pass_, int) and pass_ > section.times:
        hint = f"it is played {section.times} times: write each, last or 1 to {section.times}"
        _say(reader, span, f"{section.name} has no pass {pass_}", hint)


def _bars(section: Section) -> str:
    return f"it has bars 1 to {section.bars}"


def _say(reader: Reader, span: Span | None, message: str, hint: str, level: str = ERROR) -> None:
    if span is not None:
        reader.say(span, message, hint, rule="form", level=level)
