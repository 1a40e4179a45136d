"""What a pattern was made for, by its own words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from support import BOOK, feel, pattern

from charts.feel import Feel
from charts.fitting.styles import ANYWHERE, AT_HOME, ELSEWHERE, Styles, styles_of
from charts.timing import Meter

STYLES = Styles(BOOK.feels)


@pytest.mark.parametrize(
    ("suits", "name", "made", "words"),
    [
        ("", "samba", ANYWHERE, ""),
        ("into a chorus; loud", "samba", ANYWHERE, ""),
        ("samba; no toms", "samba", AT_HOME, "samba"),
        ("samba; no toms", "train beat", ELSEWHERE, "samba"),
        ("funk, samba, street beats", "second line", AT_HOME, "street beats"),
        ("funk, samba, street beats", "polka", ELSEWHERE, "funk"),
        ("turns; any Samba", "samba", AT_HOME, "any Samba"),
        ("a bar of a straight waltz", "polka", ELSEWHERE, "a straight waltz"),
        ("a polka", "samba", ELSEWHERE, "a polka"),
        ("quiet Waltzes", "waltz", AT_HOME, "Waltzes"),
        ("Half-Time  Shuffles", "half-time shuffle", AT_HOME, "Half-Time  Shuffles"),
        # a word in one of the feel's names
        ("shuffles", "half-time shuffle", AT_HOME, "shuffles"),
        ("swing", "jazz waltz", AT_HOME, "swing"),
        ("shuffled funk", "sixteenth shuffle", AT_HOME, "funk"),
        ("over swung 16ths", "sixteenth shuffle", AT_HOME, "swung 16ths"),
        ("heavy rock", "half-time", AT_HOME, "rock"),
        ("swing", "shuffle", ELSEWHERE, "swing"),
        # grids more than styles
        ("funk", "straight eighths", ANYWHERE, ""),
        ("slow twelves", "6/8 ballad", ANYWHERE, ""),
        ("slow twelves", "fast 6/8", ELSEWHERE, "twelves"),
        # any feel is any feel, and still one of them may be home
        ("any feel in three; the way out of a waltz", "polka", ANYWHERE, ""),
        ("any feel in three; the way out of a waltz", "waltz", AT_HOME, "a waltz"),
        # words for strokes and lengths; words across a comma
        ("swing charts that write even eighths", "straight eighths", ELSEWHERE, "swing"),
        ("swells over two beats", "two-step", ANYWHERE, ""),
        ("any half, time", "half-time", ANYWHERE, ""),
    ],
)
def test_what_words_say(suits: str, name: str, made: int, words: str) -> None:
    """The feel itself, any, or others alone; and which of the words said so, as they stand."""
    fill = replace(pattern("SD oo"), suits=suits)
    assert STYLES.made_for(fill, feel(name)) == (made, words)
    assert STYLES.of(fill, feel(name)) == made


@pytest.mark.parametrize(
    ("suits", "own", "meter", "made"),
    [
        ("a quiet waltz", None, "3/4", AT_HOME),
        ("a quiet waltz", None, "4/4", ELSEWHERE),
        ("a jazz waltz", None, "3/4", AT_HOME),
        ("slow twelves", None, "12/8", AT_HOME),
        ("", "7/8 (2+2+3)", "7/8 (2+2+3)", AT_HOME),
        ("", "6/8", "12/8", ANYWHERE),  # it lies on the same beats there
        ("", "6/8", None, ELSEWHERE),
    ],
)
def test_what_the_meter_says(suits: str, own: str | None, meter: str | None, made: int) -> None:
    """Straight eighths in three are at home with waltzes; a meter of its own that lies there is no stranger."""
    fill = replace(pattern("SD oo"), suits=suits, meter=Meter.read(own) if own else None)
    assert STYLES.made_for(fill, feel("straight eighths"), Meter.read(meter) if meter else None)[0] == made


def test_words_and_names_of_any_letters() -> None:
    """A letter that is two in lower case; a feel whose name has no word in it."""
    styles = Styles([feel("samba"), Feel("!", (2,))])
    fill = replace(pattern("SD oo"), suits="İİ İb: samba!")
    assert styles.made_for(fill, feel("samba")) == (AT_HOME, "samba")
    assert styles.made_for(fill, Feel("!", (2,))) == (ELSEWHERE, "samba")


def test_the_styles_of_a_book_are_made_once() -> None:
    """A whole check shares them."""
    assert styles_of(BOOK.feels) is styles_of(BOOK.feels)
