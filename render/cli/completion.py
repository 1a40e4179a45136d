"""What the shell offers at the Tab key: charts, set lists, sections, feels, fills and rules by name.

Each completer is given to typer as a parameter's ``autocompletion``, by the table at the end. It offers names
without spaces where it can (file names of charts and set lists; hyphens in feels, fills and sections, which
look-ups take for spaces), is quick, and offers nothing rather than fail: a shell has no place for an error.
``tab.answer`` makes them safe for the shell.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, get_type_hints

import typer
from typer.models import ParameterInfo

if TYPE_CHECKING:
    from charts.book import Book

Completer = Callable[[typer.Context, str], list[str]]
_WORD = re.compile(r"[^\W_]+")
_MOST = 200  # more than that no one reads


def _quiet(names: Callable[[typer.Context, str], list[str]]) -> Completer:
    @wraps(names)
    def complete(ctx: typer.Context, incomplete: str) -> list[str]:
        try:
            return names(ctx, incomplete)[:_MOST]
        except Exception:  # whatever is wrong, the command itself will say it
            return []

    return complete


def _book(ctx: typer.Context, *, shipped: bool = True) -> Book:
    from charts.book import Book

    given = ctx.params.get("book")
    path = Path(given) if given else None
    return Book.find_or_shipped(path) if shipped else Book.find(path)


def _offered(
    names: Iterable[str], incomplete: str, *, hyphens: bool = True, inside: bool = False
) -> list[str]:
    """The names that begin with what was typed.

    Where none does, with ``inside``, those that have a word that begins like that, from this word on: where
    a part of a name is enough. Look-ups know neither case nor accents, so what was typed stays as it is and
    the rest is put after it: shells, and typer before them, drop what does not begin with the very letters.
    """
    spaced = " " in incomplete  # inside quotes
    found = [name.replace(" ", "-") if hyphens and not spaced else name for name in names]
    rests = [rest for name in dict.fromkeys(found) if (rest := _rest(name, incomplete)) is not None]
    if inside and not rests:
        later = [name[word.start() :] for name in found for word in list(_WORD.finditer(name))[1:]]
        rests = [rest for name in dict.fromkeys(later) if (rest := _rest(name, incomplete)) is not None]
    return [incomplete + rest for rest in rests]


def _rest(name: str, typed: str) -> str | None:
    """What of a name is after what was typed, whatever the case and accents, if it begins like that."""
    from charts.titles import folded

    wanted = folded(typed)
    if not folded(name).startswith(wanted):
        return None
    cuts = (length for length in range(len(name) + 1) if folded(name[:length]) == wanted)
    length = max(cuts, default=None)  # the longest takes an accent that is by itself along
    return None if length is None else name[length:]


def _stems(paths: list[Path], incomplete: str, title: Callable[[Path], str]) -> list[str]:
    """File names; titles where no file name begins like that; where no title does, words inside them."""
    stems, titles = [path.stem for path in paths], list(map(title, paths))
    tries = ((stems, False), (titles, False), (stems, True), (titles, True))
    found = (_offered(names, incomplete, hyphens=False, inside=inside) for names, inside in tries)
    return next(filter(None, found), [])


@_quiet
def charts(ctx: typer.Context, incomplete: str) -> list[str]:
    """Charts of the book, by their file names."""
    book = _book(ctx, shipped=False)
    return _stems(book.chart_paths(), incomplete, book.title_of)


@_quiet
def setlists(ctx: typer.Context, incomplete: str) -> list[str]:
    """Set lists of the book, by their file names."""
    from setlists.book import setlist_title

    return _stems(_book(ctx, shipped=False).setlist_paths(), incomplete, setlist_title)


@_quiet
def charts_and_setlists(ctx: typer.Context, incomplete: str) -> list[str]:
    """Both, for the commands that take either."""
    return [*charts(ctx, incomplete), *setlists(ctx, incomplete)]


@_quiet
def feels(ctx: typer.Context, incomplete: str) -> list[str]:
    """Feels, the book's own first."""
    return _offered((feel.name for feel in _book(ctx).feels), incomplete)


@_quiet
def fills(ctx: typer.Context, incomplete: str) -> list[str]:
    """Fills, the book's own first."""
    from charts.pattern import FILL

    return _offered(_book(ctx).patterns.names(FILL), incomplete)


@_quiet
def patterns(ctx: typer.Context, incomplete: str) -> list[str]:
    """Fills and grooves, the book's own first."""
    return _offered(_book(ctx).patterns.names(), incomplete)


@_quiet
def patterns_and_charts(ctx: typer.Context, incomplete: str) -> list[str]:
    """Both, for the command that takes either."""
    return [*patterns(ctx, incomplete), *charts(ctx, incomplete)]


@_quiet
def sections(ctx: typer.Context, incomplete: str) -> list[str]:
    """Sections of the chart that was named before; ``Chorus#`` offers its appearances one by one."""
    named = ctx.params.get("name")
    if not named:
        return []
    lines = _form_names(_book(ctx, shipped=False), str(named))
    if "#" not in incomplete:
        return _offered(lines, incomplete, inside=True)
    numbered = [f"{name}#{lines[: place + 1].count(name)}" for place, name in enumerate(lines)]
    return _offered(numbered, incomplete, inside=True)


def _form_names(book: Book, chart: str) -> list[str]:
    """The names in the form in order, without reading more than its lines."""
    import yaml

    from charts.reading.lines import form_line
    from charts.reading.nodes import compose, read_source
    from charts.source import Source

    source = read_source(book.look_up(chart), chart)
    root = compose(source).root if isinstance(source, Source) else None
    form = next(value for key, value in root.value if key.value == "form") if root is not None else None
    items = form.value if isinstance(form, yaml.SequenceNode) else []
    keys = [item.value[0][0] if isinstance(item, yaml.MappingNode) else item for item in items]
    return [form_line(key.value).name for key in keys]


@_quiet
def rules(ctx: typer.Context, incomplete: str) -> list[str]:
    """Rules of the check."""
    from setlists.whole_book import all_rules

    return _offered(all_rules(), incomplete)


@_quiet
def kinds(ctx: typer.Context, incomplete: str) -> list[str]:
    """Kinds of files that a schema describes."""
    from setlists.schema import KINDS

    return _offered(KINDS, incomplete)


_OF_ANY = {
    "name": charts,
    "names": charts_and_setlists,
    "section": sections,
    "setlist": setlists,
    "feel": feels,
    "fill": fills,
    "pattern": patterns,
    "explain": rules,
    "rule": rules,
}
_OF_COMMAND = {
    "feels": {"name": feels},
    "fills": {"name": patterns},
    "practice": {"name": patterns_and_charts},
    "schema": {"kind": kinds},
}


def offer(app: typer.Typer) -> None:
    """Give every parameter of the app's commands its completer, by command and parameter."""
    for command in app.registered_commands:
        assert command.callback is not None  # it was registered with its function
        own = _OF_COMMAND.get(command.name or "", {})
        hints = get_type_hints(command.callback, include_extras=True)
        for parameter, hint in hints.items():
            for info in getattr(hint, "__metadata__", ()):
                if isinstance(info, ParameterInfo):
                    info.autocompletion = own.get(parameter, _OF_ANY.get(parameter))
        command.callback.__annotations__ = hints  # as text they would be made anew, without completers
