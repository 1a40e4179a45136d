"""Every rule explains itself, and its own examples prove it."""

from __future__ import annotations

import re
from textwrap import dedent

import pytest
from support import findings, of_rule

from charts.check.subject import RULES

HEADINGS = ("What it does:", "Why:", "Example:", "Use instead:")


def examples(doc: str) -> tuple[str, str]:
    """The bad and the good chart of a rule's docstring."""
    bad, good = re.search(r"Example:\n(.*?)\nUse instead:\n(.*?)(?:\n\n[^ ]|\Z)", doc, re.DOTALL).groups()  # type: ignore[union-attr]
    return dedent(bad), dedent(good)


@pytest.mark.parametrize("name", RULES.rules)
def test_a_rule_says_what_why_and_instead(name: str) -> None:
    """In this order, under its own name."""
    doc = RULES.rules[name].doc
    assert doc.startswith(f"{name}: ")
    places = [doc.index(heading) for heading in HEADINGS]
    assert places == sorted(places)


@pytest.mark.parametrize("name", RULES.rules)
def test_the_bad_example_triggers_and_the_good_one_is_clean(name: str) -> None:
    """The rule finds something in the one and nothing in the other."""
    bad, good = examples(RULES.rules[name].doc)
    assert of_rule(findings(bad), name)
    assert not of_rule(findings(good), name)
    assert not [finding for finding in findings(good) if finding.is_error]
