"""Figures, lengths, times, keys and lists as they are written."""

from __future__ import annotations

from datetime import date, datetime, time
from fractions import Fraction

import pytest

from charts.wording import (
    clock,
    control_in,
    day_words,
    figure,
    key_in_signs,
    length,
    listed,
    many,
    many_beats,
    nth_time,
    one_line,
    ordinal,
    per_minute,
    plain_key,
    short_key,
    tempo_change,
    time_words,
    unobeyed,
)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (Fraction(92), 1, "92"),
        (Fraction(100), 1, "100"),
        (Fraction(133, 2), 1, "66.5"),
        (Fraction(1999, 20), 1, "100"),  # 99.95
        (99.94, 1, "99.9"),
        (0, 1, "0"),
        (Fraction(200, 3), 3, "66.667"),
        (Fraction(400), 3, "400"),
        (Fraction(133, 2), 3, "66.5"),
    ],
)
def test_a_figure_has_no_more_decimals_than_it_needs(value: Fraction | float, places: int, text: str) -> None:
    """Zeros after the point go, zeros before it stay."""
    assert text == figure(value, places)


def test_a_figure_has_one_decimal_of_itself() -> None:
    """More are written only where they are asked for."""
    assert ("66.7", "66.667") == (figure(Fraction(200, 3)), figure(Fraction(200, 3), 3))


def test_a_tempo_in_a_sentence_has_one_decimal() -> None:
    """The unit comes with it."""
    assert ("96 bpm", "66.5 bpm") == (per_minute(96), per_minute(Fraction(133, 2)))


def test_an_even_change_of_tempo_says_where_it_leads() -> None:
    """Each end with one decimal."""
    assert ("96", "96 to 66.5") == (tempo_change(Fraction(96)), tempo_change(Fraction(96), Fraction(133, 2)))


@pytest.mark.parametrize(
    ("seconds", "as_clock", "in_words"),
    [
        (0, "0:00", "0 s"),
        (0.4, "0:00", "0 s"),
        (0.6, "0:01", "1 s"),
        (59.4, "0:59", "59 s"),
        (59.6, "1:00", "1 min"),
        (60, "1:00", "1 min"),
        (61, "1:01", "1 min 1 s"),
        (Fraction(1846, 10), "3:05", "3 min 5 s"),
        (3599.4, "59:59", "59 min 59 s"),
        (3599.6, "1:00:00", "1 h"),
        (3725, "1:02:05", "1 h 2 min 5 s"),
        (36_000, "10:00:00", "10 h"),
    ],
)
def test_a_length_goes_to_the_nearest_second(seconds: float, as_clock: str, in_words: str) -> None:
    """Both ways of writing it round alike."""
    assert (as_clock, in_words) == (clock(seconds), length(seconds))


def test_a_time_of_day_is_the_minute_that_a_clock_shows() -> None:
    """Seconds are cut, as a clock on the wall does."""
    assert ("00:00", "23:59") == (time_words(time(0, 0)), time_words(datetime(2026, 12, 4, 23, 59, 59)))
    assert "Tuesday 1 December 2026" == day_words(date(2026, 12, 1))


@pytest.mark.parametrize(
    ("number", "text"),
    [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (10, "10th"), (11, "11th"), (12, "12th"), (13, "13th"),
     (14, "14th"), (20, "20th"), (21, "21st"), (22, "22nd"), (23, "23rd"), (111, "111th"), (113, "113th"),
     (121, "121st")],
)  # fmt: skip
def test_an_ordinal_ends_as_it_is_read(number: int, text: str) -> None:
    """The teens of every hundred end in th."""
    assert (text, f"{text} time") == (ordinal(number), nth_time(number))


@pytest.mark.parametrize(("count", "text"), [(0, "0 bars"), (1, "1 bar"), (2, "2 bars")])
def test_only_one_is_singular(count: int, text: str) -> None:
    """Nothing is plural, too."""
    assert text == many(count, "bar")


@pytest.mark.parametrize(
    ("beats", "text"),
    [(1, "1 beat"), (2, "2 beats"), (Fraction(1, 2), "0.5 beats"), (Fraction(7, 5), "1.4 beats"),
     (Fraction(1, 3), "1/3 beats"), (Fraction(1, 4), "1/4 beats")],
)  # fmt: skip
def test_beats_are_decimal_where_one_decimal_is_exact(beats: Fraction | int, text: str) -> None:
    """A quarter of a beat is not 0.2 beats."""
    assert text == many_beats(Fraction(beats))


@pytest.mark.parametrize(
    ("names", "text"), [([], ""), (["A"], "A"), (["A", "B"], "A and B"), (["A", "B", "C"], "A, B and C")]
)
def test_names_are_listed_with_one_joint(names: list[str], text: str) -> None:
    """Commas, then the joint before the last."""
    assert text == listed(names)


@pytest.mark.parametrize(
    ("key", "signs", "short"),
    [
        ("Bb", "B♭", "B♭"),
        ("F# minor", "F♯ minor", "F♯m"),
        ("Bb major", "B♭ major", "B♭"),
        ("A to Bb", "A to B♭", "A to B♭"),
        ("Ebm7", "E♭m7", "E♭m7"),
        ("D dorian", "D dorian", "D dorian"),
        ("Abba in B", "Abba in B", "Abba in B"),
        ("", "", ""),
    ],
)
def test_a_key_is_printed_with_its_signs(key: str, signs: str, short: str) -> None:
    """Only a letter with its flat or sharp, never a word that begins like one."""
    assert (signs, short) == (key_in_signs(key), short_key(key))


@pytest.mark.parametrize(
    "spelled", ["Bbm", "bbm", "B♭ minor", "Bb min", "B flat minor", "B-flat minor", "Bb-minor"]
)
def test_keys_compare_in_one_spelling(spelled: str) -> None:
    """However it is written, it is found."""
    assert "bbm" == plain_key(spelled)


@pytest.mark.parametrize(
    ("spelled", "plain"), [("F sharp", "f#"), ("F♯ major", "f#"), ("A", "a"), ("Am", "am")]
)
def test_major_and_minor_stay_apart(spelled: str, plain: str) -> None:
    """Major is not written, minor is m."""
    assert plain == plain_key(spelled)


@pytest.mark.parametrize(
    ("text", "found"),
    [("plain — é ♭ 鼓", None), ("\x00", "U+0000"), ("a\x1f", "U+001F"), ("a b", None), ("~\x7f", "U+007F"),
     ("\x9f", "U+009F"), ("\xa0", None), ("\ud800", "U+D800"), ("\udfff", "U+DFFF"), ("\ue000", None),
     ("\a\b", "U+0007")],
)  # fmt: skip
def test_the_first_control_character_is_named(text: str, found: str | None) -> None:
    """Both blocks of them, from end to end, and halves of a surrogate pair."""
    assert found == control_in(text)


def test_a_control_character_may_be_allowed() -> None:
    """The one that comes after it is still found."""
    assert (None, "U+0007") == (control_in("a\tb", "\t\n"), control_in("a\tb\a", "\t\n"))


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("Café\t1\n", "Café\t1\n"),
        ("\x08\x0b\x1a\x1c\x1f\x7f\x9f", "???????"),
        ("\x1b[31mred\x1b[0m", "?[31mred?[0m"),
        ("\x1b[2J\x1b]0;title\a", "?[2J?]0;title?"),
        ("\u202egnir \u2067x\u2069\u200f\u061c", "?gnir ?x???"),
        ("\ufdd0bold\ufdd1x\ufdd2", "?bold?x?"),
        ("\xa0", "\xa0"),
    ],
)
def test_a_terminal_is_given_nothing_to_obey(text: str, safe: str) -> None:
    """Line ends and tabs pass; what moves, colors or turns around what is on the screen does not."""
    assert safe == unobeyed(text)


def test_one_line_holds_only_what_is_seen() -> None:
    """Control characters count as spaces, and spaces as one."""
    assert "Grey Harbor, take 2" == one_line(" Grey\x00Harbor,\r\n\ttake\u00a0 2 ")
