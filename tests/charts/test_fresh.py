"""A new chart from one line."""

from __future__ import annotations

import pytest
from support import BOOK, findings

from charts.editing.fresh import Start, file_stem, new_chart
from charts.reading.chart import read_chart
from charts.source import Source

FORM = "Intro (4), Verse (8), Chorus (4+4) x2, Verse, Solo (12) x2 open, Chorus"


@pytest.mark.parametrize("feel", [feel.name for feel in BOOK.feels])
def test_new_in_every_feel(feel: str) -> None:
    """In every shipped feel the new chart reads, and has no errors."""
    text = new_chart(Start("Song", feel, "100", FORM), BOOK, "charts/song.yaml")
    assert [finding.message for finding in findings(text) if finding.is_error] == []


def test_what_new_comments_out_is_true() -> None:
    """Each key that is there as a comment reads where its # is taken away."""
    text = new_chart(Start("Song", "shuffle", "100", "Verse (8)"), BOOK, "charts/song.yaml")
    lines = [line for line in text.splitlines() if line.startswith("# ") and line.count(":") == 1]
    keys = [line for line in lines if line.split(":")[0].removeprefix("# ").isalpha()]
    assert len(keys) == 5
    for line in keys:
        text = text.replace(line, line.removeprefix("# "))
    example = next(line for line in text.splitlines() if line.startswith("#   - "))
    example = example.removeprefix("# ").replace("a fill's name", "stairs in threes")
    read = read_chart(Source("charts/song.yaml", text + example + "\n"), BOOK)
    assert read.findings == []


@pytest.mark.parametrize(
    ("title", "stem"),
    [
        ("Harbour Lights", "harbour-lights"),
        ("Ærø, Łódź & Þór", "aero-lodz-thor"),
        ("Straße", "strasse"),
        ("Καλημέρα", "καλημερα"),
        ("../../etc/passwd", "etc-passwd"),
        ("CON", "con"),
        ("…", "song"),
        ("x" * 300, "x" * 80),
    ],
)
def test_file_names(title: str, stem: str) -> None:
    """A title becomes a file name without accents, signs or folders."""
    assert file_stem(title) == stem
