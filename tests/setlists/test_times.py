"""Lengths, times of day and dates as people write them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from charts.reading.values import Bad
from charts.wording import HOUR, clock, length, time_words
from setlists.times import day, duration, time_of_day

slot = duration(12 * HOUR, "45 min")
song = duration(3 * HOUR, "3:30", colons=True)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("20 s", 20),
        ("20s", 20),
        ("45 min", 2700),
        ("1 h", 3600),
        ("1 h 15 min", 4500),
        ("1 min 30 s", 90),
        ("2.5 min", 150),
        ("1 hour and 5 minutes", 3900),
        ("0", 0),
        ("none", 0),
        ("0 s", 0),
        ("45 MIN", 2700),
    ],
)
def test_a_length_has_its_units(text: str, seconds: int) -> None:
    """Hours, minutes and seconds, in words or letters."""
    assert slot(text) == seconds


@pytest.mark.parametrize(
    ("text", "seconds"), [("3:30", 210), ("0:45", 45), ("1:02:05", 3725), ("210 s", 210)]
)
def test_a_song_may_have_its_length_with_a_colon(text: str, seconds: int) -> None:
    """Minutes and seconds, or hours too."""
    assert song(text) == seconds


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("45", "write 45 s or 45 min"),
        ("1:30", "write it like 45 min or 1 h 15 min"),
        ("soon", "write it like 45 min"),
        ("20 h", "write at most 12 h"),
        ("-5 min", "write it like 45 min"),
    ],
)
def test_a_length_that_could_be_two_things_is_refused(text: str, hint: str) -> None:
    """The message says what to write instead."""
    with pytest.raises(Bad) as caught:
        slot(text)
    assert hint == caught.value.hint


def test_seconds_behind_a_colon_run_to_59() -> None:
    """3:75 is a slip of the pen."""
    with pytest.raises(Bad, match="3:75"):
        song("3:75")


@given(st.integers(0, 12 * HOUR))
def test_a_length_in_words_reads_back(seconds: int) -> None:
    """What is printed can be written."""
    assert Fraction(seconds) == slot(length(seconds))
    assert Fraction(seconds) == duration(12 * HOUR, "", colons=True)(clock(seconds))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("20:30", "20:30"),
        ("8:30 pm", "20:30"),
        ("8 PM", "20:00"),
        ("12:15 am", "00:15"),
        ("12 pm", "12:00"),
        ("0:00", "00:00"),
        ("7.10", "07:10"),
        ("20h30", "20:30"),
    ],
)
def test_a_time_of_day(text: str, shown: str) -> None:
    """Both clocks, and the dots and letters of other countries."""
    assert shown == f"{time_of_day(text):%H:%M}"


@pytest.mark.parametrize("text", ["24:00", "25:00", "20:60", "20", "13 pm", "late", "20:3"])
def test_no_time_of_day(text: str) -> None:
    """Times that are on no clock."""
    with pytest.raises(Bad):
        time_of_day(text)


def test_a_date() -> None:
    """Year, month and day, since 4/12 is two days."""
    assert "2026-12-04" == day("2026-12-04").isoformat()
    for text in ("4.12.2026", "2026-02-30", "26-12-04", "1066-10-14", "Friday"):
        with pytest.raises(Bad):
            day(text)


@pytest.mark.parametrize(
    ("read", "text", "seconds"),
    [(slot, "12 h", 43_200), (slot, "720 min", 43_200), (song, "3:00:00", 10_800), (song, "180:00", 10_800)],
)
def test_the_longest_is_still_a_length(read: Callable[[str], Fraction], text: str, seconds: int) -> None:
    """A limit itself is inside it."""
    assert seconds == read(text)


@pytest.mark.parametrize(
    ("read", "text", "hint"),
    [
        (slot, "12 h 1 s", "write at most 12 h"),
        (song, "3:00:01", "write at most 3 h"),
        (song, "180:01", "write at most 3 h"),
    ],
)
def test_one_second_more_is_too_long(read: Callable[[str], Fraction], text: str, hint: str) -> None:
    """Whole hours and a second."""
    with pytest.raises(Bad, match="too long") as caught:
        read(text)
    assert hint == caught.value.hint


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("0:00", 0), ("3:59", 239), ("59:59", 3599), ("75:00", 4500), ("1:59:59", 7199), ("1:00:00", 3600)],
)
def test_behind_colons_are_minutes_and_seconds(text: str, seconds: int) -> None:
    """Minutes run past 59 where no hours are before them."""
    assert seconds == song(text)


@pytest.mark.parametrize("text", ["3:60", "1:60:00", "1:75:00", "1:00:60"])
def test_60_is_the_next_minute_or_hour(text: str) -> None:
    """Each figure under a larger one runs to 59."""
    with pytest.raises(Bad, match="is not a length"):
        song(text)


@pytest.mark.parametrize(
    ("text", "seconds"), [("1.5 h", 5400), ("90.5 s", Fraction(181, 2)), ("1 h 1 min 1 s", 3661), ("0.0", 0)]
)
def test_units_may_have_decimals_and_join(text: str, seconds: Fraction) -> None:
    """Exactly, as everything in time is."""
    assert seconds == slot(text)


@pytest.mark.parametrize(
    ("text", "shown"),
    [("12 am", "00:00"), ("12:59 am", "00:59"), ("1 am", "01:00"), ("11:59 am", "11:59"), ("12:59 pm", "12:59"),
     ("1 pm", "13:00"), ("11:59 p.m.", "23:59"), ("23:59", "23:59"), ("0.00", "00:00"), ("12:00", "12:00")],
)  # fmt: skip
def test_noon_and_midnight(text: str, shown: str) -> None:
    """12 am begins the day and 12 pm its second half."""
    assert shown == time_words(time_of_day(text))


@pytest.mark.parametrize(
    ("text", "hint"),
    [("0:30 am", "write 00:30 without am"), ("13:00 pm", "write 13:00 without pm"), ("24:00", "write 0:00"),
     ("24:01", "write 0:00 to 23:59"), ("23:60", "write 0:00 to 23:59"), ("0:99", "write 0:00 to 23:59")],
)  # fmt: skip
def test_a_time_just_off_the_clock_is_refused(text: str, hint: str) -> None:
    """Each message has what to write instead."""
    with pytest.raises(Bad) as caught:
        time_of_day(text)
    assert hint == caught.value.hint


@pytest.mark.parametrize(
    ("text", "fits"),
    [("1900-01-01", True), ("2999-12-31", True), ("1899-12-31", False), ("3000-01-01", False)],
)
def test_years_from_1900_to_2999(text: str, fits: bool) -> None:
    """Both ends are inside."""
    if fits:
        assert text == day(text).isoformat()
    else:
        with pytest.raises(Bad, match="out of range") as caught:
            day(text)
        assert "write 1900 to 2999" == caught.value.hint
