"""What ``practice`` was asked for, read from its options; each wrong one gets what to write instead."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from charts.source import FeelmapError
from render.cli.common import open_book, open_book_or_shipped, pattern_named, tempo_given, whole_pattern_named
from render.sound.loop_names import distinct, exact
from render.terminal.saying import say

if TYPE_CHECKING:
    from charts.book import Book
    from charts.pattern import Pattern
    from charts.song import Song
    from render.sound.loops import Mix
    from render.sound.practice import Exercise

MOST_TEMPI = 40
USUAL_BARS, USUAL_STEP = 3, Fraction(4)
USUAL_TIMES, USUAL_TIMES_EACH = 4, 2  # round the loop; at each tempo of a ladder
CLICK_LEVELS = (-30.0, 12.0)
_RUNG = r"(\d[\d.]*)"
_LADDER = re.compile(rf"\s*{_RUNG}\s*[-–]\s*{_RUNG}\s*(?:\+\s*{_RUNG}\s*)?", re.ASCII)


@dataclass(frozen=True)
class Asked:
    """The options of ``practice``, as given."""

    name: str
    section: str | None
    across: bool
    tempo: list[str] | None
    ladder: str | None
    feel: str | None
    bars: int | None
    times: int | None
    silent: int
    call: bool
    no_fill: bool
    no_drums: bool
    subdivide: bool
    click: float | None
    level: float

    @property
    def groove_bars(self) -> int:
        """Bars of groove before each fill."""
        return USUAL_BARS if self.bars is None else self.bars

    @property
    def usual_times(self) -> int:
        """Times round the loop where ``--times`` does not say."""
        return USUAL_TIMES if self.ladder is None else USUAL_TIMES_EACH


def mix_asked(asked: Asked) -> Mix:
    """How the loop is heard; refuses options that contradict each other."""
    from render.sound.loops import ALL, NO_DRUMS, NO_FILL, Mix
    from render.sound.wave_file import peak_of

    for wrong, message, hint in _contradictions(asked):
        if wrong:
            raise FeelmapError(message, hint)
    peak_of(asked.level)
    drums = NO_DRUMS if asked.no_drums else NO_FILL if asked.no_fill else ALL
    times = asked.times or asked.usual_times
    return Mix(times, asked.level, _click_level(asked.click or 0.0), asked.subdivide, drums)


def _contradictions(asked: Asked) -> Iterator[tuple[object, str, str]]:
    """What is wrong where the first is true, and what to write instead."""
    one, across, call = "leave one of them off", asked.across, asked.call
    yield (
        across and asked.section is None,
        "--across needs a song and a section of it",
        "write feelmap practice SONG SECTION --across",
    )
    yield across and asked.bars is not None, "--across plays two bars on each side", "leave --bars off"
    yield across and asked.silent, "--across has no bars to leave silent", "leave --silent off"
    yield across and call, "--across goes on into the next section, with no bar to answer in", one
    yield call and asked.no_drums, "--call plays the fill, and --no-drums leaves it out", one
    yield call and asked.no_fill, "--call plays the fill, and --no-fill leaves it out", one
    yield asked.no_fill and asked.no_drums, "--no-drums leaves the fill out as well", "leave --no-fill off"
    yield asked.silent and asked.bars == 0, "--silent needs a bar of groove before it", "leave --bars off"
    yield asked.ladder and asked.tempo, "--ladder has its own tempos, without --tempo", one
    yield (
        asked.no_drums and asked.click is not None,
        "--click sets the click against the drums, and --no-drums leaves them out",
        "leave --click off; --level sets the peak of the file",
    )


def _click_level(given: float) -> float:
    low, high = CLICK_LEVELS
    if not low <= given <= high:  # what is not a number either
        raise FeelmapError(
            f"--click {given:g} is out of range", f"write {low:g} to {high:g}, in dB: --click 3"
        )
    return given


def runs_asked(asked: Asked, mix: Mix, exercise: Exercise, words: list[str]) -> dict[str, list[Fraction]]:
    """The tempos of each file, by the name that it gets."""
    from render.sound.loop_names import option_words, stem
    from render.sound.practice import usual_tempi

    bars = None if asked.groove_bars == USUAL_BARS else asked.bars
    options = option_words(mix, asked.usual_times, bars, asked.silent, asked.call)
    climb = ladder_given(asked.ladder)
    if climb is not None:
        return {stem([*words, climb.written, *options]): climb.tempos}
    tempos = _tempi(asked.tempo) or usual_tempi(exercise.tempo)
    return {stem([*words, exact(tempo), *options]): [tempo] for tempo in tempos}


def _tempi(given: list[str] | None) -> list[Fraction]:
    if given and len(given) > MOST_TEMPI:
        raise FeelmapError(f"{len(given)} tempos are too many", f"write at most {MOST_TEMPI}")
    return list(dict.fromkeys(tempo_given(text) for text in given or []))


@dataclass(frozen=True)
class Ladder:
    """Tempos in one file, from the lowest up in even steps; the highest is always the last."""

    low: Fraction
    high: Fraction
    step: Fraction

    @property
    def written(self) -> str:
        """As it is asked for.

        >>> Ladder(Fraction(60), Fraction(70), Fraction(5, 2)).written
        '60-70+2.5'
        """
        return f"{exact(self.low)}-{exact(self.high)}+{exact(self.step)}"

    @property
    def tempos(self) -> list[Fraction]:
        """Every tempo.

        >>> [int(bpm) for bpm in Ladder(Fraction(60), Fraction(70), Fraction(4)).tempos]
        [60, 64, 68, 70]
        """
        count = math.ceil((self.high - self.low) / self.step)
        return [*(self.low + number * self.step for number in range(count)), self.high]


def ladder_given(text: str | None) -> Ladder | None:
    """``60-92+4``: from 60 to 92 in steps of 4, which is the step where none is given."""
    if text is None:
        return None
    found = _LADDER.fullmatch(text)
    if not found:
        raise FeelmapError(
            f"“{text}” is not a ladder of tempos", "write --ladder 60-92+4: from 60 to 92, 4 up each time"
        )
    low, high = tempo_given(found[1]), tempo_given(found[2])
    if low >= high:
        raise FeelmapError(f"“{text}” does not go up", f"write the slower tempo first: {found[2]}-{found[1]}")
    step = _step(found[3]) if found[3] else USUAL_STEP
    if step <= 0 or (high - low) / step > MOST_TEMPI - 1:
        raise FeelmapError(
            f"“{text}” has more than {MOST_TEMPI} tempos", f"write larger steps: {found[1]}-{found[2]}+4"
        )
    return Ladder(low, high, step)


def _step(text: str) -> Fraction:
    try:
        return Fraction(text)
    except ValueError:
        raise FeelmapError(f"“{text}” is not a step", "write beats per minute, such as 4") from None


def exercise_asked(asked: Asked, book: Path | None) -> tuple[Exercise, list[str]]:
    """The exercise, and the words that name it in a file name."""
    if asked.section is None:
        exercise, words = _pattern_exercise(asked, open_book_or_shipped(book))
    elif asked.feel is not None:
        raise FeelmapError("a section has its feel in the chart", "leave --feel off, or name a pattern alone")
    else:
        exercise, words = _section_exercise(asked, asked.section, open_book(book))
    if not exercise.section.fills and (asked.call or asked.no_fill):
        option, what = ("--call", "answer") if asked.call else ("--no-fill", "leave out")
        raise FeelmapError(f"{exercise.told}: there is no fill to {what}", f"leave {option} off")
    return exercise, words


def _section_exercise(asked: Asked, section: str, book: Book) -> tuple[Exercise, list[str]]:
    from charts.appearances import chart_of
    from render.sound.crossing import crossing_exercise
    from render.sound.practice import section_exercise

    try:
        path = chart_of(book, asked.name, section)
        song = book.song_at(path)
    except FeelmapError as error:
        raise _of_a_pattern(book, asked.name, section) or error from None
    index, which = _appearance(song, section, asked.across)
    grooves = book.patterns.grooves()
    if asked.across:
        exercise = crossing_exercise(song, index, grooves)
    else:
        exercise = section_exercise(song, index, asked.groove_bars, grooves, asked.silent, asked.call)
    title = distinct(song.title, [book.title_of(other) for other in book.chart_paths() if other != path])
    named = distinct(song.form[index].name, [each.name for each in song.form])
    return exercise, [title, named + which, *(["across"] if asked.across else [])]


def _appearance(song: Song, section: str, across: bool) -> tuple[int, str]:
    """The appearance that is meant, else the first that has something to practice; and ``.2`` of Chorus#2."""
    from charts.appearances import one_named

    index = one_named(song, section)
    same = [place for place, each in enumerate(song.form) if each.name == song.form[index].name]
    if "#" in section and len(same) > 1:
        return index, f".{same.index(index) + 1}"
    able = [place for place in same if not across or place + 1 < len(song.form)] or same
    return next((place for place in able if song.form[place].fills), able[0]), ""


def _of_a_pattern(book: Book, name: str, section: str) -> FeelmapError | None:
    """What to say where a section is asked of a pattern, or its feel is given without ``--feel``."""
    try:
        pattern = whole_pattern_named(book, name)
    except FeelmapError:
        return None
    hint = f'write --feel "{section}"' if book.feels.get(section) else f"leave “{section}” out"
    return FeelmapError(f"{pattern.name} is a pattern and has no sections", hint)


def _pattern_exercise(asked: Asked, book: Book) -> tuple[Exercise, list[str]]:
    from render.sound.grooves import feel_for, tempo_for
    from render.sound.practice import pattern_exercise

    pattern = _pattern(book, asked.name)
    grooves = book.patterns.grooves()
    feel = book.feels.named(asked.feel) if asked.feel is not None else feel_for(pattern, book.feels, grooves)
    if asked.feel is None:
        say(f"in {feel.name}; choose another with --feel")
    exercise = pattern_exercise(
        pattern, feel, asked.groove_bars, grooves, tempo_for(pattern), asked.silent, asked.call
    )
    own = "" if book.patterns.get(pattern.name) == pattern else repr(pattern)  # rows that no book names
    words = [distinct(pattern.name, book.patterns.names(), own), "over"]
    return exercise, [*words, distinct(feel.name, [each.name for each in book.feels])]


def _pattern(book: Book, name: str) -> Pattern:
    """The pattern of that name; where a chart has it, the message asks for a section."""
    try:
        return pattern_named(book, name)
    except FeelmapError as error:
        try:
            song = book.song(name)
        except FeelmapError:
            raise error from None
    sections = ", ".join(dict.fromkeys(section.name for section in song.form))
    raise FeelmapError(f"{song.title} is a chart: which section of it?", f"name one: {sections}")
