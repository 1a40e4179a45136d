"""What is practised: bars of groove, the fill where it belongs, and what is left out for the player."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.feel import Feel
from charts.fills import fill_feel
from charts.pattern import GROOVE, Pattern
from charts.placing import lay_fill
from charts.played import played
from charts.song import EACH, FillUse, Place, Section, Song
from charts.timing import Meter
from render.sound.grooves import groove_for, meter_for

SLOW = Fraction(2, 3)  # of the tempo: where a fill is learnt


@dataclass(frozen=True)
class Exercise:
    """What is looped: one time round as a section, the tempo it is played at in the end, how it is told.

    ``next_feel`` is the feel of what follows in the song, in which the fills are played that set it up.
    ``into`` is the next section where the crossing into it is practised. ``silent`` bars of the section have
    neither click nor drums; ``answered`` bars have the click, and the fill is the player's.
    """

    name: str
    section: Section
    tempo: Fraction
    told: str
    next_feel: Feel
    into: Section | None = None
    silent: frozenset[int] = frozenset()
    answered: frozenset[int] = frozenset()

    @property
    def lands(self) -> bool:
        """True where a fill leads back to the one."""
        return bool(self.section.fills) and self.into is None

    def feel_of(self, use: FillUse) -> Feel:
        """The feel that a fill is played in, every time round."""
        return self.next_feel if use.sets_up_next else self.section.feel


def pattern_exercise(
    pattern: Pattern,
    feel: Feel,
    bars: int,
    grooves: Sequence[Pattern],
    tempo: Fraction,
    silent: int = 0,
    answer: bool = False,
) -> Exercise:
    """A pattern over the feel's own groove; a groove is looped alone."""
    meter = meter_for(pattern, feel, grooves)
    own = -(-pattern.beats // len(meter.beats))
    groove = pattern.kind == GROOVE
    uses = () if groove else (FillUse(own, pattern.name, pattern),)
    section = Section(pattern.name, (own,), feel, meter, tempo, groove_pattern=pattern if groove else None)
    bars = -(-max(bars, 1) // own) * own if groove else bars
    song = Song(pattern.name, (section,), feel, tempo, meter)
    loop = _loop(section, uses, bars, silent, answer)
    section = with_groove(song, loop.section(section), grooves)
    told = f"{pattern.name}, a groove" if groove else f"{pattern.name} over {groove_name(section)}"
    return Exercise(pattern.name, section, tempo, told, feel, None, loop.silent, loop.answered)


def section_exercise(
    song: Song, index: int, bars: int, grooves: Sequence[Pattern], silent: int = 0, answer: bool = False
) -> Exercise:
    """The fills of a section in order, each with that many bars of the section's groove before it."""
    section = song.form[index]
    written = sorted((use for use in section.fills if use.pattern is not None), key=_order)
    uses = [replace(at_barline(use), sets_up_next=_sets_up(song, index, use)) for use in written]
    loop = _loop(section, uses, bars, silent, answer)
    looped = with_groove(song, loop.section(section), grooves)
    fills = ", ".join(dict.fromkeys(use.title for use in uses))
    what = f"{fills} over {groove_name(looped)}" if uses else f"no fill there, {groove_name(looped)} alone"
    told = f"{song.title}, {section.name}: {what}"
    feel = song.form[min(index + 1, len(song.form) - 1)].feel
    tempo = _tempo_at_fill(song, index)
    name = f"{song.title} {section.name}"
    return Exercise(name, looped, tempo, told, feel, None, loop.silent, loop.answered)


@dataclass(frozen=True)
class _Loop:
    """One time round: the meter of each bar, the fills on them, and which bars are left to the player."""

    meters: list[Meter]
    fills: tuple[FillUse, ...]
    silent: frozenset[int]
    answered: frozenset[int]

    def section(self, of: Section) -> Section:
        """These bars as a section in the feel, the tempo and with the groove of another."""
        odd = {bar: meter for bar, meter in enumerate(self.meters, start=1) if meter != of.meter}
        return Section(
            of.name, (len(self.meters),), of.feel, of.meter, of.tempo,
            odd_bars=odd, fills=self.fills, groove_pattern=of.groove_pattern,
        )  # fmt: skip


def _loop(section: Section, uses: Sequence[FillUse], bars: int, silent: int, answer: bool) -> _Loop:
    """Groove, silent bars, the fill, and where asked for the same bars again to answer it; fill by fill."""
    meters: list[Meter] = []
    fills: list[FillUse] = []
    quiet: set[int] = set()
    answered: set[int] = set()
    for use in uses or (None,):
        meters += [section.meter] * (bars if use else max(1, bars))
        quiet |= _next(meters, silent)
        meters += [section.meter] * silent
        if use is None:
            continue
        under = _meters_under(section, use)
        meters += under
        fills.append(moved(use, len(meters)))
        if answer:
            answered |= _next(meters, len(under))
            meters += under
            fills.append(moved(use, len(meters)))
    return _Loop(meters, tuple(fills), frozenset(quiet), frozenset(answered))


def _next(meters: Sequence[Meter], count: int) -> set[int]:
    """The numbers of that many bars after these."""
    return set(range(len(meters) + 1, len(meters) + count + 1))


def usual_tempi(tempo: Fraction) -> tuple[Fraction, ...]:
    """Slow, and at tempo.

    >>> [int(bpm) for bpm in usual_tempi(Fraction(96))]
    [64, 96]
    """
    return (Fraction(max(20, round(tempo * SLOW))), tempo)


def with_groove(song: Song, section: Section, grooves: Iterable[Pattern]) -> Section:
    return replace(section, groove_pattern=groove_for(song, section, grooves))


def groove_name(section: Section) -> str:
    return section.groove_pattern.name if section.groove_pattern is not None else "no groove"


def _order(use: FillUse) -> tuple[int, int]:
    return (use.bar, use.landing.beat) if use.landing else (use.bar + 1, 0)


def at_barline(use: FillUse) -> FillUse:
    """A fill that lands on a one ends at the barline before it."""
    at = use.landing
    if at is None or at.bar == 1 or at.beat > 1 or at.offset:
        return use
    return replace(use, landing=None, bar=at.bar - 1)


def _meters_under(section: Section, use: FillUse) -> list[Meter]:
    """The meters of the bars that a fill lies over, and of the one it lands in where that is inside a bar."""
    laid = lay_fill(section, use, 1)
    first = min(use.bar, laid.slots[0][0]) if laid else use.bar
    return [section.meter_of(bar) if bar >= 1 else section.meter for bar in range(first, use.bar + 1)]


def _sets_up(song: Song, index: int, use: FillUse) -> bool:
    """True where the fill is in the next section's feel the last time that it is played."""
    section = song.form[index]
    passes = use.passes(section.times)
    return bool(passes) and fill_feel(song.form, index, use, passes[-1]) != section.feel


def moved(use: FillUse, bar: int) -> FillUse:
    landing = replace(use.landing, bar=bar) if isinstance(use.landing, Place) else None
    return replace(use, bar=bar, landing=landing, pass_=EACH)


def _tempo_at_fill(song: Song, index: int) -> Fraction:
    """The tempo of the bar that the section's last fill ends in, to a tenth."""
    part = played(song)[index]
    bar = max((use.bar for use in part.section.fills), default=1)
    tempo = part.clock.tempo_at(part.clock.bar_start(part.section.times, bar))
    return Fraction(round(tempo * 10), 10)
