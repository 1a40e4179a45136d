"""ABC tunes taken in: what their signs do to the road, what is lost, what cannot be taken in."""

from __future__ import annotations

from pathlib import Path

import pytest
from scores import lines, message, taken

from render.importing.take import Taken


def tune(tmp_path: Path, music: str, head: str = "M:4/4\nL:1/4\nK:C", name: str = "X:1\nT:T") -> Taken:
    return taken(tmp_path, "tune.abc", f"{name}\n{head}\n{music}\n")


@pytest.mark.parametrize(
    ("music", "head", "said"),
    [
        ("CDEF|\nX:2\nT:U\nK:G\nGABc|", "M:4/4\nL:1/4\nK:C", "1 of the 2 tunes in the file: only the first is taken in"),
        ("V:1\nCDEF|\nV:2\nC,D,E,F,|\nV:1\nCDEF|", "M:4/4\nL:1/4\nK:C", "1 of 2 voices: only the first is taken in"),
        ("[V:1] CDEF|\n[V:2] C,D,E,F,|\n[V:1] CDEF|", "M:4/4\nL:1/4\nK:C", "1 of 2 voices: only the first is taken in"),
        ("P:A\nCDEF|\nP:B\nCDEF|", "P:ABC\nM:4/4\nL:1/4\nK:C", "the order of the parts, ABC: it names parts that are not there"),
        ("P:A\nCDEF|\nP:B\nCDEF|", "P:A(AB\nM:4/4\nL:1/4\nK:C", "the order of the parts, A(AB: it cannot be read"),
        ("P:A\nCDEF|\nP:B\nCDEF|", "P:((((A9)9)9)9)\nM:4/4\nL:1/4\nK:C", "the order of the parts, ((((A9)9)9)9): it cannot be read"),
        ("CDEF|D2C/3|CDEF|", "M:4/4\nL:1/4\nK:C", "bar 2 lasts 2.33333 quarters: no meter is as long, 4/4 kept"),
    ],
)  # fmt: skip
def test_what_cannot_be_kept_is_said(tmp_path: Path, music: str, head: str, said: str) -> None:
    """And the rest is there."""
    found = tune(tmp_path, music, head)
    assert said in found.lost
    assert found.song.bars in (1, 2, 3)


@pytest.mark.parametrize(
    ("head", "music", "says"),
    [
        ("M:4/4\nL:1/4\nK:C", "", "this ABC tune has no bars"),
        ("M:4/4", "ABC|\nX:2\nK:C\nCDEF|", "this ABC tune has no K: line"),
        ("M:4/4\nL:1/4\nK:C", "Z999|" * 3, "this tune has more than 2000 bars"),
        ("M:4/4\nL:1/4\nK:C", "CDEF|" * 27_000, "this ABC tune is too long to take in"),
        ("M:4/4\nL:1/4\nQ:1/4=999999\nK:C", "CDEF|", "Q:1/4=999999: the numbers are out of range"),
    ],
)
def test_a_tune_that_is_none_gets_a_message(tmp_path: Path, head: str, music: str, says: str) -> None:
    """In our own words."""
    assert says == message(tmp_path, "tune.abc", f"X:1\nT:T\n{head}\n{music}\n")


@pytest.mark.parametrize(
    ("music", "form"),
    [
        ("CDEF|!segno!CDEF|CDEF!dacoda!|CDEF!D.S.alcoda!|!coda!CDEF|]", ["- A (1)", "- B (3)", "- B 2 (2)", "- C (1)"]),
        ("CDEF|CDEF +fine+|CDEF !D.C.alfine!|]", ["- A (3)", "- A 2 (2)"]),
        ("CDEF|CDEF!fine!|CDEF!dacapo!|]", ["- A (3)", "- A 2 (2)"]),
        ("CDEF|S CDEF|CDEF|CDEF !D.S.!|]", ["- A (1)", "- B (3)", "- B"]),
        ("|:CDEF|[1,3 CDEF:|[2-4 CDEF:|", ["- A (2) x4"]),
        ("|:CDEF|1-3 CDEF:|4 CDEF|]", ["- A (2) x4"]),
        ("|:CDEF|[1 CDEF:|", ["- A (2)", "- A 2 (1)"]),
    ],
)  # fmt: skip
def test_signs_are_played_out(tmp_path: Path, music: str, form: list[str]) -> None:
    """Decorations, the letter that stands for the sign, endings in lists and ranges."""
    assert form == lines(tune(tmp_path, music).text)


def test_a_tune_of_parts_in_parts(tmp_path: Path) -> None:
    """Brackets within brackets, each with how often; what is before the first part is played first."""
    found = tune(tmp_path, "CD|P:A\nCDEF|\nP:B\nCDEF|", "P:(A(AB)2)2\nM:4/4\nL:1/4\nK:C")
    assert ["A", "A", "B", "A", "B"] * 2 == [section.name for section in found.song.form]
    assert found.song.pickup == 2


def test_a_tune_without_a_meter_has_bars_as_long_as_they_are(tmp_path: Path) -> None:
    """Each in a meter that a drummer counts, at one tempo."""
    found = tune(tmp_path, "CDE|CDEFG|C/DEF|CDE|", "M:none\nL:1/4\nK:C").song
    assert ["3/4", "5/4", "7/8 (2+2+3)", "3/4"] == [str(found.form[0].meter_of(bar)) for bar in (1, 2, 3, 4)]
    assert ((), 100) == (found.form[0].tempos, found.tempo)


def test_a_number_between_quotes_is_nothing_to_count(tmp_path: Path) -> None:
    """Words may have a telephone number."""
    assert ["ask 5551234"] == [cue.text for cue in tune(tmp_path, '"^ask 5551234"CDEF|').song.form[0].cues]


def test_the_last_bar_needs_no_bar_line(tmp_path: Path) -> None:
    """It is closed by the end of the tune."""
    assert 2 == tune(tmp_path, "CDEF|CDEF").song.bars


@pytest.mark.parametrize("change", ["\nL:1/8\n", "[L:1/8]"])
def test_a_length_may_change_within_the_tune(tmp_path: Path, change: str) -> None:
    """On a line of its own, and inside a line of music; so may the tempo; what else is there goes."""
    found = tune(tmp_path, f"CDEF|{change}CDEFGABc|[I:x][Q:1/4=90]c8|").song
    assert ({}, 3) == (found.form[0].odd_bars, found.bars)
    assert [(3, 90)] == [(mark.bar, mark.tempo) for mark in found.form[0].tempos]


def test_a_fermata_is_a_hold(tmp_path: Path) -> None:
    """Where it is."""
    assert ["2.3"] == [str(hold.place) for hold in tune(tmp_path, "CDEF|CD!fermata!E2|").song.form[0].holds]


@pytest.mark.parametrize(
    ("key", "said"),
    [("Am", "A minor"), ("Dmix", "D mixolydian"), ("Bb dorian", "Bb dorian"), ("F#m", "F# minor")],
)
def test_a_key_is_written_as_musicians_say_it(tmp_path: Path, key: str, said: str) -> None:
    """Modes by their names."""
    assert said == tune(tmp_path, "CDEF|", f"M:4/4\nL:1/4\nK:{key}").song.key


def test_a_tempo_in_words_alone_is_none(tmp_path: Path) -> None:
    """A guess says so; nobody's idea of an Allegro is taken for the composer's."""
    found = tune(tmp_path, "CDEF|", 'M:4/4\nL:1/4\nQ:"Allegro"\nK:C')
    assert "tempo 100: the score gives none" in found.guessed


def test_an_old_file_is_read_as_old_programs_write(tmp_path: Path) -> None:
    """In Latin-1."""
    text = "X:1\nT:Café au coin\nM:4/4\nL:1/4\nK:C\nCDEF|\n"
    assert "Café au coin" == taken(tmp_path, "old.abc", text.encode("latin-1")).song.title


@pytest.mark.parametrize(
    ("music", "head", "place"),
    [
        ('C/4"^now"C/4C/2DEF|', "M:4/4\nL:1/4\nR:bossa nova\nK:C", "1.1e"),
        ('C/2C/4"^now"C/4DEF|', "M:4/4\nL:1/4\nR:bossa nova\nK:C", "1.1a"),
        ('(3CDE(3D"^now"EFEF|', "M:4/4\nL:1/4\nK:C", "1.3+2/3"),
        ('CC"^now"CDDD|', "M:6/8\nL:1/8\nK:C", "1.1a"),
        ('CD"^now"EF|', "M:4/4\nL:1/4\nK:C", "1.3"),
    ],
)
def test_a_cue_stands_at_the_place_that_a_drummer_counts(
    tmp_path: Path, music: str, head: str, place: str
) -> None:
    """A letter where the feel has one, else the fraction of the beat."""
    assert f"{place}: now\n" in tune(tmp_path, music, head).text
