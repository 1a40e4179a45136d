"""Songs named in a set list."""

from __future__ import annotations

from pathlib import Path

import pytest
from band import band
from support import write_book

from charts.source import ERROR, WARNING
from setlists.names import SongNames


@pytest.mark.parametrize(
    "name",
    ["Tin Roof", "tin roof", "TIN  ROOF", "tin_roof", "tin_roof.yaml", "charts/tin_roof.yaml"],
)
def test_a_song_is_named_by_title_or_file(tmp_path: Path, name: str) -> None:
    """In any case, with or without the ending."""
    found = SongNames(band(tmp_path)).find(name)
    assert found.path is not None
    assert "tin_roof.yaml" == found.path.name
    assert found.problem is None


def test_accents_do_not_matter(tmp_path: Path) -> None:
    """A set list is often typed on a telephone."""
    assert SongNames(band(tmp_path)).find("cafe au coin, derniere").problem is None


def test_a_clear_part_is_taken_with_a_warning(tmp_path: Path) -> None:
    """Whole words of one title only; the warning says the title."""
    path, problem = SongNames(band(tmp_path)).find("Meadow")
    assert path is not None
    assert problem is not None
    assert (WARNING, "write Long Meadow") == (problem.level, problem.hint)


@pytest.mark.parametrize("name", ["Tin Rooof", "Tin Roo", "Tim Roof"])
def test_a_close_miss_is_an_error_that_offers_the_nearest(tmp_path: Path, name: str) -> None:
    """A name that breaks off inside a word is a miss, too."""
    path, problem = SongNames(band(tmp_path)).find(name)
    assert path is None
    assert problem is not None
    assert (ERROR, "did you mean Tin Roof?") == (problem.level, problem.hint)


def test_a_name_like_nothing_says_how_to_write_a_song_without_a_chart(tmp_path: Path) -> None:
    """And where every song is listed."""
    problem = SongNames(band(tmp_path)).find("Zzyzx").problem
    assert problem is not None
    assert "Zzyzx: {length: 3:30}" in problem.hint


def test_two_songs_of_one_title_are_told_by_their_files(tmp_path: Path) -> None:
    """The title alone does not say which; the file does."""
    text = "title: Twins\ntempo: 100\nfeel: shuffle\nform: [Verse (8)]\n"
    names = SongNames(write_book(tmp_path, charts__one=text, charts__two=text))
    problem = names.find("Twins").problem
    assert problem is not None
    assert "charts/one.yaml, charts/two.yaml" in problem.message
    assert names.find("two").path == tmp_path / "charts" / "two.yaml"


def test_a_part_of_several_titles_is_an_error_that_lists_them(tmp_path: Path) -> None:
    """Nothing is chosen."""
    text = "title: {}\ntempo: 100\nfeel: shuffle\nform: [Verse (8)]\n"
    book = write_book(
        tmp_path, charts__one=text.format("Harbour Lights"), charts__two=text.format("Lights Out")
    )
    path, problem = SongNames(book).find("lights")
    assert path is None
    assert problem is not None
    assert "“lights” could be several songs: Harbour Lights; Lights Out" == problem.message
    assert (ERROR, "write the whole title") == (problem.level, problem.hint)
