"""The keys of one section, read into typed values before anything is inherited."""

from __future__ import annotations

import yaml

from charts.pattern import GROOVE, Pattern
from charts.reading.feels import FEEL_USE
from charts.reading.given import Given
from charts.reading.keys import METER, TEXT, YES_NO, a_whole, or_none, row, single, table
from charts.reading.marks import CUE, CUES, HITS, HOLDS, ODD_BARS, STOPS, TEMPO, TEMPOS, is_none
from charts.reading.reader import Names, Reader
from charts.reading.shapes import written
from charts.reading.uses import FILL_AT_END, FILLS
from charts.reading.values import MOST_BARS, MOST_TIMES, dynamics, phrases
from charts.song import DYNAMICS, Cue, FillUse, Section

_DYNAMIC = "|".join(DYNAMICS)
_BARS = written(r"\d{1,9}( *\+ *\d{1,9})*", "integer", minimum=1, maximum=MOST_BARS)
_PHRASES = single(phrases, _BARS)
_TIMES = a_whole(1, MOST_TIMES, "number of times")
_DYNAMICS = single(dynamics, written(rf"({_DYNAMIC})( to ({_DYNAMIC}))?"))


class SectionKeys(Section):
    """The keys of a section. With every one but ``bars``, ``none`` takes away what is inherited."""

    phrases = row(_PHRASES, "bars of one pass: 8, or 4+4 for the phrases", "length, measures", name="bars")
    times = row(or_none(_TIMES), "how many passes", "repeat, repeats")
    open = row(or_none(YES_NO), "yes: the number of passes is decided on stage")
    like = row(TEXT, "a section named before, taken over under this name")
    feel = row(or_none(FEEL_USE), "the feel of this section only")
    meter = row(or_none(METER), "the meter of this section only")
    groove = row(TEXT, "the groove of this section only: a pattern's name, or plain words")
    change = row(
        or_none(TEMPO), "beats per minute, or 92 to 104 for an even change over the section", name="tempo"
    )
    tempos = row(
        or_none(TEMPOS), "bar -> tempo from that bar on, or 56 to 40 from that bar to the section's end"
    )
    until = row(TEXT, "what ends an open repeat, in words")
    odd_bars = row(or_none(ODD_BARS), "bar -> meter of that one bar")
    cue: tuple[Cue, ...] = row(CUE, "words for bar 1", "note, notes, remark, text", field="cues")
    cues = row(or_none(CUES), "BAR or BAR.BEAT -> words")
    hits = row(
        or_none(HITS),
        "places separated by spaces: 3.1 3.2& 4.1",
        "accents, kicks, shots, stabs, punches, figures, punctuation",
    )
    stops = row(or_none(STOPS), "places where the band stops: 7.3, or a span 7.3-8.4", "break, breaks, tacet")
    holds = row(
        or_none(HOLDS),
        "places where time stands still: 4.3, or place -> seconds that the clock counts",
        "fermata, fermatas, pause",
    )
    dynamics = row(
        or_none(_DYNAMICS), "ppp to fff, or p to f", "volume, level, loudness, build, crescendo, cresc"
    )
    fill: tuple[FillUse, ...] = row(
        FILL_AT_END,
        "a fill that ends at the section's last bar line, the last time through",
        "setup, set-up, turnaround",
        field="fills",
    )
    fills = row(
        or_none(FILLS),
        "bar -> a fill that ends at its last barline, on each pass; BAR.BEAT -> a fill that lands there",
    )


SECTION = table(SectionKeys)
BARS = "bars"


def read_section(reader: Reader, section: str, node: yaml.Node) -> Given | None:
    """What the keys under a form line say; None where there are no keys."""
    entries = reader.known(node, SECTION, "a section")
    if entries is None:
        return None
    given = Given(entries=entries)
    for name, entry in entries.items():
        key = SECTION[name]
        if key.field in ("cues", "fills"):
            given.lay(key.field, key.kind.read(reader, entry.value, name) or [], reader)
        elif name != BARS and is_none(entry.value):
            given.values[key.field] = None
        else:
            found = key.kind.read(reader, entry.value, name)
            if found is not None:
                given.values[key.field] = found
    for use in filter(None, given.fills.values()):
        use.owner = section
    return given


def groove_pattern(names: Names, text: str) -> Pattern | None:
    """The groove of that name; None for plain words."""
    found = names.pattern(text) if text else None
    return found if found is not None and found.kind == GROOVE else None
