"""A tempo from taps, robust to a bad one, and the charts nearest to it."""

from __future__ import annotations

import os
import sys
import time
from fractions import Fraction as F

import pexpect
import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.live.screen import quits
from render.live.tapping import tempo_of
from render.live.tapping_in import lines, nearest

beats = st.integers(20, 280)
jitters = st.lists(st.floats(-0.02, 0.02), min_size=8, max_size=16)


def taps_at(bpm, jitter):
    """Taps on the beat, each out by a little, as a share of the beat."""
    return [60 / bpm * (beat + off) for beat, off in enumerate(jitter)]


@given(beats, jitters)
def test_steady_taps_give_their_tempo(bpm, jitter):
    """Taps within two hundredths of a beat give the tempo within one and a half percent."""
    assert tempo_of(taps_at(bpm, jitter)).bpm == pytest.approx(bpm, rel=0.015)


@given(beats, jitters, st.data())
def test_one_bad_tap_does_not_spoil_it(bpm, jitter, data):
    """One tap too many, too few or out of time, anywhere, leaves the tempo within two percent."""
    taps, beat = taps_at(bpm, jitter), 60 / bpm
    which = data.draw(st.integers(0, len(taps) - 1))
    how = data.draw(st.sampled_from(["moved", "missing", "extra"]))
    off = data.draw(st.floats(0.1, 0.9)) * beat
    if how == "moved":
        taps[which] += off * 0.9
    elif how == "extra":
        taps.insert(which + 1, taps[which] + off)
    else:
        del taps[which]
    assert tempo_of(sorted(taps)).bpm == pytest.approx(bpm, rel=0.02)


def test_it_settles_and_says_so():
    """Two taps are a tempo already; five that agree are settled; a bad one is told."""
    assert tempo_of([0.0]) is None
    assert tempo_of([3.0, 3.0]) is None
    assert not tempo_of([0.0, 0.5]).settled
    five = tempo_of([0.0, 0.5, 1.0, 1.5, 2.0])
    assert (five.bpm, five.settled, five.left_out) == (120.0, True, 0)
    bad = tempo_of([0.0, 0.5, 0.8, 1.0, 1.5, 2.0])
    assert (bad.bpm, bad.left_out) == (120.0, 1)
    assert "1 left out" in lines(bad, 6, [], 80)[0]


def test_a_pause_starts_anew():
    """After more than four seconds and two beats only the new taps count; the slowest beat is no pause."""
    assert tempo_of([0.0, 0.5, 1.0, 9.0, 10.0, 11.0]).bpm == 60.0
    assert tempo_of([0.0, 3.0, 6.1, 9.0]).bpm == pytest.approx(20, rel=0.01)


def test_the_nearest_charts_are_nearest_by_ratio():
    """A tempo a little under and one a little over are weighed alike; equal ones go by title."""
    tempos = {"B": 100, "A": 100, "C": 80, "D": 124, "E": 200}
    tunes = [(title, F(bpm), "swing") for title, bpm in tempos.items()]
    assert [title for title, _, _ in nearest(tunes, 100.0, 4)] == ["A", "B", "D", "C"]
    assert [title for title, _, _ in nearest(tunes, 150.0, 2)] == ["D", "E"]


def test_keys_that_quit_are_few():
    """Space, Return, letters and arrows are taps; q, Escape and Ctrl-D end it."""
    assert [quits(key) for key in (b" ", b"\r", b"x", b"\x1b[A")] == [False] * 4
    assert [quits(key) for key in (b"q", b"\x1b", b"\x04", b"")] == [True] * 4


@pytest.fixture
def book(tmp_path):
    """A book with three tunes."""
    (tmp_path / "charts").mkdir()
    for title, tempo in (("Slow One", 61), ("Right One", 150), ("Fast One", 220)):
        path = tmp_path / "charts" / f"{title.split()[0].lower()}.yaml"
        path.write_text(f"title: {title}\ntempo: {tempo}\nfeel: shuffle\nform: [Verse (8)]\n")
    return tmp_path


def test_taps_in_a_terminal_find_the_chart(book):
    """Keys pressed at 150 bpm show about that, the nearest chart first, and put the terminal back."""
    child = pexpect.spawn(
        sys.executable, ["-c", "from render.cli import main; main()", "tap"], cwd=str(book),
        dimensions=(24, 80), encoding="utf-8", env={**os.environ, "PYTHONPATH": os.getcwd()}, timeout=10,
    )  # fmt: skip
    child.expect_exact("tap the beat")
    child.delaybeforesend = None
    time.sleep(0.3)
    start = time.monotonic()
    for beat in range(7):
        time.sleep(max(0.0, start + beat * 0.4 - time.monotonic()))
        child.send(" ")
    child.expect(r"settl\w+: [4-7] taps")  # a busy machine may send one late, which is then left out
    child.expect(r"nearest charts\x1b\[K\r\n\r\s+150\.0  Right One")
    child.send("q")
    child.expect_exact("\x1b[?25h")
    child.expect(pexpect.EOF)
    assert child.getecho()
    child.close()
    assert child.exitstatus == 0


def test_tap_without_a_terminal_is_refused(book):
    """A pipe has no keys to tap: exit 2, nothing on standard output."""
    child = pexpect.spawn(
        "sh", ["-c", f"echo | {sys.executable} -c 'from render.cli import main; main()' tap"], cwd=str(book),
        encoding="utf-8", env={**os.environ, "PYTHONPATH": os.getcwd()}, timeout=10,
    )  # fmt: skip
    child.expect_exact(" tap needs a terminal to read your keys")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 2
