"""The set sheet: up to twenty songs read standing, more with a warning, nothing on top of anything."""

from __future__ import annotations

import pytest
from page_rules import words_on_ink, words_on_words
from support import write_book

from render.page.folder import SET_SHEET, folder_of
from render.page.setsheet import DISTANCE, MARGIN, set_sheet
from render.page.sheet import Options
from setlists.book import gig_named


def sheet_for(tmp_path, titles, **options):
    tmp_path.mkdir(exist_ok=True)
    charts = {
        f"charts__c{n:02}": f"title: {title}\ntempo: {100 + n}\nfeel: shuffle\nkey: A\nform:\n  - A (8)\n"
        for n, title in enumerate(titles)
    }
    songs = "\n".join(f"      - {title}" for title in titles)
    book = write_book(
        tmp_path, setlists__all=f"gig: All\nsets:\n  - name: One\n    songs:\n{songs}\n", **charts
    )
    gig = gig_named(book, "all")
    page, _ = set_sheet(gig, {}, Options(**options), SET_SHEET)
    return page, folder_of(gig, Options(**options)).pages[0]


@pytest.mark.parametrize("count", [1, 5, 12, 20])
def test_up_to_twenty_songs_read_standing(tmp_path, count):
    """Titles and tempi at 16 minutes of arc from 1.7 m, on one page, without a warning."""
    page, told = sheet_for(tmp_path, [f"A Song of the Sea {n}" for n in range(count)])
    assert [] == told["warnings"]
    assert told["distance_m"] == DISTANCE == 1.7
    for kind in ("title", "tempo"):
        assert told["sizes"][kind]["arc_minutes"] >= 16
    assert [] == [*words_on_words(page), *words_on_ink(page)]


def test_more_songs_than_can_be_read_are_told(tmp_path):
    """Still one page, with a warning."""
    page, told = sheet_for(tmp_path, [f"A Song of the Sea {n}" for n in range(45)])
    assert told["scale"] < 1
    assert "not at 1.7 m" in told["warnings"][0]
    assert len([item for item in page.words if item.kind == "tempo"]) == 45


def test_a_segue_is_an_arrow_and_nothing_leaves_the_page(tmp_path):
    """The last song of a column may have one too."""
    titles = [f"Song {n}" for n in range(14)]
    charts = {
        f"charts__c{n:02}": f"title: {t}\ntempo: 90\nfeel: swing\nform:\n  - A (8)\n"
        for n, t in enumerate(titles)
    }
    songs = "\n".join(f"      - {title}: {{segue: yes}}" for title in titles)
    book = write_book(
        tmp_path, setlists__all=f"gig: All\nsets:\n  - name: One\n    songs:\n{songs}\n", **charts
    )
    for landscape in (False, True):
        page, _ = set_sheet(gig_named(book, "all"), {}, Options(landscape=landscape), SET_SHEET)
        assert sum(len(getattr(item, "outline", ())) == 3 for item in page.items) == 14
        for item in page.items:
            left, top, right, bottom = item.area
            assert MARGIN - 4 < left
            assert MARGIN - 4 < top
            assert right < page.width - MARGIN + 4
            assert bottom < page.height - MARGIN + 4


def test_key_and_count_in_are_as_large_as_the_rest_allows(tmp_path):
    """Five songs leave room for all at reading size; twenty do not, and the report says what is left."""
    _, few = sheet_for(tmp_path / "few", ["Low Sun", "Rope"])
    _, many = sheet_for(tmp_path / "many", [f"A Song of the Sea {n}" for n in range(20)])
    assert few["sizes"]["key"]["reads_at_m"] >= DISTANCE
    assert many["sizes"]["key"]["reads_at_m"] < DISTANCE
