"""Head and foot of a road map: what they say, and that it stays together."""

from __future__ import annotations

import pytest
from page_rules import breaches
from support import form, song

from render.page.head_foot import lay_foot, lay_head
from render.page.model import Page, Pen
from render.page.roadmap import fit
from render.page.sheet import Following, InFolder, Options, sheet_of

BALLAD = "The Ballad of the Night Watchman’s Daughter and the Seventeen Sailors"


ALONE = InFolder()


def sheet(head="", gig=ALONE, title="Test"):
    return sheet_of(
        song(f"title: {title}\ntempo: 100\nfeel: shuffle\n{head}form:\n  - A (8)\n"), Options(), gig
    )


def lines(laid):
    """The texts line by line."""
    page = Page("p", "p", 2000, 2000)
    laid.paint(Pen(page, 10.0, 0, 0), 0.0, 0.0)
    found = {}
    for item in sorted(page.words, key=lambda item: (round(item.y), item.x)):
        found.setdefault(round(item.y), []).append(item.text)
    return [" ".join(line) for line in found.values()]


@pytest.mark.parametrize(
    ("pickup", "told"),
    [("1 beat", "1 beat"), ("2 beats", "2 beats"), ("1.5 beats", "1.5 beats"), ("1/2 beat", "0.5 beats")],
)
def test_a_pickup_is_told_as_everywhere_else(pickup, told):
    """In beats, halves as a decimal."""
    assert f"pickup {told}" in " ".join(lines(lay_head(sheet(f"pickup: {pickup}\n"), 40.0, 1.0)))


def test_a_song_out_of_another_says_so_instead_of_a_count():
    """Nobody counts it in."""
    said = " ".join(lines(lay_head(sheet(gig=InFolder(entered="Night Ferry")), 60.0, 1.0)))
    assert "straight out of Night Ferry" in said
    assert "count" not in said


def test_a_writer_stands_whole_behind_the_title_or_below_it():
    """The title yields a little of its size for it, not much."""
    short = lines(lay_head(sheet("by: The Quay Street Six\n", title="Tuesday Hat"), 26.0, 1.25))
    long = lines(lay_head(sheet("by: The Very Long Named Harbour Orchestra\n", title=BALLAD), 30.0, 1.25))
    assert short[0] == "Tuesday Hat The Quay Street Six ♩ = 100"
    assert "The Very Long Named Harbour Orchestra" in long


def test_a_title_of_many_lines_has_the_whole_width():
    """The tempo gives way to it: fewer lines, and none beside an empty half page."""
    found = lines(lay_head(sheet(title=BALLAD), 18.0, 1.25))
    assert " ".join(found[:3]) == BALLAD
    assert "♩ = 100" == found[3]


def test_what_follows_is_told_with_key_and_tempo():
    """The name in one piece."""
    after = Following("The Long Way Round", "Bb minor", "♩ = 79")
    (line,) = (line for line in lines(lay_foot(sheet(gig=InFolder(following=after)), 40.0)) if "next" in line)
    assert "next The Long Way Round key B♭ minor ♩ = 79" in line


@pytest.mark.parametrize("width", [13.0, 15.0, 17.0, 20.0, 26.0, 40.0])
def test_the_name_of_what_follows_is_not_broken(width):
    """Key and tempo go to another line before it does; in any width that holds it."""
    after = Following("Long Way Round", "Bb", "♩ = 79", segue=width > 20)
    gig = InFolder("song 3 of 15", following=after)
    found = lines(lay_foot(sheet("ending: hold the last chord, cut together\n", gig), width))
    assert any("Long Way Round" in line for line in found)


def test_the_foot_takes_as_few_lines_as_it_can():
    """A long ending has the line for itself where the totals find room below."""
    gig = InFolder("song 3 of 15", following=Following("Rope"))
    found = lines(lay_foot(sheet("ending: ritard over the last two bars\n", gig), 26.0))
    assert found[0] == "ending ritard over the last two bars"
    assert len(found) <= 3  # the totals have a baseline of their own
    alone = lines(lay_foot(sheet("ending: cold\n", gig), 40.0))
    assert alone[0].startswith("ending cold next Rope")


@pytest.mark.parametrize("name", ["Rope", "Long Way Round", "Paint on the Porch", BALLAD])
@pytest.mark.parametrize("width", [16.0, 20.0, 24.0, 28.0, 34.0, 40.0])
def test_what_follows_a_song_without_an_ending_keeps_off_the_totals(name, width):
    """Both stand at the foot's only line, or on two."""
    page = Page("p", "p", 2000, 2000)
    gig = InFolder("song 3 of 12", following=Following(name, "Bb minor", "♩ = 126", "rope"))
    lay_foot(sheet(gig=gig), width).paint(Pen(page, 10.0, 50, 50), 0.0, 0.0)
    assert [] == breaches(page)
    assert "rope" in {link.target for link in page.links}


def test_a_page_in_a_folder_breaks_no_rule():
    """With everything that a folder adds to it."""
    gig = InFolder(
        "song 3 of 15", "capo 3", "home", "Night Ferry", Following("Rope", "A", "♩ = 120", "rope", True)
    )
    for options in (Options(), Options(landscape=True), Options(distance=1.5)):
        page = fit(sheet_of(form("A (8)", head="ending: cold\nby: Us\n"), options, gig), options, "p").page
        assert [] == breaches(page)
        assert {"rope", "home"} == {link.target for link in page.links}
