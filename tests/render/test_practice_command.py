"""The options of ``practice``: what goes together, what the files are called, what is said."""

from __future__ import annotations

import io
import sys
from fractions import Fraction as F
from pathlib import Path

import pytest
from support import chart, write_book

from render.cli.app import run
from render.cli.practising import Ladder, ladder_given
from render.sound.loop_names import distinct

FILL = '{rows: "SD ooo|ooo"}'
LAMP = chart(
    f"Verse (4): {{fill: {FILL}}}", f"Chorus (4): {{fill: {FILL}}}", "Verse", "Bridge (4)", "Chorus", "Coda (2)",
    feel="shuffle", tempo="96",
).replace("Test", "Lamp Black")  # fmt: skip


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book with songs and sections whose names are nearly the same."""
    twins = {
        "charts__lamp": LAMP,
        "charts__lamp2": LAMP.replace("Lamp Black", "Lamp-Black?"),
        "charts__verse": LAMP.replace("Lamp Black", "Lamp").replace("Verse", "Black Verse"),
        "charts__two": LAMP.replace("Lamp Black", "Two").replace("Coda (2)", "Chorus 2 (2), Chorus-2 (2)")
        .replace("Chorus 2 (2), Chorus-2 (2)", "Chorus 2 (2)\n  - Chorus-2 (2)"),
        "fills__own": "fills:\n  Lamp:\n    rows: SD ooo|ooo\n  lamp!:\n    rows: SD ooo|ooo\n  two triplets:\n    rows: SD ooo|ooo\n",
    }  # fmt: skip
    write_book(tmp_path, **twins)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def asked(book: Path, monkeypatch: pytest.MonkeyPatch):
    """The names of the files that a command line would write, without writing them."""
    found: list[str] = []

    def names(_exercise, runs, _mix, _done):
        found.extend(runs)
        return {}

    monkeypatch.setattr("render.sound.practice_files.practice_files", names)

    def ask(*words: str) -> list[str]:
        found.clear()
        assert 0 == run(["practice", *words])
        return list(found)

    return ask


THREES = ("stairs in threes", "--tempo", "60")
CHORUS = ("lamp.yaml", "chorus", "--tempo", "60")
ASKED = [
    THREES,
    (*THREES[:2], "60.5"),
    (*THREES[:2], "60.51"),
    (*THREES[:2], "60.511"),
    (*THREES, "--feel", "half-time shuffle"),
    (*THREES, "--feel", "slow 12/8"),
    (*THREES, "--bars", "1"),
    (*THREES, "--times", "1"),
    (*THREES, "--silent", "1"),
    (*THREES, "--silent", "2"),
    (*THREES, "--silent", "2", "--bars", "2"),
    (*THREES, "--call"),
    (*THREES, "--no-fill"),
    (*THREES, "--no-drums"),
    (*THREES, "--subdivide"),
    (*THREES, "--click", "3"),
    (*THREES, "--click", "-3"),
    (*THREES, "--click", "3.5"),
    (*THREES, "--level", "-9"),
    (THREES[0], "--ladder", "60-92+4"),
    (THREES[0], "--ladder", "60-92+8"),
    (THREES[0], "--ladder", "60-92+4", "--times", "4"),
    ("linear turn", "--tempo", "60"),
    CHORUS,
    (*CHORUS, "--across"),
    (*CHORUS, "--silent", "2"),
    ("lamp.yaml", "chorus#2", "--tempo", "60"),
    ("lamp.yaml", "verse", "--tempo", "60"),
    ("lamp2.yaml", "chorus", "--tempo", "60"),
    ("verse.yaml", "black verse", "--tempo", "60"),
    ("two.yaml", "chorus#2", "--tempo", "60"),
    ("two.yaml", "chorus 2#1", "--tempo", "60"),
    ("two.yaml", "chorus 2#2", "--tempo", "60"),
    ("lamp", "--tempo", "60", "--feel", "shuffle"),
    ("lamp!", "--tempo", "60", "--feel", "shuffle"),
]


def test_what_sounds_different_has_another_name(asked):
    """Two tempos, options, feels, sections, appearances or songs never share one, in any case."""
    names = {words: asked(*words) for words in ASKED}
    plain = [name.casefold() for found in names.values() for name in found]
    assert sorted(set(plain)) == sorted(plain)
    assert {len(found) for found in names.values()} == {1}


def test_the_names_are_readable(asked):
    """What is practised, the tempo, and the options that are not as usual."""
    assert ["stairs-in-threes_over_shuffle_60"] == asked(*THREES)
    assert ["stairs-in-threes_over_shuffle_60", "stairs-in-threes_over_shuffle_66.5"] == asked(
        *THREES, "--tempo", "66.5", "--tempo", "60.0", "--bars", "3", "--times", "4", "--click", "0"
    )
    assert ["stairs-in-threes_over_shuffle_60-92+4_silent-2_subdivide_click+3"] == asked(
        THREES[0], "--ladder", " 60 – 92", "--silent", "2", "--subdivide", "--click", "3"
    )
    assert ["two_verse_across_64", "two_verse_across_96"] == asked("two", "verse", "--across")


def test_rows_that_no_book_names_are_told_apart(asked, monkeypatch):
    """Other strokes on standard input, another name."""
    found = []
    for rows in ("SD ooo|ooo", "SD ooo|oo."):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(rows.encode())))
        found += asked("-", "--tempo", "60")
    assert 2 == len(set(found))
    assert all(name.startswith("standard-input-") for name in found)


def test_long_and_foreign_names_stay_within_a_file_system():
    """60 bytes at most for each word, whole letters, and still told apart."""
    one, other = "鼓" * 90, "鼓" * 89 + "打"
    names = [distinct(each, [one, other]) for each in (one, other)]
    assert 2 == len(set(names))
    assert all(len(name.encode()) <= 70 for name in names)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("60-92+4", [60, 64, 68, 72, 76, 80, 84, 88, 92]),
        ("60-70", [60, 64, 68, 70]),
        ("60.5 – 62 + 0.75", [F("60.5"), F("61.25"), 62]),
        ("60-61+40", [60, 61]),
    ],
)
def test_a_ladder_ends_at_its_top(text, expected):
    """Even steps of 4 or as given, and the highest tempo last."""
    assert expected == ladder_given(text).tempos


def test_a_ladder_has_forty_tempos_at_most():
    """40 are made, 41 refused."""
    assert 40 == len(ladder_given("60-99+1").tempos)
    assert Ladder(F(60), F(99), F(1)) == ladder_given("60-99+1")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("lamp --across", "--across needs a song and a section of it"),
        ("lamp.yaml coda --across", "Coda is the last section of Lamp Black, and nothing follows it"),
        ("lamp.yaml verse --across --bars 2", "--across plays two bars on each side\n  leave --bars off"),
        ("lamp.yaml verse --across --silent 1", "--across has no bars to leave silent"),
        ("lamp.yaml verse --across --call", "leave one of them off"),
        ("lamp.yaml verse --across --feel swing", "a section has its feel in the chart"),
        ("lamp --call --no-drums", "--call plays the fill, and --no-drums leaves it out"),
        ("lamp --call --no-fill", "--call plays the fill, and --no-fill leaves it out"),
        ("lamp --no-fill --no-drums", "--no-drums leaves the fill out as well\n  leave --no-fill off"),
        ("lamp --silent 2 --bars 0", "--silent needs a bar of groove before it"),
        ("lamp --ladder 60-92 --tempo 60", "--ladder has its own tempos, without --tempo"),
        ("lamp --no-drums --click 3", "--level sets the peak of the file"),
        ("lamp --click 13", "--click 13 is out of range\n  write -30 to 12, in dB"),
        ("lamp --click nan", "--click nan is out of range"),
        ("lamp --silent 17", "17 is not in the range"),
        ("lamp --ladder 60", "“60” is not a ladder of tempos\n  write --ladder 60-92+4"),
        ("lamp --ladder 92-60+4", "“92-60+4” does not go up\n  write the slower tempo first: 60-92"),
        ("lamp --ladder 60-60", "does not go up"),
        ("lamp --ladder 60-92+0", "“60-92+0” has more than 40 tempos\n  write larger steps: 60-92+4"),
        ("lamp --ladder 60-100+1", "has more than 40 tempos"),
        ("lamp --ladder 60-92+4.5.1", "“4.5.1” is not a step"),
        ("lamp --ladder 10-92+4", "20 to 400"),
        ("plain-shuffle --call", "plain shuffle, a groove: there is no fill to answer\n  leave --call off"),
        ("lamp.yaml bridge --no-fill", "there is no fill to leave out\n  leave --no-fill off"),
        ("lamp --ladder 20-40+1 --bars 32 --times 64", "write fewer --times, or a shorter --ladder"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused(book, capsys, words, said):
    """Exit status 2, nothing written, and what to write instead."""
    assert 2 == run(["practice", *words.split(), "-o", "out"])
    told = capsys.readouterr()
    assert "" == told.out
    assert said in told.err
    assert not (book / "out").exists()


def test_a_ladder_says_how_long_it_is(book, capsys):
    """Its tempos and the length of the file."""
    assert 0 == run(
        ["practice", "two triplets", "--ladder", "80-120+20", "--bars", "1", "--times", "1", "-o", "out"]
    )
    assert "3 tempos from 80 to 120, 0:24 in all" in capsys.readouterr().err
    assert {"two-triplets_over_shuffle_80-120+20_bars-1_times-1" + kind for kind in (".wav", ".mid")} == {
        path.name for path in (book / "out").iterdir()
    }


def test_a_crossing_prefers_an_appearance_that_leads_on(book, capsys):
    """The chorus that something follows, with its fill; the one that is asked for by number as it is."""
    assert 0 == run(["practice", "lamp.yaml", "chorus", "--across", "--times", "1", "-o", "out"])
    assert "Lamp Black, Chorus into Verse: Chorus fill" in capsys.readouterr().err
    assert 0 == run(["practice", "lamp.yaml", "chorus#2", "--across", "--times", "1", "-o", "out"])
    assert "Lamp Black, Chorus into Coda: Chorus fill" in capsys.readouterr().err
    assert any(path.name.endswith("_chorus.2_across_96_times-1.wav") for path in (book / "out").iterdir())
