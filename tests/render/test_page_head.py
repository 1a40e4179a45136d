"""Head and foot of a road map: what they say, and that it stays together."""

from __future__ import annotations

import pytest
from page_rules import breaches
from support import form, song

from render.page.feel_notes import feel_notes
from render.page.head_foot import lay_foot, lay_head, title_size
from render.page.model import Page, Pen
from render.page.plan import Sizes
from render.page.roadmap import fit
from render.page.sheet import Following, InFolder, Options, sheet_of

BALLAD = "The Ballad of the Night Watchman’s Daughter and the Seventeen Sailors"
ALONE = InFolder()
SIZES = Sizes(1.0, 0.0, 1.0)
WIDTH = 543.0


def tune(head="", title="Test", tempo=100):
    return song(f"title: {title}\ntempo: {tempo}\nfeel: shuffle\n{head}form:\n  - A (8)\n")


def sheet(head="", gig=ALONE, title="Test"):
    return sheet_of(tune(head, title), Options(), gig)


def painted(laid):
    page = Page("p", "p", 2000, 2000)
    laid.paint(Pen(page, 1.0, 100, 100), 0.0, 0.0)
    return page


def lines(laid):
    """The texts line by line."""
    found = {}
    for item in sorted(painted(laid).words, key=lambda item: (round(item.y), item.x)):
        found.setdefault(round(item.y), []).append(item.text)
    return [" ".join(line) for line in found.values()]


def head(*arguments, **options):
    return " ".join(lines(lay_head(sheet(*arguments, **options), WIDTH, SIZES)))


@pytest.mark.parametrize(
    ("pickup", "told"),
    [("1 beat", "1 beat"), ("2 beats", "2 beats"), ("1.5 beats", "1.5 beats"), ("1/2 beat", "0.5 beats")],
)
def test_a_pickup_is_told_as_everywhere_else(pickup, told):
    """In beats, halves as a decimal."""
    assert f"pickup {told}" in head(f"pickup: {pickup}\n")


def test_a_song_out_of_another_says_so_instead_of_a_count():
    """Nobody counts it in; nor where the chart says none."""
    said = head(gig=InFolder(entered="Night Ferry"))
    assert "segue from Night Ferry" in said
    assert "count" not in said
    assert "no count" in head("count-in: none\n")


def test_the_tempo_stays_where_it_is():
    """A long title shrinks to its least size, then wraps; the tempo is as large and as high as ever."""
    short, long = (painted(lay_head(sheet(title=title), WIDTH, SIZES)) for title in ("Rope", BALLAD))
    tempo = [next(item for item in page.words if item.kind == "tempo") for page in (short, long)]
    assert tempo[0].x == tempo[1].x
    assert tempo[0].size == tempo[1].size == title_size(SIZES)
    titles = [item for item in long.words if item.kind == "title"]
    assert len({item.y for item in titles}) > 1
    assert all(item.size == pytest.approx(SIZES.prime) for item in titles)
    assert all(item.x + item.width < tempo[1].x for item in titles)


def test_the_backbeat_is_told_where_it_is_not_on_two_and_four():
    """From the feel's own pulse."""
    half = song("title: T\ntempo: 100\nfeel: half-time shuffle\nform:\n  - A (8)\n")
    assert "backbeat on 3" in " ".join(lines(lay_head(sheet_of(half, Options()), WIDTH, SIZES)))
    assert "backbeat" not in head()


def test_what_tonight_changes_is_marked_with_what_it_replaces():
    """Tempo and key on a ground of their own."""
    tonight = tune("key: C\n", tempo=92)
    gig = InFolder(chart=tune("key: A\n"))
    page = painted(lay_head(sheet_of(tonight, Options(), gig), WIDTH, SIZES))
    said = " ".join(item.text for item in page.words)
    assert "else 100" in said
    assert "tonight, else A" in said
    assert {"on sign"} == {item.role for item in page.words if item.kind in ("tempo", "key")}


@pytest.mark.parametrize(
    ("feel", "groups"),
    [
        ("straight eighths", [2]), ("straight sixteenths", [4]), ("shuffle", [2, 2]), ("slow 12/8", [3]),
        ("sixteenth shuffle", [4, 4]),
    ],
)  # fmt: skip
def test_a_feel_in_notes(feel, groups):
    """What is written, and how it sounds where it swings."""
    found = song(f"title: T\ntempo: 60\nfeel: {feel}\nform:\n  - A (8)\n")
    notes = feel_notes(found.feel, found.meter.beats[0], 1.0).picture
    assert groups == [len(group.events) for group in notes.groups]


def test_what_follows_is_told_with_tempo_and_count():
    """The name in one piece, and the mark of the printing beside bars and length."""
    after = Following("The Long Way Round", "♩ = 79", "none")
    said = " ".join(lines(lay_foot(sheet(gig=InFolder("song 3 of 15", following=after)), WIDTH, SIZES)))
    assert "next The Long Way Round ♩ = 79" in said
    assert "no count" in said
    assert "8 bars · 0:19 · song 3 of 15" in said


@pytest.mark.parametrize("name", ["Rope", "Long Way Round", BALLAD])
@pytest.mark.parametrize("width", [400.0, WIDTH, 790.0])
def test_what_follows_keeps_off_the_totals(name, width):
    """On one line or on more."""
    gig = InFolder("song 3 of 12", following=Following(name, "♩ = 126", "1 2 3 4", "rope"))
    page = painted(lay_foot(sheet(gig=gig), width, SIZES))
    assert [] == breaches(page)
    assert "rope" in {link.target for link in page.links}


def test_two_printings_are_told_apart():
    """The mark is of what is on the page: the same for the same, another for one cue more."""

    def mark(line):
        page = fit(sheet_of(form(line), Options()), Options(), "p").page
        return next(item.text for item in page.words if item.kind == "mark")

    assert mark("A (8)") == mark("A (8)") != mark("A (8): {cue: up}")


def test_a_page_in_a_folder_breaks_no_rule():
    """With everything that a folder adds to it."""
    gig = InFolder(
        "song 3 of 15", "capo 3", "home", "Night Ferry", Following("Rope", "♩ = 120", "1 2", "rope", True)
    )
    for options in (Options(), Options(landscape=True), Options(distance=1.5)):
        page = fit(sheet_of(form("A (8)", head="ending: cold\nby: Us\n"), options, gig), options, "p").page
        assert [] == breaches(page)
        assert {"rope", "home"} == {link.target for link in page.links}
