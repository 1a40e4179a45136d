"""The commands that write a user's files, ``start``, ``new``, ``pencil``, and ``schema`` about them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from charts.source import FeelmapError
from render.cli.common import open_book, print_json, print_lines, shown_path
from render.cli.options import BookOption, NameArgument, argument, option
from render.terminal.saying import say

if TYPE_CHECKING:
    from charts.editing.files import Marked
    from charts.editing.wish import Wish


def start(
    folder: Annotated[Path, argument("DIR", "The new book's folder; made where it is missing.")],
) -> None:
    """A new empty book: settings as comments, folders for charts, set lists and fills.

    Nothing is overwritten.

    Example: feelmap start ourbook
    """
    from setlists.empty_book import start_book

    print_lines(str(path) for path in start_book(folder))
    where = f'"{folder}"' if " " in str(folder) else folder
    say(f'next: cd {where}, then feelmap new "Our Song" --feel shuffle --tempo 120 --form "Verse (8)"')


def new(
    title: Annotated[str, argument("TITLE", "The song's title.")],
    feel: Annotated[str, option("--feel", "feelmap feels lists them.", "FEEL")],
    tempo: Annotated[str, option("--tempo", "Felt beats per minute.", "BPM")],
    form: Annotated[str, option("--form", "NAME (BARS) xTIMES open, separated by commas.", "LINES")],
    key: Annotated[str, option("--key", "The key.", "KEY")] = "",
    meter: Annotated[str, option("--meter", "Default: 4/4.", "METER")] = "",
    by: Annotated[str, option("--by", "Writer or artist.", "NAME")] = "",
    book: BookOption = None,
) -> None:
    """A chart from one line, with comments that say what else can be in it. Nothing is overwritten.

    Example: feelmap new "Our Song" --feel shuffle --tempo 120 --form "Intro (4), Verse (8), Chorus (8) x2"
    """
    from charts.check.key import no_key
    from charts.editing.fresh import Start, write_new_chart

    path = write_new_chart(Start(title, feel, tempo, form, key, meter, by), open_book(book))
    print_lines([shown_path(path)])
    wrong = no_key(key)
    if wrong is not None:
        say(f"{wrong[0]}: {wrong[1]}")


def pencil(
    name: NameArgument,
    section: Annotated[
        str | None, argument("[SECTION]", "The line that defined it; Chorus#2 is its second appearance.")
    ] = None,
    cue: Annotated[str | None, option("--cue", "Words for a bar.", "TEXT")] = None,
    tempo: Annotated[str | None, option("--tempo", "92, or 92 to 104.", "T")] = None,
    feel: Annotated[str | None, option("--feel", "feelmap feels lists them.", "F")] = None,
    bars: Annotated[str | None, option("--bars", "8, or 4+4.", "N")] = None,
    fill: Annotated[str | None, option("--fill", "feelmap fills lists them.", "NAME")] = None,
    dynamics: Annotated[str | None, option("--dynamics", "ppp to fff, or p to f.", "D")] = None,
    bar: Annotated[int | None, option("--bar", "The bar of a cue or a fill.", "N")] = None,
    dry_run: Annotated[bool, option("--dry-run", "Only show the difference; write nothing.")] = False,
    book: BookOption = None,
) -> None:
    """Pencil in what changed: exactly one value in the chart's file, all else kept to the letter.

    Without SECTION the song's own tempo or feel. none takes a value away.

    Example: feelmap pencil harbour chorus --cue "wait, then in" --bar 5
    """
    from charts.appearances import chart_of
    from charts.editing.files import mark_chart
    from charts.editing.wish import KEYS, wish

    given = zip(KEYS, (cue, tempo, feel, bars, fill, dynamics), strict=True)
    asked = [(key, text) for key, text in given if text is not None]
    if len(asked) != 1:
        many = f"name one thing to write, not {len(asked)}" if asked else "name what to write"
        raise FeelmapError(many, f"one of --{', --'.join(KEYS)}")
    opened = open_book(book)
    mark = wish(*asked[0], section, bar, opened)
    marked = mark_chart(opened, chart_of(opened, name, section), mark, write=not dry_run)
    if dry_run:
        _show_difference(marked)
    else:
        _tell(marked, mark)


def _show_difference(marked: Marked) -> None:
    """A unified diff as bytes, line ends and all, so that it can be applied."""
    from charts.editing.difference import difference

    sys.stdout.flush()
    sys.stdout.buffer.write(difference(marked.file, marked.old, marked.new).encode("utf-8"))
    sys.stdout.buffer.flush()


def _tell(marked: Marked, mark: Wish) -> None:
    done = marked.done
    if marked.new == marked.old:
        say(f"{marked.file}:{done.line}: it says so already")
        return
    where = done.section or "song"
    if mark.section is not None and "#" in mark.section and "#" not in where:
        where += mark.section[mark.section.rindex("#") :]
    if mark.bar is not None:
        where += f", bar {mark.bar}"
    was = "new" if done.before is None else f"was “{' '.join(done.before.split())}”"
    what = f"removed {mark.key}" if done.removed else f"{mark.key} “{mark.value}”"
    told = f"{marked.file}:{done.line}: {where}: {what} ({was})"
    if sys.stdout.isatty():
        from render.terminal.ink import columns, folded_words

        print_lines(folded_words(told, columns(sys.stdout), "    "))
    else:
        print_lines([told])
    if reach := _reach(done.places):
        say(f"this holds for {reach} appearances of {done.section}, where they do not say otherwise")


def _reach(appearances: int) -> str:
    """How many appearances a change holds for, in words; empty for one alone.

    >>> _reach(1), _reach(2), _reach(3)
    ('', 'both', 'all 3')
    """
    return "" if appearances < 2 else "both" if appearances == 2 else f"all {appearances}"


def schema(
    kind: Annotated[
        str | None, argument("[chart|fills|feels|setlist|book]", "One kind of file. Default: all of them.")
    ] = None,
) -> None:
    """JSON Schema (2020-12) of a book's files, for an editor's completion.

    Example: feelmap schema chart
    """
    from setlists.schema import schema as schema_of

    print_json(schema_of(kind))
