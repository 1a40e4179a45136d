"""What one song's page says, before anything is placed: head, form, fills, foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from charts.counting import TRIPLETS
from charts.outline import condensed, outline
from charts.played import PlayedSection, played, song_seconds
from charts.song import Song
from charts.verdict import TOLERANCE_MS
from charts.wording import clock, key_in_signs, many, many_beats
from render.page.fills import PageFill, UsedFill, page_fills
from render.page.fonts import BOLD, REGULAR, missing_from
from render.page.form import Row, page_row
from render.page.notes import tempo_text
from render.page.picture import picture_of
from render.page.text import Piece, tied, unbroken, words
from render.page.theme import SOFT

SMALL = 0.72  # of what may be read from nearer: by-line, totals
APART = 1.1  # between items of a running line


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
    """What comes after this page in a folder: title, key and tempo, and the page that holds it."""

    title: str
    key: str = ""
    tempo: str = ""
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


ALONE = InFolder()  # of no gig


@dataclass(frozen=True)
class Sheet:
    """One song's content; ``rows`` as played, ``folded`` with neighbors alike but for their names in one."""

    song: Song
    parts: tuple[PlayedSection, ...]
    fills: tuple[PageFill, ...]
    uses: tuple[tuple[UsedFill, ...], ...]  # of every section
    gig: InFolder = InFolder()

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        return tuple(page_row(row, self.uses[row.part.index]) for row in outline(self.song, self.parts))

    @property
    def folded(self) -> tuple[Row, ...]:
        return tuple(page_row(row, self.uses[row.part.index]) for row in condensed(self.song, self.parts))

    @property
    def tempo(self) -> str:
        return tempo_text(self.song.meter, self.song.tempo)

    @property
    def head_pieces(self) -> list[Piece]:
        """Feel with its picture, meter, key, count-in, groove, pickup, notes: one running text."""
        song = self.song
        meter = song.form[0].meter_of(1) if song.form[0].meter == song.meter else song.meter
        shown = picture_of(song.feel, meter.beats[0], song.tempo)
        found = [
            *words(song.feel.name, "feel", BOLD),
            Piece(shown.width, space=0.4, picture=shown, tied=True),
        ]
        found.append(unbroken(str(song.meter), "meter", BOLD, space=APART))
        if song.key:
            found += labelled("key", key_in_signs(song.key), "key")
        if self.gig.entered:
            found += labelled("straight out of", self.gig.entered, "count-in")
        else:
            found += labelled("count", spoken_count(song), "count-in")
        if song.pickup:
            found += labelled("pickup", many_beats(song.pickup), "count-in")
        if song.groove and song.groove != song.feel.name:
            label, *rest = labelled("groove", song.groove, "groove", REGULAR)
            found += [label, *rest[:1], *(piece._replace(tied=False) for piece in rest[1:])]
        return found

    @property
    def note_pieces(self) -> list[Piece]:
        """What to keep in mind, this gig's words first."""
        return [*words(self.gig.notes, "notes", BOLD), *words(self.song.notes, "notes", space=APART)]

    @property
    def ending_pieces(self) -> list[Piece]:
        if not self.song.ending:
            return []
        return [unbroken("ending", "ending", role=SOFT), *words(self.song.ending, "ending", BOLD, space=0.28)]

    @cached_property
    def total_pieces(self) -> list[Piece]:
        parts = [many(self.song.bars, "bar"), clock(song_seconds(self.song)), self.gig.place]
        text = " · ".join(part for part in parts if part)
        return words(text, "totals", size=SMALL, role=SOFT)

    @cached_property
    def following_pieces(self) -> list[Piece]:
        following = self.gig.following
        if following is None:
            return []
        label = [unbroken("→", "next", BOLD), unbroken("straight into", "next", role=SOFT, space=0.3)]
        label = label if following.segue else [unbroken("next", "next", role=SOFT)]
        found = tied([*label, *words(following.title, "next", BOLD, space=0.28)])
        if following.key:
            found += labelled("key", key_in_signs(following.key), "next")
        if following.tempo:
            found.append(unbroken(following.tempo, "next", BOLD, space=APART))
        return found


def labelled(label: str, text: str, kind: str, style: str = BOLD) -> list[Piece]:
    """A small word and its value, kept together."""
    return tied([unbroken(label, kind, role=SOFT, space=APART), *words(text, kind, style, space=0.28)])


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

    Bars are parted as on a staff, uneven beats keep together.

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
    return Sheet(song, parts, tuple(fills), tuple(map(tuple, uses)), gig)


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
