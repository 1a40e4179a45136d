"""Reading a changed chart back: exactly the change that was wished, or a refusal."""

from __future__ import annotations

import pytest
from support import song

from charts.editing.readback import as_wished, heirs_of
from charts.editing.wish import Wish

TEXT = """\
title: T
tempo: 90
feel: shuffle
groove: shuffle on the ride
form:
  - A (4): {cue: in, tempo: 95}
  - B (8): {fill: stairs in threes, fills: {4: stairs in threes}}
  - A
  - C: {like: A, dynamics: f}
  - A: {cue: out}
"""


def granted(wish: Wish, index: int | None, *changes: tuple[str, str]) -> bool:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return as_wished(song(TEXT), song(text), wish, index)


@pytest.mark.parametrize(
    ("wish", "index", "change"),
    [
        (Wish("cue", "go", "A"), 0, ("cue: in", "cue: go")),
        (Wish("cue", "go", "A", 3), 0, ("cue: in", "cue: in, cues: {3: go}")),
        (Wish("cue", "none", "A"), 0, ("cue: in", "cue: none")),
        (Wish("tempo", "99", "A"), 0, ("95", "99")),
        (Wish("tempo", "none", "A"), 0, ("95", "none")),
        (Wish("tempo", "99"), None, ("90", "99")),
        (Wish("feel", "swing"), None, ("feel: shuffle", "feel: swing")),
        (Wish("feel", "swing", "B"), 1, ("{fill", "{feel: swing, fill")),
        (Wish("bars", "6+4", "B"), 1, ("(8)", "(6+4)")),
        (Wish("fill", "sixteenths round the kit", "B"), 1, ("{fill: stairs in threes", "{fill: sixteenths round the kit")),
        (Wish("fill", "none", "B", 4), 1, ("4: stairs in threes", "4: none")),
        (Wish("dynamics", "p", "C"), 3, ("dynamics: f", "dynamics: p")),
    ],
)  # fmt: skip
def test_the_wish_and_nothing_else(wish: Wish, index: int | None, change: tuple[str, str]) -> None:
    """The one change passes; left out, or with anything else changed beside it, it does not."""
    assert granted(wish, index, change)
    assert not granted(wish, index)
    for other in (
        ("cue: out", "cue: off"),
        ("title: T", "title: U"),
        ("stairs in threes}}", "stairs in threes, 8: stairs in threes}}"),
        ("- A\n", "- A: {hits: 1.1}\n"),
        ("groove: shuffle on the ride", "groove: plain words"),
        ("  - A\n", ""),
        ("like: A", "like: A, until: x, open: yes"),
    ):
        assert not granted(wish, index, other, change), other


def test_heirs_may_change_in_the_same_respect_only() -> None:
    """A cue of the defining line may reach its repeats, a repeat's cue may not reach the others."""
    assert granted(Wish("cue", "go", "A"), 0, ("cue: in", "cue: go"))
    assert not granted(Wish("cue", "go", "A#2"), 2, ("cue: in", "cue: go"))
    assert not granted(Wish("cue", "go", "A"), 0, ("cue: in", "cue: go, dynamics: p"))


@pytest.mark.parametrize(
    ("fills", "bars", "changed"),
    [
        ("fill: big turn, fills: {4: short pickup}", "8", ["short pickup", "big turn"]),
        ("fills: {4: short pickup}, fill: big turn", "8", ["short pickup", "big turn"]),
        ("fills: {2: short pickup}, fill: big turn", "8", ["short pickup", "big turn"]),
        ("fill: big turn, fills: {4.1: short pickup}", "8", ["short pickup", "big turn"]),
    ],
)
def test_an_edit_of_the_bars_may_move_a_fill_past_another(fills: str, bars: str, changed: list[str]) -> None:
    """The fill that ends the section goes to its new last bar, whichever came first before."""
    old, new = (
        song(f"title: T\ntempo: 90\nfeel: straight eighths\nform: ['A ({n})': {{{fills}}}]")
        for n in (4, bars)
    )
    assert changed == [use.name for use in new.form[0].fills]
    assert as_wished(old, new, Wish("bars", bars, "A"), 0)


def test_an_edit_of_the_bars_keeps_every_fill() -> None:
    """A fill that goes, comes, or stays where the section ended is another wish."""
    start = "title: T\ntempo: 90\nfeel: straight eighths\nform: "
    old = song(start + "['A (4)': {fill: big turn, fills: {2: short pickup}}]")
    for fills in (
        "{fill: big turn}",
        "{fill: big turn, fills: {2: short pickup, 3: short pickup}}",
        "{fill: big turn, fills: {3: short pickup}}",
        "{fills: {2: short pickup, 6: big turn}}",
    ):
        assert not as_wished(old, song(f"{start}['A (8)': {fills}]"), Wish("bars", "8", "A"), 0), fills


@pytest.mark.parametrize(("line", "expected"), list(enumerate([5, 1, 1, 2, 1, 1, 1])))
def test_how_many_appearances_a_change_holds_for(line: int, expected: int) -> None:
    """The line that gives the bars reaches its repeats, what is like it, and what is like that; a repeat none."""
    lines = ("A (4)", "B (8)", "a", "C: {like: A}", "D: {like: c, cue: x}", "A", "E (4)")
    assert expected == heirs_of(
        song("title: T\ntempo: 90\nfeel: shuffle\nform:\n" + "".join(f"  - {each}\n" for each in lines)), line
    )
