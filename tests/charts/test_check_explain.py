"""Every rule explains itself, and its own examples prove it."""

from __future__ import annotations

import pytest
from rule_docs import examples, is_told_in_order
from support import findings, of_rule

from charts.check.subject import RULES


@pytest.mark.parametrize("name", RULES.rules)
def test_a_rule_says_what_why_and_instead(name: str) -> None:
    """In this order, under its own name."""
    assert is_told_in_order(name, RULES.rules[name].doc)


@pytest.mark.parametrize("name", RULES.rules)
def test_the_bad_example_triggers_and_the_good_one_is_clean(name: str) -> None:
    """The rule finds something in the one and nothing in the other."""
    bad, good = examples(RULES.rules[name].doc)
    assert of_rule(findings(bad), name)
    assert not of_rule(findings(good), name)
    assert not [finding for finding in findings(good) if finding.is_error]
