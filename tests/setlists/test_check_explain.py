"""Every rule between songs explains itself, and its own examples prove it."""

from __future__ import annotations

import re
from pathlib import Path
from textwrap import dedent

import pytest
from band import band, gig

from setlists.check import RULES

HEADINGS = ("What it does:", "Why:", "Example:", "Use instead:")


def examples(doc: str) -> list[str]:
    """The bad and the good set list of a rule's docstring."""
    found = re.search(r"Example:\n(.*?)\nUse instead:\n(.*?)(?:\n\n[^ ]|\Z)", doc, re.DOTALL)
    assert found
    return [dedent(each) for each in found.groups()]


@pytest.mark.parametrize("name", RULES.rules)
def test_a_rule_says_what_why_and_instead(name: str) -> None:
    """In this order, under its own name."""
    doc = RULES.rules[name].doc
    assert doc.startswith(f"{name}: ")
    places = [doc.index(heading) for heading in HEADINGS]
    assert places == sorted(places)


@pytest.mark.parametrize("name", RULES.rules)
def test_the_bad_example_triggers_and_the_good_one_is_clean(tmp_path: Path, name: str) -> None:
    """The rule finds something in the one and nothing in the other."""
    book = band(tmp_path)
    bad, good = (gig(text, book).findings for text in examples(RULES.rules[name].doc))
    assert name in {finding.rule for finding in bad}
    assert name not in {finding.rule for finding in good}
    assert not [finding for finding in good if finding.is_error]


def test_the_rules_are_these() -> None:
    """One file a rule, found by its package."""
    assert [
        "count-off",
        "feel-run",
        "key",
        "meter-change",
        "near-tempo",
        "overrun",
        "segue",
        "swing-change",
        "tonight",
        "twice",
        "unknown",
    ] == list(RULES.rules)
