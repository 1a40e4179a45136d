"""Practice loops: a few bars of groove, the fill where it belongs, the landing on one, and again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from charts.feel import Feel
from charts.fills import fill_feel
from charts.pattern import GROOVE, Pattern
from charts.placing import lay_fill
from charts.played import played
from charts.song import EACH, CountIn, FillUse, Place, Section, Song
from charts.timing import Meter
from charts.verdict import nominal_onsets
from render.plain_text import slug
from render.sound.grooves import USUAL_TEMPO, fits, groove_for

SLOW = Fraction(2, 3)  # of the tempo: where a fill is learnt
COMMON = Meter.read("4/4")


@dataclass(frozen=True)
class Exercise:
    """What is looped: one pass as a section, the tempo it is played at in the end, how it is told.

    ``next_feel`` is the feel of what follows in the song, in which the fills are played that set it up.
    """

    name: str
    section: Section
    tempo: Fraction
    told: str
    next_feel: Feel

    @property
    def lands(self) -> bool:
        """True where a fill leads back to the one."""
        return bool(self.section.fills)

    def feel_of(self, use: FillUse) -> Feel:
        """The feel that a fill is played in, every time round."""
        return self.next_feel if use.sets_up_next else self.section.feel


def pattern_exercise(
    pattern: Pattern, feel: Feel, bars: int, grooves: Sequence[Pattern], tempo: Fraction
) -> Exercise:
    """A pattern over the feel's own groove; a groove is looped alone."""
    meter = meter_for(pattern, feel, grooves)
    beats = len(meter.beats)
    own = -(-pattern.beats // beats)
    if pattern.kind == GROOVE:
        length = max(1, -(-max(bars, 1) // own)) * own
        section = Section(pattern.name, (length,), feel, meter, tempo, groove_pattern=pattern)
        return Exercise(pattern.name, section, tempo, f"{pattern.name}, a groove", feel)
    use = FillUse(bars + own, pattern.name, pattern)
    section = Section(pattern.name, (bars + own,), feel, meter, tempo, fills=(use,))
    section = _with_groove(Song(pattern.name, (section,), feel, tempo, meter), section, grooves)
    return Exercise(pattern.name, section, tempo, f"{pattern.name} over {_groove_name(section)}", feel)


def section_exercise(song: Song, index: int, bars: int, grooves: Sequence[Pattern]) -> Exercise:
    """The fills of a section in order, each with so many bars of the section's groove before it."""
    section = song.form[index]
    meters: list[Meter] = []
    uses: list[FillUse] = []
    for use in sorted(section.fills, key=_order):
        if use.pattern is not None:
            use = _at_barline(use)
            meters += [section.meter] * bars + _meters_under(section, use)
            uses.append(_moved(use, len(meters), _sets_up(song, index, use)))
    if not uses:
        meters = [section.meter] * max(1, bars)
    odd = {bar: meter for bar, meter in enumerate(meters, start=1) if meter != section.meter}
    looped = Section(
        section.name, (len(meters),), section.feel, section.meter, section.tempo,
        odd_bars=odd, fills=tuple(uses), groove_pattern=section.groove_pattern,
    )  # fmt: skip
    looped = _with_groove(song, looped, grooves)
    fills = ", ".join(dict.fromkeys(use.title for use in uses))
    what = f"{fills} over {_groove_name(looped)}" if uses else f"no fill there, {_groove_name(looped)} alone"
    told = f"{song.title}, {section.name}: {what}"
    following = song.form[min(index + 1, len(song.form) - 1)]
    return Exercise(f"{song.title} {section.name}", looped, _tempo_at_fill(song, index), told, following.feel)


def exercise_song(exercise: Exercise, tempo: Fraction, times: int) -> Song:
    """The loop as a song: counted in, so many times, and one bar to land in where a fill leads there."""
    looped = replace(exercise.section, tempo=tempo, times=times)
    form = [looped]
    if exercise.lands:
        form.append(Section("Landing", (1,), looped.feel, looped.meter, tempo))
    first = looped.meter_of(1)
    count = CountIn(bars=1 if len(first.beats) > 2 else 2)
    return Song(exercise.name, tuple(form), looped.feel, tempo, looped.meter, count_in=count)


def loop_grooves(section: Section) -> Pattern | None:
    """What is played in a loop: its groove, and nothing but the landing in the bar after it."""
    return section.groove_pattern


def usual_tempi(tempo: Fraction) -> tuple[Fraction, ...]:
    """Slow, and at tempo.

    >>> [int(bpm) for bpm in usual_tempi(Fraction(96))]
    [64, 96]
    """
    return (Fraction(max(20, round(tempo * SLOW))), tempo)


def meter_for(pattern: Pattern, feel: Feel, grooves: Iterable[Pattern]) -> Meter:
    """The pattern's own meter, else that of the feel's groove, else 4/4."""
    if pattern.meter is not None:
        return pattern.meter
    named = next((groove for groove in grooves if groove.name == feel.groove), None)
    return named.meter if named is not None and named.meter is not None else COMMON


def feel_for(pattern: Pattern, feels: Iterable[Feel], grooves: Sequence[Pattern]) -> Feel:
    """The feel whose groove a pattern is, else the plainest that it fits, best on the feel's home grid.

    Few cells a beat come before many, and steady swing before swing by tempo.
    """
    known = list(feels)
    own = [feel for feel in known if pattern.kind == GROOVE and feel.groove == pattern.name]
    plainest = sorted(known, key=lambda feel: (isinstance(feel.swing, str), feel.home))
    fitting = [feel for feel in plainest if fits(pattern, feel, meter_for(pattern, feel, grooves))]
    at_home = [feel for feel in fitting if _at_home(pattern, feel, meter_for(pattern, feel, grooves))]
    return next(iter([*own, *at_home, *fitting, *plainest]))


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


def file_stem(name: str, tempo: Fraction) -> str:
    """A file name from a name and a tempo.

    >>> file_stem("stairs in threes", Fraction(133, 2))
    'stairs-in-threes-66.5'
    """
    return f"{slug(name)}-{float(tempo):.6g}"


def _with_groove(song: Song, section: Section, grooves: Iterable[Pattern]) -> Section:
    return replace(section, groove_pattern=groove_for(song, section, grooves))


def _groove_name(section: Section) -> str:
    return section.groove_pattern.name if section.groove_pattern is not None else "no groove"


def _order(use: FillUse) -> tuple[int, int]:
    return (use.bar, use.landing.beat) if use.landing else (use.bar + 1, 0)


def _at_barline(use: FillUse) -> FillUse:
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


def _moved(use: FillUse, bar: int, sets_up_next: bool) -> FillUse:
    landing = replace(use.landing, bar=bar) if isinstance(use.landing, Place) else None
    return replace(use, bar=bar, landing=landing, pass_=EACH, sets_up_next=sets_up_next)


def _tempo_at_fill(song: Song, index: int) -> Fraction:
    """The tempo of the bar that the section's last fill ends in, to a tenth."""
    part = played(song)[index]
    bar = max((use.bar for use in part.section.fills), default=1)
    tempo = part.clock.tempo_at(part.clock.bar_start(part.section.times, bar))
    return Fraction(round(tempo * 10), 10)
