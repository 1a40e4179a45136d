"""What the trade's words lead to: never a guess by spelling that a musician would laugh at."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import chart, findings, write_book

from charts.book import Book
from setlists.check.run import check_setlist


def hint_of(text: str) -> str:
    """What is said to a chart's first error."""
    return next(each.hint for each in findings(text) if each.is_error)


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("stabs", "write hits"),
        ("shots", "write hits"),
        ("figures", "write hits"),
        ("chords", "charts have no chords or lyrics; what you listen for goes in a cue"),
        ("ts", "write meter"),
        ("build", "write dynamics"),
        ("level", "write dynamics"),
        ("letter", "the section's name comes first on its line: - A (8)"),
        ("count", "count-in is the song's, beside its tempo"),
        ("setup", "write fill"),
        ("notes", "write cue"),
        ("fermatas", "write holds"),
        ("Stop Time", "write the band's strokes as hits and the silences as stops"),
        ("ritard", "a change of tempo: tempo: 100 to 72"),
        ("coda", "charts are written out as played: name each section again where it comes back"),
        ("tempoo", "did you mean tempo?"),
        ("Tempo", "write tempo"),
    ],
)
def test_keys_of_a_section(written: str, hint: str) -> None:
    """A word of the trade first, then a letter or two."""
    assert hint == hint_of(chart(f"Verse (8): {{{written}: 3}}"))


def test_a_key_that_is_like_none_gets_the_list() -> None:
    """Rather than a guess."""
    assert hint_of(chart("Verse (8): {zither: 3}")).startswith("keys allowed in a section: bars, times, ")


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("intro", "a section is a line under form: - Intro (4)"),
        ("ts", "write meter"),
        ("bpm", "write tempo"),
        ("capo", "put it in notes"),
        ("cues", "it belongs under a section of the form"),
        ("titel", "did you mean title?"),
    ],
)
def test_keys_of_a_chart(written: str, hint: str) -> None:
    """The same at the top of the file."""
    assert hint == hint_of(f"{written}: 4\n" + chart("Verse (8)"))


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("latin", "choose one: samba, bossa nova, cha-cha, mambo, rumba, tango, bembe"),
        ("songo", "did you mean samba?"),
        ("chicago-shuffle", "write shuffle"),
        ("4/4", "4/4 is a meter; a feel is straight eighths, shuffle and the like"),
        ("blues", "a blues is a shuffle or a slow 12/8: choose one"),
        ("zydeco", "feelmap feels lists them all"),
        ("shufle", "did you mean shuffle?"),
    ],
)
def test_feels(written: str, hint: str) -> None:
    """A family is a choice, a meter is not a feel."""
    assert hint == hint_of(chart("Verse (8)", feel=written))


def test_a_fill_by_its_drums() -> None:
    """Leads to the fills on these drums."""
    assert "feelmap fills --voices T1,FT" in hint_of(chart("Verse (8): {fill: big tom fill}"))


@pytest.mark.parametrize(
    "line",
    ["D.S. al Coda", "D.C. al Fine", "DS al coda", "To Coda", "Segno", "1st ending", "Second ending", "Fine"],
)
def test_signs_of_the_road(line: str) -> None:
    """Charts are written out as played."""
    found = next(each for each in findings(chart("Verse (8)", line)) if each.is_error)
    assert f"“{line}” is not a section" == found.message
    assert found.hint.startswith("charts are written out as played")


@pytest.mark.parametrize("line", ["Coda (4)", "First time (8)", "Fine print (8)"])
def test_a_section_may_be_called_like_a_sign(line: str) -> None:
    """With its bars it is a section."""
    assert not [each for each in findings(chart("Verse (8)", line)) if each.is_error]


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("Verse (8) vamp", "write Verse (8) open"),
        ("Verse (8) x ad lib", "write Verse (8) open"),
        ("Verse (8) x? open", "write Verse (8) open"),
        ("Chorus", "write Chorus (8)"),
    ],
)
def test_lines_of_the_form(line: str, hint: str) -> None:
    """An open repeat in other words; a section without bars."""
    assert hint == hint_of(chart("Verse (8)", line))


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("Good Song in G", "write Good Song: {key: G}"),
        ("Good Song in F# minor", "write Good Song: {key: F# minor}"),
        ("Good Song (in G)", "write Good Song: {key: G}"),
        ("Good Song (brushes)", "write Good Song: {notes: brushes}"),
        ("Good Song: G", "{key: G}"),
        ("Good Song >", "write Good Song: {segue: yes}"),
        ("Good Song -> Good Song 2", "write Good Song: {segue: yes}, then Good Song 2 on a line of its own"),
        ("Good Song → Good Song 2", "write Good Song: {segue: yes}, then Good Song 2 on a line of its own"),
        ("Good Song: {length: 3.30}", "write 3:30"),
        ("Good Sonk", "did you mean Good Song?"),
    ],
)
def test_songs_of_a_set(line: str, hint: str, tmp_path: Path) -> None:
    """Words beside a title have keys of their own."""
    book: Book = write_book(
        tmp_path,
        charts__one="title: Good Song\n" + chart("Verse (8)").partition("\n")[2],
        charts__two="title: Good Song 2\n" + chart("Verse (8)").partition("\n")[2],
        setlists__quay=f"gig: Quay\nsets:\n  - songs:\n      - {line}\n",
    )
    (found,) = [each for each in check_setlist(book.setlist_paths()[0], book) if each.is_error]
    assert found.hint.endswith(hint)
