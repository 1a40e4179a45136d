"""A fill put into a book's fills without touching anything else."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from support import pattern, write_book

from charts.book import Book
from charts.editing.saving import save_fill, with_fill
from charts.pattern import Pattern
from charts.source import FeelmapError, Source
from charts.timing import Meter

FILL = replace(pattern("SD Oo|o.\nFT ..|.o\nstick RL|RL"), name="new one", suits="a turn; into, what?")
ENTRY = """  new one:
    suits: a turn; into, what?
    rows: |
      SD    Oo|o.
      FT    ..|.o
      stick RL|RL
"""
OLD = """# mine
fills:  # all of them

  # the first
  a:   {rows: 'SD o'}   # short
  b:
    rows: |
      SD oo

grooves:
  g: {rows: "HH x"}
"""


@pytest.mark.parametrize(
    ("old", "expected"),
    [
        ("", "fills:\n" + ENTRY),
        ("# nothing yet", "# nothing yet\nfills:\n" + ENTRY),
        ("fills:\n", "fills:\n" + ENTRY),
        (OLD, OLD.replace("# all of them\n", "# all of them\n" + ENTRY)),
        ("grooves:\n  g: {rows: HH x}\n", "fills:\n" + ENTRY + "grooves:\n  g: {rows: HH x}\n"),
        ("---\n# top\ngrooves: {}\n", "---\n# top\nfills:\n" + ENTRY + "grooves: {}\n"),
    ],
    ids=["empty", "only a comment", "no fill yet", "others", "only grooves", "with a marker"],
)
def test_what_was_there_stays(old: str, expected: str) -> None:
    """One piece of text goes in; comments, order, quotes and spaces are as they were."""
    text, start = with_fill(Source("fills/f.yaml", old), FILL)
    assert text == expected
    assert text[start:].startswith("new one:")


@pytest.mark.parametrize("old", ["fills: {a: {rows: SD o}}\n", "fills: {}", "{grooves: {g: {rows: HH x}}}"])
def test_a_file_in_braces_is_kept_in_braces(old: str) -> None:
    """The entry goes after the brace, in quotes."""
    text, start = with_fill(Source("fills/f.yaml", old), FILL)
    assert '"SD    Oo|o.\\nFT    ..|.o\\nstick RL|RL"' in text
    piece = len(text) - len(old)
    kept = [text[:cut] + text[cut + piece :] for cut in range(start + 1)]
    assert old in kept


def test_the_files_own_line_ends_are_used() -> None:
    """A file from elsewhere keeps CR LF throughout."""
    text, _ = with_fill(Source("f.yaml", "fills:\r\n    a: {rows: SD o}\r\n"), FILL)
    assert "\n" not in text.replace("\r\n", "")
    assert "\r\n    new one:\r\n      suits" in text


def test_meter_and_swing_are_said() -> None:
    """What the rows alone do not tell is written beside them."""
    fill = replace(FILL, meter=Meter.read("7/8 (2+2+3)"), swung=True)
    text, _ = with_fill(Source("f.yaml", ""), fill)
    for line in ("    meter: 7/8 (2+2+3)\n", "    written: straight\n    played: swung\n"):
        assert line in text


@pytest.mark.parametrize(
    ("old", "message", "hint"),
    [
        ("fills: {a: \n", "f.yaml cannot be read", "the messages above say why"),
        ("fills: *x\n", "f.yaml cannot be read", "the messages above say why"),
        ("just words\n", "f.yaml cannot be read", "it has to begin with fills: and the fills by name"),
        ("- a\n", "f.yaml cannot be read", "it has to begin with fills: and the fills by name"),
        ("fills: [a]\n", "f.yaml would not read back as meant", "write the fill into the file by hand"),
        ("fills: a\n", "f.yaml leaves no safe place for a fill", "write it into the file by hand"),
        ("{fills: }\n", "f.yaml leaves no safe place for a fill", "write it into the file by hand"),
        (
            "? fills\n: a: {rows: SD o}\n",
            "f.yaml leaves no safe place for a fill",
            "write it into the file by hand",
        ),
    ],
)
def test_a_file_that_takes_no_fill_is_left_alone(old: str, message: str, hint: str) -> None:
    """It has to be mended first, or written by hand; what is wrong in it is told."""
    with pytest.raises(FeelmapError) as told:
        with_fill(Source("f.yaml", old), FILL)
    assert (message, hint, "messages above" in hint) == (
        told.value.message,
        told.value.hint,
        bool(told.value.findings),
    )


def test_a_file_that_is_no_text_is_left_alone(tmp_path) -> None:
    """Its place and why are told."""
    book = write_book(tmp_path)
    (tmp_path / "fills").mkdir()
    (tmp_path / "fills" / "mine.yaml").write_bytes(b"fills:\n  a: \xff\n")
    with pytest.raises(FeelmapError, match=r"fills/mine\.yaml cannot be read") as told:
        save_fill(book, FILL, "x")
    assert ["byte 0xff is not UTF-8"] == [finding.message for finding in told.value.findings]


def test_a_first_fill_makes_the_file(tmp_path) -> None:
    """A book without fills gets fills/fills.yaml, and reads it back."""
    book = write_book(tmp_path)
    saved = save_fill(book, FILL, "two  drums")
    assert (saved.file, saved.line) == ("fills/fills.yaml", 2)
    assert Book(tmp_path).patterns.get("two drums") == FILL


def test_a_byte_order_mark_stays(tmp_path) -> None:
    """The first three bytes are as they were."""
    book = write_book(tmp_path, fills__mine="fills:\n  a: {rows: SD o}\n")
    path = tmp_path / "fills" / "mine.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    save_fill(book, FILL, "b")
    assert path.read_bytes().startswith(b"\xef\xbb\xbffills:\n  b:\n")


def test_a_fill_goes_where_it_came_from(tmp_path) -> None:
    """Of two files the one that holds the original."""
    book = write_book(
        tmp_path, fills__a="fills:\n  a: {rows: SD o}\n", fills__z="fills:\n  z: {rows: SD o}\n"
    )
    own = book.patterns.get("z")
    assert own is not None
    assert save_fill(book, own, "z again").file == "fills/z.yaml"
    assert save_fill(Book(tmp_path), FILL, "elsewhere").file == "fills/a.yaml"


@pytest.mark.parametrize("name", ["a", "A", "Stairs in Threes", "", "bell\a"])
def test_a_name_that_is_taken_or_none_is_refused(tmp_path, name: str) -> None:
    """In any spelling, in the book or in what ships; nothing is written."""
    book = write_book(tmp_path, fills__mine="fills:\n  a: {rows: SD o}\n")
    before = (tmp_path / "fills" / "mine.yaml").read_bytes()
    with pytest.raises(FeelmapError):
        save_fill(book, FILL, name)
    assert (tmp_path / "fills" / "mine.yaml").read_bytes() == before


@pytest.mark.parametrize("name", ["yes", "7", "no: way", "{brace", "- dash", "naïve – one", "# hash"])
def test_any_words_may_be_a_name(tmp_path, name: str) -> None:
    """Names that YAML would read as something else are quoted."""
    save_fill(write_book(tmp_path), FILL, name)
    assert Book(tmp_path).patterns.get(name) == FILL


def test_a_tempo_range_is_not_taken_over() -> None:
    """The new fill was judged at one tempo only."""
    ranged = replace(FILL, tempo=(F(60), F(90)))
    assert "tempo" not in with_fill(Source("f.yaml", ""), ranged)[0]
    assert isinstance(ranged, Pattern)


def test_a_groove_goes_with_the_grooves() -> None:
    """It would be no fill."""
    groove = replace(FILL, kind="groove")
    text, _ = with_fill(Source("f.yaml", "fills:\n  a: {rows: SD o}\ngrooves:\n  g: {rows: HH x}\n"), groove)
    assert text.index("grooves:") < text.index("new one:") < text.index("  g:")
