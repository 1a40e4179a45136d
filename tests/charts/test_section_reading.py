"""What a form line and its keys say wrong: each told once, at its own characters, with what to write."""

from __future__ import annotations

from fractions import Fraction

import pytest
from support import chart, findings, form

PLACES = "write BAR, BAR.BEAT, BAR.BEAT& (or e, a) or BAR.BEAT+1/3"
TEMPO = "write beats a minute: 92, 66.5, or 92 to 104"
WHOLE_BAR = "write a whole number, 1 to 10000"

# the line, the characters that are shown, what is said of them, what to write instead
LINES = [
    ("A (8) x0", "A (8) x0", "x0 is out of range", "write x1 to x999"),
    ("A (x)", "A (x)", "“x” is no number of bars", "write 8, or 4+4 for the phrases"),
    ("(8)", "(8)", "“(8)” is no form line", "write NAME (BARS) xN open, like Chorus (8) x2"),
    ("[A (8)]", "[A (8)]", "a form line is a list", "write - NAME (BARS): {key: value}"),
    ("{}", "{}", "a form line is a group of keys", "write - NAME (BARS): {key: value}"),
    ("{A (8): {cue: x}, B (4): {cue: y}}", "B (4)", "a form line in braces has one key", "write - NAME (BARS): {key: value}"),
    ("A (8):", "A (8)", "nothing stands behind A (8):", "leave the colon out, or indent its keys below"),
    ("''", "''", "an empty form line", "write a section's name, or delete the line"),
    ("A (8): [x]", "[x]", "a section is a list, not keys with values", "write key: value, a line each"),
    ("A (8): {? [x] : y}", "[x]", "a key is one or a few words", "write key: value"),
    ("A: {like: B}", "B", "no section before this one is called B", "name a section that stands above"),
]  # fmt: skip

# the keys of a section of eight bars, and the same
KEYS = [
    ("times: many", "many", "“many” is no number of times", "write a whole number, 1 to 999"),
    ("times: 0", "0", "number of times 0 is out of range", "write 1 to 999"),
    ("open: maybe", "maybe", "“maybe” is neither yes nor no", "write yes or no"),
    ("meter: 4", "4", "“4” is no meter", "write it as 4/4, 6/8 or 7/8 (2+2+3)"),
    ("tempo: slow", "slow", "“slow” is no tempo", TEMPO),
    ("tempo: 2000", "2000", "tempo 2000 is out of range", "write beats a minute, 20 to 400"),
    ("tempos: {x: 90}", "x", "“x” is no bar", WHOLE_BAR),
    ("tempos: {3: fast}", "fast", "“fast” is no tempo", TEMPO),
    ("tempos: {3: {pass: each}}", "{pass: each}", "this tempo mark says no tempo", "write {tempo: 96, pass: each}"),
    ("tempos: {3: {tempo: 90, pass: x}}", "x", "“x” is no pass", "write each, last or a number"),
    ("odd-bars: {x: 2/4}", "x", "“x” is no bar", WHOLE_BAR),
    ("odd-bars: {3: 2}", "2", "“2” is no meter", "write it as 4/4, 6/8 or 7/8 (2+2+3)"),
    ("cue: ''", "''", "a cue has no value", "write a value, or leave the key out"),
    ("cues: loud", "loud", "cues is a value, not keys with values", "write key: value, a line each"),
    ("cue: x, cues: {1: y}", "y", "two cues at 1", "put the words together, or on two beats"),
    ("hits: 2.1 0.1", "0.1", "“0.1”: bars and beats count from 1", "write 1 for the first"),
    ("hits: 2.1+3/3", "2.1+3/3", "3/3 is not inside the beat", "write a fraction from 0 to under 1"),
    ("hits: [2.1, 3.1]", "[2.1, 3.1]", "hits is a list, not places", "write places parted by spaces, without brackets: 3.1 4.1"),
    ("hits: '2.1, 3.1'", "2.1,", "“2.1,” is no place", "part places by spaces, without commas"),
    ("hits: {2.1: x}", "{2.1: x}", "hits is a group of keys, not a value", "leave the brackets out, or quote words that begin with {"),
    ("stops: 7.3-x", "7.3-x", "“x” is no place", PLACES),
    ("stops: 7.3 - 8.4", "-", "a stop without its two ends", "write 7.3-8.4, without spaces"),
    ("stops: 2.1 8.4-", "8.4-", "a stop without its two ends", "write 7.3-8.4, without spaces"),
    ("stops: 8.1-7.1", "8.1-7.1", "the stop 8.1-7.1 ends before it starts", "write 7.1-8.1"),
    ("holds: {3.1: 601}", "601", "a hold of 601 is too long", "write seconds, at most 600"),
    ("holds: {x: 4}", "x", "“x” is no place", PLACES),
    ("dynamics: p to f to p", "p to f to p", "“p to f to p” is no dynamic", "write ppp pp p mp mf f ff fff, or p to f"),
    ("fills: {x: big turn}", "x", "“x” is no place", PLACES),
    ("fill: [big turn]", "[big turn]", "a fill is a list, not a value", "leave the brackets out, or quote words that begin with ["),
    ("fill: {use: }", "}", "use has no value", "write a value, or leave the key out"),
    ("fill: {use: big turn, pass: twice}", "twice", "“twice” is no pass", "write each, last or a number"),
    ("fill: {use: big turn, land: QQ}", "QQ", "nothing lands on “QQ”", "write crash, none, or a voice like RD"),
    ("fill: {use: big turn, sets-up: this}", "this", "a fill sets up the next section, not “this”", "write sets-up: next"),
    ("fill: {like: nonesuch}", "nonesuch", "no pattern is called “nonesuch”", "name a fill or a groove that exists"),
    ("fill: {like: [x]}", "[x]", "like is a list, not a value", "leave the brackets out, or quote words that begin with ["),
    ("fill: {rows: SD oo, written: straight}", "written", "written and played go together", "write written: straight and played: swung"),
    ("fill: {rows: SD oo, tempo: 60}", "60", "“60” is no range of tempi", "write it like 60-120"),
    ("fill: {rows: SD oo, tempo: 120-60}", "120-60", "this range runs backwards", "write 60-120"),
    ("feel: {divides: [2]}", "{divides: [2]}", "a feel written in place needs a name", "write name: and what the band calls it"),
    ("feel: {name: x}", "{name: x}", "the feel x does not say how a beat divides", "write divides: [2, 2] or another list"),
    ("feel: {name: x, divides: 2}", "2", "divides is a list of one to four factors", "write [2], [2, 2], [3] or [2, 3]"),
    ("feel: {name: x, divides: [9]}", "9", "factor 9 is out of range", "write 2 to 7"),
    ("feel: {name: x, divides: [7, 7]}", "[7, 7]", "a beat of 49 cells is too fine", "write at most 48 cells a beat"),
    ("feel: {name: x, divides: [3], swing: 5}", "5", "swing 5 is out of range", "write a long-short ratio from 1 (even) to 4"),
    ("feel: {name: x, divides: [3], swing: lots}", "lots", "“lots” is no swing", "write a ratio like 2 or 1.6, or by tempo"),
    ("feel: {name: x, divides: [2], home: 5}", "5", "5 cells are no division of this feel", "write 2 or twice that"),
    ("feel: {name: x, divides: [2], also: {a: b}}", "{a: b}", "also is a list of spellings", "write [one, two]"),
]  # fmt: skip

# the keys of a song, and the same
HEADS = [
    ("count-in: soon", "soon", "“soon” is no count-in", "write 1 bar, 2 bars, 3 beats or none"),
    ("count-in: 9 bars", "9 bars", "nobody counts that long", "write at most 8 bars or 32 beats"),
    ("pickup: long", "long", "“long” is no pickup", "write 1 beat, 2 beats or 1/2 beat"),
    ("pickup: 33 beats", "33 beats", "this pickup is too long", "write at most 32 beats"),
]


def lines() -> list[tuple[str, str, str, str]]:
    """Whole charts, with what is wrong in each."""
    return [
        *((chart(line), *told) for line, *told in LINES),
        *((chart(f"A (8): {{{keys}}}"), *told) for keys, *told in KEYS),
        *((chart("A (8)", head=f"{head}\n"), *told) for head, *told in HEADS),
    ]


@pytest.mark.parametrize(("text", "shown", "message", "hint"), lines())
def test_a_wrong_value_is_told_at_its_own_characters(text: str, shown: str, message: str, hint: str) -> None:
    """One error, and nothing that falls out of it."""
    (found,) = [each for each in findings(text) if each.is_error]
    assert (message, hint) == (found.message, found.hint)
    assert found.span is not None
    assert shown == found.span.text


def test_yes_and_no_by_other_words() -> None:
    """What was yes and no to YAML still is."""
    said = {
        word: form(f"A (8): {{open: {word}}}").form[0].open for word in ("on", "true", "off", "false", "no")
    }
    assert {"on": True, "true": True, "off": False, "false": False, "no": False} == said


def test_holds_and_tempos_of_a_repeat_can_be_taken_away() -> None:
    """As everything that a section inherits."""
    _, bare = form(
        "A (8): {holds: {3.1: 4}, tempos: {3: 90}}", "A: {holds: none, tempos: none, fills: none}"
    ).form
    assert ((), ()) == (bare.holds, bare.tempos)


def test_fills_of_a_repeat_can_be_taken_away_all_at_once() -> None:
    """And new ones put there later."""
    lines = ["A (8): {fills: {4: big turn, 8: short pickup}}", "A: {fills: none}", "A"]
    assert [2, 0, 2] == [len(section.fills) for section in form(*lines).form]


def test_what_stands_in_places_is_put_in_their_order() -> None:
    """However it was written."""
    section = form(
        "A (8): {hits: 3.2 3.1& 2.4, holds: {6.1: 2.5 s, 2.1: 4}, tempos: {6: 90, 3: {tempo: 80 to 70, pass: each}}}"
    ).form[0]
    assert ["2.4", "3.1&", "3.2"] == [str(at) for at in section.hits]
    assert [("2", 4), ("6", Fraction(5, 2))] == [(str(hold.place), hold.seconds) for hold in section.holds]
    assert [(3, 80, 70, "each"), (6, 90, None, "last")] == [
        (m.bar, m.tempo, m.to, m.pass_) for m in section.tempos
    ]
