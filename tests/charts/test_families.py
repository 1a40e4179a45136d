"""What a pattern was made for, by the feels and families that it gives."""

from __future__ import annotations

from dataclasses import replace

import pytest
from support import BOOK, feel, pattern

from charts.families import ANYWHERE, ELSEWHERE, KIN, NEAR, OWN, kinship, unknown_feels
from charts.feel import Feel
from charts.reading.files import read_feel_file, read_pattern_file
from charts.source import Source
from charts.timing import Meter
from charts.vocabularies import BOOK_ORIGIN, FeelTable, PatternTable


@pytest.mark.parametrize(
    ("feels", "name", "level", "named"),
    [
        ((), "samba", ANYWHERE, ""),
        (("any",), "samba", ANYWHERE, ""),
        (("any", "samba"), "samba", OWN, "samba"),
        (("samba",), "samba", OWN, "samba"),
        (("Fast Samba",), "samba", OWN, "Fast Samba"),  # another spelling of the feel
        (("16ths",), "straight sixteenths", OWN, "16ths"),
        (("polka", "samba"), "samba", OWN, "samba"),
        (("latin",), "samba", KIN, "latin"),
        (("bossa",), "samba", NEAR, "bossa"),  # a feel of the same family, in another spelling
        (("shuffle",), "half-time shuffle", KIN, "shuffle"),
        (("half-time shuffle",), "shuffle", NEAR, "half-time shuffle"),
        (("half-time shuffle", "any"), "shuffle", ANYWHERE, ""),
        (("bossa", "latin"), "samba", KIN, "latin"),
        (("latin", "samba"), "samba", OWN, "samba"),
        (("swing",), "jazz waltz", KIN, "swing"),
        (("waltz",), "jazz waltz", KIN, "waltz"),  # a feel may be of two families
        (("swing",), "waltz", ELSEWHERE, "swing"),
        (("swing",), "shuffle", ELSEWHERE, "swing"),
        (("polka", "march"), "samba", ELSEWHERE, "polka"),
        (("no such feel",), "samba", ELSEWHERE, "no such feel"),
    ],
)
def test_what_a_pattern_is_made_for(feels: tuple[str, ...], name: str, level: int, named: str) -> None:
    """The feel itself before its family, any feel, a sister feel, strangers; and which of the names is the reason."""
    fill = replace(pattern("SD oo"), feels=feels)
    assert kinship(feel(name), BOOK.feels).made_for(fill) == (level, named)


def test_a_feel_without_a_family_has_no_kin() -> None:
    """One that a chart defines in place is related to none, not even to another of that kind."""
    own = FeelTable([Feel("one", (2,)), Feel("other", (2,))])
    fill = replace(pattern("SD oo"), feels=("other",))
    assert kinship(Feel("one", (2,)), own).made_for(fill)[0] == ELSEWHERE


@pytest.mark.parametrize(
    ("own", "bar", "level"), [("3/4", "3/4", OWN), ("3/4", "4/4", ELSEWHERE), ("3/4", None, ELSEWHERE)]
)
def test_a_meter_makes_a_home(own: str, bar: str | None, level: int) -> None:
    """A fill for a waltz is at home in a bar of three, whatever the feel."""
    fill = replace(pattern("SD oo"), feels=("waltz",), meter=Meter.read(own))
    meter = Meter.read(bar) if bar else None
    assert kinship(feel("straight eighths"), BOOK.feels, meter).made_for(fill)[0] == level


def test_a_name_asks_for_a_feel_and_for_the_family_that_is_called_so() -> None:
    """Shuffles are all of them; one of them is itself; a family's name need not be a feel's."""
    shuffles = [each.name for each in BOOK.feels.group("Shuffle")]
    assert shuffles[0] == "shuffle"
    assert {"half-time shuffle", "sixteenth shuffle"} <= set(shuffles)
    assert [each.name for each in BOOK.feels.group("half time shuffle")] == ["half-time shuffle"]
    assert {"samba", "bossa nova", "cha-cha"} <= {each.name for each in BOOK.feels.group("latin")}
    assert BOOK.feels.group("nonesuch") == ()


def test_the_keys_are_lists_or_single_names() -> None:
    """``feels`` of a pattern and ``family`` of a feel; what is neither is refused with what to write."""
    text = 'fills:\n  a: {feels: [shuffle, swing], rows: "SD oo"}\n  b: {feels: any, rows: "SD o"}\n'
    text += (
        '  c: {like: a, rows: "SD o."}\n  d: {like: a, feels: polka}\n  e: {feels: {a: b}, rows: "SD o"}\n'
    )
    table = PatternTable([read_pattern_file(Source("fills.yaml", text), BOOK_ORIGIN)])
    found = {each.name: each.feels for each in table.fills()}
    assert found == {
        "a": ("shuffle", "swing"),
        "b": ("any",),
        "c": ("shuffle", "swing"),
        "d": ("polka",),
        "e": (),
    }
    assert [finding.hint for finding in table.findings] == ["write [shuffle, swing], or any"]
    feels, findings = read_feel_file(Source("feels.yaml", "feels: {a: {divides: [2], family: [x, y]}}\n"))
    assert ([each.family for each in feels], findings) == ([("x", "y")], [])


def test_a_feel_that_nobody_has_is_named_with_the_nearest() -> None:
    """Feels, other spellings, families and any are known; a slip gets its own warning."""
    feels = ("shuffle", "16ths", "latin", "Any", "sambo", "latim", "zzzz")
    found = list(unknown_feels(replace(pattern("SD oo"), feels=feels), BOOK.feels))
    assert [each.message.split("“")[1].split("”")[0] for each in found] == ["sambo", "latim", "zzzz"]
    assert [each.hint.split(":")[0] for each in found] == [
        "did you mean samba?", "did you mean latin?", "write any or a feel"
    ]  # fmt: skip
    assert {(each.rule, each.level) for each in found} == {("unknown", "warning")}
