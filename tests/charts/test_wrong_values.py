"""What is wrong in a file: told once, at its own characters, with what to write instead.

A row of the tables: what is written (``\\n`` for a new line), the characters that are shown, what is said of
them, what to write instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from support import chart, findings

from charts.book import settings_of
from charts.reading.files import read_feel_file, read_pattern_file
from charts.source import Finding, Source
from charts.vocabularies import BOOK_ORIGIN, PatternTable, shipped_patterns

# lines of a form
LINES = r"""
A (8) x0 :: A (8) x0 :: x0 is out of range :: write x1 to x999
A (x) :: A (x) :: “x” is not a number of bars :: write 8, or 4+4 for the phrases
A (8) - B (8) :: A (8) - B (8) :: “A (8) - B (8)” is more than one section :: write each after “- ” on a line of its own
A (8), B (4) x2 :: A (8), B (4) x2 :: “A (8), B (4) x2” is more than one section :: write each after “- ” on a line of its own
A (8)\n    B (4) :: A (8) :: “A (8) B (4)” is more than one section :: write each after “- ” on a line of its own
(8) :: (8) :: “(8)” is not a form line :: write NAME (BARS) xN open, like Chorus (8) x2
[A (8)] :: [A (8)] :: a form line is a list :: write - NAME (BARS): {key: value}
{} :: {} :: a form line is a group of keys :: write - NAME (BARS): {key: value}
{A (8): {cue: x}, B (4): {cue: y}} :: B (4) :: a section in braces has one key, its name :: write - NAME: {key: value}
A (8): :: A (8) :: nothing is after A (8): :: leave the colon out, or indent its keys below
'' :: '' :: an empty form line :: write a section's name, or delete the line
A (8): [x] :: [x] :: a section is a list, not keys with values :: write key: value, a line each
A (8): {? [x] : y} :: [x] :: a key is one or a few words :: write key: value
A: {like: B} :: B :: no section before this one is called B :: name a section above this one
"""
# keys of a section of eight bars
KEYS = r"""
times: many :: many :: “many” is not a number of times :: write a whole number, 1 to 999
times: 0 :: 0 :: number of times 0 is out of range :: write 1 to 999
open: maybe :: maybe :: “maybe” is neither yes nor no :: write yes or no
meter: 4 :: 4 :: “4” is not a meter :: write it as 4/4, 6/8 or 7/8 (2+2+3)
tempo: slow :: slow :: “slow” is not a tempo :: write beats per minute: 92, 66.5, or 92 to 104
tempo: 2000 :: 2000 :: tempo 2000 is out of range :: write beats per minute, 20 to 400
tempos: {x: 90} :: x :: “x” is not a bar :: write a whole number, 1 to 10000
tempos: {3: fast} :: fast :: “fast” is not a tempo :: write beats per minute: 92, 66.5, or 92 to 104
tempos: {3: {pass: each}} :: {pass: each} :: this tempo mark says no tempo :: write {tempo: 96, pass: each}
tempos: {3: {tempo: 90, pass: x}} :: x :: “x” is not a pass :: write each, last or a number
odd-bars: {x: 2/4} :: x :: “x” is not a bar :: write a whole number, 1 to 10000
odd-bars: {3: 2} :: 2 :: “2” is not a meter :: write it as 4/4, 6/8 or 7/8 (2+2+3)
cue: '' :: '' :: a cue has no value :: write a value, or leave the key out
cues: loud :: loud :: cues is a value, not keys with values :: write each at its bar: cues: {2: drums in}
cue: x, cues: {1: y} :: y :: two cues at 1 :: put the words together, or on two beats
hits: 2.1 0.1 :: 0.1 :: “0.1”: bars and beats count from 1 :: write 1 for the first
hits: 2.1+3/3 :: 2.1+3/3 :: 3/3 is not inside the beat :: write a fraction from 0 to under 1
hits: [2.1, 3.1] :: [2.1, 3.1] :: hits is a list, not places :: write places separated by spaces, without brackets: 3.1 4.1
hits: '2.1, 3.1' :: 2.1, :: “2.1,” is not a place :: part places by spaces, without commas
hits: {2.1: x} :: {2.1: x} :: hits is a group of keys, not a value :: leave the brackets out, or quote words that begin with {
stops: 7.3-x :: 7.3-x :: “x” is not a place :: write BAR, BAR.BEAT, BAR.BEAT& (or e, a), BAR.BEAT+1/3
stops: 7.3 - 8.4 :: - :: a stop without its two ends :: write 7.3-8.4, without spaces
stops: 2.1 8.4- :: 8.4- :: a stop without its two ends :: write 7.3-8.4, without spaces
stops: 8.1-7.1 :: 8.1-7.1 :: the stop 8.1-7.1 ends before it starts :: write 7.1-8.1
holds: {3.1: 601} :: 601 :: a hold of 601 is too long :: write seconds, at most 600
holds: {x: 4} :: x :: “x” is not a place :: write BAR, BAR.BEAT, BAR.BEAT& (or e, a), BAR.BEAT+1/3
dynamics: p to f to p :: p to f to p :: “p to f to p” is not a dynamic :: write ppp pp p mp mf f ff fff, or p to f
fills: {x: big turn} :: x :: “x” is not a place :: write BAR, BAR.BEAT, BAR.BEAT& (or e, a), BAR.BEAT+1/3
fill: [big turn] :: [big turn] :: a fill is a list, not a value :: leave the brackets out, or quote words that begin with [
fill: {use: } :: } :: use has no value :: write a value, or leave the key out
fill: {use: big turn, pass: twice} :: twice :: “twice” is not a pass :: write each, last or a number
fill: {use: big turn, land: QQ} :: QQ :: nothing lands on “QQ” :: write crash, none, or a voice like RD
fill: {use: big turn, sets-up: this} :: this :: a fill sets up the next section, not “this” :: write sets-up: next
fill: {like: nonesuch} :: nonesuch :: no pattern is called “nonesuch” :: name a fill or a groove that exists
fill: {like: [x]} :: [x] :: like is a list, not a value :: leave the brackets out, or quote words that begin with [
fill: {rows: SD oo, written: straight} :: written :: written and played go together :: write written: straight and played: swung
fill: {rows: SD oo, tempo: 60} :: 60 :: “60” is not a range of tempos :: write it like 60-120
fill: {rows: SD oo, tempo: 120-60} :: 120-60 :: this range runs backwards :: write 60-120
feel: {divides: [2]} :: {divides: [2]} :: a feel written in place needs a name :: write name: and what the band calls it
feel: {name: x} :: {name: x} :: the feel x does not say how a beat divides :: write divides: [2, 2] or another list
feel: {name: x, divides: 2} :: 2 :: divides is a list of one to four factors :: write [2], [2, 2], [3] or [2, 3]
feel: {name: x, divides: [9]} :: 9 :: factor 9 is out of range :: write 2 to 7
feel: {name: x, divides: [7, 7]} :: [7, 7] :: a beat of 49 cells is too fine :: write at most 48 cells per beat
feel: {name: x, divides: [3], swing: 5} :: 5 :: swing 5 is out of range :: write a long-short ratio from 1 (even) to 4
feel: {name: x, divides: [3], swing: lots} :: lots :: “lots” is not a swing :: write a ratio like 2 or 1.6, or by tempo
feel: {name: x, divides: [2], home: 5} :: 5 :: 5 cells are not a division of this feel :: write 2 or twice that
feel: {name: x, divides: [2], also: {a: b}} :: {a: b} :: also is a list of spellings :: write [one, two]
"""
# keys of a song
HEADS = r"""
count-in: soon :: soon :: “soon” is not a count-in :: write 1 bar, 2 bars, 3 beats or none
count-in: 9 bars :: 9 bars :: nobody counts that long :: write at most 8 bars or 32 beats
pickup: long :: long :: “long” is not a pickup :: write 1 beat, 2 beats or 1/2 beat
pickup: 33 beats :: 33 beats :: this pickup is too long :: write at most 32 beats
"""
# the tempo of a song
TEMPI = r"""
slow :: slow :: “slow” is not a tempo :: write beats per minute: 92, or 66.5
92 to 104 :: 92 to 104 :: “92 to 104” is not a tempo :: write one number here: an even change belongs to a section
"""
# book.yaml
SETTINGS = r"""
distance: 9 :: 9 :: 9 is not a distance to the music stand :: write metres from 0.3 to 5
distance: far :: far :: “far” is not a number :: write it like 92 or 66.5
tolerance: 900 :: 900 :: a tolerance of 900 is out of range :: write milliseconds, 0 to 200
kit: upside down :: upside down :: “upside down” is not a kit :: write right handed or left handed
paper: A3 :: A3 :: “A3” is not possible here :: write A4 or Letter
player: fast :: fast :: player is a value, not keys with values :: write key: value, a line each
player: {hand: 12} :: 12 :: hand 12 is past the fastest published :: write 10 strokes per second or less
player: {foot-double: 12} :: 12 :: foot double 12 is past the fastest published :: write 11.1 strokes per second or less
player: {foot: 0} :: 0 :: foot 0 is not a speed :: write strokes per second, like 7
player: {foot: 0.3} :: 0.3 :: foot 0.3 is too slow :: write 0.5 strokes per second or more
player: {foot: x, hand: 5} :: x :: “x” is not a number :: write it like 92 or 66.5
- x :: - x :: book.yaml is a list, not keys with values :: write key: value, a line each
"""
# feels.yaml
FEELS = r"""
feels:\n  x: {swing: 2} :: {swing: 2} :: the feel x does not say how a beat divides :: write divides: [2, 2] or another list
feels:\n  x: lazy :: lazy :: the feel x is a value, not keys with values :: write key: value, a line each
feels: [x] :: [x] :: feels is a list, not keys with values :: write key: value, a line each
groove: {x: y} :: groove :: feels.yaml has no key “groove” :: keys allowed in feels.yaml: feels
"""
# a file in fills/
FILLS = r"""
my turn:\n  rows: SD oo :: my turn :: my turn is below neither fills nor grooves :: write fills: above it, and indent everything below that by two
fills: [x] :: [x] :: what is below fills is a list, not keys with values :: write key: value, a line each
fill:\n  x: {rows: SD oo} :: fill :: a pattern file has no key “fill” :: did you mean fills?
fills:\n  x: SD oo :: SD oo :: the fill x is a value, not keys with values :: write key: value, a line each
fills:\n  x: {suits: polkas} :: x :: the fill x has no rows :: write rows: | and a row per voice below it
fills:\n  x: {rows: SD oo, row: x} :: row :: the fill x has no key “row” :: did you mean rows?
fills:\n  x: {rows: ''} :: '' :: rows has no value :: write a value, or leave the key out
fills:\n  x:\n    rows: |\n\n      # by hand\n      SD oo\n      BD oq :: q :: “q” is not a stroke :: write o x g f d z s, a capital for an accent, . for nothing
fills:\n  x:\n    rows: >\n      SD oo\n      BD oo :: > :: the rows run into one line :: put | after rows: and each row on a line of its own
fills:\n  x:\n    rows: |\n      SD oo\n    stick: RX :: X :: “X” is not a hand :: write R, L, B for both, or .
fills:\n  x:\n    rows: |\n      SD oo|oo\n    stick: 'RL' :: 'RL' :: row stick has 1 beat, the first row has 2 :: give every row the same number of groups between “|”
fills:\n  x:\n    rows: |\n      SD oo\n      stick RL\n    stick: RL :: stick :: the sticking is given twice :: keep the row “stick” or the key, not both
fills:\n  x: {rows: SD oo}\n  X: {rows: SD o} :: X :: a second pattern is called X :: give it a name of its own
fills:\n  x: {rows: SD oo, written: even, played: swung} :: even :: “even” is not possible here :: write straight
"""


def charted(text: str) -> list[Finding]:
    return [each for each in findings(text) if each.is_error]


def of_patterns(text: str) -> list[Finding]:
    """What is wrong with a pattern file and with the patterns in it."""
    file = read_pattern_file(Source("fills/a.yaml", text), BOOK_ORIGIN)
    table = PatternTable([file], shipped_patterns())
    for entry in file.entries:
        table.get(entry.name)
    return table.findings


Reading = Callable[[str], list[Finding]]
TABLES: tuple[tuple[str, Reading], ...] = (
    (LINES, lambda text: charted(chart(text))),
    (KEYS, lambda text: charted(chart(f"A (8): {{{text}}}"))),
    (HEADS, lambda text: charted(chart("A (8)", head=f"{text}\n"))),
    (TEMPI, lambda text: charted(chart("A (8)", tempo=text))),
    (SETTINGS, lambda text: settings_of(Source("book.yaml", text))[1]),
    (FEELS, lambda text: read_feel_file(Source("feels.yaml", text))[1]),
    (FILLS, of_patterns),
)


def rows() -> Iterator[tuple[Reading, str, str, str, str]]:
    for table, reading in TABLES:
        for line in table.strip().splitlines():
            text, shown, message, hint = line.split(" :: ")
            yield reading, text.replace("\\n", "\n"), shown, message, hint


@pytest.mark.parametrize(("reading", "text", "shown", "message", "hint"), list(rows()))
def test_a_wrong_value_is_told_at_its_own_characters(
    reading: Reading, text: str, shown: str, message: str, hint: str
) -> None:
    """One finding, and nothing that falls out of it."""
    (found,) = reading(text)
    assert (message, hint) == (found.message, found.hint)
    assert found.span is not None
    assert shown == found.span.text


def test_rows_in_quotes_are_told_at_their_quotes() -> None:
    """Where no line of the file is a row, the whole value is shown."""
    (found,) = findings(chart('A (8): {fill: {rows: "SD oq"}}'))
    assert found.span is not None
    assert ("“q” is not a stroke", '"SD oq"') == (found.message, found.span.text)


def test_settings_that_are_wrong_leave_the_others() -> None:
    """A slip in one limit is not the end of the player."""
    settings, _ = settings_of(
        Source("book.yaml", "paper: A3\nkit: Left-handed\nplayer: {foot: x, hand: 5}\n")
    )
    assert ("A4", True, 200) == (settings.paper, settings.left_handed, settings.limits.hand_ms)


def test_one_spelling_needs_no_list() -> None:
    """And a list takes several."""
    text = "feels:\n  a: {divides: [2], also: b}\n  c: {divides: [2], also: [d, e]}\n"
    feels, found = read_feel_file(Source("feels.yaml", text))
    assert ([("b",), ("d", "e")], []) == ([feel.also for feel in feels], found)
