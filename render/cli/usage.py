"""A wrong command line, told in our own words: what is wrong with it, and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

from charts.source import FeelmapError

if TYPE_CHECKING:
    from typer._click.exceptions import UsageError

_EXAMPLE = re.compile(r"^\s*Example: *(.+)$", re.MULTILINE)
_NUMBERS = {"int": "a whole number", "float": "a number"}
SECTION = "SECTION"
ALIKE = 0.65  # of 1, the same: how like an option a misspelt one must be
Told = tuple[str, str]  # what is wrong, what to write instead


def usage_error(error: UsageError, command: Any) -> FeelmapError:
    """What the option parser did not take; ``command`` is the one that was asked for, None where none was."""
    told = _TOLD.get(type(error).__name__, _in_its_words)(error, command)
    return FeelmapError(*(told or _in_its_words(error, command)))


def unknown_command(name: str, commands: Iterable[str]) -> FeelmapError:
    """No command of that name; perhaps part of a title in this book, perhaps a command misspelt."""
    from charts.spelling import nearest

    if _is_a_title(name):
        hint = f"did you mean feelmap show {name if name.isalnum() else _quoted(name)}?"
    else:
        like = nearest(name, commands)
        hint = f"did you mean {like}?" if like else "feelmap --help lists them"
        if name == "help":
            hint += ", feelmap COMMAND --help tells of one"
    return FeelmapError(f"no command is called “{name}”", hint)


def _is_a_title(text: str) -> bool:
    """True for whole words of a title in the book that is here; a misspelt command rarely is one."""
    from charts.book import Book
    from charts.titles import folded

    try:
        book, wanted = Book.find(), f" {folded(text.strip())} "
        return any(wanted in f" {folded(book.title_of(path))} " for path in book.chart_paths())
    except FeelmapError:
        return False  # no book here


def _quoted(text: str) -> str:
    return f'"{text}"'


def _in_its_words(error: Any, command: Any) -> Told:
    plain = error.format_message().rstrip(".")
    return plain[:1].lower() + plain[1:], _example(command)


def _example(command: Any) -> str:
    if command is None:
        return "feelmap --help lists the commands; options stand behind the command"
    found = _EXAMPLE.search(command.help or "")
    return f"like this: {found[1].strip()}" if found else f"feelmap {command.name} --help tells more"


def _missing(error: Any, command: Any) -> Told:
    """A word or an option that the command cannot do without."""
    param = error.param
    what = _option(param) if _is_option(param) else _word(param)
    hint = _example(command)
    if what == SECTION:
        hint += "; feelmap show NAME lists them"
    return f"{command.name} needs {what}", hint


def _is_option(param: Any) -> bool:
    return bool(param.param_type_name == "option")


def _word(param: Any) -> str:
    return str(param.metavar or param.name.upper()).rstrip(".")


def _option(param: Any) -> str:
    """An option with what stands behind it: ``--feel FEEL``."""
    return f"{_name(param)} {param.metavar}" if param.metavar else _name(param)


def _name(param: Any) -> str:
    return str(max(param.opts, key=len))


def _unknown(error: Any, command: Any) -> Told:
    given = error.option_name
    if command is None:
        return f"no option before the command is called {given}", _example(command)
    options = [_name(param) for param in command.params if _is_option(param)]
    like = _like(given, options)
    alone = {f"--{param.name}": _word(param).strip("[]") for param in command.params if not _is_option(param)}
    argument = None if like else _like(given, list(alone))
    if argument:
        return f"{command.name} has no option {given}", f"{alone[argument]} stands alone: {_usage(command)}"
    hint = f"did you mean {like}?" if like else f"it takes {', '.join([*options, '--help'])}"
    return f"{command.name} has no option {given}", hint


def _usage(command: Any) -> str:
    words = " ".join(_word(param) for param in command.params if not _is_option(param))
    return f"feelmap {command.name} {words}"


def _like(given: str, options: Sequence[str]) -> str | None:
    """The option that a misspelt one must mean: with the same first letter, and most of the others."""
    from difflib import SequenceMatcher

    initial = [each for each in options if len(given) == 2 and each[2] == given[1].casefold()]
    if len(initial) == 1:  # -cue is read as -c
        return initial[0]

    def alike(option: str) -> float:
        return SequenceMatcher(None, option.lstrip("-"), given.lstrip("-").casefold()).ratio()

    best = max((each for each in options if each[:3] == given[:3].casefold()), key=alike, default=None)
    return best if best is not None and alike(best) >= ALIKE else None


def _valueless(error: Any, command: Any) -> Told:
    """An option without its value, or with one that it does not take."""
    given = error.option_name
    if "does not take" in error.message:
        return f"{given} takes no value", f"write {given} alone"
    params = command.params if command is not None else []
    param = next((each for each in params if given in each.opts), None)
    return f"{given} has nothing behind it", f"write {given} {(param and param.metavar) or 'N'}"


def _bad_value(error: Any, command: Any) -> Told | None:
    """A word where a number belongs, or a number out of its range."""
    kind, name = error.param.type, _name(error.param)
    what = _NUMBERS.get(kind.name.removesuffix(" range"))
    if what is None:
        return None
    given = error.message.partition(" is not ")[0].strip("'\"")
    least, most = getattr(kind, "min", None), getattr(kind, "max", None)
    within = f" from {least} to {most}" if None not in (least, most) else ""
    return f"{name} takes {what}{within}, not “{given}”", f"write {name} {_nearest_end(given, least, most)}"


def _nearest_end(given: str, least: float | None, most: float | None) -> float:
    """The end of a range that a number lies beyond; its start where it is no number."""
    try:
        return most if most is not None and float(given) > most else least or 1
    except ValueError:
        return least or 1


def _too_much(error: Any, command: Any) -> Told | None:
    """Words that the command has no use for."""
    extra = re.search(r"unexpected extra argument\(s\) \((.*)\)$", error.message, re.DOTALL)
    if extra is None or command is None:
        return None
    words = " ".join(_word(param) for param in command.params if not _is_option(param))
    message = f"“{extra[1]}” is too much: {command.name} takes {words or 'options alone'}"
    option = _option_for(extra[1], error, command)
    if option:
        return message, f"write {option} {extra[1]}"
    return message, "put a name of several words in quotes" if words else _example(command)


def _option_for(extra: str, error: Any, command: Any) -> str | None:
    """The option that a word was meant for: its name stands before the word, or the word is a file's."""
    names = {name for param in command.params if _is_option(param) for name in param.opts}
    given = getattr(error.ctx, "params", {}).values()
    before = next((f"--{word}" for word in given if isinstance(word, str) and f"--{word}" in names), None)
    return before or ("-o" if "-o" in names and _A_FILE.fullmatch(extra) else None)


_A_FILE = re.compile(r"\S+\.(?:pdf|wav|midi?|musicxml|mxl|ya?ml)", re.IGNORECASE)


_TOLD: dict[str, Callable[[Any, Any], Told | None]] = {
    "MissingParameter": _missing,
    "NoSuchOption": _unknown,
    "BadOptionUsage": _valueless,
    "BadParameter": _bad_value,
    "UsageError": _too_much,
}
