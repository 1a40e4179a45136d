"""One song's chart: sections as they appear, with all that was inherited already in place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass, field
from fractions import Fraction
from typing import NamedTuple

from charts.feel import Feel
from charts.pattern import Pattern
from charts.source import Span
from charts.timing import Beat, Meter
from charts.wording import many, nth_time

SpanOf = Callable[[str], "Span | None"]


def nowhere(_key: str) -> Span | None:
    """For what was not read from a file."""
    return None


NOUGHT = Fraction(0)
EACH, LAST = "each", "last"
CRASH, NO_LANDING = "crash", "none"
DYNAMICS = ("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff")


# What a book holds thousands of is not frozen: a frozen one takes four times as long to make.


@dataclass(slots=True, unsafe_hash=True)
class Place:
    """A place in a section: bar and beat from 1; ``offset`` is a fraction of the beat, or & e a."""

    bar: int
    beat: int = 1
    offset: Fraction | str = NOUGHT
    span: Span | None = field(default=None, compare=False, repr=False)

    def at(self, beat: Beat, feel: Feel, bpm: Fraction) -> Fraction:
        """Where in its beat the place sounds, for the feel and the tempo there."""
        if not isinstance(self.offset, str):
            return self.offset
        grid = feel.grid(beat, bpm)
        if self.offset == "&":
            return grid.upbeat_eighth(beat.ternary)
        return grid.sixteenth(self.offset, beat.ternary) or Fraction(0)

    def nominal(self, beat: Beat, feel: Feel) -> Fraction:
        """Where in its beat the place is written on the even grid, whatever the swing."""
        if not isinstance(self.offset, str):
            return self.offset
        even = Feel("", feel.divides, Fraction(2) if feel.swings else None, feel.home_cells)
        return self.at(beat, even, Fraction(100))

    def __str__(self) -> str:
        return self.in_full if self.beat > 1 or self.offset else str(self.bar)

    @property
    def in_full(self) -> str:
        """With its beat where that is the first: in ``fills`` a bar alone means its end."""
        return f"{self.bar}.{self.in_bar}"

    @property
    def in_bar(self) -> str:
        """The place as it is counted inside its bar.

        >>> Place(3, 2, "&").in_bar, Place(3).in_bar
        ('2&', '1')
        """
        if not self.offset:
            return str(self.beat)
        return f"{self.beat}{self.offset}" if isinstance(self.offset, str) else f"{self.beat}+{self.offset}"


class Cue(NamedTuple):
    """Words at a place."""

    place: Place
    text: str
    has_beat: bool = False  # written BAR.BEAT


class Stop(NamedTuple):
    """The band stops at ``start``, through ``end`` where it is a span."""

    start: Place
    end: Place | None = None


class Hold(NamedTuple):
    """Time stands still at a place; the clock counts ``seconds`` for it."""

    place: Place
    seconds: Fraction = Fraction(0)


def passes_of(which: str | int, times: int) -> tuple[int, ...]:
    """The passes, of that many, that ``each``, ``last`` or a number means, in order.

    >>> passes_of(EACH, 3), passes_of(LAST, 3), passes_of(2, 3), passes_of(2, 1)
    ((1, 2, 3), (3,), (2,), ())
    """
    if which == EACH:
        return tuple(range(1, times + 1))
    number = times if which == LAST else int(which)
    return (number,) if number <= times else ()


def which_time(which: str | int, times: int) -> str:
    """The same in words; empty where there is one pass, or it is every one.

    >>> which_time(1, 3), which_time(3, 3), which_time(LAST, 3), which_time(EACH, 3)
    ('1st time', 'last time', 'last time', '')
    """
    if times == 1 or which == EACH:
        return ""
    return "last time" if passes_of(which, times) == (times,) else nth_time(int(which))


@dataclass(slots=True)
class TempoMark:
    """From a bar on: a tempo, or an even change to ``to``; on which passes."""

    bar: int
    tempo: Fraction
    to: Fraction | None = None
    pass_: str | int = LAST
    span: Span | None = field(default=None, compare=False, repr=False)


@dataclass
class FillUse:
    """A fill put at a place: it ends at the last barline of ``bar``, or lands at ``landing``.

    ``name`` is as written (empty where the rows are in place); ``pattern`` is None where no such pattern
    exists. ``owner`` is the section that wrote it down, for findings told once.
    """

    bar: int
    name: str
    pattern: Pattern | None = None
    _: KW_ONLY
    landing: Place | None = None
    pass_: str | int = EACH
    sets_up_next: bool = False
    on_purpose: str | None = None
    land: str = CRASH
    land_given: bool = False
    span: Span | None = field(default=None, compare=False, repr=False)
    owner: str = field(default="", compare=False)

    @property
    def title(self) -> str:
        """What the fill is called: its name, or the name of the section that it is written in."""
        return self.name or f"{self.owner} fill".lstrip()

    def passes(self, times: int) -> tuple[int, ...]:
        """The passes, of that many, on which the fill is played; none where they are too few."""
        return passes_of(self.pass_, times)

    def on_pass(self, number: int, times: int) -> bool:
        """True where the fill is played on that pass of that many."""
        return number in self.passes(times)


@dataclass
class Section:
    """One appearance of a section, whole: nothing is left to look up."""

    name: str
    phrases: tuple[int, ...]
    feel: Feel
    meter: Meter
    tempo: Fraction
    _: KW_ONLY
    tempo_to: Fraction | None = None  # even change over all passes together
    tempo_given: bool = False
    times: int = 1
    open: bool = False
    until: str = ""
    groove: str = ""
    groove_pattern: Pattern | None = None
    tempos: tuple[TempoMark, ...] = ()
    odd_bars: dict[int, Meter] = field(default_factory=dict)
    cues: tuple[Cue, ...] = ()
    hits: tuple[Place, ...] = ()
    stops: tuple[Stop, ...] = ()
    holds: tuple[Hold, ...] = ()
    dynamics: tuple[str, ...] = ()  # (), ("p",) or ("p", "f")
    fills: tuple[FillUse, ...] = ()
    span: Span | None = field(default=None, compare=False, repr=False)  # its form line
    feel_given: bool = False
    like: str = ""
    span_of: SpanOf = field(default=nowhere, compare=False, repr=False)  # key -> where its value is
    bars: int = field(init=False, compare=False, repr=False)  # of one pass

    def __post_init__(self) -> None:
        self.bars = sum(self.phrases)

    @property
    def steady(self) -> bool:
        """True where one tempo holds for all passes."""
        return self.tempo_to is None and not self.tempos

    def meter_of(self, bar: int) -> Meter:
        """The meter of a bar, counted from 1."""
        return self.odd_bars.get(bar, self.meter)

    @property
    def units(self) -> Fraction:
        """Length of one pass in tempo units."""
        plain = self.meter.units * (self.bars - len(self.odd_bars))
        return plain + sum((meter.units for meter in self.odd_bars.values()), Fraction(0))


class CountIn(NamedTuple):
    """How the song is counted in: bars and beats of the first section's meter."""

    bars: int = 0
    beats: int = 0

    def __str__(self) -> str:
        parts = [many(n, word) for n, word in ((self.bars, "bar"), (self.beats, "beat")) if n]
        return " ".join(parts) or "none"


ONE_BAR = CountIn(bars=1)


@dataclass
class Song:
    """A chart as read."""

    title: str
    form: tuple[Section, ...]
    feel: Feel
    tempo: Fraction
    meter: Meter
    _: KW_ONLY
    by: str = ""
    key: str = ""
    count_in: CountIn = ONE_BAR
    pickup: Fraction = Fraction(0)  # beats
    groove: str = ""
    groove_pattern: Pattern | None = None
    ending: str = ""
    notes: str = ""
    file: str = field(default="", compare=False)  # as messages call it
    span: Span | None = field(default=None, compare=False, repr=False)  # of the title
    span_of: SpanOf = field(default=nowhere, compare=False, repr=False)  # key -> where its value is

    @property
    def bars(self) -> int:
        """Bars as played, all passes."""
        return sum(section.bars * section.times for section in self.form)
