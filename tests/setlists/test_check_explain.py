"""Every rule between songs explains itself, and its own examples prove it."""

from __future__ import annotations

from pathlib import Path

import pytest
from band import band, gig
from rule_docs import examples, is_told_in_order

from setlists.check.subject import RULES


@pytest.mark.parametrize("name", RULES.rules)
def test_a_rule_says_what_why_and_instead(name: str) -> None:
    """In this order, under its own name."""
    assert is_told_in_order(name, RULES.rules[name].doc)


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
