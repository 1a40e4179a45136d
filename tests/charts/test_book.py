"""The book: finding it, its vocabulary, looking a song up."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import write_book

from charts.book import Book, is_book
from charts.source import FeelmapError
from charts.titles import folded

SONG = "title: {}\ntempo: 100\nfeel: shuffle\nform: [Verse (8)]\n"


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return write_book(
        tmp_path,
        charts__harbour=SONG.format("Harbour Lights"),
        charts__market=SONG.format("Market Lights"),
        charts__cafe=SONG.format("Café Noir"),
        charts__x1=SONG.format('"Tin, Roof"   # two words'),
    )


@pytest.mark.parametrize(
    ("text", "file"),
    [
        ("Harbour Lights", "harbour.yaml"),
        ("harb", "harbour.yaml"),
        ("MARKET", "market.yaml"),
        ("harbour.yaml", "harbour.yaml"),
        ("charts/harbour.yaml", "harbour.yaml"),
        ("cafe", "cafe.yaml"),
        ("CAFÉ NOIR", "cafe.yaml"),
        ("tin, roof", "x1.yaml"),
        ("x1", "x1.yaml"),
        ("tin roof", "x1.yaml"),
    ],
)
def test_a_song_is_found_by_title_file_or_clear_part(book: Book, text: str, file: str) -> None:
    """Case and accents do not matter."""
    assert file == book.look_up(text).name


def test_several_matches_are_listed_and_nothing_is_chosen(book: Book) -> None:
    """A line each, with their files."""
    listed = r":\n    Harbour Lights \(charts/harbour.yaml\)\n    Market Lights"
    with pytest.raises(FeelmapError, match=listed):
        book.look_up("lights")


def test_a_miss_offers_the_nearest_title(book: Book) -> None:
    """In the hint."""
    with pytest.raises(FeelmapError) as told:
        book.look_up("Harbor Lihgts")
    assert told.value.hint == "did you mean Harbour Lights?"
    with pytest.raises(FeelmapError) as told:
        book.look_up("harbuor")  # a word of it is enough
    assert told.value.hint == "did you mean Harbour Lights?"


def test_a_whole_title_wins_over_parts(tmp_path: Path) -> None:
    """One song is called Lights, another Harbour Lights."""
    book = write_book(tmp_path, charts__a=SONG.format("Lights"), charts__b=SONG.format("Harbour Lights"))
    assert book.look_up("lights").name == "a.yaml"


def test_the_book_is_the_nearest_folder_upward(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """From any folder below it."""
    assert book.root is not None
    below = book.root / "charts" / "old"
    below.mkdir()
    monkeypatch.chdir(below)
    monkeypatch.delenv("FEELMAP_BOOK", raising=False)
    assert book.root == Book.find().root


def test_feelmap_book_names_the_book(
    book: Book, monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """And a book given by hand goes before it."""
    other = write_book(tmp_path_factory.mktemp("other"), charts__z=SONG.format("Z"))
    monkeypatch.setenv("FEELMAP_BOOK", str(book.root))
    assert (book.root, other.root) == (Book.find().root, Book.find(other.root).root)


def test_no_book_is_told_with_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nowhere upward, and a folder that is none."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("FEELMAP_BOOK", raising=False)
    with pytest.raises(FeelmapError, match="no book in this folder"):
        Book.find()
    with pytest.raises(FeelmapError, match="is not a book"):
        Book.find(tmp_path)
    with pytest.raises(FeelmapError, match="no folder is called"):
        Book.find(tmp_path / "nowhere")


def test_a_folder_with_charts_alone_is_a_book(tmp_path: Path) -> None:
    """book.yaml is optional; a folder charts without YAML is not enough."""
    (tmp_path / "charts").mkdir()
    assert not is_book(tmp_path)
    (tmp_path / "charts" / "a.yaml").touch()
    assert is_book(tmp_path)


def test_a_books_own_vocabulary_goes_before_what_ships(tmp_path: Path) -> None:
    """Feels and fills of the same name."""
    book = write_book(
        tmp_path,
        feels="feels:\n  shuffle: {divides: [3], swing: 1.8}\n  lazy: {divides: [2, 3], swing: 1.5, also: [back]}\n",
        fills__own="fills:\n  stairs in threes: {rows: 'SD ooo'}\n  mine: {like: stairs in threes, suits: a verse}\n",
    )
    own = book.patterns.get("Stairs in Threes")
    assert own is not None
    assert (1, "book") == (own.beats, own.origin)
    mine = book.patterns.get("mine")
    assert mine is not None
    assert ("a verse", own.strokes) == (mine.suits, mine.strokes)
    feel = book.feels.get("shuffle")
    assert feel is not None
    assert str(feel.swing) == "9/5"
    assert book.feels.get("BACK") is book.feels.get("lazy")


def test_settings_are_read_and_their_problems_told(tmp_path: Path) -> None:
    """What book.yaml says, and what it says wrong."""
    book = write_book(tmp_path)
    (tmp_path / "book.yaml").write_text(
        "paper: letter\ndistance: 1.2 m\nkit: left\ntolerance: 25\nplayer: {hand: 8}\ncount: 1 & a\ntempo: 9\n"
    )
    settings = book.settings
    assert ("Letter", 1.2, True, 25, 125, "1 & a") == (
        settings.paper, settings.distance, settings.left_handed, settings.tolerance, settings.limits.hand_ms,
        settings.triplet_count,
    )  # fmt: skip
    assert ["book.yaml has no key “tempo”"] == [finding.message for finding in book.findings]


def test_patterns_that_are_like_each_other_are_told(tmp_path: Path) -> None:
    """A ring has no first pattern."""
    book = write_book(tmp_path, fills__a="fills:\n  one: {like: two}\n  two: {like: one}\n")
    assert book.patterns.get("one") is None
    assert any("like itself" in finding.message for finding in book.patterns.findings)


def test_folding_takes_case_and_accents_off() -> None:
    """For looking things up."""
    assert ("sondag", "ΜΟΥΣΙΚΗ".casefold()) == (folded("Söndag"), folded("Μουσική"))
