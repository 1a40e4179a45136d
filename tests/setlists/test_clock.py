"""The running clock, against sums done by hand and against properties of any gig."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from band import band, gig, one_set, played
from hypothesis import given, settings
from hypothesis import strategies as st

from charts.source import Source, Span
from setlists.clock import gig_start, next_at, timed, when, without
from setlists.gig import Gig, GigBreak, GigSet, GigSong
from setlists.setlist import Break, Changes, SetList, SongItem, SongSet

HERE = Span(Source("test", ""), 1, 1, 2)


def clocks(found: Gig) -> list[str]:
    """When every song starts."""
    return [f"{song.starts_at:%H:%M:%S}" for song in found.songs if song.starts_at]


def test_a_song_lasts_with_its_count_in(tmp_path: Path) -> None:
    """32 bars of 4/4 at 120 are 64 s, the bar in front 2 s; none in front is none."""
    book = band(tmp_path)
    assert [66, 64, 68] == [
        song.seconds
        for song in played(book, "Tin Roof", "Tin Roof: {count-in: none}", "Tin Roof: {count-in: 2 bars}")
    ]


def test_a_pickup_counts(tmp_path: Path) -> None:
    """64 bars of 3/4 at 180 are 64 s, the bar in front 1 s, the pickup a third."""
    (found,) = played(band(tmp_path), "Long Meadow")
    assert 64 + 1 + 1 / 3 == pytest.approx(found.seconds)


def test_an_open_repeat_counts_as_said_and_a_hold_as_given(tmp_path: Path) -> None:
    """8 + 3 x 8 + 1 bars at 100, a bar in front, a hold of 5 s."""
    (found,) = played(band(tmp_path), "Opener")
    assert 34 * 2.4 + 5 == pytest.approx(found.seconds)


def test_a_length_is_the_length(tmp_path: Path) -> None:
    """Of a song without a chart, and of a chart that is played long tonight."""
    assert [210, 300] == [
        song.seconds for song in played(band(tmp_path), "Raffle: {length: 3:30}", "Tin Roof: {length: 5:00}")
    ]


def test_talk_passes_after_a_song_and_none_in_a_segue(tmp_path: Path) -> None:
    """20 s by default; a song's own; nothing."""
    text = one_set(
        "Tin Roof", "Tin Roof: {segue: yes}", "Tin Roof: {between: 1 min}", "Tin Roof", head="start: 20:30\n"
    )
    found = gig(text, band(tmp_path))
    assert ["20:30:00", "20:31:26", "20:32:32", "20:34:38"] == clocks(found)
    assert [20, 0, 60, 0] == [song.gap for song in found.songs]
    assert 4 * 66 + 20 + 60 == found.sets[0].seconds


def test_the_set_lists_own_between_holds(tmp_path: Path) -> None:
    """Also when it is nothing."""
    found = gig(one_set("Tin Roof", "Tin Roof", head="start: 20:30\nbetween: 0 s\n"), band(tmp_path))
    assert ["20:30:00", "20:31:06"] == clocks(found)


TWO_SETS = """
    gig: Test
    date: 2026-12-31
    start: 23:58
    sets:
      - {name: Old year, songs: [Tin Roof, Tin Roof]}
      - break: 20 min
      - {name: New year, songs: [Tin Roof]}
"""


def test_a_gig_runs_across_midnight_into_the_next_year(tmp_path: Path) -> None:
    """The break starts with the last note of the set before."""
    found = gig(TWO_SETS, band(tmp_path))
    assert ["2026-12-31T23:58:00", "2026-12-31T23:59:26", "2027-01-01T00:20:32"] == [
        song.starts_at.isoformat() for song in found.songs if song.starts_at
    ]
    pause = found.parts[1]
    assert isinstance(pause, GigBreak)
    assert pause.starts_at is not None
    assert "2027-01-01T00:00:32" == pause.starts_at.isoformat()


def test_sets_without_a_break_have_talk_between_them(tmp_path: Path) -> None:
    """It belongs to neither set."""
    found = gig("start: 20:30\nsets: [{songs: [Tin Roof]}, {songs: [Tin Roof]}]", band(tmp_path))
    assert ["20:30:00", "20:31:26"] == clocks(found)
    assert [66, 66] == [part.seconds for part in found.sets]


def test_a_set_waits_for_its_own_start(tmp_path: Path) -> None:
    """Across midnight too; one that cannot keep it starts as soon as it can."""
    text = """
        start: 23:30
        sets:
          - songs: [Tin Roof]
          - {start: 0:15, songs: [Raffle: {length: 30 min}]}
          - {start: 0:30, songs: [Tin Roof]}
    """
    found = gig(text, band(tmp_path))
    assert ["23:30:00", "00:15:00", "00:45:20"] == clocks(found)
    assert [None, 45 * 60, 60 * 60] == [part.due for part in found.sets]


def test_a_gig_without_a_start_has_no_times(tmp_path: Path) -> None:
    """Only what has passed."""
    found = gig(one_set("Tin Roof", "Tin Roof"), band(tmp_path))
    assert [None, None] == [song.starts_at for song in found.songs]
    assert [0, 86] == [song.offset for song in found.songs]


def test_a_first_set_may_start_the_gig(tmp_path: Path) -> None:
    """Its own start counts where the gig has none."""
    found = gig("sets: [{start: 21:00, songs: [Tin Roof]}]", band(tmp_path))
    assert ["21:00:00"] == clocks(found)


@pytest.mark.parametrize(
    ("head", "slot", "over"),
    [
        ("", "", None),
        ("", "length: 2 min", 32),
        ("", "length: 3 min", 0),
        ("start: 23:59\nends: 0:00\n", "", 92),
        ("start: 23:59\nends: 0:00\n", "length: 1 min", 92),
        ("start: 23:58\nends: 0:00\n", "length: 1 min", 92),
    ],
)
def test_over_is_over_the_slot_or_the_curfew(
    tmp_path: Path, head: str, slot: str, over: float | None
) -> None:
    """Whichever is more; nothing where there is neither. The set lasts 152 s."""
    text = f"{head}sets:\n  - songs: [Tin Roof, Tin Roof]\n" + (f"    {slot}\n" if slot else "")
    assert over == gig(text, band(tmp_path)).sets[0].over_by


SECONDS = st.floats(1, 900, allow_nan=False)
CHANGES = st.builds(
    Changes,
    segue=st.booleans(),
    between=st.none() | st.integers(0, 300).map(Fraction),
)
SONGS = st.lists(st.tuples(SECONDS, CHANGES), min_size=1, max_size=8)
PARTS = st.lists(st.integers(1, 3600).map(lambda n: Break(Fraction(n), HERE)) | SONGS, min_size=1, max_size=6)


def made(parts: list[Break | list[tuple[float, Changes]]], start: time | None) -> Gig:
    """A gig of songs that are only so long."""
    number, gig_parts, list_parts = 0, [], []
    for part in parts:
        if isinstance(part, Break):
            list_parts.append(part)
            gig_parts.append(GigBreak(float(part.seconds)))
            continue
        items = tuple(SongItem("x", HERE, changes) for _, changes in part)
        lengths = [seconds for seconds, _ in part]
        songs = [
            GigSong(number + n, item, "x", None, seconds)
            for n, (item, seconds) in enumerate(zip(items, lengths, strict=True), 1)
        ]
        number += len(part)
        song_set = SongSet("x", items, HERE)
        list_parts.append(song_set)
        gig_parts.append(GigSet("x", song_set, tuple(songs)))
    return timed(Gig(SetList("x", tuple(list_parts), HERE, start=start), tuple(gig_parts)))


@settings(max_examples=60, deadline=None)
@given(PARTS, st.none() | st.times())
def test_nothing_is_lost_between_two_songs(
    parts: list[Break | list[tuple[float, Changes]]], start: time | None
) -> None:
    """Each starts where the one before ended, with the gap and the breaks in between."""
    found = made(parts, start.replace(microsecond=0) if start else None)
    at = 0.0
    for part in found.parts:
        assert at == pytest.approx(part.offset)
        if isinstance(part, GigBreak):
            at += part.seconds
            continue
        for song in part.songs:
            assert at == pytest.approx(song.offset)
            at += song.seconds + song.gap
        inner = sum(song.gap for song in part.songs[:-1])
        assert sum(song.seconds for song in part.songs) + inner == pytest.approx(part.seconds)
    assert all(not song.gap for song in found.songs if song.segue)


@settings(max_examples=60, deadline=None)
@given(PARTS, st.sets(st.integers(1, 48)))
def test_dropping_songs_never_makes_a_gig_longer(
    parts: list[Break | list[tuple[float, Changes]]], numbers: set[int]
) -> None:
    """The clock is run again without them, and everything else keeps its order."""
    found = made(parts, None)
    left = without(found, frozenset(numbers))
    assert [song.number for song in found.songs if song.number not in numbers] == [
        song.number for song in left.songs
    ]
    assert left.seconds <= found.seconds + 1e-6


@pytest.mark.parametrize(
    ("after", "at", "days"),
    [("20:30:00", "20:30", 0), ("20:30:00", "20:31", 0), ("20:30:00", "20:29", 1), ("20:30:01", "20:30", 1), ("00:00:00", "00:00", 0),
     ("23:59:59", "00:00", 1)],
)  # fmt: skip
def test_the_next_time_of_day_is_now_or_later(after: str, at: str, days: int) -> None:
    """That very moment counts; a second later it is tomorrow's."""
    now = datetime.fromisoformat(f"2026-12-31T{after}")
    wanted = datetime.combine(date(2026, 12, 31), time.fromisoformat(at)) + timedelta(days=days)
    assert wanted == next_at(now, time.fromisoformat(at))


def test_a_first_set_with_the_start_of_the_gig_starts_it(tmp_path: Path) -> None:
    """Not a day later; nor does one that is given alone."""
    for head in ("start: 20:30\n", ""):
        found = gig(f"{head}sets: [{{start: 20:30, songs: [Tin Roof]}}]", band(tmp_path))
        assert (["20:30:00"], 0, 0, 66) == (
            clocks(found),
            found.sets[0].offset,
            found.sets[0].due,
            found.seconds,
        )


def test_a_first_set_may_start_after_the_gig(tmp_path: Path) -> None:
    """Doors at 20:00, the first note at 20:30: times are counted from the gig's own start."""
    found = gig("start: 20:00\nsets: [{start: 20:30, songs: [Tin Roof]}]", band(tmp_path))
    assert (["20:30:00"], 1800, 1866) == (clocks(found), found.sets[0].offset, found.seconds)


def test_a_set_due_when_the_one_before_ends_waits_for_nothing(tmp_path: Path) -> None:
    """A break that just reaches it, one that is a second short, one that is a second long."""
    for pause, start, lasts in (
        ("58 min 54 s", 3600, 3534),
        ("58 min 53 s", 3600, 3534),
        ("58 min 55 s", 3601, 3535),
    ):
        text = f"start: 20:00\nsets: [{{songs: [Tin Roof]}}, {{break: {pause}}}, {{start: 21:00, songs: [Tin Roof]}}]"
        found = gig(text, band(tmp_path))
        rest, second = found.parts[1:]
        assert isinstance(rest, GigBreak)
        assert (start, 3600, lasts) == (second.offset, found.sets[1].due, rest.lasts)


def test_every_set_start_counts_from_the_one_before(tmp_path: Path) -> None:
    """Over midnight and on, never back to a time that has passed."""
    text = "start: 23:00\nsets: [{songs: [Tin Roof]}, {start: 0:00, songs: [Tin Roof]}, {start: 1:00, songs: [Tin Roof]}]"
    found = gig(text, band(tmp_path))
    assert [0, 3600, 7200] == [part.offset for part in found.sets]


def test_own_starts_need_a_gig_start() -> None:
    """Without one nothing is due, and a break lasts what is written."""
    found = made([[(60.0, Changes())], Break(Fraction(300), HERE), [(60.0, Changes())]], None)
    late = replace(found.sets[1].part, start=time(21, 0))
    found = timed(replace(found, parts=(*found.parts[:2], replace(found.sets[1], part=late))))
    assert ([0, 360], [None, None]) == (
        [part.offset for part in found.sets],
        [part.due for part in found.sets],
    )
    assert [300] == [part.lasts for part in found.parts if isinstance(part, GigBreak)]


@pytest.mark.parametrize(
    ("seconds", "lasts", "second", "shown"),
    [
        (300, 300, 20, 300),
        (300, 300.9, 20, 300),  # rounding
        (300, 301, 59, 360),
        (300, 1000, 20, 1020),  # 20:43:20 to 21:00
        (300, 1020, 0, 1020),
        (300, 999.6, 20, 1020),
        (300, 1000.4, 20, 1020),
        (310, 310, 0, 310),
    ],
)
def test_a_break_is_shown_in_minutes_where_a_set_waits(
    seconds: float, lasts: float, second: int, shown: float
) -> None:
    """From the minute that the clock shows; as written where nothing waits."""
    starts = datetime(2026, 12, 4, 20, 43, second)
    assert shown == GigBreak(seconds, 0.0, starts, lasts).shown
    assert seconds == GigBreak(seconds, 0.0, None, lasts).shown


@pytest.mark.parametrize(("offset", "second"), [(0, 0), (0.4, 0), (0.6, 1), (59.6, 60)])
def test_a_moment_is_told_to_the_nearest_second(offset: float, second: int) -> None:
    """None where the gig has no start."""
    start = datetime(2026, 12, 4, 20, 30)
    assert start + timedelta(seconds=second) == when(start, offset)
    assert when(None, offset) is None


@pytest.mark.parametrize(
    ("head", "first", "start"),
    [("20:00", "21:00", 20), ("20:00", None, 20), (None, "21:00", 21), (None, None, None)],
)
def test_a_gig_starts_at_its_own_time_before_its_first_sets(
    head: str | None, first: str | None, start: int | None
) -> None:
    """Without a date the day is the first of all; a later set's start is its own alone."""
    song_set = SongSet("x", (), HERE, start=time.fromisoformat(first) if first else None)
    sets = (song_set, SongSet("y", (), HERE, start=time(23, 0)))
    found = gig_start(SetList("x", sets, HERE, start=time.fromisoformat(head) if head else None))
    assert (None if start is None else datetime(1, 1, 1, start)) == found


@pytest.mark.parametrize(
    ("ends", "curfew"),
    [("20:30", "2026-12-04T20:30:00"), ("20:31", "2026-12-04T20:31:00"), ("20:29", "2026-12-05T20:29:00")],
)
def test_a_curfew_is_the_next_time_of_that_name(ends: str, curfew: str) -> None:
    """A reader refuses one at the start; here it is that moment."""
    listed = SetList("x", (), HERE, date=date(2026, 12, 4), start=time(20, 30), ends=time.fromisoformat(ends))
    found = timed(Gig(listed, ()))
    assert found.curfew == datetime.fromisoformat(curfew)


def test_over_counts_from_the_limit_itself(tmp_path: Path) -> None:
    """The set lasts 152 s: a slot or a curfew of just that is kept, one a second shorter is not."""
    for slot, over in (("2 min 32 s", 0), ("2 min 31 s", 1), ("2 min 33 s", 0)):
        found = gig(f"sets: [{{length: {slot}, songs: [Tin Roof, Tin Roof]}}]", band(tmp_path))
        assert (over, None) == (found.sets[0].over_slot, found.sets[0].past_curfew)
    found = gig(
        "start: 20:00\nends: 20:05\nsets: [{songs: [Raffle: {length: 5:00}, Tin Roof]}]", band(tmp_path)
    )
    assert (None, 86) == (found.sets[0].over_slot, found.sets[0].past_curfew)
    found = gig("start: 20:00\nends: 20:05\nsets: [{songs: [Raffle: {length: 5:00}]}]", band(tmp_path))
    assert (None, 0) == (found.sets[0].over_slot, found.sets[0].past_curfew)


def test_talk_after_the_last_song_is_only_what_was_written_for_it(tmp_path: Path) -> None:
    """Before a break and at the end none passes by itself; before the next set it does."""
    text = """
        sets:
          - songs: [Tin Roof]
          - songs: [Tin Roof: {between: 1 min}]
          - break: 5 min
          - songs: [Tin Roof]
          - break: 5 min
          - songs: [Tin Roof: {between: 1 min}]
    """
    found = gig(text, band(tmp_path))
    assert [20, 60, 0, 60] == [song.gap for song in found.songs]
    assert [0, 86, 212, 512, 578, 878] == [part.offset for part in found.parts]
    assert (66, 944) == (found.sets[-1].seconds, found.seconds)


def test_a_set_without_songs_takes_no_time() -> None:
    """What is left when all of its songs are dropped; the next one starts at once."""
    found = without(made([[(60.0, Changes())], [(30.0, Changes())]], time(20, 0)), frozenset({1}))
    assert [(0, 0), (0, 30)] == [(part.offset, part.seconds) for part in found.sets]
    assert [2] == [song.number for song in found.songs]


def test_each_set_that_waits_makes_its_own_break_longer(tmp_path: Path) -> None:
    """The one right before it, of several; without a break between nothing is longer."""
    song = "{songs: [Tin Roof]}"
    own = "{{start: 2{}:00, songs: [Tin Roof]}}"
    text = (
        f"start: 20:00\nsets: [{song}, {{break: 5 min}}, {own.format(1)}, {{break: 5 min}}, {own.format(2)}]"
    )
    lasting = [part.lasts for part in gig(text, band(tmp_path)).parts if isinstance(part, GigBreak)]
    assert [3600 - 66] * 2 == lasting
    text = f"start: 20:00\nsets: [{song}, {{break: 5 min}}, {song}, {own.format(1)}]"
    lasting = [part.lasts for part in gig(text, band(tmp_path)).parts if isinstance(part, GigBreak)]
    assert [300] == lasting
