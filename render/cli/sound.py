"""The commands that write sound: ``click`` and ``practice``."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from charts.source import FeelmapError
from render.cli.common import open_book
from render.cli.options import BookOption, NameArgument, argument, option
from render.cli.output import kind_of, output_option, write_output
from render.terminal.saying import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from charts.performance import Performance
    from render.sound.loops import Mix
    from render.sound.practice import Exercise

MOST_WARN, MOST_TIMES, MOST_GROOVE_BARS = 16, 64, 32
SOUNDS = {".wav": ".wav", ".wave": ".wav", ".mid": ".mid", ".midi": ".mid"}
LEVEL_HELP = "Peak in dB below full scale, 0 at most."

LevelOption = Annotated[float, option("--level", LEVEL_HELP, "DB")]
SubdivideOption = Annotated[
    bool, option("--subdivide", "Sound the feel's own subdivision as well, swung where it swings.")
]
PracticeName = Annotated[
    str, argument("PATTERN or NAME", "A fill or groove, or a chart with a section of it.")
]
PracticeSection = Annotated[
    str | None, argument("[SECTION]", "A section of the chart; Chorus#2 is its second appearance.")
]
TempoOption = Annotated[
    list[str] | None,
    option(
        "--tempo", "Make a file at this tempo. Repeat it for several. Default: slow, and at tempo.", "BPM"
    ),
]
LadderOption = Annotated[
    str | None, option("--ladder", "One file that climbs: 60-92+4 is 60, 64, 68, up to 92.", "LOW-HIGH+STEP")
]
FeelOption = Annotated[str | None, option("--feel", "The feel of the groove under a pattern.", "FEEL")]
BarsOption = Annotated[
    int | None,
    option("--bars", "Bars of groove before the fill. Default: 3", "N", min=0, max=MOST_GROOVE_BARS),
]
TimesOption = Annotated[
    int | None,
    option(
        "--times", "Times round the loop. Default: 4; on a ladder 2 at each tempo", "N", min=1, max=MOST_TIMES
    ),
]
AcrossOption = Annotated[
    bool,
    option("--across", "The crossing: the last two bars with the fill, then two of the next section."),
]
SilentOption = Annotated[
    int, option("--silent", "After the groove, silent bars: you keep the time.", "BARS", min=0, max=MOST_WARN)
]
CallOption = Annotated[
    bool, option("--call", "Call and answer: the fill, then as many bars of click alone for yours.")
]
NoFillOption = Annotated[
    bool, option("--no-fill", "Leave the fill to you: the groove stops for it and lands with you.")
]
NoDrumsOption = Annotated[bool, option("--no-drums", "Leave the drums to you: the click alone.")]
ClickOption = Annotated[
    float | None,
    option(
        "--click",
        "Make the click louder or softer by this many dB, -30 to 12. Default: 0, clear over a full groove",
        "DB",
    ),
]
FolderOption = Annotated[
    Path | None, option("-o --output", "The folder for the files; made where it is missing.", "DIR")
]


def click(
    name: NameArgument,
    output: Annotated[Path | None, output_option("OUT.wav or OUT.mid", "TITLE.wav")] = None,
    subdivide: SubdivideOption = False,
    warn: Annotated[
        str | None, option("--warn", "Sound a warning this many bars before each new section.", "BARS")
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
        raise FeelmapError(f"“{text}” is not a number of bars", f"write --warn 1, up to {MOST_WARN}")
    return int(found[1])


def practice(
    name: PracticeName,
    section: PracticeSection = None,
    across: AcrossOption = False,
    tempo: TempoOption = None,
    ladder: LadderOption = None,
    feel: FeelOption = None,
    bars: BarsOption = None,
    times: TimesOption = None,
    silent: SilentOption = 0,
    call: CallOption = False,
    no_fill: NoFillOption = False,
    no_drums: NoDrumsOption = False,
    subdivide: SubdivideOption = False,
    click: ClickOption = None,
    level: LevelOption = -6.0,
    output: FolderOption = None,
    book: BookOption = None,
) -> None:
    """A practice loop with click: groove, the fill where it belongs, the landing on one, and again.

    One WAV and one MIDI file for each tempo. Default: two tempos, slow at two thirds, and at tempo (a
    section's own; for a pattern 100, or the nearest that suits it).

    Mind your ears: start with the volume low. 85 dBA is the most for eight hours, and every 3 dB more halves
    the time: 94 dBA one hour, 100 dBA a quarter of an hour (NIOSH 98-126). Mind your hands: begin slow, go
    faster only when it is easy, leave a ladder where it stops being easy, rest often, and stop when it hurts.

    Example: feelmap practice "stairs in threes" --feel shuffle --tempo 60 --tempo 92 -o loops

    Example: feelmap practice harbour bridge --across --subdivide -o loops

    Example: feelmap practice "stairs in threes" --ladder 60-92+4 --silent 2 -o loops

    Example: feelmap practice "stairs in threes" --call --click 3 --tempo 72 -o loops
    """
    from render.cli.practising import Asked, exercise_asked, mix_asked, runs_asked
    from render.sound.practice_files import practice_files
    from render.terminal.progress import Progress

    asked = Asked(
        name, section, across, tempo, ladder, feel, bars, times, silent,
        call, no_fill, no_drums, subdivide, click, level,
    )  # fmt: skip
    mix = mix_asked(asked)
    exercise, words = exercise_asked(asked, book)
    runs = runs_asked(asked, mix, exercise, words)
    with Progress("practice loops", len(runs)) as progress:
        _write_all(practice_files(exercise, runs, mix, progress.step), output)
    say(exercise.told)
    if ladder:
        _tell_ladder(exercise, next(iter(runs.values())), mix)
    _mind_the_fill(exercise, [tempo for run in runs.values() for tempo in run])


def _tell_ladder(exercise: Exercise, tempos: Sequence[Fraction], mix: Mix) -> None:
    from charts.wording import clock, figure
    from render.sound.loops import exercise_song
    from render.sound.practice_files import loop_seconds

    length = loop_seconds(exercise_song(exercise, tempos, mix.times))
    say(f"{len(tempos)} tempos from {figure(tempos[0])} to {figure(tempos[-1])}, {clock(length)} in all")


def _mind_the_fill(exercise: Exercise, tempos: Sequence[Fraction]) -> None:
    """A fill off the feel's grid, or above the tempos it is made for, is written all the same, and told."""
    from charts.placing import lay_fill
    from charts.verdict import fits
    from charts.wording import figure, per_minute

    section = exercise.section
    for use in section.fills:
        feel = exercise.feel_of(use)
        laid = lay_fill(section, use, section.times)
        if use.pattern is None or laid is None:
            continue
        under = [(shape, tempos[-1]) for _, _, shape in laid.slots]
        if not (use.on_purpose or fits(laid.pattern, feel, under)):
            say(f"{use.title} clashes with {feel.name}: feelmap fit shows where, feelmap regrid re-lays it")
        high = use.pattern.tempo[1] if use.pattern.tempo else None
        above = [figure(tempo) for tempo in tempos if high is not None and tempo > high]
        if high is not None and above:
            say(f"{use.title} is made for up to {per_minute(high)}, not {', '.join(above)}")


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
