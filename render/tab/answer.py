"""The answer to a shell that asks what may follow on the line: one word on a line of output.

What is offered may come from a chart that somebody sent, so it must stay data: on the way into the shell, on
the line, and when the line is run. Our scripts never evaluate an answer. zsh and fish quote a word for where
it goes; for bash it is quoted here. A word that no quoting keeps data in every place is not offered.
"""

from __future__ import annotations

import os
import re
import shlex
import sys
from typing import Any

from typer._click.shell_completion import CompletionItem, _resolve_context, _resolve_incomplete

SHELLS = ("bash", "zsh", "fish")
# Between backquotes or in double quotes, quoting these can need more than one layer.
_COMMAND_SIGNS = frozenset("$`\\")
# A script of before this module evaluates its answer: it gets one that holds nothing from a file.
_EVALUATED = {"complete_zsh": "_message 'run feelmap --install-completion once more'"}
_END = "\0"  # cannot be on a command line
_BASH_SIGNS = re.compile(r"(^#|[^\w@%+=:,./#-])")
_ENDING = {"'": "'", '"': '"!'}  # in open quotes: what would close them, or look up history


def answer(group: Any, asked: str) -> None:
    """Print what may follow; ``asked`` is the shell, the line up to the cursor is in the environment."""
    if asked not in SHELLS:
        print(_EVALUATED.get(asked, ""), end="")
        return
    line = os.environ.get("_FEELMAP_LINE", "")
    (*words, incomplete), _ = read_line(line)
    offers = [offer for offer in offered(group, words[1:], incomplete) if is_data(offer.value, incomplete)]
    for offer in offers:
        if asked == "bash":
            word = for_bash(offer.value, line.removesuffix(os.environ.get("_FEELMAP_WORD", "")))
        else:
            word = f"{offer.value}\t{' '.join(offer.help.split())}" if offer.help else offer.value
        if word:
            print(word)


def offered(group: Any, words: list[str], incomplete: str) -> list[CompletionItem]:
    """What the option parser and the completers offer, whole words with what was typed of them."""
    option, equals, value = incomplete.partition("=")
    if not (equals and option.startswith("--")):
        option, equals, value = "", "", incomplete
    words = [*words, option] if option else words
    context = _resolve_context(group, {}, "feelmap", words)
    asked, value = _resolve_incomplete(context, words, value)
    found = asked.shell_complete(context, value)
    return [CompletionItem(option + equals + str(each.value), help=each.help) for each in found]


def is_data(word: str, typed: str = "") -> bool:
    """Whether quoting keeps a word data, in each of the shells and wherever it goes on the line.

    >>> is_data("R&B tag; (2) 'x'!"), is_data("Ca$h"), is_data("`ls`"), is_data("a\\nb"), is_data("-rf")
    (True, False, False, False, False)
    """
    if not word.isprintable() or _COMMAND_SIGNS & set(word):
        return False
    if word.startswith("~") or (word.startswith("-") and not typed.startswith("-")):
        return False  # a home folder, which fish does not quote, or an option
    # elsewhere a letter may turn into a question mark, or its bytes hold a sign of the shell's
    return word.isascii() or sys.stdout.encoding.lower() == "utf-8"


def read_line(line: str) -> tuple[list[str], str]:
    """The words of a line, the last one unfinished (empty after a space), and the quote that is open.

    >>> read_line("feelmap show 'our so"), read_line("feelmap show ")
    ((['feelmap', 'show', 'our so'], "'"), (['feelmap', 'show', ''], ''))
    """
    reader = shlex.shlex(line + _END, posix=True)
    reader.whitespace_split, reader.commenters = True, ""
    words: list[str] = []
    quote = ""
    try:
        for word in reader:
            words.append(word)
    except ValueError:  # the line ends inside quotes
        quote = str(reader.state)  # type: ignore[attr-defined]  # it is there, and is the quote
        words.append(reader.token)
    return [*words[:-1], words[-1].removesuffix(_END)], quote


def for_bash(word: str, before: str) -> str:
    """The rest of a word as it goes on bash's line after ``before``; empty where it cannot.

    bash puts the answer on the line as it is, after the last quote, ``:`` or ``=`` of the word, and closes a
    quote that is open.

    >>> for_bash("R&B tag", "feelmap show x "), for_bash("R&B tag", "feelmap show x 'R")
    ('R\\\\&B\\\\ tag', '&B tag')
    >>> for_bash("goin' on", "feelmap show '")
    ''
    """
    (*_, typed), quote = read_line(before)
    rest = word.removeprefix(typed)
    if quote:
        return "" if set(_ENDING[quote]) & set(rest) else rest
    return _BASH_SIGNS.sub(r"\\\1", rest)
