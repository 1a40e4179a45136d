"""Which groove is played under a section, and which feel, meter and tempo suit a pattern on its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from charts.families import kinship
from charts.feel import Feel
from charts.pattern import GROOVE, Pattern, Stroke, in_order
from charts.song import Section, Song
from charts.timing import Meter
from charts.verdict import fits as fits_feel
from charts.verdict import nominal_onsets, own_end
from charts.vocabularies import FeelTable

USUAL_TEMPO = Fraction(100)
COMMON = Meter.read("4/4")


def groove_for(song: Song, section: Section, grooves: Iterable[Pattern]) -> Pattern:
    """The section's own groove, the song's, the feel's default, any that fits, else a plain pulse.

    The song's groove is for the song's feel, and for meters whose bars it fills.
    """
    if section.groove_pattern is not None:
        return section.groove_pattern
    own = song.groove_pattern
    if own is not None and section.feel == song.feel and fills_bars(own, section.meter):
        return own
    known = list(grooves)
    named = [each for each in known if each.name == section.feel.groove]
    for groove in (*named, *known):
        if fills_bars(groove, section.meter) and fits(groove, section.feel, section.meter, section.tempo):
            return groove
    return pulse(section.feel, section.meter)


def fills_bars(groove: Pattern, meter: Meter) -> bool:
    """True where a groove fills whole bars of a meter; without a meter of its own, of two or four beats."""
    count = len(meter.beats)
    if groove.beats % count:
        return False
    if groove.meter is not None:
        return groove.meter == meter
    return not meter.groups and (count in (2, 4) or meter.compound)


def fits(groove: Pattern, feel: Feel, meter: Meter, tempo: Fraction = USUAL_TEMPO) -> bool:
    """True where every beat of a groove fits the feel."""
    bar = meter.beats
    beats = [(bar[place % len(bar)], tempo) for place in range(groove.beats)]
    return fits_feel(groove, feel, beats, own_end(groove))


def pulse(feel: Feel, meter: Meter) -> Pattern:
    """One plain bar for any meter: hi-hat on every beat, bass drum on one, snare in the middle."""
    count = len(meter.beats)
    back = count // 2 if feel.pulse == "half-time" or count < 4 else None
    strokes = [Stroke(beat, Fraction(0), "HH") for beat in range(count)]
    strokes.append(Stroke(0, Fraction(0), "BD"))
    for beat in range(1, count):
        if beat == back or (back is None and beat % 2):
            strokes.append(Stroke(beat, Fraction(0), "SD"))
    return Pattern("plain pulse", GROOVE, count, in_order(strokes), meter=meter)


def meter_for(pattern: Pattern, feel: Feel, grooves: Iterable[Pattern]) -> Meter:
    """The pattern's own meter, else that of the feel's groove, else 4/4."""
    if pattern.meter is not None:
        return pattern.meter
    named = next((groove for groove in grooves if groove.name == feel.groove), None)
    return named.meter if named is not None and named.meter is not None else COMMON


def feel_for(pattern: Pattern, feels: FeelTable, grooves: Sequence[Pattern]) -> Feel:
    """The feel whose groove a pattern is, else of those that it fits the one it is made for, or the plainest.

    The feel's home grid comes before finer ones, steady swing before swing by tempo, few cells before many.
    """

    def order(feel: Feel) -> tuple[int, bool, bool, int]:
        at_home = _at_home(pattern, feel, meter_for(pattern, feel, grooves))
        return kinship(feel, feels).made_for(pattern)[0], not at_home, feel.swings_by_tempo, feel.home

    known = list(feels)
    own = [feel for feel in known if pattern.kind == GROOVE and feel.groove == pattern.name]
    fitting = [feel for feel in known if fits(pattern, feel, meter_for(pattern, feel, grooves))]
    return own[0] if own else min(fitting or known, key=order)


def _at_home(pattern: Pattern, feel: Feel, meter: Meter) -> bool:
    """True where every stroke is on the grid that the groove itself plays."""
    homes = [feel.grid(beat, USUAL_TEMPO) for beat in meter.beats]
    for place in range(pattern.beats):
        grid = homes[place % len(homes)]
        if any((at * grid.home).denominator > 1 for at in nominal_onsets(pattern, place, grid)):
            return False
    return True


def tempo_for(pattern: Pattern) -> Fraction:
    """The usual tempo, held inside the range at which the pattern can be played and sounds right."""
    low, high = pattern.tempo or (USUAL_TEMPO, USUAL_TEMPO)
    return min(max(USUAL_TEMPO, low), high)
