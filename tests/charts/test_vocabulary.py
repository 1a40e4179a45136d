"""What ships: every feel, fill and groove is read, judged and played; a row added is a row tested."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest

from charts.book import Book
from charts.counting import count_grid
from charts.families import ANY, OWN, kinship
from charts.feel import BY_TEMPO, Feel, plain_name
from charts.fitting.hands import playable
from charts.kit import VOICES
from charts.notation import read_rows
from charts.pattern import DRAG, FILL, FLAM, GROOVE, OPEN, Pattern, Stroke
from charts.reading.files import read_feel_file
from charts.rows import write_rows
from charts.timing import FASTEST, SLOWEST, Beat, Meter
from charts.verdict import FITS, judge, worst
from charts.vocabularies import shipped_source

BOOK = Book.shipped()
FEELS = list(BOOK.feels)
PATTERNS = list(BOOK.patterns)
FILLS = [pattern for pattern in PATTERNS if pattern.kind == FILL]
GROOVES = [pattern for pattern in PATTERNS if pattern.kind == GROOVE]
METERS = {  # where a feel is not at home in 4/4; common practice, no source
    "slow 12/8": "12/8", "6/8 ballad": "6/8", "fast 6/8": "6/8", "jazz waltz": "3/4", "waltz": "3/4",
    "march": "2/4", "polka": "2/4", "cut time": "2/2", "swing in five": "5/4", "bembe": "12/8",
}  # fmt: skip
TOMS = {"T1", "T2", "T3", "FT"}
LANDING = ("C1", "BD")
each_pattern = pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.name)
each_fill = pytest.mark.parametrize("fill", FILLS, ids=lambda fill: fill.name)
each_feel = pytest.mark.parametrize("feel", FEELS, ids=lambda feel: feel.name)


def home_meter(feel: Feel) -> Meter:
    return Meter.read(METERS.get(feel.name, "4/4"))


@cache
def under(pattern: Pattern, meter: Meter, bpm: Fraction) -> tuple[tuple[Beat, Fraction], ...]:
    """The beats a pattern lies over: a fill back from a barline, a groove on from one."""
    bar = (pattern.meter or meter).beats
    first = -pattern.beats % len(bar) if pattern.kind == FILL else 0
    return tuple((bar[(first + place) % len(bar)], bpm) for place in range(pattern.beats))


def tempos(pattern: Pattern) -> Iterator[Fraction]:
    assert pattern.tempo is not None
    low, high = pattern.tempo
    yield from (low, (low + high) / 2, high)


@cache
def fits(pattern: Pattern, feel: Feel) -> bool:
    """Every beat on the feel's grid, at every tempo the pattern gives itself."""
    meter = home_meter(feel)
    return all(worst(judge(pattern, feel, under(pattern, meter, bpm))) == FITS for bpm in tempos(pattern))


def homes(pattern: Pattern) -> list[Feel]:
    return [feel for feel in FEELS if fits(pattern, feel)]


def landing(pattern: Pattern) -> tuple[Stroke, ...]:
    """Crash and bass drum on the next one, for a fill."""
    voices = LANDING if pattern.kind == FILL else ()
    return tuple(Stroke(pattern.beats, Fraction(0), voice) for voice in voices)


def test_every_row_reads() -> None:
    """No feel, fill or groove that ships has anything wrong with it."""
    assert read_feel_file(shipped_source("feels.yaml"))[1] == []
    assert BOOK.patterns.findings == []
    assert [pattern.name for pattern in PATTERNS] == BOOK.patterns.names()


def test_enough_of_everything() -> None:
    """At least 34 feels, 150 fills and 60 grooves ship; the fills have from one beat to eight bars."""
    assert len(FEELS) >= 34
    assert len(FILLS) >= 150
    assert len(GROOVES) >= 60
    assert {1, 2, 3, 4, 5, 8, 16, 32} <= {fill.beats for fill in FILLS}


# what the design lists, feel by feel: divides, home, swing, pulse
LISTED = {
    **dict.fromkeys(("straight eighths", "polka", "bossa nova"), ((2,), 2, None, "normal")),
    "double-time": ((2,), 2, None, "double-time"),
    **dict.fromkeys(
        ("straight sixteenths", "train beat", "march", "samba", "second line"), ((2, 2), 4, None, "normal")
    ),
    **dict.fromkeys(("half-time", "reggae one drop"), ((2, 2), 4, None, "half-time")),
    **dict.fromkeys(("swing", "jazz waltz"), ((3,), 3, BY_TEMPO, "normal")),
    "shuffle": ((3,), 3, Fraction(2), "normal"),
    "half-time shuffle": ((3,), 3, Fraction(2), "half-time"),
    "sixteenth shuffle": ((2, 3), 6, Fraction(2), "normal"),
    **dict.fromkeys(("slow 12/8", "6/8 ballad"), ((3,), 6, None, "normal")),
}


@pytest.mark.parametrize("name", LISTED)
def test_listed_feel(name: str) -> None:
    """Each feel of the design ships with the values it gives."""
    feel = BOOK.feels.get(name)
    assert feel is not None
    assert (feel.divides, feel.home, feel.swing, feel.pulse) == LISTED[name]


def test_spellings_are_one_feel_each() -> None:
    """No spelling stands for two feels."""
    spellings = [plain_name(name) for name in BOOK.feels.names()]
    assert sorted(set(spellings)) == sorted(spellings)


@each_feel
def test_feel_is_counted_and_explained(feel: Feel) -> None:
    """Each feel has a sentence, and a count that speaks its beat and as many places as it has words."""
    assert re.fullmatch(r"[a-z].{20,}[a-z0-9]", feel.about)
    spoken = [word for _, word in count_grid(feel, home_meter(feel).beats[0], Fraction(100)) if word != "-"]
    assert feel.count.split() == spoken


@each_feel
def test_feel_has_its_groove(feel: Feel) -> None:
    """The groove a feel names ships, fits it at every tempo it gives, and fills whole bars of its meter."""
    groove = BOOK.patterns.get(feel.groove)
    assert groove is not None
    assert groove.kind == GROOVE
    assert fits(groove, feel)
    assert groove.beats % len((groove.meter or home_meter(feel)).beats) == 0


@each_feel
def test_feel_has_fills(feel: Feel) -> None:
    """Every feel has a choice of fills, one beat and one bar among them, with and without toms."""
    good = [fill for fill in FILLS if fits(fill, feel) and fill.meter in (None, home_meter(feel))]
    lengths = [fill.beats for fill in good]
    assert lengths.count(1) >= 4
    assert lengths.count(len(home_meter(feel).beats)) >= 4
    assert sum(not TOMS.intersection(fill.voices) for fill in good) >= 4


@each_pattern
def test_pattern_fits_a_feel(pattern: Pattern) -> None:
    """Each pattern sits on some shipped feel's grid, every beat, at the ends and the middle of its tempos."""
    assert homes(pattern)


@each_pattern
def test_pattern_fits_what_it_is_made_for(pattern: Pattern) -> None:
    """Each pattern names feels, and fits every one of them, or one of each family that it names."""
    assert pattern.feels
    for name in pattern.feels:
        feel = BOOK.feels.get(name)
        family = (feel,) if feel else BOOK.feels.group(name)
        assert name == ANY or any(fits(pattern, each) for each in family), name


@each_feel
def test_feel_has_fills_of_its_own(feel: Feel) -> None:
    """Each feel has a family and a groove made for it; three fills or more name the feel."""
    assert feel.family
    groove = BOOK.patterns.get(feel.groove)
    assert groove is not None
    assert feel.name in groove.feels
    assert sum(kinship(feel, BOOK.feels).made_for(fill)[0] == OWN for fill in FILLS) >= 3


@pytest.mark.parametrize("name", ["five-stroke into one", "ruff into one", "single-stroke four into one"])
def test_what_runs_into_one_does(name: str) -> None:
    """Its last strokes are evenly spaced, and one is the next of them."""
    fill = BOOK.patterns.get(name)
    assert fill is not None
    places = [*sorted({stroke.place for stroke in fill.strokes}), Fraction(fill.beats)]
    assert len({after - before for before, after in pairwise(places[-4:])}) == 1


@pytest.mark.parametrize(("name", "place"), [
    ("one", "1/2"), ("two", "1"), ("two", "3/2"), ("three", "2"), ("three", "5/2"), ("four", "3"), ("four", "7/2"),
])  # fmt: skip
def test_a_kick_is_where_its_name_says(name: str, place: str) -> None:
    """Crash and bass drum together on that eighth, as written, and the snare in the beat before."""
    at = Fraction(place)
    fill = BOOK.patterns.get(f"kick on {'the and of ' * (at.denominator > 1)}{name}")
    assert fill is not None
    assert {stroke.voice for stroke in fill.strokes if stroke.place == at} == {"C1", "BD"}
    assert any(stroke.voice == "SD" and at - 1 < stroke.place < at for stroke in fill.strokes)
    assert fill.meter == Meter.read("4/4")


@each_pattern
def test_pattern_can_be_played(pattern: Pattern) -> None:
    """Each pattern keeps the limits of hands and feet at its own top tempo, with a fill's landing in reach.

    The slowest tempo is tried as well, and every feel that it fits: swing moves strokes together.
    """
    assert pattern.tempo is not None
    for feel in homes(pattern):
        for bpm in pattern.tempo:
            beats = under(pattern, home_meter(feel), bpm)
            assert playable(pattern, feel, beats, landing=landing(pattern)).breaches == ()


@each_fill
def test_fill_leaves_a_hand_for_the_crash(fill: Pattern) -> None:
    """One hand has 140 ms or more to get to the crash on the next one, counted stroke by stroke."""
    assert fill.tempo is not None
    beats = under(fill, Meter.read("4/4"), fill.tempo[1])
    left = {"R": Fraction(10_000), "L": Fraction(10_000)}
    for stroke in (stroke for stroke in fill.strokes if stroke.by_hand):
        ms = sum(60000 * beat.units / bpm for beat, bpm in beats[stroke.beat :])
        beat, bpm = beats[stroke.beat]
        both = stroke.kind in (FLAM, DRAG) or stroke.hand == "B"
        for hand in "RL" if both else stroke.hand:
            left[hand] = ms - stroke.at * 60000 * beat.units / bpm
    assert max(left.values()) >= 140


@each_pattern
def test_pattern_says_what_a_player_asks(pattern: Pattern) -> None:
    """Each pattern has hands for every stroke, words for what it suits, and tempos the check accepts."""
    assert all(stroke.hand for stroke in pattern.strokes if stroke.by_hand)
    assert re.fullmatch(r"[a-z0-9].{10,}[a-z0-9]", pattern.suits)
    assert pattern.tempo is not None
    assert SLOWEST <= pattern.tempo[0] < pattern.tempo[1] <= FASTEST


@each_pattern
def test_name_can_be_written_anywhere(pattern: Pattern) -> None:
    """A name needs no quotes in a chart, between braces either."""
    assert re.fullmatch(r"[a-z][a-z0-9-]*( [a-z0-9-]+)*", pattern.name)


@each_pattern
def test_canonical_rows_read_back(pattern: Pattern) -> None:
    """Written out and read again, a pattern is the same, and is written the same a second time."""
    rows = read_rows(write_rows(pattern))
    assert (rows.beats, rows.strokes, rows.problems) == (pattern.beats, pattern.strokes, ())


def test_no_two_are_the_same() -> None:
    """No two fills, no two grooves, make the same strokes on the same voices, however accented or stuck."""
    seen: dict[object, str] = {}
    for pattern in PATTERNS:
        strokes = tuple((s.place, s.voice, s.kind) for s in pattern.strokes)
        key = (pattern.kind, pattern.beats, pattern.meter, strokes)
        assert key not in seen, f"{pattern.name} is {seen[key]}"
        seen[key] = pattern.name


def test_names_are_told_apart() -> None:
    """No fill and no groove share a name in any spelling."""
    names = [plain_name(pattern.name) for pattern in PATTERNS]
    assert sorted(set(names)) == sorted(names)


def herta(fill: Pattern) -> bool:
    """Two quick strokes and two slow ones, 1:1:2:2, somewhere in the hands."""
    places = sorted({s.place for s in fill.strokes if s.by_hand})
    gaps = [b - a for a, b in pairwise([*places, Fraction(fill.beats)])]
    fours = zip(gaps, gaps[1:], gaps[2:], gaps[3:], strict=False)
    return any(a == b and c == d == 2 * a for a, b, c, d in fours)


def bass_between(fill: Pattern) -> bool:
    """The bass drum alone, off the beat, between strokes of the hands."""
    hands = {s.place for s in fill.strokes if s.by_hand}
    return sum(s.voice == "BD" and s.at > 0 and s.place not in hands for s in fill.strokes) >= 2


KINDS: dict[str, tuple[Callable[[Pattern], bool], int]] = {
    "hertas": (herta, 3),
    "bass-drum displacement": (bass_between, 5),
    "no toms": (lambda fill: not TOMS.intersection(fill.voices), 15),
    "toms": (lambda fill: len(TOMS.intersection(fill.voices)) >= 2, 15),
    "six strokes a beat": (lambda fill: any(len(beat) == 6 for beat in fill.onsets), 3),
    "flams": (lambda fill: any(s.kind == FLAM for s in fill.strokes), 5),
    "drags": (lambda fill: any(s.kind == DRAG for s in fill.strokes), 1),
    "hat openings": (lambda fill: any(s.hat == OPEN for s in fill.strokes), 3),
    "one beat": (lambda fill: fill.beats == 1, 15),
    "two bars": (lambda fill: fill.beats == 8, 4),
    "seven": (lambda fill: fill.meter is not None and fill.meter.upper == 7, 2),
    "six-eight": (lambda fill: fill.meter == Meter.read("6/8"), 2),
    "played swung": (lambda fill: fill.swung, 1),
}


@pytest.mark.parametrize("kind", KINDS)
def test_kinds_of_fills(kind: str) -> None:
    """Plain and busy, quiet and loud, straight and odd: each kind of fill is there to choose from."""
    is_kind, least = KINDS[kind]
    assert sum(map(is_kind, FILLS)) >= least


@pytest.mark.parametrize(
    "name",
    [
        "stairs in threes", "long and short", "two-drum turn", "sixteenths round the kit", "short pickup",
        "big turn", "ghosted half-time",
    ],
)  # fmt: skip
def test_names_of_the_design(name: str) -> None:
    """Every pattern that the design pages name ships."""
    assert BOOK.patterns.get(name) is not None


def test_harbour_lights_can_be_helped() -> None:
    """The fills that the design offers for sixteenths over a half-time shuffle fit it; sixteenths do not."""
    shuffle = BOOK.feels.get("half-time shuffle")
    assert shuffle is not None
    verdicts = {}
    for name in ("sixteenths round the kit", "stairs in threes", "long and short", "two-drum turn"):
        pattern = BOOK.patterns.get(name)
        assert pattern is not None
        verdicts[name] = worst(judge(pattern, shuffle, under(pattern, Meter.read("4/4"), Fraction(96))))
    assert list(verdicts.values()) == ["clashes", FITS, FITS, FITS]


def test_voices_are_of_the_kit() -> None:
    """What ships is played on an ordinary kit: one crash, one bass drum, three toms or fewer."""
    heard = {voice for pattern in PATTERNS for voice in pattern.voices}
    assert heard <= set(VOICES) - {"C2", "CH", "SP", "T3", "B2", "TB"}
