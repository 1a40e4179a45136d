"""A fill has one number, one title and one feel wherever a user meets it."""

from __future__ import annotations

import pytest
from support import chart, song

from charts.reading.settings import Settings
from charts.verdict import TOLERANCE_MS
from render.page.sheet import Options, sheet_of
from render.show_answer import show_json
from render.terminal.ink import Ink
from render.terminal.roadmap import roadmap_lines
from render.terminal.section_view import section_lines

IN_PLACE = 'Verse (8): {fills: {4: {rows: "SD oooo"}, 8: {rows: "T1 oooo"}}}'
SWUNG = '{rows: "SD oo|oo", written: straight, played: swung, sets-up: next%s}'
SHUFFLE = "Chorus (8): {feel: shuffle}"
VOICES = ("SD", "BD", "HH", "T1", "T2", "T3", "FT", "RD", "C1", "C2")


def screen(text: str) -> str:
    return "\n".join(roadmap_lines(song(text), 100, Ink(), TOLERANCE_MS))


def section(text: str, name: str) -> list[str]:
    return list(section_lines(song(text), name, 100, Ink(), Settings()))


def paper(text: str):
    return sheet_of(song(text), Options())


def test_fills_written_in_place_are_told_apart_by_number() -> None:
    """On the screen's road map, in a section told larger, and on paper."""
    text = chart(IN_PLACE)
    assert "|...1|....|....|....|...2|" in screen(text)
    assert "fill 1 Verse fill; fill 2 Verse fill" in screen(text)
    assert ["  fill 1 Verse fill", "  fill 2 Verse fill"] == [
        line for line in section(text, "Verse") if "Verse fill" in line
    ]
    assert [("1", "Verse fill"), ("2", "Verse fill")] == [(f.number, f.title) for f in paper(text).fills]


def test_screen_and_paper_number_alike() -> None:
    """By first appearance, whichever section comes back."""
    text = chart(
        IN_PLACE, "Chorus (8): {fills: {4: stairs in threes, 8: big turn}}", "Verse", "Coda (4): {fill: big turn}"
    )  # fmt: skip
    names = [(fill.number, fill.title) for fill in paper(text).fills]
    assert ["1", "2", "3", "4"] == [number for number, _ in names]
    for number, title in names:
        assert f"{number} {title}" in screen(text)


def test_a_fill_past_the_ninth_is_told_with_its_bar() -> None:
    """Its number has no room in a box of one column a beat."""
    lines = [f'S{n} (1): {{fill: {{rows: "{voice} o"}}}}' for n, voice in enumerate(VOICES)]
    text = screen(chart(*lines))
    assert "fill 9 S8 fill\n" in text
    assert "fill 10 S9 fill in bar 1" in text
    assert "|...%|" in text


@pytest.mark.parametrize(
    ("pass_", "said"),
    [("", ["fits shuffle"]), (", pass: each", ["in threes over straight eighths", "fits shuffle"])],
)
def test_a_section_told_larger_judges_a_fill_in_the_feel_that_it_is_played_in(
    pass_: str, said: list[str]
) -> None:
    """Before the last time that is the section's own; where the two differ each is drawn."""
    text = chart(f"Verse (8) x2: {{fill: {SWUNG % pass_}}}", SHUFFLE)
    found = [line.strip() for line in section(text, "Verse")]
    assert said == [line for line in found if line.startswith(("fits ", "clashes ", "in "))]


def test_a_fill_that_sets_up_the_next_feel_each_time_clashes_everywhere() -> None:
    """In check, on the screen and on paper, called what it is, since only the check warns of it."""
    text = chart(f"Verse (8) x2: {{fill: {SWUNG % ', pass: each'}}}", SHUFFLE)
    assert "1 Verse fill is in threes over straight eighths; feelmap check says" in screen(text)
    (fill,) = paper(text).fills
    assert ("in threes over straight eighths", True) == (fill.said, fill.at_odds)
    text = chart(f"Verse (8) x2: {{fill: {SWUNG % ''}}}", SHUFFLE)
    assert "clashes" not in screen(text)
    (fill,) = paper(text).fills
    assert ("sets up shuffle", False) == (fill.said, fill.at_odds)


def test_paper_counts_a_fill_in_the_feel_that_it_is_played_in() -> None:
    """Where that is the next section's."""
    (fill,) = paper(chart(f"Verse (8): {{fill: {SWUNG % ''}}}", SHUFFLE)).fills
    assert "shuffle" == fill.feel.name


def test_json_has_the_number_and_the_feels() -> None:
    """Of each use in show --json, a feel for each pass that plays it."""
    found = show_json(song(chart(IN_PLACE, f"Bridge (4) x2: {{fill: {SWUNG % ', pass: each'}}}", SHUFFLE)))
    uses = [(use["number"], use["title"], use["feels"]) for row in found["form"] for use in row["fills"]]
    straight = ["straight eighths"]
    expected = [(1, "Verse fill", straight), (2, "Verse fill", straight)]
    assert [*expected, (3, "Bridge fill", [*straight, "shuffle"])] == uses
