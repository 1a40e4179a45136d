"""Set lists of a book, found by name and made into gigs."""

from __future__ import annotations

from pathlib import Path

import pytest
from band import band, one_set
from support import write_book

from charts.book import Book
from charts.source import FeelmapError
from setlists.book import gig_named, look_up_setlist
from setlists.whole_book import check_book, check_named


def with_lists(tmp_path: Path) -> Book:
    """The band's book with three set lists."""
    book = band(tmp_path)
    folder = tmp_path / "setlists"
    folder.mkdir()
    (folder / "mill.yaml").write_text('gig: "Mill Street, Friday"\nsets: [{songs: [Tin Roof]}]\n')
    (folder / "fete.yaml").write_text("gig: Fête at the lock\nsets: [{songs: [Tin Roof, Tin Rooof]}]\n")
    (folder / "nameless.yaml").write_text("sets: [{length: soon, songs: [Tin Roof]}]\n")
    return book


@pytest.mark.parametrize("name", ["Mill Street, Friday", "mill", "mill.yaml", "setlists/mill.yaml", "friday"])
def test_a_set_list_is_found_by_name_file_path_or_part(tmp_path: Path, name: str) -> None:
    """As a chart is."""
    assert tmp_path / "setlists" / "mill.yaml" == look_up_setlist(with_lists(tmp_path), name)


def test_a_name_that_matches_nothing_lists_what_there_is(tmp_path: Path) -> None:
    """Or the nearest."""
    book = with_lists(tmp_path)
    with pytest.raises(FeelmapError) as caught:
        look_up_setlist(book, "zzz")
    assert "this book has Fête at the lock; Mill Street, Friday; nameless" == caught.value.hint
    with pytest.raises(FeelmapError, match="no set list is called") as caught:
        look_up_setlist(book, "Fete at the locks")
    assert "did you mean Fête at the lock?" == caught.value.hint


def test_a_book_without_set_lists_says_so(tmp_path: Path) -> None:
    """There is nothing to list, so it is said how to begin."""
    with pytest.raises(FeelmapError) as caught:
        look_up_setlist(band(tmp_path), "mill")
    assert caught.value.hint.startswith("this book has no set list yet: write setlists/NAME.yaml")


def test_a_gig_that_cannot_be_timed_carries_the_reasons(tmp_path: Path) -> None:
    """Unknown songs, and everything that keeps the file from being read."""
    book = with_lists(tmp_path)
    assert 66 == gig_named(book, "mill").seconds
    with pytest.raises(FeelmapError, match=r"setlists/fete.yaml cannot be timed") as caught:
        gig_named(book, "fete")
    assert ["no song is called “Tin Rooof”"] == [finding.message for finding in caught.value.findings]
    with pytest.raises(FeelmapError, match=r"setlists/nameless.yaml cannot be read") as caught:
        gig_named(book, "nameless")
    assert ["“soon” is not a length of time"] == [finding.message for finding in caught.value.findings]


def test_a_gig_with_clashing_fills_is_still_timed(tmp_path: Path) -> None:
    """They are told; the clock does not mind."""
    book = band(tmp_path)
    (tmp_path / "setlists").mkdir()
    (tmp_path / "setlists" / "hall.yaml").write_text(one_set("Tin Roof: {feel: shuffle}"))
    (song,) = gig_named(book, "hall").songs
    assert ["tonight"] == [finding.rule for finding in song.hazards]


def test_every_chart_is_read_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However often a song is played."""
    book = with_lists(tmp_path)
    (tmp_path / "setlists" / "long.yaml").write_text(one_set(*["Tin Roof", "Opener"] * 20))
    read: list[Path] = []
    whole = Book.read_chart
    monkeypatch.setattr(Book, "read_chart", lambda self, path: read.append(path) or whole(self, path))
    assert 40 == len(gig_named(book, "long").songs)
    assert 2 == len(read)


def test_a_feel_that_a_fill_is_made_for_exists(tmp_path: Path) -> None:
    """A slip is a warning with the nearest name, in a whole book and in a file by itself; the book's own count."""
    book = write_book(
        tmp_path,
        feels="feels: {own beat: {divides: [2], family: [ours]}}\n",
        fills__mine='fills:\n  a: {feels: [own beat, ours, any], rows: "SD oo"}\n  b: {feels: sambo, rows: "SD o"}\n',
    )
    file = str(tmp_path / "fills" / "mine.yaml")
    for found in (check_book(book).findings, check_named(Book(tmp_path), [file]).findings):
        assert [(each.rule, each.level, each.hint) for each in found] == [
            ("unknown", "warning", "did you mean samba?")
        ]
        assert found[0].span is not None
        assert found[0].span.line == 3
