"""The fills below the form: names whole word by word, bars parted in row notation."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from support import feel, form, pattern

from charts.timing import Meter
from render.page.fill_blocks import FillGeometry, lay_fills
from render.page.fills import PageFill
from render.page.model import Line, Page, Pen
from render.page.notation_table import BAR_LINE, lay_table
from render.page.plan import NAMES, STAFF
from render.page.roadmap import fit
from render.page.sheet import Options, sheet_of

LONG = "sixteenths around everything percussive"


def fill(title, rows="SD oooo | oooo", said="", number="1"):
    found = pattern(rows)
    beats = Meter.read("4/4").beats
    over = tuple((beats[n % 4], n % 4 + 1, F(100)) for n in range(found.beats))
    return PageFill(number, title, found, feel("straight sixteenths"), over, said)


def painted(laid, width=400.0):
    page = Page("p", "p", width, 800)
    laid.paint(Pen(page, 10.0, 0, 0), 0.0, 0.0)
    return page


def names(page):
    return " ".join(
        item.text for item in page.words if item.kind in ("fill", "fill note", "fill name")
    ).split()


@pytest.mark.parametrize("across", [False, True])
@pytest.mark.parametrize("width", [12.0, 16.0, 24.0])
def test_no_word_of_a_fill_s_name_is_broken(across, width):
    """The column widens, then the name shrinks; words stay whole."""
    fills = [
        fill(LONG),
        fill("short", number="2"),
        fill("and", said="clashes with half-time shuffle", number="3"),
    ]
    found = names(painted(lay_fills(fills, FillGeometry(width, 0.0, across, STAFF, "1 trip let"))))
    assert found == [*LONG.split(), "short", "and", *["clashes", "with", "half-time", "shuffle"]]


def test_a_name_shrinks_only_where_its_words_need_it():
    """Others on the page keep their size."""
    geometry = FillGeometry(13.0, 0.0, False, STAFF, "1 trip let")
    page = painted(lay_fills([fill(LONG), fill("short", number="2")], geometry))
    sizes = {item.text.split()[0]: item.size for item in page.words if item.kind == "fill"}
    assert sizes["sixteenths"] < sizes["short"] == pytest.approx(8.4)


def test_a_name_in_a_list_of_names_keeps_together():
    """It starts a new line where it does not fit, with its number."""
    page = painted(
        lay_fills(
            [fill("one"), fill("round the whole kit", number="2")], FillGeometry(12, 0, False, NAMES, "")
        )
    )
    lines = {}
    for item in page.words:
        lines.setdefault(round(item.y), []).append(item.text)
    assert ["1 one", "2 round the whole kit"] == [" ".join(line) for line in lines.values()]


def test_row_notation_parts_bars_more_strongly_than_beats():
    """Two bars of four beats: eight lines, two of them bar lines."""
    laid = lay_table(fill("two bars", "SD " + " | ".join(["oooo"] * 8)), 60.0, "1 trip let")
    lines = [item for item in painted(laid).items if isinstance(item, Line)]
    assert [n in (3, 7) for n in range(8)] == [line.width == pytest.approx(BAR_LINE * 10) for line in lines]


def test_names_are_whole_on_a_real_page():
    """The narrowest case of the demo: a long word beside a staff, in a song with short section names."""
    song = form("A (4): {fill: sixteenths round the kit}", "B (4)", head="")
    page = fit(sheet_of(song, Options(distance=1.4)), Options(distance=1.4), "p").page
    assert {"sixteenths", "round", "the", "kit"} <= set(names(page))


def test_names_get_more_room_where_they_are_higher_than_their_notes():
    """A label of many lines beside a short staff would cost height for nothing."""
    geometry = FillGeometry(27.0, 0.0, False, STAFF, "1 trip let")
    long, short = (
        painted(lay_fills([fill("round the kit", said=said)], geometry))
        for said in ("clashes with the half-time shuffle of this section", "")
    )
    staves = [min(item.x1 for item in page.items if isinstance(item, Line)) for page in (long, short)]
    assert staves[0] == pytest.approx(1.5 * staves[1])
