"""A new empty book: what its files say is so."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from support import findings

from charts.book import Book
from charts.check.run import check_chart
from charts.limits import Limits
from charts.reading.chart import CHART
from charts.reading.files import read_pattern_file
from charts.reading.nodes import compose
from charts.reading.reader import Reader
from charts.reading.section import SECTION
from charts.reading.settings import BOOK, PLAYER, read_settings
from charts.source import Source
from charts.verdict import TOLERANCE_MS
from charts.vocabularies import BOOK_ORIGIN, PatternTable
from setlists.empty_book import CHARTS, FILLS, SETLISTS, TEXTS
from setlists.reading import BREAK, SET, SETLIST, read_setlist
from setlists.songs import SONG


def test_start_lists_every_setting() -> None:
    """book.yaml names every key there is, and reads as the defaults where their # is taken away."""
    text = TEXTS["book.yaml"].format(name="x")
    bare = [line.removeprefix("# ") for line in text.splitlines()]
    keys = "\n".join(line for line in bare if line.split(":")[0] in BOOK)
    loaded = yaml.safe_load(keys)
    assert list(loaded) == ["name", "paper", "distance", "kit", "count", "tolerance", "player"]
    assert set(loaded) == set(BOOK)
    assert set(loaded["player"]) == set(PLAYER)
    source = Source("book.yaml", keys)
    reader, root = Reader(source), compose(source).root
    assert root is not None
    settings = read_settings(reader, root)
    assert reader.findings == []
    usual = Limits()
    assert (settings.paper, settings.distance, settings.left_handed) == ("A4", 1.0, False)
    assert settings.tolerance == TOLERANCE_MS
    for field in ("hand_ms", "hand_double_ms", "foot_ms", "foot_double_ms"):
        rates = [1000 / float(getattr(limits, field)) for limits in (settings.limits, usual)]
        assert rates[0] == pytest.approx(rates[1], abs=0.1), field


def blocks(text: str) -> list[str]:
    """The YAML in a README."""
    return [part.split("```")[0] for part in text.split("```yaml\n")[1:]]


def test_start_shows_every_key_of_a_chart_and_a_set_list(tmp_path: Path) -> None:
    """Nobody has to read a schema; what is there holds together but for its odd lengths."""
    (tmp_path / "charts").mkdir()
    path = tmp_path / "charts" / "a.yaml"
    path.write_text(blocks(CHARTS)[1])
    assert {"odd-length"} >= {found.rule for found in check_chart(Book(tmp_path), path)}
    chart = yaml.safe_load(blocks(CHARTS)[1])
    assert set(chart) == set(CHART)
    lines = [value for line in chart["form"] if isinstance(line, dict) for value in line.values()]
    in_the_line = {"bars", "times", "open"}
    assert {key for keys in lines for key in keys} == set(SECTION) - in_the_line
    gig = yaml.safe_load(blocks(SETLISTS)[0])
    assert set(gig) == set(SETLIST)
    assert {key for part in gig["sets"] for key in part} == {*SET, *BREAK}
    songs = [song for part in gig["sets"] for song in part.get("songs", [])]
    assert {key for song in songs for keys in song.values() for key in keys} == set(SONG)


def test_start_examples_read(tmp_path: Path) -> None:
    """The example in each folder's README reads without a finding."""
    chart, setlist, fills = (blocks(text)[0] for text in (CHARTS, SETLISTS, FILLS))
    assert findings(chart) == []
    file = read_pattern_file(Source("fills/a.yaml", fills), BOOK_ORIGIN)
    table = PatternTable([file])
    assert [pattern.beats for pattern in table.fills()] == [4]
    assert table.findings == []
    (tmp_path / "charts").mkdir()
    (tmp_path / "charts" / "our-song.yaml").write_text(chart)
    found, told = read_setlist(Source("setlists/a.yaml", setlist), Book(tmp_path))
    assert found is not None
    assert told == []
