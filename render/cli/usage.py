"""A wrong command line: what the option parser says of it, and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from charts.source import FeelmapError

if TYPE_CHECKING:
    from typer.exceptions import TyperException

# what people call a command -> what does it here
MEANT = {
    "take-in": "import",
    "takein": "import",
    "read": "import",
    "set": "gig",
    "sets": "gig",
    "setlist": "gig",
    "running-order": "gig",
    "open": "show",
    "view": "show",
    "map": "show or page",
    "chart": "show or new",
    "song": "show or new",
    "create": "new or start",
    "init": "start",
    "search": "find",
    "list": "find",
    "songs": "find",
    "edit": "pencil",
    "change": "pencil",
    "convert": "regrid",
    "quantize": "regrid",
    "swing": "regrid",
    "drill": "practice",
    "loop": "practice",
    "metronome": "click",
    "play": "click or practice",
    "print": "page or folder",
    "pdf": "page or folder",
    "lint": "check",
    "explain": "why",
    "grooves": "fills",
}
_EXAMPLE = re.compile(r"^\s*Example: *(.+)$", re.MULTILINE)


def usage_error(error: TyperException) -> FeelmapError:
    """The parser's words; beside them the option that was meant, else an example of the command."""
    meant = getattr(error, "possibilities", None)  # the likeliest first
    said = (error.message if meant else error.format_message()).rstrip(".")
    command = getattr(getattr(error, "ctx", None), "command", None)
    example = _EXAMPLE.search(getattr(command, "help", None) or "")
    if meant:
        hint = f"did you mean {meant[0]}?"
    elif example:
        hint = f"like this: {example[1].strip()}"
    elif command is not None:  # the parser got no further than the program's own options
        hint = "feelmap --help lists the commands; options come after the command"
    else:
        hint = "feelmap COMMAND --help shows what it takes"
    return FeelmapError(said[:1].lower() + said[1:], hint)


def unknown_command(name: str, commands: Iterable[str]) -> FeelmapError:
    """No command of that name; perhaps part of a title in this book, perhaps a command misspelt."""
    from charts.spelling import nearest

    if _is_a_title(name):
        hint = (
            f"did you mean feelmap show {name}?" if name.isalnum() else f'did you mean feelmap show "{name}"?'
        )
    elif name == "help":
        hint = "feelmap --help lists them, feelmap COMMAND --help explains one"
    else:
        like = MEANT.get(name.casefold()) or nearest(name, commands)
        hint = f"did you mean {like}?" if like else "feelmap --help lists them"
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
