"""Values as YAML writes them."""

from __future__ import annotations

import pytest
import yaml
from tricky import TRICKY

from charts.quoting import scalar
from charts.reading.nodes import compose
from charts.source import Source


@pytest.mark.parametrize("text", TRICKY)
def test_reads_back(text: str) -> None:
    """Words read back as they were given, between lines and between braces, in our reader and in others."""
    for style in (None, "'", '"', "|"):
        read_back(text, style)


def read_back(text: str, style: str | None) -> None:
    block = f"a: {scalar(text, flow=False, style=style)}  # c\nb: 1\n"
    flow = f"a: {{k: {scalar(text, flow=True, style=style)}, j: 1}}\n"
    line = f"- {scalar(text, flow=False, style=style)}: {{a: 1}}\n"
    item = f"[{scalar(text, flow=True, style=style)}: {{a: 1}}, b]\n"
    assert yaml.safe_load(block) == {"a": text, "b": 1}
    assert yaml.safe_load(flow) == {"a": {"k": text, "j": 1}}
    assert yaml.safe_load(line) == [{text: {"a": 1}}]
    assert yaml.safe_load(item) == [{text: {"a": 1}}, "b"]
    for whole in (block, flow):
        document = compose(Source("a", whole))
        assert document.root is not None
        node = document.root.value[0][1]
        assert (node.value[0][1] if whole is flow else node).value == text


@pytest.mark.parametrize(
    "text", ["wait, then in", "C# minor", "don't rush", "bars 3-4", "Été", "4 bars", "a/b"]
)
def test_plain_words_stay_plain(text: str) -> None:
    """Words that need no quotes get none."""
    assert scalar(text, flow=False) == text


def test_quotes_are_kept() -> None:
    """A value keeps the quotes that are there."""
    assert scalar("in", flow=True, style="'") == "'in'"
    assert scalar("in", flow=True, style='"') == '"in"'
