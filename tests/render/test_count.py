"""The count-in on the screen: exact times, no drift, swung where it swings, the terminal put back."""

from __future__ import annotations

import os
import random
import re
import signal
import sys
import time
from fractions import Fraction as F
from types import SimpleNamespace

import pexpect
import pytest

from charts.book import Book
from charts.feel import Feel
from charts.song import CountIn, Section, Song
from charts.source import FeelmapError
from charts.timing import Meter
from render.live.counting_in import again_and_again, counted_bars, run, words
from render.live.frame import FASTEST_FLASH, bar_lines, frame
from render.live.pulse import count_in, pulses
from render.live.schedule import in_time
from render.terminal.ink import escaped

SHUFFLE = Feel("shuffle", (3,), F(2), count="1 trip let")
SWING = Feel("swing", (3,), "by tempo", count="1 trip let")
SIXTEENTH_SHUFFLE = Feel("sixteenth shuffle", (2, 3), F(2), count="1 e & a")
EIGHTHS = Feel("straight eighths", (2,), count="1 &")
ANSI = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


def song(feel=EIGHTHS, tempo=120, meter="4/4", **more):
    form = (Section("Verse", (4, 4), feel, Meter.read(meter), F(tempo)),)
    return Song("Slack Tide", form, feel, F(tempo), Meter.read(meter), **more)


def moments(bars):
    """Each word with the moment at which it is first shown; the end of a flash shows none anew."""
    shown, last = [], None
    for pulse in pulses(iter(bars)):
        word = (pulse.bar, pulse.beat, pulse.word)
        if word != last:
            shown.append((round(pulse.seconds, 4), pulse.bar.beats[pulse.beat].marks[pulse.word][1]))
        last = word
    return shown


def starts(bars):
    return [round(beat.seconds, 4) for bar in bars for beat in bar.beats]


def test_a_bar_is_counted_at_tempo():
    """Four beats half a second apart at 120, each with its upbeat eighth."""
    found = moments(count_in(song()))
    assert found[:4] == [(0.0, "1"), (0.25, "&"), (0.5, "2"), (0.75, "&")]
    assert len(found) == 8


@pytest.mark.parametrize(
    ("feel", "tempo", "upbeats"),
    [
        (SHUFFLE, 60, {"trip": 1 / 3, "let": 2 / 3}),
        (SWING, 240, {"trip": 202 / 679 / 4, "let": 404 / 679 / 4}),
        (SIXTEENTH_SHUFFLE, 60, {"e": 1 / 3, "&": 1 / 2, "a": 5 / 6}),
    ],
)
def test_swung_feels_are_counted_swung(feel, tempo, upbeats):
    """The upbeats stand where they sound: by the ratio, and by the tempo where the ratio follows it."""
    first = [(word, at) for at, word in moments(count_in(song(feel, tempo))) if at < 60 / tempo]
    assert dict(first)["1"] == 0
    assert {word: at for word, at in first if word != "1"} == pytest.approx(upbeats, abs=1e-4)


def test_the_count_in_is_as_the_chart_says():
    """Bars, single beats, additive meters and pickups all keep their own lengths."""
    assert starts(count_in(song(count_in=CountIn(bars=2)))) == [n / 2 for n in range(8)]
    assert starts(count_in(song(count_in=CountIn(beats=3)))) == [0, 0.5, 1]
    assert starts(count_in(song(meter="7/8 (2+2+3)", tempo=60))) == [0, 1, 2]
    assert starts(count_in(song(meter="6/8", tempo=60))) == [0, 1]
    with_pickup = count_in(song(count_in=CountIn(beats=3), pickup=F(1)))
    assert [(bar.label, [beat.number for beat in bar.beats]) for bar in with_pickup] == [
        ("count-in", [1, 2, 3]), ("pickup", [4]),
    ]  # fmt: skip
    half = count_in(song(count_in=CountIn(bars=1), pickup=F(3, 2)))[-1]
    assert [[word for _, word in beat.marks] for beat in half.beats] == [["&"], ["4", "&"]]


def test_the_count_goes_on_into_the_song():
    """After the count-in come the song's bars, and the beat on which it all lands."""
    bars = counted_bars(song(), 2)
    assert [bar.label for bar in bars] == ["count-in", *(f"Verse, bar {bar} of 8" for bar in (1, 2, 3))]
    assert [len(bar.beats) for bar in bars] == [4, 4, 4, 1]
    assert starts(bars) == [n / 2 for n in range(13)]
    assert next(iter(words(bars))).split("(")[0].split() == ["0.000", "1", "&", "2", "&", "3", "&", "4", "&"]


def test_two_minutes_of_bad_sleeping_do_not_drift():
    """Each beat is late by one bad sleep at most, the last as little as the first."""
    chance, now = random.Random(1), [100.0]

    def bad_sleep(seconds):
        now[0] += seconds * chance.choice((0.5, 1.0)) + chance.uniform(0.0001, 0.009)
        return False

    rounds = pulses(again_and_again(count_in(song(SHUFFLE, 137))))
    late = []
    for pulse in in_time(rounds, 100.0, bad_sleep, lambda: now[0]):
        late.append(now[0] - 100.0 - pulse.seconds)
        if pulse.seconds > 120:
            break
    assert len(late) > 800
    assert min(late) >= 0
    assert max(late) < 0.0091


def test_what_comes_too_late_is_left_out():
    """After a halt the count goes on where it should be, and does not hurry through what was missed."""
    now = [0.0]
    shown = []

    def sleep(seconds):
        now[0] += seconds
        return False

    for moment in in_time([SimpleNamespace(seconds=n / 2) for n in range(20)], 0.0, sleep, lambda: now[0]):
        shown.append(moment.seconds)
        if moment.seconds == 2:
            now[0] += 3.2
    assert shown == [0, 0.5, 1, 1.5, 2, 5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9, 9.5]


@pytest.mark.parametrize("width", [40, 60, 80, 120])
@pytest.mark.parametrize("meter", ["4/4", "12/8", "7/8 (2+2+3)", "12/4"])
def test_no_line_is_wider_than_the_terminal(width, meter):
    """The frame fits, whatever the meter, and keeps one line count through the bar."""
    heights = set()
    for pulse in pulses(iter(counted_bars(song(SHUFFLE if meter != "12/8" else EIGHTHS, 90, meter), 1))):
        lines = [ANSI.sub("", escaped(line)) for line in frame(pulse, "  " + "a long title " * 12, width)]
        assert max(map(len, lines)) <= width
        heights.add((len(lines), pulse.bar.label))
    assert len(heights) == 3


def test_nothing_flashes_faster_than_three_times_a_second():
    """Above 180 bpm the number turns bold and nothing is reversed but the word."""
    slow, fast = (next(pulses(iter(count_in(song(tempo=t))))) for t in (FASTEST_FLASH, FASTEST_FLASH + 1))
    assert "\x1b[7m" in escaped(frame(slow, "", 80)[3])
    assert "\x1b[7m" not in escaped(frame(fast, "", 80)[3])


def test_the_word_that_sounds_is_set_off():
    """Only the word of the moment is reversed."""
    moment = list(pulses(iter(count_in(song()))))[2]
    line = escaped(bar_lines(moment, 78)[0])
    assert line.count("\x1b[7m") == 1
    assert "\x1b[7m&\x1b[0m" in line


@pytest.fixture
def book(tmp_path):
    """A book with one fast tune."""
    charts = tmp_path / "charts"
    charts.mkdir()
    text = "title: Slack Tide\ntempo: 240\nfeel: shuffle\nform:\n  - Verse (8)\n"
    (charts / "slack-tide.yaml").write_text(text)
    return tmp_path


def surroundings():
    """The environment without the size that a test runner may have put into it."""
    return {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "LINES")}


def spawn(book, *arguments, **more):
    code = "from render.cli import main; main()"
    return pexpect.spawn(
        sys.executable, ["-c", code, *arguments], cwd=str(book), dimensions=(24, 80), encoding="utf-8",
        env={**surroundings(), "PYTHONPATH": os.getcwd(), "NO_COLOR": "1", **more}, timeout=10,
    )  # fmt: skip


def beats_seen(book):
    """When each beat of a count-in and one bar was seen, and the exit status."""
    child = spawn(book, "count", "slack", "--bars", "1")
    child.expect_exact("\x1b[?25l")
    seen = []
    for number in [1, 2, 3, 4] * 2 + [1]:
        if child.expect([rf"\x1b\[7m{number}\x1b\[0m", pexpect.EOF]):
            break
        seen.append(time.monotonic())
    else:
        child.expect_exact("\x1b[?25h")
        child.expect(pexpect.EOF)
    child.close()
    return seen, child.exitstatus


def test_the_count_runs_in_a_terminal(book):
    """The beats come at their times, and the cursor is shown at the end.

    A busy machine may stall the program for longer than it waits for a late beat; three runs are enough.
    """
    for _ in range(3):
        seen, status = beats_seen(book)
        assert status == 0
        if len(seen) == 9 and seen[-1] - seen[0] == pytest.approx(8 * 0.25, abs=0.12):
            return
    pytest.fail(f"beats seen at {[round(moment - seen[0], 3) for moment in seen]}")


def test_a_title_is_spelled_where_the_terminal_cannot_print_it(book):
    """On the screen that is drawn over and over, too."""
    chart = book / "charts" / "slack-tide.yaml"
    chart.write_text(chart.read_text().replace("Slack Tide", "Søta Bølgje"), encoding="utf-8")
    child = spawn(book, "count", "slack-tide", "--loop", PYTHONIOENCODING="ascii")
    child.expect_exact("Sota Bolgje")
    child.send("q")
    child.expect(pexpect.EOF)


@pytest.mark.parametrize(
    ("stop", "status"),
    [("q", 0), (signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129), ("\x1c", 131)],
)
def test_the_terminal_is_put_back_on_any_exit(book, stop, status):
    """Whether a key or a signal ends it, echo, line input and the cursor are back; Ctrl-backslash, too."""
    child = spawn(book, "count", "slack", "--loop")
    child.expect(r"\x1b\[7m2\x1b\[0m")
    assert not child.getecho()
    if isinstance(stop, str):
        child.send(stop)
    else:
        os.kill(child.pid, stop)
    child.expect_exact("\x1b[?25h")
    child.expect(pexpect.EOF)
    assert child.getecho()
    child.close()
    assert child.exitstatus == status


def test_a_terminal_that_changes_its_size_is_drawn_anew(book):
    """What a narrower terminal has folded is cleared away, and the whole frame comes back within it."""
    child = spawn(book, "count", "slack", "--loop")
    child.expect(r"\x1b\[7m2\x1b\[0m")
    child.setwinsize(20, 40)
    child.expect_exact("\x1b[H\x1b[2J")
    for _ in range(20):  # a frame that had begun before the change may still come
        child.expect_exact("Slack Tide")
        child.expect(r"\x1b\[\d+A")
        shown = ANSI.sub("", child.before).split("\r\n")
        widest = max(len(line.strip("\r\n")) for line in shown)
        if widest <= 40:
            break
    assert widest <= 40
    child.send("q")
    child.expect_exact("\x1b[?25h")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


def test_without_a_terminal_the_count_is_plain_text(book):
    """Piped, the count is said in lines at once, without any control character."""
    found = counted_bars(Book.find(book).song("slack"), 0)
    assert list(words(found)) == [
        "    0.000  1 trip let  2 trip let  3 trip let  4 trip let   (count-in, 240 bpm)",
        "    1.000  1 trip let   (Verse, bar 1 of 8, 240 bpm)",
    ]


def test_a_terminal_that_obeys_no_codes_gets_the_count_in_words(book):
    """TERM=dumb would show the codes as letters."""
    child = spawn(book, "count", "slack", TERM="dumb")
    child.expect(pexpect.EOF)
    child.close()
    assert "0.000  1 trip let  2 trip let" in child.before
    assert "\x1b" not in child.before
    assert child.exitstatus == 0


def test_what_turns_text_around_is_not_drawn(book):
    """Neither in the head nor over the bar."""
    chart = book / "charts" / "slack-tide.yaml"
    chart.write_text(
        chart.read_text().replace("Slack", "Slack \u202e").replace("Verse", "V\u202e"), encoding="utf-8"
    )
    child = spawn(book, "count", "slack", "--bars", "1", "--loop")
    child.expect("Slack \\?")
    child.send("q")
    child.expect(pexpect.EOF)
    assert "\u202e" not in child.before


def test_a_system_without_such_a_terminal_is_told_what_to_do(book, monkeypatch):
    """Where termios is missing the refusal says so; the count in words needs none."""
    monkeypatch.setattr("render.live.screen.draws", lambda stream: True)
    monkeypatch.setattr("render.live.screen.find_spec", lambda name: None)
    with pytest.raises(FeelmapError, match="cannot be drawn in"):
        run(counted_bars(song(), 0), "")
