"""The command ``check``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from charts.source import FeelmapError
from render.cli.common import open_book_or_shipped, print_json, print_lines
from render.cli.options import BookOption, JsonOption, argument, option
from render.terminal.saying import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from charts.source import Finding


def check(
    names: Annotated[
        list[str] | None,
        argument("[NAME or PATH]...", "Charts, set lists or files. Default: all of the book."),
    ] = None,
    explain: Annotated[
        str | None, option("--explain", "Say what a rule does, why, and what to write instead.", "RULE")
    ] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Find every fill that fights its feel, and whatever else does not hold together.

    Exit status 1 where there are errors; warnings and notes alone are 0.

    Example: feelmap check harbour
    """
    if explain is not None:
        from render.terminal.ink import columns

        print_lines(_folded(explained(explain), columns(sys.stdout)))
        return
    from render.terminal.progress import Progress
    from setlists.whole_book import check_book, check_named

    opened = open_book_or_shipped(book)
    if not names and opened.root is None:
        from charts.book import Book

        Book.find(book)  # says that there is no book here
    with Progress("check") as progress:
        follow = progress.follow
        checked = check_named(opened, names, follow) if names else check_book(opened, follow)
    _print(checked.findings, checked.counts, as_json, len(names or ()))
    if any(finding.is_error for finding in checked.findings):
        raise typer.Exit(1)


def _print(findings: list[Finding], counts: dict[str, int], as_json: bool, named: int) -> None:
    from render.terminal.findings import finding_json, findings_lines

    if as_json:
        print_json({"checked": counts, "findings": [finding_json(finding) for finding in findings]})
        return
    print_lines(findings_lines(findings, sys.stdout))
    sys.stdout.flush()
    say(summary(findings, counts, named))
    for line in _where_errors_are(findings):
        say(line)


MANY = 6  # findings from which on the first have scrolled away
MOST_TOLD = 12  # errors told once more


def _where_errors_are(findings: list[Finding]) -> Iterator[str]:
    """The errors once more in a line each, where they stand among so much else that they scrolled away."""
    from render.terminal.findings import head_line
    from render.terminal.ink import columns

    errors = [finding for finding in findings if finding.is_error]
    if len(findings) < MANY:
        return
    for finding in errors[:MOST_TOLD]:
        yield f"  {head_line(finding, columns(sys.stderr) - 2)}"
    if len(errors) > MOST_TOLD:
        yield f"  and {len(errors) - MOST_TOLD} more errors"


def summary(findings: list[Finding], counts: dict[str, int], named: int = 0) -> str:
    """One line: what was checked and what was found; settings and feels are files that were ``named``."""
    from charts.wording import many

    nouns = {"charts": "chart", "setlists": "set list", "fills": "fill"}
    what = ", ".join(many(count, nouns[key]) for key, count in counts.items() if count)
    what = what or (many(named, "file") if named else "nothing")
    levels = {
        level: sum(finding.level == level for finding in findings) for level in ("error", "warning", "note")
    }
    found = ", ".join(many(count, level) for level, count in levels.items() if count)
    good = "this book has no charts yet" if what == "nothing" else "all good"
    return f"checked {what}: {found or good}"


PROSE = 100  # columns up to which a rule's words are folded anew


def _folded(text: str, width: int) -> Iterator[str]:
    """A rule's words within the width; examples, which are indented, stay as they are."""
    from render.terminal.ink import folded_words

    for number, paragraph in enumerate(text.split("\n\n")):
        if number:
            yield ""
        if width < PROSE and "\n " not in paragraph:
            yield from folded_words(paragraph, width)
        else:
            yield from paragraph.split("\n")


def explained(rule: str) -> str:
    """A rule's own words; raises with the list of rules where there is no such rule."""
    from charts.spelling import nearest
    from setlists.whole_book import all_rules

    rules = all_rules()
    if rule not in rules:
        like = nearest(rule, rules)
        raise FeelmapError(
            f"no rule is called “{rule}”",
            f"{f'did you mean {like}? ' if like else ''}the rules are {', '.join(rules)}",
        )
    return rules[rule]
