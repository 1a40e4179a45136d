"""The feel that a drum part shows by where its strokes are in the beat: found, not guessed."""

from __future__ import annotations

from pathlib import Path

import pytest
from scores import score, taken, time, words

from render.importing.take import Taken

CYMBAL, SNARE, KICK = "G5", "C5", "F4"


def part(tmp_path: Path, *bars: str) -> Taken:
    """A score in twelfths of a quarter."""
    head = "<attributes><divisions>12</divisions></attributes>"
    return taken(tmp_path, "s.musicxml", score(head + bars[0], *bars[1:]))


def beat(*lengths: int, on: str = CYMBAL) -> str:
    """A beat of strokes, each so many twelfths of a quarter long."""
    head = "<notehead>x</notehead>" if on == CYMBAL else ""
    return "".join(
        f"<note><unpitched><display-step>{on[0]}</display-step><display-octave>{on[1]}</display-octave>"
        f"</unpitched><duration>{length}</duration>{head}</note>"
        for length in lengths
    )


@pytest.mark.parametrize(
    ("bar", "feel", "grid"),
    [
        (beat(8, 4) * 4, "shuffle", "thirds"),
        (beat(8, 4) * 3 + beat(4, 4, 4, on=SNARE), "shuffle", "thirds"),  # the middle one is not counted on
        (beat(4, 4, 4) * 4, "slow 12/8", "thirds"),
        (beat(4, 2, 4, 2) * 4, "sixteenth shuffle", "sixths, long and short"),
        (beat(6, 6) * 4, "straight eighths", "halves"),
        (beat(3, 3, 3, 3) * 4, "straight sixteenths", "quarters"),
        (beat(6, 3, 3) * 4, "straight sixteenths", "quarters"),
        (time("3", 4) + beat(8, 4) * 3, "jazz waltz", "thirds"),
        (time("3", 4) + beat(6, 6) * 3, "waltz", "halves"),
    ],
)
def test_the_feel_is_where_the_strokes_are(tmp_path: Path, bar: str, feel: str, grid: str) -> None:
    """On thirds it swings or is in twelve; on halves and quarters it is straight."""
    found = part(tmp_path, bar, bar)
    assert feel == found.song.feel.name
    assert (f"feel: {feel}, since the drums play {grid} of the beat",) == found.found
    assert not any("feel" in each for each in found.guessed)


def test_each_section_shows_its_own(tmp_path: Path) -> None:
    """A section that strikes on the beat alone goes on as before."""
    swung, plain, straight = beat(8, 4) * 4, beat(12) * 4, beat(6, 6) * 4
    bars = (words("A", "rehearsal") + swung, swung, words("B", "rehearsal") + plain, plain)
    found = part(tmp_path, *bars, words("C", "rehearsal") + straight, straight)
    assert ["shuffle", "shuffle", "straight eighths"] == [each.feel.name for each in found.song.form]


def test_words_come_before_strokes(tmp_path: Path) -> None:
    """Even eighths under the word are swung."""
    bar = beat(6, 6) * 4
    found = part(tmp_path, words("Swing") + bar, bar)
    assert ("swing", ()) == (found.song.feel.name, found.found)


def test_strokes_on_the_grid_of_no_feel_are_listed(tmp_path: Path) -> None:
    """Thirds and quarters in one groove; so is the feel that is taken instead, as a guess."""
    bar = beat(8, 4) * 2 + beat(3, 3, 3, 3) * 2
    found = part(tmp_path, bar, bar)
    assert "the feel that the drums play: their strokes lie on the grid of none" in found.lost
    assert any("feel: straight eighths" in each for each in found.guessed)


def test_a_fill_does_not_change_the_feel(tmp_path: Path) -> None:
    """Only what comes again is groove."""
    groove, fill = beat(6, 6) * 4, beat(6, 6) * 3 + beat(4, 4, 4, on=SNARE)
    found = part(tmp_path, groove, groove, groove, fill)
    assert "straight eighths" == found.song.feel.name
    assert 1 == len(found.song.form[0].fills)
