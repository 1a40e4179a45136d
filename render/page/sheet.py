"""What one song's page says, before anything is placed: head, form, fills, foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from charts.counting import TRIPLETS
from charts.equations import Equation
from charts.outline import Row, condensed, outline
from charts.played import PlayedSection, played
from charts.song import Song
from charts.timing import Meter
from charts.verdict import TOLERANCE_MS
from charts.wording import figure
from render.page.fills import PageFill, UsedFill, page_fills, page_groove
from render.page.fonts import missing_from
from render.page.signs import EIGHTH, HALF, QUARTER, TEXT_DOT

NOTES = {Fraction(1): QUARTER, Fraction(3, 2): QUARTER + TEXT_DOT, Fraction(2): HALF}
SIGN_OF = {"half": HALF, "quarter": QUARTER, "eighth": EIGHTH}


def tempo_text(meter: Meter, tempo: Fraction, to: Fraction | None = None) -> str:
    """A tempo with the note that it counts, and what it changes to.

    >>> tempo_text(Meter.read("4/4"), Fraction(96)), tempo_text(Meter.read("6/8"), Fraction(60), Fraction(50))
    ('♩ = 96', '♩𝅭 = 60 → 50')
    """
    text = f"{NOTES[meter.unit_quarters]} = {figure(tempo)}"
    return text if to is None else f"{text} → {figure(to)}"


def equation_text(equal: Equation) -> str:
    """Which note of the tempo before is which of this one.

    >>> equation_text(Equation("triplet eighth", "dotted sixteenth"))
    'triplet ♪ = dotted sixteenth'
    """
    return f"{_note_text(equal.old)} = {_note_text(equal.new)}"


def _note_text(name: str) -> str:
    """A note's name with its sign, where the text font has one."""
    *before, plain = name.split()
    triplet = "triplet " if "triplet" in before else ""
    return f"{triplet}{SIGN_OF[plain]}{TEXT_DOT * ('dotted' in before)}" if plain in SIGN_OF else name


@dataclass(frozen=True)
class Options:
    """How pages are printed; ``distance`` in metres from the eyes, ``tolerance`` in ms."""

    paper: str = "A4"
    landscape: bool = False
    dark: bool = False
    plain: bool = False
    distance: float = 1.0
    tolerance: Fraction = TOLERANCE_MS
    triplets: str = TRIPLETS


@dataclass(frozen=True)
class Following:
    """What comes after this page in a folder: title, tempo and count, and the page that holds it."""

    title: str
    tempo: str = ""
    count: str = ""  # as it is spoken
    page: str = ""
    segue: bool = False


@dataclass(frozen=True)
class InFolder:
    """What a page says of the gig that it is printed for."""

    place: str = ""  # song 3 of 14
    notes: str = ""  # of this night
    home: str = ""  # the page that lists all songs
    entered: str = ""  # the song that this one comes straight out of, without a count
    following: Following | None = None
    chart: Song | None = None  # as the book has it, where the gig changes it


ALONE = InFolder()  # of no gig


@dataclass(frozen=True)
class Sheet:
    """One song's content; ``rows`` as played, ``folded`` with neighbors alike but for their names in one."""

    song: Song
    parts: tuple[PlayedSection, ...]
    fills: tuple[PageFill, ...]
    uses: tuple[tuple[UsedFill, ...], ...]  # of every section
    gig: InFolder = InFolder()
    groove: PageFill | None = None  # to be drawn where there is room

    @cached_property
    def rows(self) -> list[Row]:
        return outline(self.song, self.parts)

    @cached_property
    def folded(self) -> list[Row]:
        return condensed(self.song, self.parts)


def spoken_count(song: Song) -> str:
    """The count-in as it is called out, beat by beat.

    >>> from charts.feel import Feel
    >>> from charts.song import CountIn, Section
    >>> from charts.timing import Meter
    >>> four, eight = Meter.read("4/4"), Feel("straight eighths", (2,))
    >>> verse = Section("Verse", (8,), eight, four, Fraction(100))
    >>> [spoken_count(Song("Tide", (verse,), eight, Fraction(100), four, count_in=CountIn(b, n)))
    ...  for b, n in ((1, 0), (2, 0), (0, 3), (0, 0))]
    ['1 2 3 4', '1 – 2 – | 1 2 3 4', '1 2 3', 'none']

    Bars are divided as on a staff, uneven beats keep together.

    >>> seven, three = Meter.read("7/8 (2+2+3)"), Meter.read("3/4")
    >>> [spoken_count(Song("Tide", (Section("Verse", (8,), eight, meter, Fraction(100)),), eight,
    ...  Fraction(100), meter, count_in=CountIn(2, 0))) for meter in (seven, three)]
    ['1-2 1-2 1-2-3 | 1-2 1-2 1-2-3', '1 2 3 | 1 2 3']
    """
    meter, counted = song.form[0].meter_of(1), song.count_in
    beats = len(meter.beats)
    bar = _bar_aloud(song)
    spoken: list[str] = []
    if counted.bars > 2 or beats * (counted.bars or 1) > 16:
        return str(counted)
    if counted.bars == 2 and beats == 4:
        spoken = [f"1 – 2 – | {bar}"]
    elif counted.bars:
        spoken = [" | ".join([bar] * counted.bars)]
    if counted.beats:
        spoken += ["|"] if counted.bars else []
        spoken.append(" ".join(str(n % beats + 1) for n in range(counted.beats)))
    return " ".join(spoken) or "none"


def _bar_aloud(song: Song) -> str:
    meter = song.form[0].meter_of(1)
    if meter.groups:
        return " ".join("-".join(str(n + 1) for n in range(group)) for group in meter.groups)
    return " ".join(str(n + 1) for n in range(len(meter.beats)))


def sheet_of(song: Song, options: Options, gig: InFolder = ALONE) -> Sheet:
    """Gather what a song's page says."""
    parts = played(song)
    fills, uses = page_fills(song, parts, options.tolerance)
    return Sheet(song, parts, tuple(fills), tuple(map(tuple, uses)), gig, page_groove(song))


def missing_characters(song: Song) -> list[tuple[str, str]]:
    """Characters that no font has, each with its place in the song.

    The same character in the same place is told once.
    """
    found: dict[tuple[str, str], None] = {}
    for text, place in _texts(song):
        for char in missing_from(text):
            found[char, place] = None
    return list(found)


def _texts(song: Song) -> Iterator[tuple[str, str]]:
    for what in ("title", "by", "key", "groove", "ending", "notes"):
        yield getattr(song, what), f"in the {what}" if what != "by" else "in the writer's name"
    yield song.feel.name, "in the feel"
    for section in song.form:
        yield section.name, "in a section's name"
        yield section.feel.name, f"in the feel of {section.name}"
        yield section.groove, f"in the groove of {section.name}"
        yield section.until, f"in what ends {section.name}"
        for cue in section.cues:
            yield cue.text, f"in the cue at {section.name}, bar {cue.place}"
        for use in section.fills:
            yield use.name, f"in the name of a fill in {section.name}"
            yield use.on_purpose or "", f"in the reason for a fill in {section.name}"
