"""Note values: what a beat's strokes are written as, on pages and in scores alike."""

from __future__ import annotations

from fractions import Fraction
from fractions import Fraction as F
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import BOOK, form, pattern

from charts.notevalues import TYPES, Event, beams, beat_events, normal_cells
from charts.pattern import Stroke
from charts.timing import Beat, Meter
from render.musicxml.score import musicxml
from render.page.voice import write

HALF, QUARTER, DOTTED = (Meter.read(text).beats[0] for text in ("2/2", "4/4", "6/8"))
BEATS = {F(2): HALF, F(1): QUARTER, F(3, 2): DOTTED}


def written(rows: str, beat: Beat = QUARTER) -> list[str]:
    """Each value of a beat: type, dots, tuplet; rests in brackets."""
    return [name(event) for event in beat_events(beat, pattern(rows).by_beat[0])]


def name(event: Event) -> str:
    tuplet = f" {event.tuplet.actual}:{event.tuplet.normal}" if event.tuplet else ""
    text = event.type + "." * event.dots + tuplet
    return text if event.strokes else f"({text})"


def value_of(event: Event) -> Fraction:
    """The length in quarters that the note's own signs say."""
    value = F(2) / 2 ** TYPES.index(event.type) * (2 - F(1, 2**event.dots))
    return value * event.tuplet.normal / event.tuplet.actual if event.tuplet else value


@pytest.mark.parametrize(
    ("rows", "values"),
    [
        ("SD o", ["quarter"]),
        ("SD .", ["(quarter)"]),
        ("SD oo", ["eighth", "eighth"]),
        ("SD ..o.", ["(eighth)", "eighth"]),
        ("SD .o..", ["(16th)", "eighth."]),
        ("SD o..o", ["eighth.", "16th"]),
        ("SD ooo", ["eighth 3:2"] * 3),
        ("SD o.o", ["quarter 3:2", "eighth 3:2"]),
        ("SD o.ooo.", ["eighth 6:4", "16th 6:4", "16th 6:4", "eighth 6:4"]),
        ("SD o....o", ["quarter 6:4", "(16th 6:4)", "16th 6:4"]),
        ("SD ooooo", ["16th 5:4"] * 5),
        ("SD o...o", ["quarter 5:4", "16th 5:4"]),
        ("SD ooooooo", ["16th 7:4"] * 7),
        ("SD .......o", ["(eighth.)", "(32nd)", "32nd"]),
    ],
)
def test_how_a_quarter_is_written(rows: str, values: list[str]) -> None:
    """A note lasts to the next as far as one value goes, a rest takes what is left."""
    assert values == written(rows)


@pytest.mark.parametrize(
    ("rows", "beat", "values"),
    [
        ("SD o", DOTTED, ["quarter."]),
        ("SD ooo", DOTTED, ["eighth"] * 3),
        ("SD oooooo", DOTTED, ["16th"] * 6),
        ("SD o.o", DOTTED, ["quarter", "eighth"]),
        ("SD oo", DOTTED, ["eighth.", "eighth."]),
        ("SD ooooo", DOTTED, ["eighth 5:3"] * 5),
        ("SD o", HALF, ["half"]),
        ("SD oo", HALF, ["quarter", "quarter"]),
        ("SD ooo", HALF, ["quarter 3:2"] * 3),
    ],
)
def test_how_other_beats_are_written(rows: str, beat: Beat, values: list[str]) -> None:
    """Three eighths need no tuplet; two even strokes in them are dotted eighths."""
    assert values == written(rows, beat)


@pytest.mark.parametrize(
    ("cells", "quarters", "normal"),
    [(1, 1, 1), (2, 1, 2), (3, 1, 2), (4, 1, 4), (5, 1, 4), (7, 1, 4), (8, 1, 8), (1, 2, 1), (3, 2, 2)],
)
def test_a_tuplet_is_in_the_time_of_the_next_plain_division_below(
    cells: int, quarters: int, normal: int
) -> None:
    """Five in the time of four, seven too, eight are plain."""
    assert normal == normal_cells(cells, F(quarters))


@pytest.mark.parametrize(("cells", "normal"), [(1, 1), (2, 3), (3, 3), (5, 3), (6, 6), (7, 6), (12, 12)])
def test_a_dotted_beat_divides_in_three(cells: int, normal: int) -> None:
    """Five in the time of three eighths, seven in the time of six sixteenths."""
    assert normal == normal_cells(cells, F(3, 2))


onsets = st.integers(1, 48).flatmap(
    lambda cells: st.sets(st.integers(0, cells - 1)).map(lambda found: sorted(F(n, cells) for n in found))
)


@given(onsets, st.sampled_from(list(BEATS)))
def test_the_values_of_a_beat_add_up_to_its_length(places: list[Fraction], quarters: Fraction) -> None:
    """As their signs say, and as they sound; every stroke is written once, at its place."""
    strokes = tuple(Stroke(0, at, "SD") for at in places)
    events = beat_events(BEATS[quarters], strokes)
    assert quarters == sum(event.quarters for event in events) == sum(map(value_of, events))
    assert places == [event.at for event in events if event.strokes]
    assert [((0, at),) for at in places] == [
        tuple((stroke.beat, stroke.at) for stroke in event.strokes) for event in events if event.strokes
    ]
    at = F(0)
    for event in events:
        assert at == event.at
        at += event.quarters / quarters


@given(onsets, st.sampled_from(list(BEATS)))
def test_a_tuplet_has_one_bracket(places: list[Fraction], quarters: Fraction) -> None:
    """From the beat's first value to its last; a plain beat has none."""
    events = beat_events(BEATS[quarters], tuple(Stroke(0, at, "SD") for at in places))
    if events[0].tuplet is None:
        assert not any(event.tuplet or event.opens or event.closes for event in events)
    else:
        assert [(True, False)] * (len(events) > 1) == [(events[0].opens, events[0].closes)] * (
            len(events) > 1
        )
        assert events[-1].closes
        assert 1 == sum(event.opens for event in events) == sum(event.closes for event in events)


@pytest.mark.parametrize("fill", BOOK.patterns.fills(), ids=lambda fill: fill.name)
def test_every_shipped_fill_adds_up(fill) -> None:
    """Beat by beat, as the page writes it in one voice."""
    beat = (fill.meter.beats if fill.meter else (QUARTER,))[0]
    for strokes in fill.by_beat:
        assert beat.quarters == sum(map(value_of, write(beat, strokes).events))


def scored(rows: str) -> list[list[str]]:
    """What the score of a chart with a fill has in its last bar, hands and feet."""
    inline = rows.replace("\n", "\\n")
    song = form(f'A (1): {{fill: {{rows: "{inline}"}}}}', head=f"meter: {pattern(rows).beats}/4\n")
    score = ElementTree.fromstring(musicxml(song))
    voices: list[list[str]] = [[], []]
    for note in score.iterfind("part/measure/note"):
        if note.find("chord") is None:
            kind = str(note.findtext("type")) + "." * len(note.findall("dot"))
            actual, normal = (note.findtext(f"time-modification/{key}-notes") for key in ("actual", "normal"))
            text = f"{kind} {actual}:{normal}" if actual else kind
            voices[int(str(note.findtext("voice"))) - 1].append(
                text if note.find("rest") is None else f"({text})"
            )
    return voices


ROWS = st.lists(
    st.integers(1, 12).flatmap(lambda cells: st.text("o.", min_size=cells, max_size=cells)),
    min_size=2,
    max_size=4,
)


@given(ROWS)
def test_page_and_score_are_written_alike(beats: list[str]) -> None:
    """Every value of every beat of what the hands play."""
    rows = f"SD {'|'.join(['o' + beats[0][1:], *beats[1:]])}"  # something is struck
    found = pattern(rows)
    page = [name(event) for strokes in found.by_beat for event in write(QUARTER, strokes).events]
    assert page == scored(rows)[0]


@pytest.mark.parametrize(
    ("rows", "beat", "flags", "hollow"),
    [("SD o", HALF, 0, True), ("SD o", QUARTER, 0, False), ("SD o", DOTTED, 0, False), ("SD oo", HALF, 0, False),
     ("SD oo", QUARTER, 1, False), ("SD ooo", DOTTED, 1, False), ("SD oooo", QUARTER, 2, False)],
)  # fmt: skip
def test_how_a_note_looks(rows: str, beat: Beat, flags: int, hollow: bool) -> None:
    """Halves have a hollow head, eighths one flag, sixteenths two."""
    first = beat_events(beat, pattern(rows).by_beat[0])[0]
    assert (flags, hollow) == (first.flags, first.hollow)


def test_no_note_is_finer_than_the_finest() -> None:
    """Of 256 in a quarter each is the finest; finer ones have their length and no sign."""
    fine, finer = (
        beat_events(QUARTER, (Stroke(0, F(0), "SD"), Stroke(0, F(1, n), "SD"))) for n in (256, 512)
    )
    assert ["1024th", "eighth"] == [event.type for event in fine[:2]]
    assert [("", 0, None, 0, F(1, 512)), ("", 0, None, 0, F(511, 512))] == [
        (event.type, event.dots, event.tuplet, event.flags, event.quarters) for event in finer
    ]


def test_beams_join_flagged_neighbors() -> None:
    """Outermost first; a lone short note among longer ones has a hook, one beside no other has none."""
    for rows, expected in {
        "SD oooo": [["begin", "begin"], ["continue", "continue"], ["continue", "continue"], ["end", "end"]],
        "SD o.oo": [["begin"], ["continue", "begin"], ["end", "end"]],
        "SD o..o": [["begin"], ["end", "backward hook"]],
        "SD oo..": [["begin", "forward hook"], ["end"]],
        "SD o...": [[]],
        "SD ..o.": [[], []],
    }.items():
        assert expected == beams(beat_events(QUARTER, pattern(rows).by_beat[0])), rows


@pytest.mark.parametrize(
    ("types", "expected"),
    [
        ("eighth 16th quarter", ["begin", "end,backward hook", ""]),
        ("quarter 16th eighth", ["", "begin,forward hook", "end"]),
        ("quarter 16th quarter", ["", "", ""]),
        ("16th quarter", ["", ""]),
        ("quarter 16th", ["", ""]),
        ("16th -eighth 16th", ["", "", ""]),
        ("-16th 16th eighth", ["", "begin,forward hook", "end"]),
        ("eighth 16th -16th", ["begin", "end,backward hook", ""]),
        ("16th 32nd 16th", ["begin,begin", "continue,continue,backward hook", "end,end"]),
        ("32nd 16th 32nd", ["begin,begin,forward hook", "continue,continue", "end,end,backward hook"]),
        ("16th 16th eighth 16th 16th", ["begin,begin", "continue,end", "continue", "continue,begin", "end,end"]),
        ("half eighth", ["", ""]),
    ],
)  # fmt: skip
def test_the_beams_of_a_note(types: str, expected: list[str]) -> None:
    """As many as its flags, where a neighbor has as many; one alone is a hook to the side that has a beam.

    A minus is a rest: no beam goes over it.
    """
    struck = (Stroke(0, F(0), "SD"),)
    events = [Event(F(0), F(1), () if each[0] == "-" else struck, each.lstrip("-")) for each in types.split()]
    assert expected == [",".join(words) for words in beams(events)]
