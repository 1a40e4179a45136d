"""The commands that write sound: ``click`` and ``practice``."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from charts.source import FeelmapError
from render.cli.common import open_book, open_book_or_shipped, pattern_named, tempo_given
from render.cli.options import BookOption, NameArgument, argument, option
from render.cli.output import kind_of, output_option, write_output
from render.terminal.saying import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from charts.book import Book
    from charts.pattern import Pattern
    from charts.performance import Performance
    from render.sound.practice import Exercise

MOST_WARN, MOST_TIMES, MOST_GROOVE_BARS, MOST_TEMPI = 16, 64, 32, 40
SOUNDS = {".wav": ".wav", ".wave": ".wav", ".mid": ".mid", ".midi": ".mid"}
LEVEL_HELP = "Peak in dB below full scale, 0 at most."

LevelOption = Annotated[float, option("--level", LEVEL_HELP, "DB")]


def click(
    name: NameArgument,
    output: Annotated[Path | None, output_option("OUT.wav or OUT.mid", "TITLE.wav")] = None,
    subdivide: Annotated[
        bool, option("--subdivide", "Sound the feel's own subdivision as well, swung where it swings.")
    ] = False,
    warn: Annotated[
        str | None, option("--warn", "Sound a warning so many bars before each new section.", "BARS")
    ] = None,
    level: LevelOption = -6.0,
    book: BookOption = None,
) -> None:
    """The whole song as a click: count-in, every bar as played, tempo changes, holds, sections as markers.

    Three pitches: the one, the beat and, where asked for, the subdivision.

    Mind your ears: start with the volume low. 85 dBA is the most for eight hours, and every 3 dB more halves
    the time: 94 dBA one hour, 100 dBA a quarter of an hour (NIOSH 98-126).

    Example: feelmap click harbour -o harbour.wav --subdivide --warn 1
    """
    from render.sound.click_file import click_file
    from render.sound.wave_file import peak_of

    kind = kind_of(output, SOUNDS, "a WAV or MIDI file")
    warned = bars_before(warn)
    peak_of(level)
    song = open_book(book).song(name)
    line, pieces = click_file(song, kind, subdivide, warned, level)
    path = write_output(output, song.title, kind, pieces)
    say(f"wrote {path}: {_length(line)}")


def _length(line: Performance) -> str:
    from charts.wording import clock, many

    bars = many(line.song.bars, "bar")
    return f"{clock(line.seconds)} with the count-in, {bars}, {many(len(line.parts), 'section')}"


def bars_before(text: str | None) -> int:
    """``1``, ``2 bars``: how long before a section the warning sounds; 0 where none is asked for.

    >>> bars_before("2 bars"), bars_before(None)
    (2, 0)
    """
    if text is None:
        return 0
    found = re.fullmatch(r"\s*(\d{1,3})(?:\s*bars?)?\s*", text, re.ASCII)
    if not found or not 1 <= int(found[1]) <= MOST_WARN:
        raise FeelmapError(f"“{text}” is no number of bars", f"write --warn 1, up to {MOST_WARN}")
    return int(found[1])


def practice(
    name: Annotated[str, argument("PATTERN or NAME", "A fill or groove, or a chart with a section of it.")],
    section: Annotated[
        str | None, argument("[SECTION]", "A section of the chart; Chorus#2 is its second appearance.")
    ] = None,
    tempo: Annotated[
        list[str] | None, option("--tempo", "A file at this tempo; may be said again for a ladder.", "BPM")
    ] = None,
    feel: Annotated[str | None, option("--feel", "The feel of the groove under a pattern.", "FEEL")] = None,
    bars: Annotated[
        int, option("--bars", "Bars of groove before the fill.", "N", min=0, max=MOST_GROOVE_BARS)
    ] = 3,
    times: Annotated[
        int, option("--times", "How often the loop goes round.", "N", min=1, max=MOST_TIMES)
    ] = 4,
    level: LevelOption = -6.0,
    output: Annotated[
        Path | None, option("-o --output", "The folder for the files; made where it is missing.", "DIR")
    ] = None,
    book: BookOption = None,
) -> None:
    """A practice loop with click: groove, the fill where it belongs, the landing on one, and again.

    A WAV and a MIDI file a tempo. Without --tempo two: slow, at two thirds, and at tempo (a section's own;
    for a pattern 100, or the nearest that suits it).

    Mind your ears: start with the volume low. 85 dBA is the most for eight hours, and every 3 dB more halves
    the time: 94 dBA one hour, 100 dBA a quarter of an hour (NIOSH 98-126). Mind your hands: begin slow, go
    faster only when it is easy, rest often, and stop when it hurts.

    Example: feelmap practice "stairs in threes" --feel shuffle --tempo 60 --tempo 92 -o loops
    """
    from render.sound.practice import usual_tempi
    from render.sound.practice_files import practice_files
    from render.sound.wave_file import peak_of
    from render.terminal.progress import Progress

    peak_of(level)
    given = _tempi(tempo)
    exercise = _exercise(name, section, feel, bars, book)
    tempi = given or usual_tempi(exercise.tempo)
    with Progress("practice loops", len(tempi)) as progress:
        _write_all(practice_files(exercise, tempi, times, level, progress.step), output)
    say(exercise.told)
    _mind_the_fill(exercise, tempi)


def _tempi(given: list[str] | None) -> list[Fraction]:
    if given and len(given) > MOST_TEMPI:
        raise FeelmapError(f"{len(given)} tempi are too many", f"write at most {MOST_TEMPI}")
    return list(dict.fromkeys(tempo_given(text) for text in given or []))


def _mind_the_fill(exercise: Exercise, tempi: Sequence[Fraction]) -> None:
    """A fill off the feel's grid, or above the tempi it is made for, is written all the same, and told."""
    from charts.placing import lay_fill
    from charts.verdict import fits
    from charts.wording import figure, per_minute

    section = exercise.section
    for use in section.fills:
        feel = exercise.feel_of(use)
        laid = lay_fill(section, use, section.times)
        if use.pattern is None or laid is None:
            continue
        under = [(shape, tempi[-1]) for _, _, shape in laid.slots]
        if not (use.on_purpose or fits(laid.pattern, feel, under)):
            say(f"{use.title} clashes with {feel.name}: feelmap fit tells where, feelmap regrid re-lays it")
        high = use.pattern.tempo[1] if use.pattern.tempo else None
        above = [figure(tempo) for tempo in tempi if high is not None and tempo > high]
        if high is not None and above:
            say(f"{use.title} is made for up to {per_minute(high)}, not {', '.join(above)}")


def _exercise(name: str, section: str | None, feel: str | None, bars: int, book: Path | None) -> Exercise:
    from charts.appearances import chart_of, one_named
    from render.sound.practice import section_exercise

    if section is None:
        return _pattern_exercise(name, feel, bars, book)
    if feel is not None:
        raise FeelmapError("a section has its feel in the chart", "leave --feel off, or name a pattern alone")
    opened = open_book(book)
    try:
        song = opened.song_at(chart_of(opened, name, section))
    except FeelmapError as error:
        raise _of_a_pattern(opened, name, section) or error from None
    index = one_named(song, section)
    if "#" not in section:  # the appearance that has something to practise
        same = [i for i, each in enumerate(song.form) if each.name == song.form[index].name and each.fills]
        index = same[0] if same else index
    return section_exercise(song, index, bars, opened.patterns.grooves())


def _of_a_pattern(book: Book, name: str, section: str) -> FeelmapError | None:
    """What to say where a section is asked of a pattern, or its feel is given without ``--feel``."""
    try:
        pattern = pattern_named(book, name)
    except FeelmapError:
        return None
    hint = f'write --feel "{section}"' if book.feels.get(section) else f"leave “{section}” out"
    return FeelmapError(f"{pattern.name} is a pattern and has no sections", hint)


def _pattern_exercise(name: str, feel: str | None, bars: int, book: Path | None) -> Exercise:
    from render.sound.practice import feel_for, pattern_exercise, tempo_for

    opened = open_book_or_shipped(book)
    pattern = _pattern(opened, name)
    grooves = opened.patterns.grooves()
    chosen = opened.feels.named(feel) if feel is not None else feel_for(pattern, opened.feels, grooves)
    if feel is None:
        say(f"in {chosen.name}; --feel says another")
    return pattern_exercise(pattern, chosen, bars, grooves, tempo_for(pattern))


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


def _write_all(files: dict[str, Iterable[bytes]], folder: Path | None) -> None:
    """Write every file; without a folder of the user's naming nothing that is there is overwritten."""
    from charts.writing import write_together

    paths = {(folder or Path()) / name: data for name, data in files.items()}
    if folder is None:
        taken = next((path for path in paths if path.exists()), None)
        if taken is not None:
            raise FeelmapError(f"{taken} is already there", "name a folder with -o DIR, or move it away")
    elif folder.exists() and not folder.is_dir():
        raise FeelmapError(f"{folder} is a file", "name a folder: -o DIR")
    write_together(paths, replace=folder is not None, folders=folder is not None)
    for path in paths:
        say(f"wrote {path}")
