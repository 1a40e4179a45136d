"""The arc of a gig: tempo and loudness over the clock, and how the beat divides."""

from __future__ import annotations

from pathlib import Path

import pytest
from support import write_book

from render.terminal.ink import Ink, cells
from render.terminal.ribbon import LEAST, LEVELS, ribbon
from setlists.arc import COMPOUND, STRAIGHT, SWUNG, Step, arc_of
from setlists.book import gig_named

GIG = """
    gig: Boat shed
    start: 20:30
    sets:
      - name: First
        songs: [Rain, Kettle: {length: 4:08}, Raffle: {length: 3:00}, Bus]
      - name: Second
        songs: [Bus: {tempo: 60}]
"""
CHARTS = {
    # 8 bars of 6/8 at 60: 16 s, after a count of 2 s
    "charts__rain": "title: Rain\nmeter: 6/8\ntempo: 60\nfeel: 6/8 ballad\nform:\n  - A (8)\n"
    "  - B (8): {dynamics: p to ff}\n  - C (8)\n",
    # 30 bars of 4/4 at 120: 60 s, after a count of 2 s; the set list makes it four times as long
    "charts__kettle": "title: Kettle\ntempo: 120\nfeel: shuffle\nform:\n  - A (15)\n  - B (15): {tempo: 120 to 120}\n",
    "charts__bus": "title: Bus\ntempo: 100\nfeel: straight eighths\ncount-in: none\nform:\n  - A (10)\n"
    "  - B (10): {tempo: 100 to 50}\n",
}


@pytest.fixture
def evening(tmp_path: Path):
    return gig_named(write_book(tmp_path, setlists__shed=GIG, **CHARTS), "boat")


def test_tempo_starts_after_the_count_in(evening):
    """Every section in its seconds from the gig's start."""
    rain = arc_of(evening.songs[0])
    assert (Step(2, 18, 60, 60), Step(18, 34, 60, 60), Step(34, 50, 60, 60)) == rain.tempo
    assert [60.0, 60.0, 60.0] == [rain.tempo_at(at) for at in (0, 20, 99)]


def test_loudness_holds_until_another_comes(evening):
    """Nothing before the first; from p to ff, then still ff."""
    assert (Step(18, 34, 3 / 8, 7 / 8), Step(34, 50, 7 / 8, 7 / 8)) == arc_of(evening.songs[0]).loudness
    assert () == arc_of(evening.songs[1]).loudness


def test_a_length_of_the_set_list_stretches_the_song(evening):
    """62 s as 248 s: all in proportion."""
    song = evening.songs[1]
    first, second = arc_of(song).tempo
    assert (pytest.approx(song.offset + 8), pytest.approx(song.offset + 128)) == (first.start, first.end)
    assert pytest.approx(song.ends) == second.end


def test_a_ramp_is_one_step_from_one_tempo_to_another(evening):
    """Scaled with tonight's tempo; a song without a chart has none."""
    first, second = arc_of(evening.songs[3]).tempo
    assert (100, 100, 100, 50) == (first.value, first.to, second.value, second.to)
    assert [60, 30] == [arc_of(evening.songs[4]).tempo[1].value, arc_of(evening.songs[4]).tempo[1].to]
    raffle = arc_of(evening.songs[2])
    assert ((), None) == (raffle.tempo, raffle.tempo_at(0))


def test_feels_are_straight_swung_or_in_threes(evening):
    """By the meter first, then by the feel."""
    assert [COMPOUND, SWUNG, STRAIGHT, STRAIGHT, STRAIGHT] == [arc_of(song).kind for song in evening.songs]


@pytest.mark.parametrize("width", [26, 40, 80, 200])
def test_a_ribbon_is_one_line_of_the_width(evening, width):
    """Every number in its order, the slowest tempo low and the fastest high."""
    line = ribbon(evening.sets[0], evening, width, Ink())
    assert width == cells(line)
    assert line.endswith("60 to 120")
    drawn = line.removesuffix(" 60 to 120")
    assert ["1", "2", "3", "4"] == [sign for sign in drawn if sign.isdigit()]
    rain, kettle = drawn.index("1"), drawn.index("2")
    assert set(drawn[rain + 1 : kettle]) <= {LEVELS[0], " "}
    assert LEVELS[-1] in drawn[kettle:]


def test_a_narrow_screen_has_no_ribbon(evening):
    """Less than four columns for each song; on a plain one it has three heights."""
    assert "" == ribbon(evening.sets[0], evening, 4 * LEAST + len(" 60 to 120") - 1, Ink())
    assert set(ribbon(evening.sets[0], evening, 80, Ink(signs=False))) <= set("_-^ 1234560to")
