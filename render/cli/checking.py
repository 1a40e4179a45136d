"""The commands ``check`` and ``why``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from charts.source import NOTE, FeelmapError
from render.cli.common import open_book_or_shipped, print_json, print_lines
from render.cli.options import BookOption, JsonOption, argument, option
from render.terminal.saying import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from charts.source import Finding
    from setlists.whole_book import Checked


def check(
    names: Annotated[
        list[str] | None,
        argument("[NAME or PATH]...", "Charts, set lists or files. Default: all of the book."),
    ] = None,
    notes: Annotated[bool, option("--notes", "List the notes too; gig lists those of a set list.")] = False,
    lines: Annotated[
        bool, option("--lines", "Begin each finding with file:line:column, as in a pipe.")
    ] = False,
    explain: Annotated[str | None, option("--explain", "The same as feelmap why RULE.", "RULE")] = None,
    as_json: JsonOption = False,
    book: BookOption = None,
) -> None:
    """Find every fill that fights its feel, and anything else that is wrong in the book.

    Errors and warnings are listed, notes are counted. The exit status is 1 if there are errors.

    Example: feelmap check harbour
    """
    if explain is not None:
        why(explain)
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
    _print(checked, as_json, len(names or ()), notes, lines or None)
    if any(finding.is_error for finding in checked.findings):
        raise typer.Exit(1)


def why(
    rule: Annotated[str, argument("RULE", "A rule's name, as findings and notes have it.")],
) -> None:
    """Explain a rule: what it listens for, why it matters on stage, a wrong chart and a right one.

    Example: feelmap why grid
    """
    from render.terminal.ink import columns

    print_lines(_folded(explained(rule), columns(sys.stdout)))


def _print(checked: Checked, as_json: bool, named: int, notes: bool, lines: bool | None) -> None:
    from render.terminal.findings import finding_json, findings_lines

    findings = checked.findings
    if as_json:
        print_json({"checked": checked.counts, "findings": [finding_json(finding) for finding in findings]})
        return
    listed = [finding for finding in findings if _is_listed(finding, notes, bool(named))]
    print_lines(findings_lines(listed, sys.stdout, lines))
    sys.stdout.flush()
    say(summary(findings, checked.counts, named, notes))
    for line in _where_errors_are(listed):
        say(line)
    rules = dict.fromkeys(finding.rule for finding in listed if finding.level != NOTE)
    if rules:
        say("; ".join(f"feelmap why {rule}" for rule in rules))


def _is_listed(finding: Finding, notes: bool, named: bool) -> bool:
    """Errors and warnings; notes where they are asked for, of a set list where it was named."""
    return finding.level != NOTE or (notes and (named or finding.where.setlist is None))


MANY = 6  # findings from which on the first have scrolled away
MOST_TOLD = 12  # errors told once more


def _where_errors_are(findings: list[Finding]) -> Iterator[str]:
    """The errors once more in a line each, where they are among so much else that they scrolled away."""
    from render.terminal.findings import head_line
    from render.terminal.ink import columns

    errors = [finding for finding in findings if finding.is_error]
    if len(findings) < MANY:
        return
    for finding in errors[:MOST_TOLD]:
        yield f"  {head_line(finding, columns(sys.stderr) - 2)}"
    if len(errors) > MOST_TOLD:
        yield f"  and {len(errors) - MOST_TOLD} more errors"


def summary(findings: list[Finding], counts: dict[str, int], named: int = 0, notes: bool = True) -> str:
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
    more = "" if notes or not levels["note"] else " (--notes lists them)"
    return f"checked {what}: {found or good}{more}"


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
            f"{f'did you mean {like}? ' if like else ''}known rules: {', '.join(rules)}",
        )
    return rules[rule]
